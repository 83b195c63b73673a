/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * The table of questions, in the order in which they are asked.
 *
 * Offered numbers are common practice, and only where a keeper begins. What is said of temperatures follows from the
 * model's numbers (species_numbers.c: mating_air, laying_air, dormancy; judgement).
 */
#include "asking/question.h"

#include "base/calendar.h"
#include "climate/sketch.h"
#include "text/warning_sentences.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* ---- who is asked what ---- */

bool wg_answers_are_metric(const struct wg_answers *answers) {
    return wg_answer_is(answers, WG_ASK_UNITS, "kilograms");
}

bool wg_answers_have_record(const struct wg_answers *answers) {
    return strchr(answers->text[WG_ASK_CLIMATE], '.') != NULL;
}

static bool lives_outdoors(const struct wg_answers *answers) {
    return wg_answer_is(answers, WG_ASK_SHELTER, "outdoors");
}

bool wg_answers_move_in(const struct wg_answers *answers) {
    return lives_outdoors(answers) && !wg_answer_is(answers, WG_ASK_WINTER, "outdoors");
}

const char *wg_answers_house(const struct wg_answers *answers) {
    static const char *const kinds[][2] = {{"hoop house", ""},
                                           {"greenhouse", ""},
                                           {"shed", "in a shed"},
                                           {"room", "in a room"},
                                           {"cellar", "in a cellar"}};
    const bool outdoors = lives_outdoors(answers);
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
        if (wg_answer_is(answers, outdoors ? WG_ASK_WINTER : WG_ASK_SHELTER, kinds[i][outdoors ? 1 : 0]))
            return kinds[i][0];
    return NULL;
}

static bool is_house(const struct wg_answers *answers, const char *kind) {
    const char *const house = wg_answers_house(answers);
    return house != NULL && strcmp(house, kind) == 0;
}

static bool has_house(const struct wg_answers *answers) {
    return wg_answers_house(answers) != NULL;
}

static bool is_shed(const struct wg_answers *answers) {
    return is_house(answers, "shed");
}

static bool is_cellar(const struct wg_answers *answers) {
    return is_house(answers, "cellar");
}

/* Warmed by the dwelling or by the soil, not by a heater of the bins. */
static bool is_room(const struct wg_answers *answers) {
    return is_house(answers, "room") || is_cellar(answers);
}

static bool has_walls(const struct wg_answers *answers) {
    return has_house(answers) && !is_room(answers);
}

/* A shed for the winter has a heater without being asked. */
static bool asks_heat(const struct wg_answers *answers) {
    return !wg_answers_move_in(answers) && !is_room(answers);
}

static bool has_mat(const struct wg_answers *answers) {
    return asks_heat(answers) && wg_answer_is(answers, WG_ASK_HEAT, "mat");
}

static bool has_room_heater(const struct wg_answers *answers) {
    return asks_heat(answers) ? wg_answer_is(answers, WG_ASK_HEAT, "room heater")
                              : wg_answers_move_in(answers) && is_shed(answers);
}

static bool has_heat(const struct wg_answers *answers) {
    return has_mat(answers) || has_room_heater(answers);
}

static bool asks_heat_season(const struct wg_answers *answers) {
    return has_heat(answers) && !wg_answers_move_in(answers);
}

static bool has_lamps(const struct wg_answers *answers) {
    return has_house(answers) && !wg_answer_is(answers, WG_ASK_LAMPS, "none");
}

static bool buys_energy(const struct wg_answers *answers) {
    return has_heat(answers) || has_lamps(answers);
}

/* Wild flies reach a place without walls or with open vents. */
static bool is_question_open(const struct wg_answers *answers) {
    return lives_outdoors(answers) || is_house(answers, "hoop house") || is_house(answers, "greenhouse");
}

static bool has_starter(const struct wg_answers *answers) {
    return !wg_answer_is(answers, WG_ASK_STAGE, "wild flies");
}

static bool asks_wild(const struct wg_answers *answers) {
    return is_question_open(answers) && has_starter(answers);
}

static bool uses_ramp(const struct wg_answers *answers) {
    return wg_answer_is(answers, WG_ASK_HARVEST, "ramp") || wg_answer_is(answers, WG_ASK_HARVEST, "ramp and scoop");
}

static bool uses_scoop(const struct wg_answers *answers) {
    return wg_answer_is(answers, WG_ASK_HARVEST, "scoop") || wg_answer_is(answers, WG_ASK_HARVEST, "ramp and scoop");
}

static bool feeds_as_eaten(const struct wg_answers *answers) {
    return wg_answer_is(answers, WG_ASK_AMOUNT, "as eaten");
}

static bool wants_harvest(const struct wg_answers *answers) {
    return wg_answer_is(answers, WG_ASK_GOAL, "harvest");
}

/* ---- what is offered ---- */

static void offer_word(char out[WG_ANSWER_SIZE], const char *word) {
    (void)snprintf(out, WG_ANSWER_SIZE, "%s", word);
}

/* The commonest climate of a latitude: judgement. */
static void offer_climate(const struct wg_answers *answers, char out[WG_ANSWER_SIZE]) {
    const double from_equator = fabs(answers->latitude_deg);
    offer_word(out, from_equator < 25   ? "warm coast"
                    : from_equator < 36 ? "hot and humid"
                    : from_equator < 47 ? "four seasons"
                                        : "mild coast");
}

/* Spring's warmth: 1 May, in the south 1 November. */
static void offer_start(const struct wg_answers *answers, char out[WG_ANSWER_SIZE]) {
    const struct wg_date now = wg_date_from_day(answers->today);
    const bool is_south = answers->latitude_deg < 0;
    struct wg_date start = {now.year, is_south ? 11 : 5, 1};
    char day[11];
    if (wg_day_from_date(start) <= answers->today)
        start.year++;
    wg_day_format(wg_day_from_date(start), day);
    offer_word(out, day);
}

static void offer_warmth(const struct wg_answers *answers, char out[WG_ANSWER_SIZE]) {
    offer_word(out, is_cellar(answers) ? "like the soil" : wg_answers_are_metric(answers) ? "27 degC" : "80 degF");
}

static void offer_amount(const struct wg_answers *answers, char out[WG_ANSWER_SIZE]) {
    (void)answers;
    offer_word(out, "as eaten");
}

static void offer_floor(const struct wg_answers *answers, char out[WG_ANSWER_SIZE]) {
    const bool metric = wg_answers_are_metric(answers);
    offer_word(out, is_shed(answers) ? (metric ? "6 m2" : "64 ft2") : metric ? "20 m2" : "200 ft2");
}

static void offer_set_point(const struct wg_answers *answers, char out[WG_ANSWER_SIZE]) {
    offer_word(out, wg_answers_are_metric(answers) ? "26 degC" : "78 degF");
}

static void offer_power(const struct wg_answers *answers, char out[WG_ANSWER_SIZE]) {
    offer_word(out, has_mat(answers) ? "60 W" : is_shed(answers) ? "1500 W" : "5 kW");
}

static void offer_number(const struct wg_answers *answers, char out[WG_ANSWER_SIZE]) {
    const bool prepupae = wg_answer_is(answers, WG_ASK_STAGE, "prepupae");
    offer_word(out, !prepupae ? "10000" : wg_answers_are_metric(answers) ? "0.5 kg" : "1 lb");
}

static void offer_lamps(const struct wg_answers *answers, char out[WG_ANSWER_SIZE]) {
    offer_word(out, (is_shed(answers) && has_heat(answers)) || is_house(answers, "room") ? "12 hours" : "none");
}

static void offer_traps(const struct wg_answers *answers, char out[WG_ANSWER_SIZE]) {
    offer_word(out, (has_house(answers) && !is_cellar(answers)) || !has_starter(answers) ? "yes" : "no");
}

/* ---- cautions ---- */

static const char *caution_heat(const struct wg_answers *answers) {
    return buys_energy(answers) ? wg_caution_text(WG_CAUTION_POWER) : NULL;
}

static const char *caution_stage(const struct wg_answers *answers) {
    return has_starter(answers) ? wg_caution_text(WG_CAUTION_LAW) : NULL;
}

static const char *caution_harvest(const struct wg_answers *answers) {
    return wg_answer_is(answers, WG_ASK_HARVEST, "nothing") ? NULL : wg_caution_text(WG_CAUTION_LAW);
}

/* ---- the table ---- */

/* clang-format off */
static const struct wg_question questions[WG_N_QUESTIONS] = {
    [WG_ASK_UNITS] = {"units", "Which units do you use?",
        "The plan is written in these units. Any answer may still be in others: 20 degC, 68 degF, 3 lb, 2 kg.",
        .choice = {{"pounds", NULL, "degF, lb, gallons, feet", NULL},
                   {"kilograms", NULL, "degC, kg, litres, metres", NULL}}},
    [WG_ASK_NAME] = {"name", "What shall we call it?",
        "One line of your own, such as Barn bins. It heads the forecast.",
        .is_free = true, .offered = "My flies"},
    [WG_ASK_SHELTER] = {"shelter", "Where do the bins stand?",
        "A hoop house has one skin of film, a greenhouse two. A shed has insulated walls and a small window. A room "
        "of the house or a classroom is as warm as you say all year; a cellar follows the soil around it.",
        .choice = {{"outdoors", NULL, "in the open, under a lid", NULL},
                   {"hoop house", NULL, "under film, warm on sunny days", NULL},
                   {"greenhouse", NULL, "under two films or glass", NULL},
                   {"shed", NULL, "behind insulated walls", NULL},
                   {"room", NULL, "of the house, as warm as you say", NULL},
                   {"cellar", NULL, "cool and dark", NULL}}},
    [WG_ASK_LATITUDE] = {"latitude", "How far north or south are you?",
        "The latitude in degrees: the first of the two numbers that a map on a phone shows. Write 38 N, or 34 S south "
        "of the equator. It sets the length of the days.",
        .is_free = true, .also = "for example 38 N or 34 S", .offered = "40 N"},
    [WG_ASK_ELEVATION] = {"elevation", "How high above the sea?",
        "Roughly. High places are colder: 5.5 degC per km, 3 degF per 1,000 ft.",
        .is_free = true, .offered = "300 ft", .offered_metric = "100 m"},
    [WG_ASK_CLIMATE] = {"climate", "Which is most like your weather?",
        "Each is an invented climate of that kind at your latitude: no station has these numbers. Choose the one "
        "whose coldest and warmest months look like yours. Better is a daily record of your own: see wintergrub help "
        "new.",
        .help_on_page = "Each is an invented climate of that kind at your latitude: no station has these numbers. Choose "
        "the one whose coldest and warmest months look like yours. Better is a daily record of your own.",
        .is_free = true, .also = "or the name of a weather file beside the plan, such as station.csv",
        .choice = {{"mild coast", NULL, NULL, NULL}, {"four seasons", NULL, NULL, NULL},
                   {"cold inland", NULL, NULL, NULL}, {"dry summers", NULL, NULL, NULL},
                   {"hot and humid", NULL, NULL, NULL}, {"dry and hot", NULL, NULL, NULL},
                   {"warm coast", NULL, NULL, NULL}},
        .offer = offer_climate},
    [WG_ASK_WINTER] = {"winter", "Where do they spend the winter?",
        "Larvae in the cold stand still and many die; prepupae in the ground sleep until spring. Some keepers carry "
        "all of them into a warm place in November and back out in April, others let them sleep in a cellar.",
        .choice = {{"outdoors", NULL, "they stay where they are", NULL},
                   {"in a shed", NULL, "you carry them into a heated shed", NULL},
                   {"in a room", NULL, "of the house, as warm as you say", NULL},
                   {"in a cellar", NULL, "cool and dark: they sleep", NULL}},
        .applies = lives_outdoors, .caution = caution_heat},
    [WG_ASK_WARMTH] = {"warmth", "How warm is it there?",
        "They breed from about 75 to 90 degF (24 to 32 degC). At 60 to 70 degF (15 to 21 degC) the model's flies wake "
        "but do not mate, and a colony often dies; below 55 degF (13 degC) they sleep.",
        .is_free = true, .also = "a temperature, such as 68 degF or 20 degC", .offered = "80 degF",
        .offered_metric = "27 degC",
        .choice = {{"like the soil", NULL, "as the ground around it", is_cellar}}, .offer = offer_warmth,
        .applies = is_room},
    [WG_ASK_FLOOR] = {"floor", "How large is its floor?",
        "Length times width. A large house takes more heat.",
        .is_free = true, .also = "for example 64 ft2 or 6 m2", .offer = offer_floor, .applies = has_walls},
    [WG_ASK_HEAT] = {"heat", "Is there any heat?",
        "A mat warms one bin. A room heater warms the air for the flies as well; without warm air they do not mate.",
        .choice = {{"none", NULL, "they live with the weather", NULL},
                   {"mat", NULL, "a heat mat under each bin", NULL},
                   {"room heater", NULL, "a heater for the whole house", has_walls}},
        .applies = asks_heat, .caution = caution_heat},
    [WG_ASK_SET_POINT] = {"set_point", "How warm do you keep it?",
        "The thermostat's temperature. Between the two, at 60 to 70 degF (15 to 21 degC), the model's flies wake but "
        "do not mate, and a colony often dies.",
        .is_free = true, .also = "or any other, such as 72 degF or 22 degC",
        .choice = {{"50 degF", "10 degC", "they sleep through winter; little power", has_room_heater},
                   {"78 degF", "26 degC", "they eat and breed all year", NULL}},
        .offer = offer_set_point, .applies = has_heat},
    [WG_ASK_POWER] = {"power", "How strong is the heater?",
        "The watts on its label. If it is too weak, the forecast says so.",
        .is_free = true, .also = "for example 60 W for a mat, 1500 W or 5 kW for a room", .offer = offer_power,
        .applies = has_heat},
    [WG_ASK_HEAT_SEASON] = {"heating", "When is it on?",
        "The thermostat does the rest. Winter is October to April, in the south April to October.",
        .choice = {{"all year", NULL, "whenever it is too cold", NULL}, {"winter", NULL, "seven months", NULL}},
        .applies = asks_heat_season},
    [WG_ASK_LAMPS] = {"lamps", "Lamps for the flies?",
        "Flies mate in bright light only. In a shed with a small window they need a lamp.",
        .is_free = true, .also = "or hours a day, such as 10 hours",
        .choice = {{"none", NULL, "daylight only", NULL}, {"12 hours", NULL, "a day, 100 W", NULL}},
        .offer = offer_lamps, .applies = has_house, .caution = caution_heat},
    [WG_ASK_PRICE] = {"price", "What does electricity cost?",
        "From your bill, per kWh, in any currency.",
        .is_free = true, .also = "for example $0.15 per kWh, or unknown",
        .choice = {{"unknown", NULL, "no money is counted", NULL}}, .offered = "$0.15 per kWh",
        .offered_metric = "0.30 per kWh", .applies = buys_energy},
    [WG_ASK_BINS] = {"bins", "How many bins?",
        "All alike. The file shows how to add others.",
        .help_on_page = "All alike. Under All values, each can be changed and others added.",
        .is_short = true, .also = "1, 2, 3 or 4",
        .choice = {{"1", NULL, NULL, NULL}, {"2", NULL, NULL, NULL}, {"3", NULL, NULL, NULL}, {"4", NULL, NULL, NULL}}},
    [WG_ASK_VOLUME] = {"volume", "How large is each bin?",
        "What it would hold full of water.",
        .is_free = true, .also = "or any other, such as 30 gal or 120 L",
        .choice = {{"5 gal", "20 L", "a bucket", NULL}, {"18 gal", "70 L", "a tote", NULL},
                   {"40 gal", "150 L", "a trough or large bin", NULL}, {"55 gal", "200 L", "a drum", NULL}},
        .offered = "40 gal", .offered_metric = "150 L"},
    [WG_ASK_INSULATION] = {"insulation", "Is the bin insulated?",
        "Foam board all around, bottom too. Larvae make heat of their own; foam keeps it in.",
        .is_free = true, .also = "or another thickness, such as 3 in or 80 mm",
        .choice = {{"none", NULL, "bare plastic or wood", NULL}, {"1 in", "25 mm", "of foam", NULL},
                   {"2 in", "50 mm", "of foam", NULL}}},
    [WG_ASK_START] = {"start", "When do you start?",
        "The day the first animals go in, as year-month-day.",
        .is_free = true, .also = "for example 2027-05-01", .offer = offer_start},
    [WG_ASK_LENGTH] = {"length", "How far do you want to look ahead?",
        "Past the next spring, 14 months after a start in May, shows whether its flies come. A year is enough to "
        "compare feeds or houses.",
        .is_short = true, .also = "6 months, 1 year, 14 months or 2 years",
        .choice = {{"14 months", NULL, NULL, NULL}, {"6 months", NULL, NULL, NULL}, {"1 year", NULL, NULL, NULL},
                   {"2 years", NULL, NULL, NULL}}},
    [WG_ASK_STAGE] = {"starter", "What do you start with?",
        "Larvae are the worms as sold, five days old. Prepupae are the dark ones that have left the feed. Wild flies "
        "cost nothing where they live: bait and egg traps bring them.",
        .choice = {{"larvae", NULL, "five days old, as sold", NULL}, {"eggs", NULL, "about to hatch", NULL},
                   {"prepupae", NULL, "dark, done eating, soon flies", NULL},
                   {"wild flies", NULL, "none bought; you catch their eggs", is_question_open}},
        .caution = caution_stage},
    [WG_ASK_NUMBER] = {"number", "How many in each bin?",
        "A number, or their weight. wintergrub size finds the smallest number that will do.",
        .help_on_page = "A number, or their weight. The screen How many to start? finds the smallest number that will "
        "do.",
        .is_free = true, .also = "for example 10000, 1 lb or 0.5 kg", .offer = offer_number, .applies = has_starter},
    [WG_ASK_FEED] = {"feed", "What do you feed?",
        "The main feed; more can be written into the file, and feeds of your own with their moisture and quality: "
        "wintergrub help scenario feeds.",
        .help_on_page = "The main feed. Add more of them afterwards under All values; a feed of your own has its moisture "
        "and quality there.",
        .is_free = true, .also = "or fish offal, fermented corn, chicken manure, cattle manure",
        .choice = {{"kitchen scraps", NULL, "a good mix", NULL}, {"fermented grain", NULL, "rich, warm", NULL},
                   {"pet food", NULL, "dry and rich", NULL}, {"fruit", NULL, "wet, lighter larvae", NULL},
                   {"bread", NULL, "little protein", NULL}, {"spent brewery grain", NULL, "slower", NULL},
                   {"coffee grounds", NULL, "keeps them alive, no more", NULL}}},
    [WG_ASK_AMOUNT] = {"amount", "How much, in each bin, each time?",
        "Wet weight. As eaten means that you look first and give what they will eat until the next time. What is not "
        "eaten turns sour and hot.",
        .is_free = true, .also = "or a weight, such as 3 lb or 1.5 kg",
        .choice = {{"as eaten", NULL, "as much as they eat", NULL}}, .offered = "3 lb", .offered_metric = "1.5 kg",
        .offer = offer_amount},
    [WG_ASK_AT_MOST] = {"at_most", "At most how much each time?",
        "What you have to give. Larvae that would eat more go hungry and stay small.",
        .is_free = true, .also = "or a weight, such as 3 lb or 1.5 kg",
        .choice = {{"no limit", NULL, "there is always more", NULL}}, .offered = "3 lb", .offered_metric = "1.5 kg",
        .applies = feeds_as_eaten},
    [WG_ASK_EVERY] = {"every", "How often?",
        "In whole days or weeks.",
        .is_free = true, .also = "or any other, such as 3 days",
        .choice = {{"1 day", NULL, "every day", NULL}, {"2 days", NULL, "every other day", NULL},
                   {"1 week", NULL, "once a week", NULL}}},
    [WG_ASK_HARVEST] = {"harvest", "How do you harvest?",
        "Full-grown larvae crawl up a ramp by themselves and fall into a bucket. Scooping takes them from the feed.",
        .choice = {{"ramp", NULL, "they crawl off into a bucket", NULL},
                   {"scoop", NULL, "you take some each week", NULL},
                   {"ramp and scoop", NULL, "both", NULL}, {"nothing", NULL, "you only watch", NULL}},
        .caution = caution_harvest},
    [WG_ASK_BACK] = {"back", "What share of the bucket goes back?",
        "Those you put into the ground become the flies of the next brood. The ramp catches four of five.",
        .is_free = true, .also = "or any other, such as 15 %",
        .choice = {{"0 %", NULL, "the fifth that escapes must do", NULL},
                   {"10 %", NULL, "enough in most summers", NULL},
                   {"25 %", NULL, "safer", NULL}},
        .offered = "10 %", .applies = uses_ramp},
    [WG_ASK_SCOOP] = {"scoop", "How much do you scoop a week, from each bin?",
        "Live weight.", .is_free = true, .also = "for example 1 lb or 0.5 kg", .offered = "1 lb",
        .offered_metric = "0.5 kg", .applies = uses_scoop},
    [WG_ASK_TRAPS] = {"traps", "Do you hang egg traps?",
        "Cardboard or slats over the feed, where flies lay. You pull them before the eggs hatch and put them into "
        "the bin, so that the brood does not get lost.",
        .choice = {{"no", NULL, "they lay where they like", NULL}, {"yes", NULL, "pulled before they hatch", NULL}},
        .offer = offer_traps},
    [WG_ASK_WILD] = {"wild", "Do wild soldier flies visit in summer?",
        "Black, wasp-like flies around compost in warm months. Their eggs help a colony.",
        .choice = {{"no", NULL, "or you do not know", NULL}, {"a few", NULL, "2 a day at the peak", NULL},
                   {"many", NULL, "10 a day at the peak", NULL}},
        .applies = asks_wild},
    [WG_ASK_GOAL] = {"goal", "What do you want most?",
        "The forecast says how likely it is. wintergrub size finds how many to start with for it.",
        .help_on_page = "The forecast says how likely it is. The screen How many to start? finds how many to start with "
        "for it.",
        .choice = {{"survive", NULL, "alive on the last day", NULL}, {"harvest", NULL, "so much a week", NULL},
                   {"just look", NULL, "no goal", NULL}}},
    [WG_ASK_GOAL_AMOUNT] = {"goal_amount", "How much a week?",
        "Of all larvae taken out, in the best week.", .is_free = true, .also = "for example 1 lb/week or 0.5 kg/week",
        .offered = "1 lb/week", .offered_metric = "0.5 kg/week", .applies = wants_harvest},
};
/* clang-format on */

/* ---- answers ---- */

void wg_answers_init(struct wg_answers *answers, int32_t today) {
    *answers = (struct wg_answers){.today = today, .latitude_deg = 40.0}; /* as offered */
}

const struct wg_question *wg_question(enum wg_question_id id) {
    return &questions[id];
}

bool wg_question_applies(const struct wg_answers *answers, enum wg_question_id id) {
    return questions[id].applies == NULL || questions[id].applies(answers);
}

int wg_question_from(const struct wg_answers *answers, int id) {
    while (id < WG_N_QUESTIONS && !wg_question_applies(answers, (enum wg_question_id)id))
        id++;
    return id;
}

int wg_question_before(const struct wg_answers *answers, int id) {
    do
        id--;
    while (id >= 0 && !wg_question_applies(answers, (enum wg_question_id)id));
    return id;
}

/* A sketch of a climate is offered at the latitudes it is meant for. */
static bool is_choice(const struct wg_answers *answers, enum wg_question_id id,
                      const struct wg_question_choice *choice) {
    const struct wg_sketch *const sketch = id == WG_ASK_CLIMATE ? wg_sketch_find(choice->word) : NULL;
    if (sketch != NULL)
        return wg_sketch_fits(sketch, answers->latitude_deg);
    return choice->applies == NULL || choice->applies(answers);
}

int wg_question_choices(const struct wg_answers *answers, enum wg_question_id id,
                        struct wg_question_choice out[WG_MAX_CHOICES]) {
    const bool metric = id != WG_ASK_UNITS && wg_answers_are_metric(answers);
    int n = 0;
    for (const struct wg_question_choice *choice = questions[id].choice; choice->word != NULL; choice++) {
        if (!is_choice(answers, id, choice))
            continue;
        out[n] = *choice;
        if (metric && choice->metric != NULL)
            out[n].word = choice->metric;
        n++;
    }
    return n;
}

void wg_question_offer(const struct wg_answers *answers, enum wg_question_id id, char out[WG_ANSWER_SIZE]) {
    const struct wg_question *const question = &questions[id];
    const bool metric = id != WG_ASK_UNITS && wg_answers_are_metric(answers);
    if (question->offer != NULL)
        question->offer(answers, out);
    else if (question->offered != NULL)
        offer_word(out, metric && question->offered_metric != NULL ? question->offered_metric : question->offered);
    else
        offer_word(out, question->choice[0].word);
}

void wg_answer(const struct wg_answers *answers, enum wg_question_id id, char out[WG_ANSWER_SIZE]) {
    if (answers->text[id][0] != '\0')
        (void)snprintf(out, WG_ANSWER_SIZE, "%s", answers->text[id]);
    else
        wg_question_offer(answers, id, out);
}

bool wg_answer_is(const struct wg_answers *answers, enum wg_question_id id, const char *word) {
    char answer[WG_ANSWER_SIZE];
    wg_answer(answers, id, answer);
    return strcmp(answer, word) == 0;
}
