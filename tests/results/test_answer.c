/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks answer files: a round trip for each outcome, and the messages for other files.
 */
#include "base/calendar.h"
#include "data/size_sentences.h"
#include "results/answer_file.h"
#include "results/comparison_file.h"
#include "results/hand_made.h"
#include "results/result_file.h"
#include "support/plans.h"
#include "text/goal_text.h"

#include <math.h>

static struct case_ {
    char folder[64], path[128];
    struct wg_scenario scenario;
    struct wg_error err;
} it;

static void begin(void) {
    memset(&it, 0, sizeof it);
    hand_made_scenario(&it.scenario);
    it.scenario.plan.n_goals = 2;
    for (int g = 0; g < 2; g++)
        it.scenario.plan.goal[g] = (struct wg_goal){
            .kind = g == 0 ? WG_GOAL_SURVIVE : WG_GOAL_COST, .by = it.scenario.plan.last_day, .weeks = 1, .amount = 90};
    fresh_folder(it.folder);
    (void)snprintf(it.path, sizeof it.path, "%s/a.h5", it.folder);
}

static void end(void) {
    clear_folder(it.folder);
    hand_made_scenario_free(&it.scenario);
}

TestSuite(answer, .init = begin, .fini = end);

static struct wg_size_question question_of(bool largest) {
    return (struct wg_size_question){.n_goals = 2,
                                     .wanted = {0.9, 0.8},
                                     .low = 2,
                                     .high = 8,
                                     .geometric = true,
                                     .largest = largest,
                                     .confidence = 0.95};
}

static struct wg_size size_of(enum wg_size_outcome outcome) {
    const double none = (double)NAN;
    struct wg_size size = {
        .outcome = outcome,
        .enough = 8,
        .too_little = 4,
        .number = {.about = 5.5, .low = 4.6, .high = 6.6, .luckier = 3.2, .harder = 7.1, .goal = 1, .fits = true},
        .curve = {{1.1, 2, 1, 2, 8, 0.5, 0.3}, {1.7, 3, 0.9, 2, 8, none, 0.4}},
        .low = 2,
        .high = 8,
        .n_points = 3,
        .best = 2,
        .falls_from = none,
        .falls_to = none,
        .replicates = 600};
    for (int i = 0; i < 3; i++)
        size.point[i] = (struct wg_size_point){.value = 2 << i,
                                               .n = 100 * (i + 1),
                                               .hits = {30 * (i + 1) + 10 * i, 99},
                                               .verdict = (enum wg_verdict[]){WG_NO, WG_UNDECIDED, WG_YES}[i]};
    if (outcome == WG_SIZE_IMPOSSIBLE)
        size.enough = size.number.about = size.number.low = size.number.high = none;
    if (outcome == WG_SIZE_NOT_MONOTONE) {
        size.enough = size.too_little = size.number.about = none;
        size.falls_from = 2;
        size.falls_to = 4;
        size.falls_goal = 1;
    }
    return size;
}

static void write_answer(const struct wg_vary *vary, const struct wg_size_question *question,
                         const struct wg_size *size) {
    struct wg_answer_file *file;
    const struct wg_answer answer = {.kind = WG_ANSWER_SIZE,
                                     .scenario = &it.scenario,
                                     .provenance = &hand_made_provenance,
                                     .text = "8 is enough",
                                     .as.size = {vary, question, size}};
    cr_assert_eq(wg_answer_file_create(&file, it.path, 1, &it.err), 0, "%s", it.err.text);
    cr_assert_eq(wg_answer_file_close(file, &answer, &it.err), 0, "%s", it.err.text);
}

static void open_answer(struct wg_answer_data *data) {
    struct wg_stored_file stored;
    cr_assert_eq(wg_stored_open(&stored, it.path, &it.err), 0, "%s", it.err.text);
    cr_assert_eq(wg_answer_data_take(data, &stored, &it.err), 0, "%s", it.err.text);
    cr_expect_null(stored.h5, "the answer owns the open file now");
}

static bool same(double a, double b) {
    return isnan(a) ? isnan(b) : fabs(a - b) <= 0;
}

Test(answer, size_round_trip) {
    for (int outcome = WG_SIZE_FOUND; outcome <= WG_SIZE_NOT_MONOTONE; outcome++) {
        const struct wg_vary vary = {
            .path = "feeding.1.amount", .subject = "feeding 1: amount", .unit = " lb/day", .value = 3};
        const struct wg_size_question question = question_of(outcome == WG_SIZE_ALREADY);
        const struct wg_size size = size_of((enum wg_size_outcome)outcome);
        struct wg_answer_data data = {0};
        struct wg_answer_size back;
        write_answer(&vary, &question, &size);
        open_answer(&data);
        cr_expect_eq(data.kind, WG_ANSWER_SIZE);
        cr_expect_str_eq(data.text, "8 is enough");
        cr_expect_str_eq(data.inputs.scenario_text, hand_made_text);
        cr_expect_eq(data.inputs.record_size, strlen(hand_made_record));
        cr_expect_eq(data.in.seed, hand_made_provenance.seed);
        cr_assert_eq(wg_answer_data_size(&data, &back, &it.err), 0, "%s", it.err.text);
        cr_expect_str_eq(back.vary.path, vary.path);
        cr_expect_str_eq(back.vary.unit, vary.unit);
        cr_expect_str_eq(back.vary.subject, vary.subject);
        cr_expect_not(back.vary.is_date);
        cr_expect_eq(back.question.n_goals, 2);
        cr_expect_eq(back.question.largest, question.largest);
        cr_expect_eq(back.question.geometric, true);
        cr_expect(same(back.question.wanted[1], 0.8) && same(back.question.confidence, 0.95));
        cr_expect_eq((int)back.size.outcome, outcome);
        cr_expect(same(back.size.enough, size.enough) && same(back.size.too_little, size.too_little));
        cr_expect(same(back.size.number.about, size.number.about) && same(back.size.number.low, size.number.low) &&
                  same(back.size.number.high, size.number.high) && same(back.size.number.luckier, 3.2) &&
                  same(back.size.number.harder, 7.1) && back.size.number.goal == 1 && back.size.number.fits);
        cr_expect(same(back.size.curve[0].crossing, 1.1) && same(back.size.curve[1].slope, 3) &&
                  same(back.size.curve[1].top, 0.9) && isnan(back.size.curve[1].spread) &&
                  same(back.size.curve[0].fit, 0.3) && same(back.size.curve[0].from, 2));
        cr_expect(same(back.size.falls_from, size.falls_from));
        cr_expect(back.size.best == size.best && back.size.falls_goal == size.falls_goal);
        cr_expect_eq(back.size.replicates, 600);
        for (int i = 0; i < 3; i++)
            cr_expect(same(back.size.point[i].value, size.point[i].value) && back.size.point[i].n == size.point[i].n &&
                          memcmp(back.size.point[i].hits, size.point[i].hits, sizeof size.point[i].hits) == 0 &&
                          back.size.point[i].verdict == size.point[i].verdict,
                      "outcome %d, point %d", outcome, i);
        char goal[WG_GOAL_SENTENCE_SIZE];
        wg_goal_text(&it.scenario.plan.goal[1], "", goal);
        cr_expect_str_eq(back.goal[1], goal);
        wg_answer_data_free(&data);
    }
}

/* Wilson 1927 in Brown, Cai & DasGupta 2001, Stat. Sci. 16:101; 45 of 50 by the formula: 0.7864 to 0.9565. */
Test(answer, stores_wilson_intervals) {
    const struct wg_vary vary = {.path = "starter.1.count", .value = 3, .step = 1};
    struct wg_size_question question = question_of(false);
    struct wg_size size = size_of(WG_SIZE_FOUND);
    question.n_goals = 1;
    size.point[1].n = 50;
    size.point[1].hits[0] = 45;
    write_answer(&vary, &question, &size);
    struct wg_answer_data data = {0};
    const struct wg_h5_shape shape = {2, {3, 1}};
    void *low, *high;
    open_answer(&data);
    cr_assert_eq(wg_stored_values(wg_answer_file_of(&data), "wilson_low", WG_H5_REAL, &shape, &low, &it.err), 0);
    cr_assert_eq(wg_stored_values(wg_answer_file_of(&data), "wilson_high", WG_H5_REAL, &shape, &high, &it.err), 0);
    cr_expect_float_eq(((double *)low)[1], 0.7864, 5e-5);
    cr_expect_float_eq(((double *)high)[1], 0.9565, 5e-5);
    free(low);
    free(high);
    wg_answer_data_free(&data);
}

Test(answer, size_of_a_date_round_trip) {
    const struct wg_vary vary = {.path = "starter.1.on", .is_date = true, .value = 20711, .step = 1};
    const struct wg_size_question question = question_of(false);
    const struct wg_size size = size_of(WG_SIZE_FOUND);
    struct wg_answer_data data = {0};
    struct wg_answer_size back;
    write_answer(&vary, &question, &size);
    open_answer(&data);
    cr_assert_eq(wg_answer_data_size(&data, &back, &it.err), 0, "%s", it.err.text);
    cr_expect(back.vary.is_date);
    char shown[WG_VARY_SHOWN_SIZE];
    wg_vary_show(&back.vary, back.vary.value, shown);
    cr_expect_str_eq(shown, "2026-09-15");
    wg_answer_data_free(&data);
}

Test(answer, equal_answers_have_equal_bytes) {
    const struct wg_vary vary = {.path = "starter.1.count", .value = 3, .step = 1};
    const struct wg_size_question question = question_of(false);
    const struct wg_size size = size_of(WG_SIZE_FOUND);
    size_t n, m;
    write_answer(&vary, &question, &size);
    char *const first = bytes_of(it.path, &n);
    write_answer(&vary, &question, &size);
    char *const second = bytes_of(it.path, &m);
    cr_expect(n == m && memcmp(first, second, n) == 0);
    free(first);
    free(second);
}

/* Other readers reject an answer, and its reader rejects other files. */
Test(answer, rejects_other_files) {
    const struct wg_vary vary = {.path = "starter.1.count", .value = 3, .step = 1};
    const struct wg_size_question question = question_of(false);
    const struct wg_size size = size_of(WG_SIZE_FOUND);
    struct wg_stored_file stored;
    struct wg_answer_data data = {0};
    write_answer(&vary, &question, &size);
    cr_assert_eq(wg_stored_open(&stored, it.path, &it.err), 0);
    cr_expect_eq(stored.kind, WG_STORED_ANSWER);
    cr_expect_eq(wg_stored_expect(&stored, WG_STORED_COMPARISON, &it.err), WG_ERR_FORMAT);
    cr_expect_not_null(strstr(it.err.text, "This is not a comparison"), "%s", it.err.text);
    it.err = (struct wg_error){0};
    cr_expect_eq(wg_stored_expect(&stored, WG_STORED_RESULT, &it.err), WG_ERR_FORMAT);
    cr_expect_not_null(strstr(it.err.text, "This is an answer"), "%s", it.err.text);
    wg_stored_free(&stored);
    struct wg_answer_file *file;
    it.err = (struct wg_error){0};
    cr_expect_eq(wg_answer_file_create(&file, it.path, 0, &it.err), WG_ERR_EXISTS);
    cr_expect_null(file);
    put_bytes(it.path, "date,what\n", 10);
    it.err = (struct wg_error){0};
    cr_expect_eq(wg_stored_open(&stored, it.path, &it.err), WG_ERR_FORMAT);
    wg_stored_free(&stored);
    (void)wg_answer_data_take(&data, &stored, &it.err); /* no file is open: an error */
    wg_answer_data_free(&data);
}

/* Kilograms and pounds, Celsius and Fahrenheit; values with one unit appear once. */
Test(answer, shows_values_in_both_units) {
    const struct {
        const char *unit;
        double value;
        const char *shown;
    } cases[] = {{" lb/day", 5, "5 lb/day (2.27 kg/day)"},
                 {" degF", 68, "68 degF (20 degC)"},
                 {" degC", 20, "20 degC (68 degF)"},
                 {"", 12, "12"},
                 {" kW", 5, "5 kW"},
                 {" per kWh", 0.15, "0.15 per kWh"},
                 {"", 8705, "8,705"},
                 {" lb", 12500, "12,500 lb (5,670 kg)"},
                 {" g", 100, "100 g (3.53 oz)"},
                 {" gal", 40, "40 gal (151 L)"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct wg_vary vary = {.path = "x"};
        char shown[2 * WG_VARY_SHOWN_SIZE];
        strcpy(vary.unit, cases[i].unit);
        wg_vary_show_both(&vary, cases[i].value, shown);
        cr_expect_str_eq(shown, cases[i].shown, "%s", shown);
    }
    const struct wg_vary day = {.is_date = true};
    char shown[2 * WG_VARY_SHOWN_SIZE];
    wg_vary_show_both(&day, wg_day_from_date((struct wg_date){2026, 11, 8}), shown);
    cr_expect_str_eq(shown, "8 November 2026");
}

/* Each outcome has its own sentence; the number is rounded to what its interval bears, outwards at the ends. */
Test(answer, has_a_sentence_for_each_outcome) {
    const struct wg_vary vary = {.path = "starter.1.count", .subject = "larvae to start with", .value = 3, .step = 1};
    const char *const sentences[] = {
        "Larvae to start with: about 6 (4 to 7). Over the luckier half of plausible animals "
        "about 3, over the harder half about 7. Goal 2 decides; goal 1 alone needs about 3. "
        "Surely enough is 8, surely not 4.",
        "Larvae to start with: 8 is enough, and nothing smaller was tried (see --between).",
        "Larvae to start with: no value from 2 to 8 is enough. The best chance was 33 %, at 8.",
        "More replicates (--at-most) would narrow it down.",
        "Larvae to start with: 8 is the best of those tried, but more is not always better."};
    for (int outcome = WG_SIZE_FOUND; outcome <= WG_SIZE_NOT_MONOTONE; outcome++) {
        const struct wg_size_question question = question_of(false);
        const struct wg_size size = size_of((enum wg_size_outcome)outcome);
        char text[WG_SIZE_TEXT], headline[WG_SIZE_TEXT];
        wg_size_text(&vary, &question, &size, text);
        wg_size_headline(&vary, &question, &size, headline);
        cr_expect_not_null(strstr(text, sentences[outcome]), "%s", text);
        cr_expect_eq(strncmp(text, headline, strlen(headline)), 0, "%s", text);
    }
}

/* 19,133 (17,020 to 21,430) is shown to a thousand, 9,394 (9,280 to 9,512) to a hundred. */
Test(answer, rounds_a_number_to_its_interval) {
    const struct {
        double about, low, high;
        const char *words;
    } cases[] = {{19133, 17020, 21430, ": about 19,000 (17,000 to 22,000)"},
                 {9394, 9280, 9512, ": about 9,400 (9,200 to 9,600)"},
                 {0.7341, 0.7108, 0.758, ": about 0.73 (0.71 to 0.76)"}};
    const struct wg_size_question question = question_of(false);
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const struct wg_vary vary = {.path = "x", .subject = "x"};
        struct wg_size size = size_of(WG_SIZE_FOUND);
        char text[WG_SIZE_TEXT];
        size.number.about = cases[i].about;
        size.number.low = cases[i].low;
        size.number.high = cases[i].high;
        wg_size_headline(&vary, &question, &size, text);
        cr_expect_not_null(strstr(text, cases[i].words), "%s", text);
    }
}
