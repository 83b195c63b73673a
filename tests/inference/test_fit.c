/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks that a fit learns known animals from their simulated logs, and says when it cannot. (How often its ranges hold:
 * tests/verify/fit_coverage.c.)
 */
#include "inference/animal_numbers.h"
#include "support/known_log.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static const struct wg_fit_options small = {.draws = 100, .per_draw = 2, .passes = 2, .threads = 2};

/* Makes the log of a jittered animal, which is none of the plausible ones. */
static void make_log(struct known_log *log, int weeks, int64_t k, struct wg_species *animal, struct wg_diary *truth) {
    struct wg_animal_numbers numbers;
    known_log_make(log, weeks, false);
    wg_animal_numbers_init(&numbers, &log->plan);
    cr_assert_eq(wg_animal_numbers_draw(&numbers, &log->plan, k, true, 7, animal, NULL), 0);
    known_log_fill(log, animal, (uint64_t)k, truth);
}

/* ---- what is shown ---- */

/*
 * One replicate, 2 kg: a keeper writes 2 kg with a lognormal error of sigma 0.25 after 20 g are added to both (log_entry.h), so
 * the range of 90 % is 2.02 exp(-+1.6449 x 0.25) - 0.02 (5 % point of the normal: 1.6449, any table). Its ends belong to it,
 * and so does nothing at all where nothing came, whose chance is a half.
 */
Test(fit, a_note_is_explained_within_the_range_of_its_error) {
    double simulated = 2;
    const struct wg_fit fit = {.n_entries = 1, .after = {.n = 1, .simulated = &simulated}};
    struct wg_log_entry note = {.kind = WG_LOG_CRAWL_OFF, .value = 2};
    struct wg_interval range, again;
    cr_expect(wg_fit_explains(&fit, &note, 0, false, &range));
    cr_expect_float_eq(range.low, 2.02 * exp(-1.6449 * 0.25) - 0.02, 1e-4);
    cr_expect_float_eq(range.high, 2.02 * exp(1.6449 * 0.25) - 0.02, 1e-4);
    const double inside[] = {range.low, range.high}, outside[] = {range.low - 1e-3, range.high + 1e-3};
    for (int i = 0; i < 2; i++) {
        note.value = inside[i];
        cr_expect(wg_fit_explains(&fit, &note, 0, false, &again), "%g", inside[i]);
        note.value = outside[i];
        cr_expect_not(wg_fit_explains(&fit, &note, 0, false, &again), "%g", outside[i]);
    }
    simulated = note.value = 0;
    cr_expect(wg_fit_explains(&fit, &note, 0, false, &range));
    cr_expect_eq(range.low, 0);
}

/* Only one of four replicates had flies, on day 49, so the median is "later"; quantiles of dates are linear (type 7). */
Test(fit, dates_that_did_not_happen_count_as_later) {
    static double outcome[WG_N_OUTCOMES * 4], sorting[4];
    const int first = WG_OUTCOME_first_adult_day;
    const struct wg_fit fit = {.after = {.n = 4, .outcome = outcome}, .sorting = sorting};
    for (int i = 0; i < 4; i++)
        outcome[first * 4 + i] = i == 0 ? 49 : (double)NAN;
    cr_expect_float_eq(wg_fit_happened(&fit, first, false), 0.25, 1e-15);
    cr_expect_eq(wg_fit_outcome(&fit, first, false, 0), 49);
    cr_expect(isinf(wg_fit_outcome(&fit, first, false, 0.5)));
}

/*
 * Only fresh prepupae are put in, so nobody flies on the day of the start and hundreds do three weeks later. Two of a hundred
 * entries about flies are wrong (log_entry.h): flies noted too early and none noted later are both such an error, and
 * deviate by 2.0537, the 2 % point of the normal distribution (any table), upwards and downwards. The two that agree do not deviate.
 */
Test(fit, flies_too_early_and_too_late_are_as_rare_as_an_error) {
    struct wg_plan plan;
    struct wg_fit fit;
    const struct wg_fit_options options = {.draws = 64, .per_draw = 2, .passes = 1, .threads = 2};
    plan_laboratory(&plan, 27, 24);
    plan.animals = WG_ANIMALS_PLAUSIBLE;
    plan_start(&plan, 0, WG_MOVABLE_PREPUPAE, 0, 5000);
    const int32_t start = plan.first_day, later = plan.first_day + 20;
    const struct wg_log_entry note[] = {{.kind = WG_LOG_ADULTS, .day = start, .since = start, .value = 1},
                                        {.kind = WG_LOG_ADULTS, .day = start, .since = start, .value = 0},
                                        {.kind = WG_LOG_ADULTS, .day = later, .since = later, .value = 0},
                                        {.kind = WG_LOG_ADULTS, .day = later, .since = later, .value = 1}};
    const double misfit[] = {2.0537, 0, -2.0537, 0};
    cr_assert_eq(wg_fit_run(&fit, &plan, note, 4, &options, NULL), 0);
    for (int i = 0; i < 4; i++)
        cr_expect_float_eq(fit.misfit[i], misfit[i], 1e-3, "note %d: %g, not %g", i, fit.misfit[i], misfit[i]);
    wg_fit_free(&fit);
    wg_plan_free(&plan);
}

/* Returns the day, from 0, by which this share of the futures before a log has had a fly. */
static int day_of_first_flies(const struct wg_fit *fit, int n_days, double share) {
    const double *const first = fit->before.outcome + WG_OUTCOME_first_adult_day * fit->before.n;
    for (int day = 0; day < n_days; day++) {
        int64_t n = 0;
        for (int64_t k = 0; k < fit->before.n; k++)
            n += first[k] <= day;
        if ((double)n >= share * (double)fit->before.n)
            return day;
    }
    return -1;
}

/*
 * A few prepupae: on which day the first flies are about is luck. A keeper who saw flies on a day when only one future in
 * seven has had any is believed: each future that is left had one by then, also where none of the animals has it often.
 */
Test(fit, flies_that_were_seen_are_in_every_future_that_is_left) {
    struct wg_plan plan;
    struct wg_fit fit;
    struct wg_interval range;
    const struct wg_fit_options options = {.draws = 128, .per_draw = 2, .passes = 1, .threads = 2};
    plan_laboratory(&plan, 27, 24);
    plan.animals = WG_ANIMALS_PLAUSIBLE;
    plan_start(&plan, 0, WG_MOVABLE_PREPUPAE, 0, 20);
    struct wg_log_entry seen = {.kind = WG_LOG_ADULTS, .day = plan.last_day, .since = plan.last_day, .value = 0};
    cr_assert_eq(wg_fit_run(&fit, &plan, &seen, 1, &options, NULL), 0);
    const int day = day_of_first_flies(&fit, 24, 0.15);
    wg_fit_free(&fit);
    cr_assert_geq(day, 0);
    seen = (struct wg_log_entry){WG_LOG_ADULTS, .day = plan.first_day + day, .since = plan.first_day + day, .value = 1};
    cr_assert_eq(wg_fit_run(&fit, &plan, &seen, 1, &options, NULL), 0);
    cr_assert(wg_fit_has_answer(&fit), "%ld agree", (long)fit.agree);
    cr_expect_eq(wg_fit_happened(&fit, WG_OUTCOME_first_adult_day, false), 1);
    cr_expect_leq(wg_fit_outcome(&fit, WG_OUTCOME_first_adult_day, false, 1), day);
    cr_expect_geq(wg_fit_now(&fit, wg_now_find(&fit.today, WG_NOW_STAGE, WG_NOW_ALL_FLIES), false, 0), 1);
    cr_expect(wg_fit_explains(&fit, &seen, 0, false, &range) && range.low >= 0.2, "the note is likely: %g", range.low);
    cr_expect(fit.after.n < fit.lived && fit.lived % (fit.per_draw) == 0);
    for (int64_t k = 0; k < fit.after.n; k++)
        cr_expect(fit.animal_of[k] >= 0 && fit.animal_of[k] < fit.agree);
    wg_fit_free(&fit);
    wg_plan_free(&plan);
}

/* ---- what is learnt ---- */

/* Checked by hand: 0.55 x 1 x 0.8 x 650 eggs in the laboratory under sun; lamps and an open place change the factors. */
Test(fit, eggs_per_fly_are_those_of_the_place) {
    struct wg_plan plan;
    plan_laboratory(&plan, 27, 10);
    struct wg_species *const s = &plan.species;
    s->female_share = 0.55;
    s->laying_share_sun = 0.8;
    s->laying_share_lamps = 0.4;
    s->stay_open = 0.25;
    s->clutch_low = 600;
    s->clutch_high = 700;
    cr_expect_float_eq(wg_learnt_value(WG_LEARNT_EGGS_PER_FLY, &plan, s), 0.55 * 0.8 * 650, 1e-9);
    plan.places[0].shelter.lamp_hours = 12;
    cr_expect_float_eq(wg_learnt_value(WG_LEARNT_EGGS_PER_FLY, &plan, s), 0.55 * 0.4 * 650, 1e-9);
    plan.places[0].shelter.lamp_hours = 0;
    plan.places[0].shelter.kind = WG_OUTDOORS;
    cr_expect_float_eq(wg_learnt_value(WG_LEARNT_EGGS_PER_FLY, &plan, s), 0.55 * 0.25 * 0.8 * 650, 1e-9);
    wg_plan_free(&plan);
}

/* Worked by hand: with a constant hazard below 10 degC that takes a hundredth a day, 0.99^28 of the prepupae live. */
Test(fit, shares_that_live_and_die_are_those_of_their_hazards) {
    struct wg_plan plan;
    plan_laboratory(&plan, 27, 10);
    struct wg_species *const s = &plan.species;
    double alive = 1;
    for (int stage = WG_CLOCK_EGG; stage <= WG_CLOCK_PUPA; stage++)
        alive *= exp(-s->hazard[stage] * wg_stage_days(s, (enum wg_clock_stage)stage, 27));
    cr_expect_float_eq(wg_learnt_value(WG_LEARNT_DEATHS, &plan, s), 1 - alive, 1e-9);
    s->freeze_c[WG_CLOCK_PREPUPA] = 10;
    s->freeze_hazard = 0;
    s->freeze_hazard = -log(0.99) - wg_hazard_in_the_cold(s, WG_CLOCK_PREPUPA, 2);
    cr_expect_float_eq(wg_learnt_value(WG_LEARNT_COLD, &plan, s), pow(0.99, 28), 1e-9);
    wg_plan_free(&plan);
}

static double width(const struct wg_fit *fit, enum wg_learnt learnt, bool before) {
    return wg_fit_learnt(fit, learnt, before, 0.95) - wg_fit_learnt(fit, learnt, before, 0.05);
}

/*
 * Ten weeks of an animal that is none of the plausible ones. The truth lies in the 99 % range of each thing learnt (five
 * things: a false alarm in one of twenty animals; fixed seed, an animal whose colony lives on). Ten weekly weights, each
 * with sigma 0.25, date the first crawl-off to about a day of the seven between plausible animals; at 27 degC nothing
 * tells of dormancy.
 */
Test(fit, learns_a_known_animal) {
    struct known_log log;
    struct wg_species animal;
    struct wg_diary truth;
    struct wg_fit fit;
    struct wg_error err = {0};
    const struct wg_fit_options options = {.draws = 200, .per_draw = 2, .passes = 3, .threads = 2};
    make_log(&log, 10, 5, &animal, &truth);
    cr_assert_eq(wg_fit_run(&fit, &log.plan, log.note, log.n, &options, &err), 0, "%s", err.text);
    cr_assert(wg_fit_has_answer(&fit), "%ld of %ld animals agree", (long)fit.agree, (long)fit.drawn);
    for (int i = 0; i < WG_N_LEARNT; i++) {
        const enum wg_learnt l = (enum wg_learnt)i;
        const double value = wg_learnt_value(l, &log.plan, &animal);
        const double low = wg_fit_learnt(&fit, l, false, 0.005), high = wg_fit_learnt(&fit, l, false, 0.995);
        cr_expect(low <= value && value <= high, "%s: %g not in %g to %g", wg_learnt_name(l), value, low, high);
    }
    cr_expect_lt(width(&fit, WG_LEARNT_LARVAL_DAYS, false), 0.5 * width(&fit, WG_LEARNT_LARVAL_DAYS, true));
    cr_expect_gt(width(&fit, WG_LEARNT_DORMANCY_HEAT, false), 0.7 * width(&fit, WG_LEARNT_DORMANCY_HEAT, true));
    int explained = 0;
    for (int i = 0; i < log.n; i++) {
        struct wg_interval range;
        explained += wg_fit_explains(&fit, log.note, i, false, &range);
    }
    /* 90 % ranges should cover nine in ten entries: fewer than 26 of 34 with probability 0.5 % */
    cr_expect_geq(explained, 26, "%d of %d explained", explained, log.n);
    const int crawl_off = wg_now_find(&fit.today, WG_NOW_REST_CRAWL, 0);
    const double range[2] = {wg_fit_now(&fit, crawl_off, false, 0.005), wg_fit_now(&fit, crawl_off, false, 0.995)};
    const double value = wg_now_value(&fit.today, crawl_off, &truth);
    cr_expect(range[0] <= value && value <= range[1], "still to come: %g not in %g to %g", value, range[0], range[1]);
    wg_fit_free(&fit);
    wg_diary_free(&truth);
    wg_plan_free(&log.plan);
}

/* A number that the plan gives stays; the same answer from any number of threads. */
Test(fit, given_numbers_stay_and_threads_do_not_matter) {
    struct known_log log;
    struct wg_species animal;
    struct wg_diary truth;
    struct wg_fit fit[2];
    make_log(&log, 4, 5, &animal, &truth);
    log.plan.species.final_mass_g = 0.2;
    log.plan.is_given[wg_parameter_index(wg_species_find("final_mass"))] = true;
    for (int i = 0; i < 2; i++) {
        struct wg_fit_options options = small;
        options.threads = 1 + 2 * i;
        cr_assert_eq(wg_fit_run(&fit[i], &log.plan, log.note, log.n, &options, NULL), 0);
    }
    cr_assert_eq(fit[0].agree, fit[1].agree);
    cr_expect_eq(wg_fit_learnt(&fit[0], WG_LEARNT_GRUB_MASS, true, 0.05), 0.2);
    if (fit[0].agree > 0) {
        cr_expect_eq(wg_fit_learnt(&fit[0], WG_LEARNT_GRUB_MASS, false, 0.95), 0.2);
        const size_t outcomes = (size_t)fit[0].after.n * WG_N_OUTCOMES * sizeof(double);
        cr_expect_eq(memcmp(fit[0].after.outcome, fit[1].after.outcome, outcomes), 0);
    }
    for (int i = 0; i < 2; i++)
        wg_fit_free(&fit[i]);
    wg_diary_free(&truth);
    wg_plan_free(&log.plan);
}

/* What holds before the log does not depend on the log. */
Test(fit, before_the_log_is_before_the_log) {
    struct known_log log;
    struct wg_species animal;
    struct wg_diary truth;
    struct wg_fit fit[2];
    make_log(&log, 4, 6, &animal, &truth);
    for (int i = 0; i < 2; i++) {
        struct wg_fit_options options = small;
        options.passes = 1;
        cr_assert_eq(wg_fit_run(&fit[i], &log.plan, log.note, log.n, &options, NULL), 0);
        for (int k = 0; k < log.n; k++) /* a different log: half the harvest */
            log.note[k].value *= log.note[k].kind == WG_LOG_CRAWL_OFF ? 0.5 : 1;
    }
    cr_assert_eq(fit[0].before.n, fit[1].before.n);
    cr_expect_eq(
        memcmp(fit[0].before.outcome, fit[1].before.outcome, (size_t)fit[0].before.n * WG_N_OUTCOMES * sizeof(double)),
        0);
    for (int i = 0; i < 2; i++)
        wg_fit_free(&fit[i]);
    wg_diary_free(&truth);
    wg_plan_free(&log.plan);
}

/* A log that no animal explains, 50 times the harvest: no answer. Of one note with a slip of the decimal point: that note. */
Test(fit, says_when_the_log_cannot_be) {
    struct known_log log;
    struct wg_species animal;
    struct wg_diary truth;
    struct wg_fit fit;
    int slip = 0;
    make_log(&log, 8, 4, &animal, &truth);
    for (int i = 0; i < log.n; i++)
        if (log.note[i].kind == WG_LOG_CRAWL_OFF && log.note[i].value > log.note[slip].value)
            slip = i;
    log.note[slip].value *= 100;
    cr_assert_eq(wg_fit_run(&fit, &log.plan, log.note, log.n, &small, NULL), 0);
    cr_expect_not(wg_fit_has_answer(&fit), "%ld agree", (long)fit.agree);
    for (int i = 0; i < log.n; i++)
        cr_expect(i == slip || fabs(fit.misfit[i]) < fabs(fit.misfit[slip]), "note %d lies farther off", i);
    wg_fit_free(&fit);
    log.note[slip].value /= 100;
    for (int i = 0; i < log.n; i++)
        log.note[i].value *= log.note[i].kind == WG_LOG_CRAWL_OFF ? 50 : 1;
    cr_assert_eq(wg_fit_run(&fit, &log.plan, log.note, log.n, &small, NULL), 0);
    cr_expect_not(wg_fit_has_answer(&fit), "%ld agree", (long)fit.agree);
    wg_fit_free(&fit);
    wg_diary_free(&truth);
    wg_plan_free(&log.plan);
}
