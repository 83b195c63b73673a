/*
 * Checks that a fit recovers known parameters from a simulated log.
 */
#include "analysis/fit.h"
#include "colony/plan.h"
#include "support/known_log.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- small parts ---- */

/* Weighted quantiles against counting by hand. */
Test(fit, weighted_quantiles) {
    const double values[] = {3, 1, (double)NAN, 2}, weights[] = {0.2, 0.5, 0.1, 0.2};
    cr_expect_eq(wg_weighted_quantile(values, weights, 4, 0.5), 1); /* 0.5 of a total of 0.9 is more than half */
    cr_expect_eq(wg_weighted_quantile(values, weights, 4, 0.6), 2);
    cr_expect_eq(wg_weighted_quantile(values, weights, 4, 0.99), 3);
    cr_expect_eq(wg_weighted_quantile(values, NULL, 4, 0.5), 2);
    cr_expect(isnan(wg_weighted_quantile(values + 2, weights, 1, 0.5)));
}

/* Systematic resampling gives each draw its expected count, rounded up or down (Kitagawa 1996). */
Test(fit, resampling_is_systematic) {
    struct wg_fit_draw draw[] = {{.weight = 0.05}, {.weight = 0.6}, {.weight = 0}, {.weight = 0.35}};
    const struct wg_fit fit = {.n = 4, .draw = draw};
    int64_t got[100];
    int count[4] = {0};
    wg_fit_resample(&fit, 0.37, 100, got);
    for (int i = 0; i < 100; i++)
        count[got[i]]++;
    for (int i = 0; i < 4; i++)
        cr_expect(abs(count[i] - (int)round(100 * draw[i].weight)) <= 1, "%d times %d", count[i], i);
}

Test(fit, factors_change_the_numbers_they_name) {
    struct wg_species before, after;
    cr_assert_eq(wg_species_set(&before, "keepers"), 0);
    after = before;
    wg_fit_parameter_apply(&after, (const double[WG_N_FIT_PARAMETERS]){1.1, 1.2, 2, 3, 0.5});
    cr_expect_float_eq(after.rate[WG_CLOCK_LARVA].a, 1.1 * before.rate[WG_CLOCK_LARVA].a, 1e-12);
    cr_expect_float_eq(after.final_mass_g, 1.2 * before.final_mass_g, 1e-12);
    cr_expect_float_eq(after.hazard[WG_CLOCK_PUPA], 2 * before.hazard[WG_CLOCK_PUPA], 1e-12);
    cr_expect_eq(after.laying_share_sun, 1, "more than all cannot lay");
    cr_expect_float_eq(after.dorm_heat_median, 0.5 * before.dorm_heat_median, 1e-9);
}

/* The likelihood of an entry has its maximum at the true value, which is also its median. */
Test(fit, notes_are_likeliest_at_the_truth) {
    struct wg_log_entry note = {.kind = WG_LOG_CRAWL_OFF, .value = 2};
    cr_expect_eq(wg_log_entry_log_chance(&note, 2), 0);
    cr_expect_lt(wg_log_entry_log_chance(&note, 2.2), 0);
    cr_expect_float_eq(wg_log_entry_below(&note, 2), 0.5, 1e-12);
    note = (struct wg_log_entry){.kind = WG_LOG_ADULTS, .value = 0};
    cr_expect_float_eq(exp(wg_log_entry_log_chance(&note, 0.9)), 0.1, 1e-12);
}

/*
 * One draw, 2 kg: a keeper writes 2 kg with a lognormal error of sigma 0.25 after 20 g are added to both (log_entry.h), so
 * the range of 90 % is 2.02 exp(-+1.6449 x 0.25) - 0.02 (5 % point of the normal: 1.6449, any table). Its ends belong to it,
 * and so does nothing at all where nothing came, whose chance is a half.
 */
Test(fit, a_note_is_explained_within_the_range_of_its_error) {
    double simulated = 2;
    struct wg_fit_draw draw = {.weight = 1};
    const struct wg_fit fit = {.n = 1, .draw = &draw, .simulated = &simulated, .n_entries = 1};
    struct wg_log_entry note = {.kind = WG_LOG_CRAWL_OFF, .value = 2};
    struct wg_interval range, again;
    cr_expect(wg_fit_explains(&fit, &note, 0, &range));
    cr_expect_float_eq(range.low, 2.02 * exp(-1.6449 * 0.25) - 0.02, 1e-4);
    cr_expect_float_eq(range.high, 2.02 * exp(1.6449 * 0.25) - 0.02, 1e-4);
    const double inside[] = {range.low, range.high}, outside[] = {range.low - 1e-3, range.high + 1e-3};
    for (int i = 0; i < 2; i++) {
        note.value = inside[i];
        cr_expect(wg_fit_explains(&fit, &note, 0, &again), "%g", inside[i]);
        note.value = outside[i];
        cr_expect_not(wg_fit_explains(&fit, &note, 0, &again), "%g", outside[i]);
    }
    simulated = note.value = 0;
    cr_expect(wg_fit_explains(&fit, &note, 0, &range));
    cr_expect_eq(range.low, 0);
}

/* ---- a log with known parameters ---- */

static int find_outcome(const char *name) {
    int i = 0;
    while (strcmp(wg_diary_outcomes()[i].name, name) != 0)
        i++;
    return i;
}

static double log_width(const struct wg_fit *fit, enum wg_fit_parameter fitted) {
    return log(wg_fit_quantile(fit, fitted, 0.975) / wg_fit_quantile(fit, fitted, 0.025));
}

/* Larvae 12 % faster and 25 % lighter than in the plan; half as many females lay. */
Test(fit, finds_known_numbers_again) {
    const double factor[WG_N_FIT_PARAMETERS] = {1.12, 0.75, 1.2, 0.8, 1};
    struct known_log log;
    struct wg_fit fit;
    struct wg_error err = {0};
    known_log_make(&log);
    known_log_write(&log, factor, 3);
    const struct wg_fit_options options = {.draws = 200, .per_draw = 16, .most_rounds = 8, .threads = 2};
    cr_assert_eq(wg_fit_run(&fit, &log.plan, log.note, log.n, &options, &err), 0, "%s", err.text);
    cr_log_info("effective draws %.0f of %ld, temper %.2f, %d rounds, %ld replicates", fit.effective, (long)fit.n,
                fit.temper, fit.rounds, (long)fit.replicates);
    /* of the command's 500 draws that would be WG_FIT_DEGENERATE, below which it warns */
    cr_expect_gt((double)fit.effective / (double)fit.n, WG_FIT_DEGENERATE / 500);
    for (int i = 0; i < WG_N_FIT_PARAMETERS; i++) {
        const enum wg_fit_parameter f = (enum wg_fit_parameter)i;
        /* 99 %: five parameters, so a false alarm in one of twenty logs; tests/verify/fit_coverage.c checks the coverage */
        const double low = wg_fit_quantile(&fit, f, 0.005), high = wg_fit_quantile(&fit, f, 0.995);
        cr_log_info("%s: %.3f to %.3f, truth %.3f", wg_fit_parameter_name(f), low, high, factor[i]);
        cr_expect(low <= factor[i] && factor[i] <= high, "%s: %g not in %g to %g", wg_fit_parameter_name(f), factor[i],
                  low, high);
    }
    /*
     * The log is informative about speed and mass. Six weeks of crawl-off, each with sigma 0.25, give log mass to
     * 0.25 / sqrt(6) = 0.10; background mortality adds 0.06: 0.12 against a prior sigma of 0.19, or 0.6 of the
     * width; 0.7 leaves a margin for chance. At 27 degC it is not informative about dormancy.
     */
    const double z = 2 * 1.96;
    cr_expect_lt(log_width(&fit, WG_FIT_LARVA_RATE), 0.5 * z * wg_fit_parameter_prior_sigma(WG_FIT_LARVA_RATE));
    cr_expect_lt(log_width(&fit, WG_FIT_LARVA_MASS), 0.7 * z * wg_fit_parameter_prior_sigma(WG_FIT_LARVA_MASS));
    cr_expect_gt(log_width(&fit, WG_FIT_DORMANCY), 0.7 * z * wg_fit_parameter_prior_sigma(WG_FIT_DORMANCY));
    const int crawl_off = find_outcome("total_crawl_off_mass");
    const double before = wg_fit_outcome(&fit, crawl_off, true, 0.95) - wg_fit_outcome(&fit, crawl_off, true, 0.05);
    const double after = wg_fit_outcome(&fit, crawl_off, false, 0.95) - wg_fit_outcome(&fit, crawl_off, false, 0.05);
    cr_expect_lt(after, 0.8 * before, "%g of %g kg", after, before);
    int explained = 0;
    for (int i = 0; i < log.n; i++) {
        struct wg_interval range;
        explained += wg_fit_explains(&fit, log.note, i, &range);
    }
    /* 90 % ranges should cover nine in ten entries: fewer than 26 of 34 with probability 0.5 % */
    cr_expect_geq(explained, 26, "%d of %d explained", explained, log.n);
    wg_fit_free(&fit);
    wg_plan_free(&log.plan);
}

/* The prior forecast does not depend on the log. */
Test(fit, before_the_log_is_before_the_log) {
    struct known_log log;
    struct wg_fit fit[2];
    known_log_make(&log);
    known_log_write(&log, (const double[WG_N_FIT_PARAMETERS]){1, 1, 1, 1, 1}, 5);
    const struct wg_fit_options options = {.draws = 100, .per_draw = 4, .most_rounds = 1, .threads = 2};
    for (int i = 0; i < 2; i++) {
        cr_assert_eq(wg_fit_run(&fit[i], &log.plan, log.note, log.n, &options, NULL), 0);
        for (int k = 0; k < log.n; k++) /* a different log: half the harvest */
            log.note[k].value *= log.note[k].kind == WG_LOG_CRAWL_OFF ? 0.5 : 1;
    }
    const size_t size = (size_t)(fit[0].n_before * fit[0].n_outcomes) * sizeof *fit[0].before;
    cr_assert_eq(fit[0].n_before, fit[1].n_before);
    cr_expect_eq(memcmp(fit[0].before, fit[1].before, size), 0);
    for (int i = 0; i < 2; i++)
        wg_fit_free(&fit[i]);
    wg_plan_free(&log.plan);
}

/* A log that no parameters explain, 50 times the harvest: the effective sample size must show it. */
Test(fit, says_when_the_log_cannot_be) {
    struct known_log log;
    struct wg_fit fit;
    known_log_make(&log);
    known_log_write(&log, (const double[WG_N_FIT_PARAMETERS]){1, 1, 1, 1, 1}, 4);
    for (int i = 0; i < log.n; i++)
        if (log.note[i].kind == WG_LOG_CRAWL_OFF)
            log.note[i].value *= 50;
    const struct wg_fit_options options = {.draws = 100, .per_draw = 1, .most_rounds = 2, .threads = 2};
    cr_assert_eq(wg_fit_run(&fit, &log.plan, log.note, log.n, &options, NULL), 0);
    int explained = 0;
    for (int i = 0; i < log.n; i++) {
        struct wg_interval range;
        explained += wg_fit_explains(&fit, log.note, i, &range);
    }
    cr_log_info("an impossible log: effective draws %.1f, temper %.3f, %d of %d explained", fit.effective, fit.temper,
                explained, log.n);
    cr_expect(fit.effective < WG_FIT_DEGENERATE || fit.temper < 1);
    wg_fit_free(&fit);
    wg_plan_free(&log.plan);
}

/* Only one of four draws had flies, on day 49, so the median is "later". */
Test(fit, dates_that_did_not_happen_count_as_later) {
    int first = 0;
    while (strcmp(wg_diary_outcomes()[first].name, "first_adult_day") != 0)
        first++;
    double outcome[64 * 4], before[64 * 4];
    struct wg_fit_draw draw[4];
    struct wg_weighted_value sorting[4];
    struct wg_fit fit = {.n = 4, .n_before = 4, .draw = draw, .outcome = outcome, .before = before, .sorting = sorting};
    fit.n_outcomes = first + 1;
    cr_assert_lt(first, 64);
    for (int i = 0; i < 4; i++) {
        draw[i] = (struct wg_fit_draw){.weight = i == 0 ? 0.4 : 0.2};
        outcome[first * 4 + i] = before[first * 4 + i] = i == 0 ? 49 : (double)NAN;
    }
    cr_expect_float_eq(wg_fit_happened(&fit, first, true), 0.25, 1e-15);
    cr_expect_float_eq(wg_fit_happened(&fit, first, false), 0.4, 1e-15);
    cr_expect_eq(wg_fit_outcome(&fit, first, false, 0.05), 49);
    cr_expect(isinf(wg_fit_outcome(&fit, first, false, 0.5)));
    cr_expect(isinf(wg_fit_outcome(&fit, first, true, 0.5)));
}

/* A laying share of 0.8 has a maximum factor of 1/0.8: larger factors have the same effect. */
Test(fit, factors_are_shown_as_they_act) {
    struct wg_plan plan;
    plan_outdoors(&plan, 10);
    const double share = plan.species.laying_share_sun;
    cr_expect_float_eq(wg_fit_parameter_max(&plan, WG_FIT_LAYING), 1 / share, 1e-12);
    struct wg_fit_draw draw = {.weight = 1};
    struct wg_weighted_value sorting[1];
    struct wg_fit fit = {.n = 1, .draw = &draw, .sorting = sorting};
    draw.factor[WG_FIT_LAYING] = 1.58;
    fit.most[WG_FIT_LAYING] = wg_fit_parameter_max(&plan, WG_FIT_LAYING);
    cr_expect_float_eq(wg_fit_quantile(&fit, WG_FIT_LAYING, 0.5), 1 / share, 1e-12);
    /* under lamps in one of the places fewer lay, so that the factor acts for longer */
    plan_add_place(&plan, WG_SHED);
    plan.places[1].shelter.lamp_hours = 12;
    cr_expect_float_eq(wg_fit_parameter_max(&plan, WG_FIT_LAYING), 1 / plan.species.laying_share_lamps, 1e-12);
    wg_plan_free(&plan);
}
