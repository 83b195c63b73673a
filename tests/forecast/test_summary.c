/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks summaries of outcomes: quantiles against R's default (type 7 of Hyndman & Fan 1996, Am. Stat. 50:361), computed
 * by hand.
 */
#include "forecast/summary.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <math.h>

TestSuite(summary);

static struct wg_error err;

struct fixture {
    struct wg_plan plan;
    struct wg_summary summary;
    struct wg_diary diary;
    struct wg_observer observer;
};

static void open_fixture(struct fixture *fixture, int64_t replicates) {
    plan_laboratory(&fixture->plan, 27, 20);
    cr_assert_eq(wg_summary_init(&fixture->summary, &fixture->plan, replicates, &err), 0, "%s", err.text);
    cr_assert_eq(wg_diary_init(&fixture->diary, &fixture->plan, &err), 0, "%s", err.text);
    fixture->observer = wg_summary_observer(&fixture->summary);
}

static void close_fixture(struct fixture *fixture) {
    wg_diary_free(&fixture->diary);
    wg_summary_free(&fixture->summary);
    wg_plan_free(&fixture->plan);
}

static void show(struct fixture *fixture, double crawl_off_kg, double first_adult_day, double survived) {
    fixture->diary.total_crawl_off_mass = crawl_off_kg;
    fixture->diary.first_adult_day = first_adult_day;
    fixture->diary.survived = survived;
    cr_assert_eq(fixture->observer.on_replicate(fixture->observer.self, fixture->summary.n, &fixture->diary, &err), 0);
}

static void assert_spread(const struct wg_spread *spread, const double q[5]) {
    const double got[] = {spread->q05, spread->q25, spread->q50, spread->q75, spread->q95};
    for (int i = 0; i < 5; i++)
        cr_assert(got[i] == q[i] || fabs(got[i] - q[i]) < 1e-12, "quantile %d: %g, not %g", i, got[i], q[i]);
}

Test(summary, gives_quantiles_and_mean) {
    static const double kg[] = {3, 1, 4, 1, 5, 9, 2, 6, 5, 3};
    struct fixture fixture;
    struct wg_spread spread;
    open_fixture(&fixture, 10);
    for (int i = 0; i < 10; i++)
        show(&fixture, kg[i], 0, 1);
    cr_assert_eq(wg_summary_spread(&fixture.summary, WG_OUTCOME_total_crawl_off_mass, &spread), 0);
    cr_assert_eq(spread.n, 10);
    cr_assert_eq(spread.happened, 10);
    cr_assert_float_eq(spread.mean, 3.9, 1e-12);
    assert_spread(&spread, (const double[]){1, 2.25, 3.5, 5, 7.65});
    close_fixture(&fixture);
}

Test(summary, takes_what_did_not_happen_for_later_than_all) {
    static const double day[] = {NAN, 12, NAN, 10, 11};
    struct fixture fixture;
    struct wg_spread spread;
    open_fixture(&fixture, 5);
    for (int i = 0; i < 5; i++)
        show(&fixture, 0, day[i], 1);
    cr_assert_eq(wg_summary_spread(&fixture.summary, WG_OUTCOME_first_adult_day, &spread), 0);
    cr_assert_eq(spread.happened, 3);
    cr_assert_float_eq(spread.mean, 11, 1e-12, "over those where it happened");
    assert_spread(&spread, (const double[]){10.2, 11, 12, INFINITY, INFINITY});
    close_fixture(&fixture);
}

Test(summary, says_so_when_it_never_happened) {
    struct fixture fixture;
    struct wg_spread spread;
    open_fixture(&fixture, 2);
    show(&fixture, 0, NAN, 0);
    show(&fixture, 0, NAN, 0);
    cr_assert_eq(wg_summary_spread(&fixture.summary, WG_OUTCOME_first_adult_day, &spread), 0);
    cr_assert_eq(spread.happened, 0);
    cr_assert(isnan(spread.mean));
    assert_spread(&spread, (const double[]){INFINITY, INFINITY, INFINITY, INFINITY, INFINITY});
    close_fixture(&fixture);
}

/* Without a winter the emergence date is missing, not late. */
Test(summary, leaves_out_what_could_not_happen) {
    static const double day[] = {200, NAN, 210, NAN, 220};
    struct fixture fixture;
    struct wg_spread spread;
    open_fixture(&fixture, 5);
    for (int i = 0; i < 5; i++) {
        fixture.diary.spring_emergence_50 = day[i];
        fixture.diary.spring_emergence_90 = NAN;
        show(&fixture, 0, 0, 1);
    }
    cr_assert_eq(wg_summary_spread(&fixture.summary, WG_OUTCOME_spring_emergence_50, &spread), 0);
    cr_assert_eq(spread.n, 5);
    cr_assert_eq(spread.happened, 3);
    cr_assert_float_eq(spread.mean, 210, 1e-12);
    assert_spread(&spread, (const double[]){201, 205, 210, 215, 219});
    cr_assert_eq(wg_summary_spread(&fixture.summary, WG_OUTCOME_spring_emergence_90, &spread), 0);
    cr_assert_eq(spread.happened, 0);
    cr_assert(isnan(spread.q05) && isnan(spread.q50) && isnan(spread.q95) && isnan(spread.mean));
    close_fixture(&fixture);
}

Test(summary, keeps_values_in_the_order_of_replicates) {
    struct fixture fixture;
    open_fixture(&fixture, 3);
    for (int i = 0; i < 3; i++)
        show(&fixture, 10 - i, i, i == 1);
    const double *const kg = wg_summary_outcome(&fixture.summary, WG_OUTCOME_total_crawl_off_mass);
    const double *const alive = wg_summary_outcome(&fixture.summary, WG_OUTCOME_survived);
    for (int i = 0; i < 3; i++) {
        cr_assert_eq(kg[i], 10 - i);
        cr_assert_eq(alive[i], i == 1);
    }
    close_fixture(&fixture);
}

Test(summary, has_every_outcome_of_the_table) {
    struct fixture fixture;
    struct wg_spread spread;
    open_fixture(&fixture, 1);
    show(&fixture, 1, 1, 1);
    for (int o = 0; o < WG_N_OUTCOMES; o++)
        cr_assert_eq(wg_summary_spread(&fixture.summary, (enum wg_outcome_number)o, &spread), 0, "%s",
                     wg_diary_outcomes()[o].name);
    cr_assert_null(wg_diary_outcomes()[WG_N_OUTCOMES].name);
    close_fixture(&fixture);
}

Test(summary, of_nothing_is_no_number) {
    struct fixture fixture;
    struct wg_spread spread;
    open_fixture(&fixture, 4);
    cr_assert(isnan(wg_summary_survival(&fixture.summary)));
    cr_assert_eq(wg_summary_spread(&fixture.summary, WG_OUTCOME_survived, &spread), 0);
    cr_assert(isnan(spread.q50) && isnan(spread.mean));
    cr_assert_eq(spread.n, 0);
    close_fixture(&fixture);
}

Test(summary, is_filled_by_an_ensemble) {
    struct fixture fixture;
    struct wg_spread spread;
    open_fixture(&fixture, 12);
    plan_start(&fixture.plan, 0, WG_MOVABLE_EGGS, 0, 5000);
    const struct wg_ensemble_options options = {.count = 12, .threads = 3};
    cr_assert_eq(wg_ensemble_run(&fixture.plan, &options, &fixture.observer, 1, &err), 0, "%s", err.text);
    cr_assert_eq(fixture.summary.n, 12);
    cr_assert_eq(wg_summary_survival(&fixture.summary), 1, "20 days at 27 degC kill no colony");
    cr_assert_eq(wg_summary_spread(&fixture.summary, WG_OUTCOME_peak_larvae, &spread), 0);
    cr_assert(spread.q05 > 1000 && spread.q95 <= 5000, "at most as many larvae as eggs were put in");
    const double *const peak = wg_summary_outcome(&fixture.summary, WG_OUTCOME_peak_larvae);
    for (int k = 0; k < 12; k++) {
        struct wg_diary diary;
        plan_simulate(&fixture.plan, (uint64_t)k, &diary);
        cr_assert_eq(peak[k], diary.peak_larvae, "replicate %d", k);
        wg_diary_free(&diary);
    }
    close_fixture(&fixture);
}
