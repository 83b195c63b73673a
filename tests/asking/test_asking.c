/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Every way through the questions of wintergrub new leads to a plan that the reader of plans accepts; wrong answers are
 * refused with a line to copy; a question fits a terminal of 80 by 24.
 */
#include "asking/answer.h"
#include "asking/plan_text.h"
#include "asking/template.h"
#include "base/calendar.h"
#include "plan/feed.h"
#include "scenario/scenario.h"

#include <criterion/criterion.h>
#include <gsl/gsl_rng.h>
#include <string.h>

#define TODAY 20787 /* 30 November 2026 */

/* What keepers might write where a question takes more than its choices. */
static const struct {
    enum wg_question_id id;
    const char *texts[6];
} free_answers[] = {
    {WG_ASK_NAME,
     {"My flies", "Bins: \"old\" & #new {x}",
      "Gr\xc3\xbc\xc3\x9f"
      "e",
      "- dash", "yes", "'"}},
    {WG_ASK_WARMTH, {"80 degF", "22 degC", "30degC", "like the soil", "27 C", "-5 degC"}},
    {WG_ASK_LATITUDE, {"40 N", "34.5 S", "0 degrees", "66 N", "51 degrees north", "15 S"}},
    {WG_ASK_ELEVATION, {"0 ft", "100 m", "-20 m", "5000 ft", "6000 m", "12 m"}},
    {WG_ASK_FLOOR, {"64 ft2", "20 m2", "1 m2", "2000 ft2", "6 m2", "100 ft2"}},
    {WG_ASK_SET_POINT, {"78 degF", "10 degC", "-10 degC", "45 degC", "22 degC", "60 degF"}},
    {WG_ASK_POWER, {"60 W", "5 kW", "17000 Btu/h", "0 W", "1500 W", "1 W"}},
    {WG_ASK_LAMPS, {"none", "12 hours", "24 hours", "0 hours", "9 hours", "14.5 hours"}},
    {WG_ASK_PRICE, {"$0.15 per kWh", "0.3 per kWh", "0 per kWh", "unknown", "15 ct per kWh", "EUR 0.30 per kWh"}},
    {WG_ASK_VOLUME, {"40 gal", "150 L", "1 L", "20000 L", "5 gal", "1 m3"}},
    {WG_ASK_INSULATION, {"none", "1 in", "0 mm", "50 mm", "500 mm", "2 in"}},
    {WG_ASK_START, {"2027-05-01", "2028-02-29", "2026-11-01", "2027-04-15", "2027-12-31", "1999-01-01"}},
    {WG_ASK_NUMBER, {"10000", "1 lb", "0.5 kg", "1", "0", "250 g"}},
    {WG_ASK_FEED, {"fish offal", "bread", "chicken manure", "cardboard", "pet food", "hay"}},
    {WG_ASK_AMOUNT, {"3 lb", "1.5 kg", "0 lb", "100 g", "20 lb/week", "2 oz"}},
    {WG_ASK_AT_MOST, {"3 lb", "no limit", "0 lb", "100 g", "1.5 kg", "2 oz"}},
    {WG_ASK_EVERY, {"1 day", "3 days", "2 weeks", "1 week", "10 days", "365 days"}},
    {WG_ASK_BACK, {"0 %", "10 %", "100 %", "33.3 %", "25%", "1 %"}},
    {WG_ASK_SCOOP, {"1 lb", "0.5 kg", "100 g", "0 kg", "2 lb", "1 oz"}},
    {WG_ASK_GOAL_AMOUNT, {"1 lb/week", "0.5 kg/week", "1 kg/day", "0 lb/week", "100 g/day", "2 lb/week"}},
};

static const char *free_answer(enum wg_question_id id, unsigned long k) {
    for (size_t i = 0; i < sizeof free_answers / sizeof *free_answers; i++)
        if (free_answers[i].id == id)
            return free_answers[i].texts[k % 6];
    return "";
}

static void check_is_accepted(const struct wg_answers *answers, const char *what) {
    struct wg_bytes text = {0};
    struct wg_scenario scenario = {0};
    struct wg_mistakes mistakes = {0};
    struct wg_error err = {0};
    wg_plan_text(answers, &text);
    const int code = wg_scenario_read_text(&scenario, "plan.yaml", text.data, text.size, NULL, 0, &mistakes, &err);
    cr_expect_eq(code, 0, "%s: %s\n%s", what, mistakes.n > 0 ? mistakes.items[0].message : err.text, text.data);
    wg_bytes_free(&text);
    wg_mistakes_free(&mistakes);
    wg_scenario_free(&scenario);
}

/* Answers with a value; one that is refused leaves what is offered. */
static void answer_with_value(struct wg_answers *answers, enum wg_question_id id, const char *text) {
    char message[WG_ANSWER_MESSAGE];
    if (wg_answer_read(answers, id, text, "plan.yaml", message) == 0)
        return;
    cr_expect_eq(wg_answer_read(answers, id, "", "plan.yaml", message), 0, "%s: what is offered: %s",
                 wg_question(id)->name, message);
}

/* Answers with a choice, or a value where that is possible. Choices are only read at the end, with the plan. */
static void answer_at_random(struct wg_answers *answers, enum wg_question_id id, const gsl_rng *rng) {
    struct wg_question_choice choice[WG_MAX_CHOICES];
    const int n = wg_question_choices(answers, id, choice);
    const unsigned long k = gsl_rng_get(rng);
    if (wg_question(id)->is_free && (n == 0 || k % 2 == 0))
        answer_with_value(answers, id, free_answer(id, k / 2));
    else if (n > 0)
        (void)snprintf(answers->text[id], WG_ANSWER_SIZE, "%s", choice[k / 2 % (unsigned long)n].word);
}

Test(asking, random_ways_lead_to_plans) {
    gsl_rng *const rng = gsl_rng_alloc(gsl_rng_taus2);
    gsl_rng_set(rng, 19);
    int asked[WG_N_QUESTIONS] = {0};
    for (int session = 0; session < 200; session++) {
        struct wg_answers answers;
        wg_answers_init(&answers, TODAY);
        for (int id = wg_question_from(&answers, 0); id < WG_N_QUESTIONS; id = wg_question_from(&answers, id + 1)) {
            answer_at_random(&answers, (enum wg_question_id)id, rng);
            asked[id]++;
        }
        check_is_accepted(&answers, "random answers");
    }
    for (int id = 0; id < WG_N_QUESTIONS; id++)
        cr_expect(asked[id] > 0, "\"%s\" was never asked", wg_question((enum wg_question_id)id)->name);
    gsl_rng_free(rng);
}

Test(asking, templates_and_offers_are_plans) {
    struct wg_answers answers;
    wg_answers_init(&answers, TODAY);
    check_is_accepted(&answers, "all as offered");
    for (int i = 0; wg_template_at(i) != NULL; i++) {
        wg_answers_init(&answers, TODAY);
        wg_template_answer(wg_template_at(i), &answers);
        check_is_accepted(&answers, wg_template_at(i)->name);
    }
}

/* ---- single answers ---- */

static struct wg_answers answers_with(enum wg_question_id id, const char *text) {
    struct wg_answers answers;
    wg_answers_init(&answers, TODAY);
    (void)snprintf(answers.text[id], WG_ANSWER_SIZE, "%s", text);
    return answers;
}

static const char *refusal(struct wg_answers *answers, enum wg_question_id id, const char *text) {
    static char message[WG_ANSWER_MESSAGE];
    const struct wg_answers before = *answers;
    cr_expect_eq(wg_answer_read(answers, id, text, "plan.yaml", message), 1, "%s", text);
    cr_expect_eq(memcmp(&before, answers, sizeof before), 0, "%s has changed the answers", text);
    return message;
}

#define REFUSES(answers, id, text, words)                                                                              \
    cr_expect_not_null(strstr(refusal(answers, id, text), words), "%s: %s", text, refusal(answers, id, text))

Test(asking, wrong_answers_get_a_line_to_copy) {
    struct wg_answers answers = answers_with(WG_ASK_SHELTER, "shed"), room = answers_with(WG_ASK_SHELTER, "room");
    (void)snprintf(answers.text[WG_ASK_HEAT], WG_ANSWER_SIZE, "room heater");
    REFUSES(&answers, WG_ASK_SET_POINT, "70", "Did you mean 70 degF?");
    REFUSES(&room, WG_ASK_WARMTH, "68", "Did you mean 68 degF?");
    REFUSES(&answers, WG_ASK_LATITUDE, "38", "Did you mean 38 N?");
    REFUSES(&answers, WG_ASK_LATITUDE, "80 N", "between 66 S and 66 N");
    REFUSES(&answers, WG_ASK_CLIMATE, "hot and humit", "Did you mean \"hot and humid\"?");
    REFUSES(&answers, WG_ASK_CLIMATE, "warm coast", "meant for 0 to 30 degrees");
    REFUSES(&answers, WG_ASK_CLIMATE, "nowhere.csv", "nowhere.csv");
    REFUSES(&answers, WG_ASK_SHELTER, "basement", "is none of these");
    REFUSES(&answers, WG_ASK_SHELTER, "z", "is none of these");
    REFUSES(&answers, WG_ASK_SHELTER, "greenhose", "Did you mean \"greenhouse\"?");
    REFUSES(&answers, WG_ASK_PRICE, "0.15", "Did you mean $0.15 per kWh?");
    REFUSES(&answers, WG_ASK_VOLUME, "40", "Did you mean 40 gal?");
    REFUSES(&answers, WG_ASK_VOLUME, "40 lb", "40 lb");
    REFUSES(&answers, WG_ASK_AMOUNT, "3", "Did you mean 3 lb?");
    REFUSES(&answers, WG_ASK_NUMBER, "5,000", "without a comma");
    REFUSES(&answers, WG_ASK_START, "May 1", "year-month-day");
    REFUSES(&answers, WG_ASK_START, "2027-02-30", "no such day");
    REFUSES(&answers, WG_ASK_BACK, "10", "Did you mean 10 %?");
    REFUSES(&answers, WG_ASK_EVERY, "twice a day", "write for example");
    REFUSES(&answers, WG_ASK_NAME, "a\tb", "one short line");
    REFUSES(&answers, WG_ASK_NAME, "a\x1b[2J", "plain text");
    REFUSES(&answers, WG_ASK_NAME, "\xff", "plain text");
}

Test(asking, choices_by_letter_word_and_beginning) {
    struct wg_answers answers;
    char message[WG_ANSWER_MESSAGE];
    wg_answers_init(&answers, TODAY);
    const char *const ways[] = {"b", "B", " hoop house ", "Hoop House", "hoop"};
    for (size_t i = 0; i < sizeof ways / sizeof *ways; i++) {
        answers.text[WG_ASK_SHELTER][0] = '\0';
        cr_expect_eq(wg_answer_read(&answers, WG_ASK_SHELTER, ways[i], NULL, message), 0, "%s: %s", ways[i], message);
        cr_expect_str_eq(answers.text[WG_ASK_SHELTER], "hoop house");
    }
}

/* Earlier answers may change: what then does not fit is asked again, not kept. */
Test(asking, later_answers_do_not_spoil_earlier_ones) {
    struct wg_answers answers = answers_with(WG_ASK_CLIMATE, "cold inland");
    char message[WG_ANSWER_MESSAGE];
    cr_expect_eq(wg_answer_read(&answers, WG_ASK_LATITUDE, "5 N", NULL, message), 0, "%s", message);
    cr_expect_eq(wg_answer_read(&answers, WG_ASK_CLIMATE, "", NULL, message), 1);
    cr_expect_eq(wg_answer_read(&answers, WG_ASK_CLIMATE, "warm coast", NULL, message), 0, "%s", message);
}

/* The south has its winter in July: the offered start and the days of the move are half a year later. */
Test(asking, southern_seasons) {
    struct wg_answers answers = answers_with(WG_ASK_WINTER, "in a shed");
    char message[WG_ANSWER_MESSAGE], start[WG_ANSWER_SIZE];
    struct wg_bytes text = {0};
    cr_expect_eq(wg_answer_read(&answers, WG_ASK_LATITUDE, "34 S", NULL, message), 0, "%s", message);
    wg_question_offer(&answers, WG_ASK_START, start);
    cr_expect_str_eq(start, "2027-11-01");
    wg_plan_text(&answers, &text);
    cr_expect_not_null(strstr(text.data, "move, on: 05-01, from: yard, to: trough, what: everything"));
    cr_expect_not_null(strstr(text.data, "move, on: 10-15, from: trough, to: bin, what: everything"));
    cr_expect_not_null(strstr(text.data, "from: 05-01, to: 10-14"));
    wg_bytes_free(&text);
}

/* Cuts every comment out of a plan. */
static void cut_comments(char *text) {
    char *to = text;
    for (const char *from = text; *from != '\0';)
        if (*from == '#')
            from += strcspn(from, "\n");
        else
            *to++ = *from++;
    *to = '\0';
}

/* A keeper with the page alone is not sent to a command; the plan itself is the same. */
Test(asking, page_names_no_command) {
    struct wg_answers answers = answers_with(WG_ASK_SHELTER, "shed");
    struct wg_bytes terminal = {0}, page = {0};
    wg_plan_text(&answers, &terminal);
    answers.is_on_page = true;
    wg_plan_text(&answers, &page);
    cr_expect_not_null(strstr(terminal.data, "\"wintergrub check\""));
    cr_expect_null(strstr(page.data, "\"wintergrub"), "%s", page.data);
    cr_expect_null(strstr(page.data, "wintergrub new"), "%s", page.data);
    cut_comments(terminal.data);
    cut_comments(page.data);
    cr_expect_str_eq(page.data, terminal.data);
    for (int id = 0; id < WG_N_QUESTIONS; id++) {
        const struct wg_question *const question = wg_question((enum wg_question_id)id);
        const char *const help = question->help_on_page != NULL ? question->help_on_page : question->help;
        cr_expect_null(strstr(help, "wintergrub"), "%s", help);
    }
    wg_bytes_free(&terminal);
    wg_bytes_free(&page);
}

/* ---- the table ---- */

Test(asking, questions_fit_a_terminal) {
    struct wg_answers answers;
    wg_answers_init(&answers, TODAY);
    for (int id = 0; id < WG_N_QUESTIONS; id++) {
        const struct wg_question *const question = wg_question((enum wg_question_id)id);
        struct wg_bytes shown = {0};
        int lines = 3; /* an empty one, the prompt, the answer */
        cr_expect_not_null(question->name);
        cr_expect(strlen(question->ask) <= 50 && question->ask[strlen(question->ask) - 1] == '?', "%s", question->ask);
        cr_expect_eq(question->help[strlen(question->help) - 1], '.', "%s", question->help);
        wg_question_show(&answers, (enum wg_question_id)id, id + 1, &shown);
        for (const char *line = shown.data; *line != '\0'; lines++) {
            const size_t n = strcspn(line, "\n");
            cr_expect(n <= 79, "%s", line);
            line += n + 1;
        }
        cr_expect(lines <= 15, "\"%s\" has %d lines", question->name, lines);
        wg_bytes_free(&shown);
    }
}

Test(asking, feeds_are_known) {
    for (const struct wg_question_choice *choice = wg_question(WG_ASK_FEED)->choice; choice->word != NULL; choice++)
        cr_expect(wg_feed_find(choice->word) >= 0, "%s", choice->word);
}
