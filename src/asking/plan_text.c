/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Writes the plan part by part, in the order of wintergrub help scenario.
 *
 * Numbers that no question asks are common practice: a ramp catches 80 % of the crawl-off, six eggs of ten are laid in
 * traps, lamps take 100 W.
 */
#include "asking/plan_text.h"

#include "base/calendar.h"
#include "climate/sketch.h"

#include <stdio.h>
#include <string.h>

#define MOST_BINS 4

/* The bins of a place in which the larvae live all the time or in a season of each year. */
struct stay {
    bool is_inside; /* where they are carried into for the winter */
    const char *season;
};

struct plan_writer {
    const struct wg_answers *answers;
    struct wg_bytes *out;
    char from[WG_ANSWER_SIZE], to[WG_ANSWER_SIZE];
    int n_bins, n_stays;
    struct stay stay[2];
    bool goes_in, goes_back; /* a move of that kind is in the period */
};

/* ---- values ---- */

static bool is_plain_scalar(const char *text) {
    static const char plain[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789 .%$/-";
    return text[0] != '\0' && strchr(" %-", text[0]) == NULL && strspn(text, plain) == strlen(text);
}

static void write_scalar(struct wg_bytes *out, const char *text) {
    if (is_plain_scalar(text)) {
        wg_bytes_put(out, text);
        return;
    }
    wg_bytes_put(out, "\"");
    for (; *text != '\0'; text++) {
        if (*text == '"' || *text == '\\')
            wg_bytes_put(out, "\\");
        wg_bytes_add(out, text, 1);
    }
    wg_bytes_put(out, "\"");
}

/* Writes the text before the answer, and the answer. */
static void write_answered(struct plan_writer *writer, const char *before, enum wg_question_id id) {
    char answer[WG_ANSWER_SIZE];
    wg_answer(writer->answers, id, answer);
    wg_bytes_put(writer->out, before);
    write_scalar(writer->out, answer);
}

static bool writer_has(const struct plan_writer *writer, enum wg_question_id id, const char *word) {
    return wg_question_applies(writer->answers, id) && wg_answer_is(writer->answers, id, word);
}

static bool is_south(const struct plan_writer *writer) {
    return writer->answers->latitude_deg < 0;
}

/* ---- time ---- */

/* The day before the same day so many months later. */
static int32_t last_day_ahead(int32_t first, int months) {
    struct wg_date date = wg_date_from_day(first);
    date.year += (date.month - 1 + months) / 12;
    date.month = (date.month - 1 + months) % 12 + 1;
    const int month_days = wg_month_length(date.year, date.month);
    date.day = date.day < month_days ? date.day : month_days;
    return wg_day_from_date(date) - 1;
}

static int months_ahead(const struct wg_answers *answers) {
    static const struct {
        const char *length;
        int months;
    } known[] = {{"6 months", 6}, {"1 year", 12}, {"14 months", 14}, {"2 years", 24}};
    int months = 12;
    for (size_t i = 0; i < sizeof known / sizeof *known; i++)
        if (wg_answer_is(answers, WG_ASK_LENGTH, known[i].length))
            months = known[i].months;
    return months;
}

/* Larvae go in on 1 November and back on 15 April, in the south half a year later. */
static const char *day_of_move(const struct plan_writer *writer, bool is_in) {
    const bool south = is_south(writer);
    return is_in ? (south ? "05-01" : "11-01") : south ? "10-15" : "04-15";
}

static bool is_winter(const struct plan_writer *writer, int32_t day) {
    const struct wg_season north = {wg_season_index(wg_day_from_date((struct wg_date){2027, 11, 1})),
                                    wg_season_index(wg_day_from_date((struct wg_date){2027, 4, 14}))};
    const struct wg_season south = {wg_season_index(wg_day_from_date((struct wg_date){2027, 5, 1})),
                                    wg_season_index(wg_day_from_date((struct wg_date){2027, 10, 14}))};
    return wg_season_contains(is_south(writer) ? south : north, day);
}

/* Finds the places in which they live in the period, the first one first, and the moves between them. */
static void find_stays(struct plan_writer *writer, int32_t first, int32_t last) {
    const bool moves_in = wg_answers_move_in(writer->answers), south = is_south(writer);
    const char *const inside = south ? ", from: 05-01, to: 10-14" : ", from: 11-01, to: 04-14";
    const char *const outside = south ? ", from: 10-15, to: 04-30" : ", from: 04-15, to: 10-31";
    bool was_inside = moves_in && is_winter(writer, first);
    writer->n_stays = 1;
    writer->stay[0] = (struct stay){was_inside, was_inside ? inside : outside};
    for (int32_t day = first + 1; moves_in && day <= last; day++) {
        const bool is_inside = is_winter(writer, day);
        if (is_inside != was_inside && writer->n_stays < 2)
            writer->stay[writer->n_stays++] = (struct stay){is_inside, is_inside ? inside : outside};
        writer->goes_in |= is_inside && !was_inside;
        writer->goes_back |= !is_inside && was_inside;
        was_inside = is_inside;
    }
    if (writer->n_stays == 1)
        writer->stay[0].season = "";
}

/* A first day that is no date is left to the reader, which says so. */
static void set_period(struct plan_writer *writer) {
    int32_t first;
    wg_answer(writer->answers, WG_ASK_START, writer->from);
    (void)snprintf(writer->to, sizeof writer->to, "%s", writer->from);
    if (wg_day_parse(writer->from, &first) < 0 || first > WG_DAY_LAST - 2000)
        return;
    const int32_t last = last_day_ahead(first, months_ahead(writer->answers));
    wg_day_format(last, writer->to);
    find_stays(writer, first, last);
}

/* A comment for those who use the commands, or another for those who use the page. */
static void write_remark(struct plan_writer *writer, const char *for_commands, const char *for_page) {
    wg_bytes_put(writer->out, writer->answers->is_on_page ? for_page : for_commands);
}

/* ---- climate ---- */

static void write_sketch(struct plan_writer *writer) {
    char answer[WG_ANSWER_SIZE];
    wg_answer(writer->answers, WG_ASK_CLIMATE, answer);
    write_answered(writer, "  sketch: ", WG_ASK_CLIMATE);
    wg_bytes_put(writer->out, "\n");
    const struct wg_sketch *const sketch = wg_sketch_find(answer);
    if (sketch != NULL && sketch->is_coast)
        wg_bytes_put(writer->out, "  coast: yes\n");
}

static void write_climate(struct plan_writer *writer) {
    struct wg_bytes *const out = writer->out;
    const bool has_record = wg_answers_have_record(writer->answers);
    if (has_record)
        wg_bytes_put(out, "# The forecast draws years from the record.\n");
    else
        write_remark(writer,
                     "# An invented climate of this kind, for a first look. Better are normals of your own:\n"
                     "# wintergrub new --normals FILE makes them from a daily record.\n",
                     "# An invented climate of this kind, for a first look. Better is a daily record of your own,\n"
                     "# or the mean high and low of each month: \"Your place\" takes both.\n");
    write_answered(writer, "climate:\n  latitude: ", WG_ASK_LATITUDE);
    write_answered(writer, "\n  elevation: ", WG_ASK_ELEVATION);
    wg_bytes_put(out, "\n");
    if (!has_record) {
        write_sketch(writer);
    } else {
        write_answered(writer, "  record: ", WG_ASK_CLIMATE);
        wg_bytes_put(out, "\n");
    }
    wg_bytes_put(out, "\n");
}

/* ---- places ---- */

/* Returns the name of bin i outdoors or where they live all year. */
static const char *bin_name(const struct plan_writer *writer, int i) {
    static const char *const names[MOST_BINS] = {"bin 1", "bin 2", "bin 3", "bin 4"};
    return writer->n_bins == 1 ? "bin" : names[i];
}

static bool starts_outdoors(const struct plan_writer *writer) {
    return wg_answer_is(writer->answers, WG_ASK_SHELTER, "outdoors");
}

static const char *place_name(const struct plan_writer *writer) {
    return starts_outdoors(writer) ? "yard" : wg_answers_house(writer->answers);
}

static void write_price(struct plan_writer *writer) {
    if (!writer_has(writer, WG_ASK_PRICE, "unknown"))
        write_answered(writer, ", price: ", WG_ASK_PRICE);
}

static void write_heat_season(struct plan_writer *writer) {
    const bool south = is_south(writer);
    if (wg_answers_move_in(writer->answers))
        wg_bytes_put(writer->out, south ? ", from: 05-01, to: 10-14" : ", from: 11-01, to: 04-14");
    else if (writer_has(writer, WG_ASK_HEAT_SEASON, "winter"))
        wg_bytes_put(writer->out, south ? ", from: 04-01, to: 10-31" : ", from: 10-01, to: 04-30");
}

/* Writes the rest of a heater or mat. */
static void write_heater(struct plan_writer *writer, const char *before) {
    write_answered(writer, before, WG_ASK_SET_POINT);
    write_answered(writer, ", power: ", WG_ASK_POWER);
    write_price(writer);
    write_heat_season(writer);
    wg_bytes_put(writer->out, "}");
}

static void write_bin(struct plan_writer *writer, const char *name) {
    wg_bytes_printf(writer->out, "      - {name: %s", name);
    write_answered(writer, ", volume: ", WG_ASK_VOLUME);
    write_answered(writer, ", insulation: ", WG_ASK_INSULATION);
    if (writer_has(writer, WG_ASK_HEAT, "mat"))
        write_heater(writer, ",\n         mat: {set_point: ");
    wg_bytes_put(writer->out, "}\n");
}

static void write_lamps(struct plan_writer *writer) {
    if (writer_has(writer, WG_ASK_LAMPS, "none"))
        return;
    write_answered(writer, ",\n              lamps: {hours: ", WG_ASK_LAMPS);
    wg_bytes_put(writer->out, ", power: 100 W");
    write_price(writer);
    if (wg_answers_move_in(writer->answers))
        write_heat_season(writer);
    wg_bytes_put(writer->out, "}");
}

static void write_house(struct plan_writer *writer) {
    wg_bytes_printf(writer->out, "    housing: {kind: %s", wg_answers_house(writer->answers));
    if (wg_question_applies(writer->answers, WG_ASK_FLOOR))
        write_answered(writer, ", floor: ", WG_ASK_FLOOR);
    else if (!writer_has(writer, WG_ASK_WARMTH, "like the soil"))
        write_answered(writer, ", temperature: ", WG_ASK_WARMTH);
    write_lamps(writer);
    wg_bytes_put(writer->out, "}\n");
    if (wg_question_applies(writer->answers, WG_ASK_SET_POINT) && !writer_has(writer, WG_ASK_HEAT, "mat")) {
        write_heater(writer, "    heater: {set_point: ");
        wg_bytes_put(writer->out, "\n");
    }
}

static void write_places(struct plan_writer *writer) {
    struct wg_bytes *const out = writer->out;
    wg_bytes_put(out, "# More bins go below the first, each with a name of its own.\nplaces:\n");
    wg_bytes_printf(out, "  - name: %s\n", place_name(writer));
    if (starts_outdoors(writer))
        wg_bytes_put(out, "    housing: outdoors\n");
    else
        write_house(writer);
    wg_bytes_put(out, "    bins:\n");
    for (int i = 0; i < writer->n_bins; i++)
        write_bin(writer, bin_name(writer, i));
    if (wg_answers_move_in(writer->answers)) {
        wg_bytes_printf(out, "  - name: %s\n", wg_answers_house(writer->answers));
        write_house(writer);
        wg_bytes_put(out, "    bins:\n");
        write_bin(writer, "trough");
    }
    wg_bytes_put(out, "\n");
}

/* ---- animals and feed ---- */

/* True if the text is a number of animals; anything else is read as a weight. */
static bool is_count(const char *text) {
    return text[0] != '\0' && strspn(text, "0123456789,.-+ ") == strlen(text);
}

/* Writes "bin", "all" or "[bin 1, bin 2]": the bins of a stay. */
static void write_bins_of(struct plan_writer *writer, const struct stay *stay) {
    if (stay->is_inside)
        wg_bytes_put(writer->out, "trough");
    else if (writer->n_bins == 1)
        wg_bytes_put(writer->out, "bin");
    else if (!wg_answers_move_in(writer->answers))
        wg_bytes_put(writer->out, "all");
    else
        for (int i = 0; i < writer->n_bins; i++)
            wg_bytes_printf(writer->out, "%s%s%s", i == 0 ? "[" : ", ", bin_name(writer, i),
                            i + 1 == writer->n_bins ? "]" : "");
}

static void write_starter(struct plan_writer *writer) {
    static const char *const stages[][2] = {{"larvae", "larva, age: 5 days"}, {"eggs", "egg"}, {"prepupae", "prepupa"}};
    const bool inside = writer->stay[0].is_inside;
    const char *stage = NULL;
    char number[WG_ANSWER_SIZE];
    for (size_t i = 0; i < sizeof stages / sizeof *stages; i++)
        if (wg_answer_is(writer->answers, WG_ASK_STAGE, stages[i][0]))
            stage = stages[i][1];
    if (stage == NULL)
        return;
    wg_answer(writer->answers, WG_ASK_NUMBER, number);
    wg_bytes_put(writer->out, "starter:\n");
    for (int i = 0; i < (inside ? 1 : writer->n_bins); i++) {
        wg_bytes_put(writer->out, "  - {on: ");
        write_scalar(writer->out, writer->from);
        wg_bytes_printf(writer->out, ", in: %s, stage: %s, %s: ", inside ? "trough" : bin_name(writer, i), stage,
                        is_count(number) ? "count" : "weight");
        write_scalar(writer->out, number);
        wg_bytes_put(writer->out, "}\n");
    }
    wg_bytes_put(writer->out, "\n");
}

static void write_feeding(struct plan_writer *writer) {
    write_remark(writer, "# \"wintergrub run --calendar\" shows how much they could eat in every week.\n",
                 "# \"The work\" shows how much they could eat in every week.\n");
    wg_bytes_put(writer->out, "feeding:\n");
    for (int s = 0; s < writer->n_stays; s++) {
        wg_bytes_put(writer->out, "  - {in: ");
        write_bins_of(writer, &writer->stay[s]);
        write_answered(writer, ", what: ", WG_ASK_FEED);
        write_answered(writer, ", amount: ", WG_ASK_AMOUNT);
        if (wg_question_applies(writer->answers, WG_ASK_AT_MOST) && !writer_has(writer, WG_ASK_AT_MOST, "no limit"))
            write_answered(writer, ", at most: ", WG_ASK_AT_MOST);
        write_answered(writer, ", every: ", WG_ASK_EVERY);
        wg_bytes_printf(writer->out, "%s}\n", writer->stay[s].season);
    }
    wg_bytes_put(writer->out, "\n");
}

/* ---- work ---- */

static void write_ramps(struct plan_writer *writer) {
    const bool many = writer->n_bins > 1 || wg_answers_move_in(writer->answers);
    wg_bytes_printf(writer->out, "  - {do: collect crawl-off, in: %s, share: 80 %%", many ? "all" : "bin");
    write_answered(writer, ", give_back: ", WG_ASK_BACK);
    wg_bytes_put(writer->out, "}\n");
}

static void write_scoops(struct plan_writer *writer, const struct stay *stay) {
    wg_bytes_put(writer->out, "  - {do: scoop larvae, in: ");
    write_bins_of(writer, stay);
    wg_bytes_put(writer->out, ", every: 7 days");
    write_answered(writer, ", amount: ", WG_ASK_SCOOP);
    wg_bytes_printf(writer->out, "%s}\n", stay->season);
}

static void write_traps(struct plan_writer *writer, const struct stay *stay) {
    wg_bytes_printf(
        writer->out,
        "  - {do: pull traps, in: %s, every: before they hatch, put_in: %s, share_laid_in_traps: 60 %%%s}\n",
        stay->is_inside ? wg_answers_house(writer->answers) : place_name(writer),
        stay->is_inside ? "trough" : bin_name(writer, 0), stay->season);
}

static void write_moves(struct plan_writer *writer) {
    if (writer->goes_in)
        wg_bytes_printf(writer->out, "  - {do: move, on: %s, from: yard, to: trough, what: everything}\n",
                        day_of_move(writer, true));
    if (writer->goes_back)
        wg_bytes_printf(writer->out, "  - {do: move, on: %s, from: trough, to: %s, what: everything}\n",
                        day_of_move(writer, false), bin_name(writer, 0));
}

static void write_keeping(struct plan_writer *writer) {
    const struct wg_answers *const answers = writer->answers;
    const bool ramps = wg_question_applies(answers, WG_ASK_BACK), scoops = wg_question_applies(answers, WG_ASK_SCOOP);
    const bool traps = wg_answer_is(answers, WG_ASK_TRAPS, "yes");
    if (!ramps && !scoops && !traps && writer->n_stays < 2)
        return;
    write_remark(writer, "# More of this: \"wintergrub help scenario keeping\".\n",
                 "# \"All values\" has more of this.\n");
    wg_bytes_put(writer->out, "keeping:\n");
    write_moves(writer);
    if (ramps)
        write_ramps(writer);
    for (int s = 0; s < writer->n_stays; s++) {
        if (scoops)
            write_scoops(writer, &writer->stay[s]);
        if (traps)
            write_traps(writer, &writer->stay[s]);
    }
    wg_bytes_put(writer->out, "\n");
}

/* ---- the rest ---- */

static void write_wild(struct plan_writer *writer) {
    const bool many = writer_has(writer, WG_ASK_WILD, "many");
    if (many || writer_has(writer, WG_ASK_WILD, "a few") || writer_has(writer, WG_ASK_STAGE, "wild flies"))
        wg_bytes_printf(
            writer->out,
            "# Wild females that come to lay, at the peak of summer.\nwild_visitors: {peak: %d per day}\n\n",
            many ? 10 : 2);
}

static void write_goal(struct plan_writer *writer) {
    if (wg_answer_is(writer->answers, WG_ASK_GOAL, "just look"))
        return;
    write_remark(writer, "# What you want, and how surely. \"wintergrub size\" finds the smallest starter for it.\n",
                 "# What you want, and how surely. \"How many to start?\" finds the smallest starter for it.\n");
    wg_bytes_put(writer->out, "goal:\n");
    if (wg_answer_is(writer->answers, WG_ASK_GOAL, "survive"))
        wg_bytes_put(writer->out, "  - {survive: yes, chance: 90 %}\n");
    else {
        write_answered(writer, "  - {harvest: ", WG_ASK_GOAL_AMOUNT);
        wg_bytes_put(writer->out, ", chance: 80 %}\n");
    }
    wg_bytes_put(writer->out, "\n");
}

static void write_head(struct plan_writer *writer) {
    write_remark(writer,
                 "# Made with wintergrub new; change what you like. \"wintergrub check\" shows how the plan\n"
                 "# is understood, \"wintergrub help scenario\" lists all that a plan may hold.\n",
                 "# Made with the page of wintergrub; change what you like. \"All values\" lists all that a plan\n"
                 "# may hold.\n");
    write_answered(writer, "title: ", WG_ASK_NAME);
    wg_bytes_put(writer->out, "\n\nperiod: {from: ");
    write_scalar(writer->out, writer->from);
    wg_bytes_put(writer->out, ", to: ");
    write_scalar(writer->out, writer->to);
    wg_bytes_put(writer->out, "}     # both days included\n\n");
}

void wg_plan_text(const struct wg_answers *answers, struct wg_bytes *out) {
    char bins[WG_ANSWER_SIZE];
    struct plan_writer writer = {.answers = answers, .out = out, .n_stays = 1};
    wg_answer(answers, WG_ASK_BINS, bins);
    writer.n_bins = bins[0] >= '1' && bins[0] <= '0' + MOST_BINS ? bins[0] - '0' : 1;
    set_period(&writer);
    write_head(&writer);
    write_climate(&writer);
    write_places(&writer);
    write_starter(&writer);
    write_feeding(&writer);
    write_keeping(&writer);
    write_wild(&writer);
    write_goal(&writer);
    wg_bytes_put(out, "forecast: {replicates: 512, seed: 1}\n");
}
