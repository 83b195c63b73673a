/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks runs that add replicates up to a precision: the width, the maximum, the cost of optional stopping.
 */
#include "analysis/cells.h"
#include "analysis/goal_tally.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>

static struct wg_sureness sureness(const struct wg_goal_tally *odds) {
    struct wg_sureness sure;
    cr_assert_eq(wg_goal_tally_sureness(odds, 0.95, &sure, NULL), 0);
    return sure;
}

static int64_t more_for(const struct wg_goal_tally *odds, double wanted, int64_t at_most) {
    const struct wg_sureness sure = sureness(odds);
    return wg_precision_replicates(&sure, odds->n, wanted, at_most);
}

/* Adds Bernoulli trials as wg_precision_run() adds replicates. Returns whether the interval covers the probability. */
static bool covered(gsl_rng *rng, const struct wg_plan *plan, double chance, int64_t *n) {
    struct wg_goal_tally odds;
    wg_goal_tally_init(&odds, plan);
    for (int64_t more = 200; more > 0; more = more_for(&odds, 0.02, 20000)) {
        odds.n += more;
        odds.all = odds.n;
        odds.alive += wg_binomial(rng, more, chance);
    }
    *n = odds.n;
    cr_assert_leq(sureness(&odds).half_width, 0.02);
    const struct wg_interval interval = wg_wilson((size_t)odds.alive, (size_t)odds.n, 0.95);
    return interval.low <= chance && chance <= interval.high;
}

/*
 * Stopping by the width of a Wilson interval nearly keeps the stated confidence: 95 % becomes at least 93 % here, for any
 * probability (4 standard errors of 4,000 trials are 1.4 %). The effort is the closed form z^2 p (1 - p) / w^2.
 */
Test(sure, stopping_early_costs_little_confidence) {
    struct wg_plan plan = {.n_goals = 0};
    gsl_rng *const rng = gsl_rng_alloc(wg_rng_type());
    wg_rng_start(rng, 7, 0, WG_PURPOSE_PARAMETERS);
    const double chances[] = {0.02, 0.1, 0.5, 0.9, 0.97};
    for (size_t c = 0; c < sizeof chances / sizeof *chances; c++) {
        const double p = chances[c];
        int hits = 0;
        double total = 0;
        for (int k = 0; k < 4000; k++) {
            int64_t n;
            hits += covered(rng, &plan, p, &n);
            total += (double)n;
        }
        const double needed = fmax(200, 1.96 * 1.96 * p * (1 - p) / (0.02 * 0.02));
        cr_log_info("chance %g: covered %.1f %%, %.0f replicates, closed form %.0f", p, hits / 40.0, total / 4000,
                    needed);
        cr_expect_geq(hits, (int)(4000 * (0.945 - 0.014)), "chance %g: covered %d of 4000", p, hits);
        cr_expect_leq(total / 4000, 1.35 * needed + 60, "chance %g: %g replicates", p, total / 4000);
    }
    gsl_rng_free(rng);
}

/*
 * How many to add, worked out here by Wilson's half-width z/(n + z^2) sqrt(h (n - h)/n + z^2/4), z = 1.959964, which falls
 * with the root of n: where that lies between a tenth and all of what is there, it is what is added.
 */
Test(sure, a_round_is_what_the_closed_form_lacks) {
    struct wg_plan plan = {.n_goals = 0};
    static const struct {
        int64_t n, hits;
        double width;
    } all[] = {{1000, 100, 0.015}, {1000, 950, 0.01}, {400, 200, 0.04}, {200, 20, 0.035}, {60, 3, 0.05}};
    const double z2 = 1.959964 * 1.959964;
    for (size_t i = 0; i < sizeof all / sizeof *all; i++) {
        struct wg_goal_tally odds;
        wg_goal_tally_init(&odds, &plan);
        odds.n = odds.all = all[i].n;
        odds.alive = all[i].hits;
        const double n = (double)all[i].n, h = (double)all[i].hits;
        const double half = sqrt(z2) / (n + z2) * sqrt(h * (n - h) / n + z2 / 4);
        const double lacks = ceil(n * (half * half / (all[i].width * all[i].width) - 1));
        cr_assert(lacks > 0.1 * n && lacks < n, "%g of %g", lacks, n);
        cr_expect_eq(more_for(&odds, all[i].width, 1000000), (int64_t)lacks, "case %zu: not %g", i, lacks);
    }
}

Test(sure, the_cap_is_kept) {
    struct wg_plan plan = {.n_goals = 0};
    struct wg_goal_tally odds;
    wg_goal_tally_init(&odds, &plan);
    odds.n = 900;
    odds.alive = 450;
    cr_expect_eq(more_for(&odds, 0.001, 1000), 100);
    odds.n = 1000;
    cr_expect_eq(more_for(&odds, 0.001, 1000), 0);
    odds.n = 900;
    cr_expect_leq(more_for(&odds, 0.0001, 1000000000), 900, "a round never more than doubles");
}

/* Two goals met in nine years of ten, rarely missed together, are met jointly in eight: that interval is wider. */
Test(sure, all_goals_at_once_count_too) {
    struct wg_plan plan = {.n_goals = 2};
    struct wg_goal_tally odds;
    wg_goal_tally_init(&odds, &plan);
    odds.n = odds.alive = 900;
    odds.hits[0] = odds.hits[1] = 810;
    odds.all = 720;
    struct wg_goal_chance chance, of_all;
    cr_assert_eq(wg_goal_tally_chance(&odds, 0, 0.95, &chance, NULL), 0);
    cr_assert_eq(wg_goal_tally_chance_of_all(&odds, 0.95, &of_all, NULL), 0);
    const struct wg_interval one = chance.interval, all = of_all.interval;
    cr_assert_lt((one.high - one.low) / 2, 0.02);
    cr_assert_gt((all.high - all.low) / 2, 0.02);
    cr_expect_float_eq(sureness(&odds).half_width, (all.high - all.low) / 2, 1e-15);
    cr_expect_gt(more_for(&odds, 0.02, 20000), 0, "one of the odds shown is not known to 2 %% yet");
}

/*
 * The widest of all intervals decides: survival's, any goal's, or that of all goals at once. Wilson's half width is
 * z/(n + z^2) sqrt(h (n - h)/n + z^2/4), computed here with z = 1.959964.
 */
Test(sure, the_widest_interval_counts_whichever_it_is) {
    static const struct {
        int64_t alive, hits[2], all, widest;
    } all[] = {{900, {400, 20}, 10, 400},
               {900, {880, 500}, 100, 500},
               {500, {890, 20}, 10, 500},
               {10, {20, 880}, 430, 430},
               {30, {300, 0}, 0, 300}};
    struct wg_plan plan = {.n_goals = 2};
    for (size_t i = 0; i < sizeof all / sizeof *all; i++) {
        struct wg_goal_tally odds;
        wg_goal_tally_init(&odds, &plan);
        odds.n = 900;
        odds.alive = all[i].alive;
        odds.hits[0] = all[i].hits[0];
        odds.hits[1] = all[i].hits[1];
        odds.all = all[i].all;
        const double z = 1.959964, n = 900, h = (double)all[i].widest;
        const double half = z / (n + z * z) * sqrt(h * (n - h) / n + z * z / 4);
        cr_expect_float_eq(sureness(&odds).half_width, half, 1e-6, "case %zu", i);
    }
}

/*
 * Years of a record: 3 winters of which one is deadly, each lived often. No number of replicates makes that surer, so the run
 * stops; where each winter is new, the same counts ask for more.
 */
Test(sure, winters_of_a_record_run_out) {
    struct wg_plan plan;
    plan_outdoors(&plan, 200);
    struct wg_weather_record record = {.first_day = wg_day_from_date((struct wg_date){2010, 1, 1}),
                                       .n_days = 4 * 365 + 1};
    double *const days = calloc(2 * (size_t)record.n_days, sizeof *days);
    record.high_c = days;
    record.low_c = days + record.n_days;
    for (int i = 0; i < record.n_days; i++)
        days[i] = 20 + i % 7, days[record.n_days + i] = 10 + i % 5;
    plan.climate.kind = WG_CLIMATE_YEARS;
    plan.climate.record = &record;
    struct wg_goal_tally odds;
    wg_goal_tally_init(&odds, &plan);
    struct wg_split_value *cells;
    cr_assert_eq(wg_cells_of(&cells, &plan, 600, NULL), 0);
    for (int64_t k = 0; k < 600; k++)
        cr_assert_eq(wg_goal_tally_add(&odds, k, cells[k].winter != 2011, NULL, NULL), 0);
    const struct wg_sureness sure = sureness(&odds);
    cr_expect(sure.half_width > 0.2, "few winters, not 600 years: %g", sure.half_width);
    cr_expect_float_eq(sure.lasting, sure.half_width, 0.02);
    cr_expect_eq(more_for(&odds, 0.05, 20000), 0);
    cr_expect_gt(wg_precision_replicates(&(struct wg_sureness){sure.half_width, 0}, 600, 0.05, 20000), 0);
    free(cells);
    free(days);
    wg_goal_tally_free(&odds);
    wg_plan_free(&plan);
}

/* What lasts is taken out of the sum: h^2 = L^2 + (h^2 - L^2) n/N. At N the half-width is what was wanted. */
Test(sure, what_lasts_is_no_luck) {
    const int64_t more = wg_precision_replicates(&(struct wg_sureness){0.04, 0.02}, 1000, 0.036, 20000);
    const double h2 = 0.02 * 0.02 + (0.04 * 0.04 - 0.02 * 0.02) * 1000 / (1000 + (double)more);
    cr_expect_float_eq(sqrt(h2), 0.036, 1e-4);
    cr_expect_eq(wg_precision_replicates(&(struct wg_sureness){0.04, 0.03}, 1000, 0.03, 20000), 0);
}

/* The counts agree with a single run of the same number of replicates. */
Test(sure, rounds_are_one_run) {
    struct wg_plan plan;
    plan_laboratory(&plan, 28, 60);
    plan_start(&plan, 0, WG_MOVABLE_EGGS, 0, 3);
    struct wg_goal_tally odds, plain;
    wg_goal_tally_init(&odds, &plan);
    struct wg_sureness reached;
    const struct wg_precision sure = {.half_width = 0.05, .confidence = 0.95, .at_most = 1000};
    cr_assert_eq(wg_precision_run(&plan, &(struct wg_ensemble_options){.count = 50, .threads = 2}, &sure, &odds,
                                  &reached, NULL, 0, NULL),
                 0);
    cr_expect_leq(sureness(&odds).half_width, 0.05);
    cr_expect_gt(odds.n, 50);
    wg_goal_tally_init(&plain, &plan);
    const struct wg_observer observer = wg_goal_tally_observer(&plain);
    cr_assert_eq(wg_ensemble_run(&plan, &(struct wg_ensemble_options){.count = odds.n}, &observer, 1, NULL), 0);
    cr_expect_eq(plain.alive, odds.alive);
    wg_plan_free(&plan);
}
