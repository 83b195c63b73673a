/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Survival by winter of a replayed record, against the weather itself: in a made-up record every year has a temperature of
 * its own, so the days that a replicate gets say which year it replays.
 */
#include "analysis/cells.h"
#include "analysis/odds.h"
#include "analysis/winters.h"
#include "base/random.h"
#include "climate/climate.h"
#include "forecast/lattice.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <gsl/gsl_randist.h>
#include <math.h>
#include <stdlib.h>

#define YEARS 4
#define REPLICATES 150
#define SURE 0.95

static struct wg_weather_record record;
static struct wg_plan plan;
static struct wg_summary summary;
static struct wg_winters winters;
static struct wg_error err;

/* Calendar year y of 2010 to 2013 has highs of 10 y degC above those of 2010, with some variation to be a record at all. */
static void begin(void) {
    plan_outdoors(&plan, 200);
    record = (struct wg_weather_record){.first_day = wg_day_from_date((struct wg_date){2010, 1, 1}),
                                        .n_days = 365 * YEARS + 1};
    record.high_c = malloc((size_t)record.n_days * sizeof *record.high_c);
    record.low_c = malloc((size_t)record.n_days * sizeof *record.low_c);
    for (int i = 0; i < record.n_days; i++) {
        const int year = wg_date_from_day(record.first_day + i).year;
        record.high_c[i] = 5 * (year - 2010) + 3 + i % 7 * 0.1;
        record.low_c[i] = record.high_c[i] - 2 - i % 11 * 0.1;
    }
    plan.climate.kind = WG_CLIMATE_YEARS;
    plan.climate.record = &record;
    plan.seed = 7;
    cr_assert_eq(wg_summary_init(&summary, &plan, REPLICATES, &err), 0, "%s", err.text);
    summary.n = REPLICATES;
}

static void end(void) {
    wg_summary_free(&summary);
    free(record.high_c);
    free(record.low_c);
    wg_plan_free(&plan);
}

TestSuite(winters, .init = begin, .fini = end, .timeout = 60);

static double *survived(void) {
    return (double *)(uintptr_t)wg_summary_outcome(&summary, WG_OUTCOME_survived);
}

static void check_winters(void) {
    struct wg_climate *climate;
    struct wg_weather weather;
    int64_t n[YEARS] = {0}, alive[YEARS] = {0};
    cr_assert_eq(wg_climate_new(&climate, &plan.climate, plan.first_day, plan.last_day, &err), 0, "%s", err.text);
    cr_assert_eq(wg_weather_init(&weather, climate, &err), 0);
    gsl_rng *const rng = gsl_rng_alloc(wg_rng_type());
    const int own_year = wg_date_from_day(plan.first_day).year;
    for (int64_t k = 0; k < REPLICATES; k++) {
        wg_rng_start(rng, plan.seed, (uint64_t)wg_lattice_cell(&plan, k).winter, WG_PURPOSE_WEATHER);
        wg_weather_draw(&weather, climate, rng);
        const int32_t i = plan.first_day - weather.first_day;
        const int year = (int)floor((weather.high_c[i] - 3) / 5);
        cr_assert(year >= 0 && year < YEARS);
        survived()[k] = k % 3 == 0;
        n[year]++;
        alive[year] += k % 3 == 0;
    }
    gsl_rng_free(rng);
    wg_weather_free(&weather);
    wg_climate_free(climate);
    cr_assert_eq(wg_winters_count(&winters, &plan, &summary, &err), 0, "%s", err.text);
    int found = 0;
    for (int y = 0; y < YEARS; y++) {
        if (n[y] == 0)
            continue;
        cr_expect_eq(winters.winter[found].year, 2010 + y, "the %d-th", found);
        cr_expect_eq(winters.winter[found].n, n[y]);
        cr_expect_eq(winters.winter[found].alive, alive[y]);
        found++;
    }
    cr_expect_eq(winters.n, found);
    cr_expect_geq(found, 3, "of the years that cover 200 days from a day of %d", own_year);
}

Test(winters, are_those_of_the_days_that_replicates_get) {
    check_winters();
}

/* Replicates 64 and up live winters that others have lived before. */
Test(winters, are_those_of_the_days_that_plausible_animals_get) {
    plan.animals = WG_ANIMALS_PLAUSIBLE;
    check_winters();
}

Test(winters, are_none_where_nothing_is_replayed_or_a_replicate_replays_several) {
    plan.climate.kind = WG_CLIMATE_FITTED;
    cr_assert_eq(wg_winters_count(&winters, &plan, &summary, &err), 0);
    cr_expect_eq(winters.n, 0);
    plan.climate.kind = WG_CLIMATE_YEARS;
    plan.last_day = plan.first_day + 500;
    cr_assert_eq(wg_winters_count(&winters, &plan, &summary, &err), 0);
    cr_expect_eq(winters.n, 0);
}

/* One winter of four is survived: the mean of four shares 0, 0, 0, 1, not of sixty years. */
Test(winters, make_the_interval_of_survival) {
    struct wg_odds odds;
    plan.first_day = wg_day_from_date((struct wg_date){2011, 2, 1}); /* 2010 to 2013, all four */
    plan.last_day = plan.first_day + 100;
    cr_assert_eq(wg_odds_find(&odds, &plan, &summary, &err), 0, "%s", err.text);
    cr_expect(odds.survival.n_winters == YEARS && odds.survival.mean == 0 && odds.survival.interval.low == 0);
    cr_expect(odds.survival.interval.high > wg_wilson(0, REPLICATES, SURE).high,
              "four winters alike are four, not sixty");
    struct wg_split_value *cells;
    cr_assert_eq(wg_cells_of(&cells, &plan, REPLICATES, &err), 0);
    for (int64_t k = 0; k < REPLICATES; k++)
        survived()[k] = cells[k].winter == 2012;
    free(cells);
    cr_assert_eq(wg_odds_find(&odds, &plan, &summary, &err), 0, "%s", err.text);
    cr_expect_eq(odds.survival.n_animals, 1);
    cr_expect_float_eq(odds.survival.rest, 0, 1e-12, "winters explain all");
    cr_expect(odds.survival.interval.low < 0.1 && odds.survival.interval.high > 0.75, "%g to %g",
              odds.survival.interval.low, odds.survival.interval.high);
    cr_expect(odds.survival.winters.is_known && !odds.survival.animals.is_known);
}

/*
 * Three winters of 66 replicates each, drawn from a climate whose winters differ (shares of a beta law): how often does the
 * interval hold the mean of all winters? GSL's generators, 1000 climates (standard error 0.7 %). Wilson's interval of the 198,
 * which takes them for independent, is measured beside it and must do worse.
 */
Test(winters, interval_holds_over_climates) {
    static struct wg_split_value value[198];
    const double shape[][2] = {{0.3, 2.7}, {1, 1}, {2, 0.4}};
    for (int s = 0; s < 3; s++) {
        gsl_rng *const rng = gsl_rng_alloc(gsl_rng_mt19937);
        gsl_rng_set(rng, 30 + (unsigned long)s);
        const double truth = shape[s][0] / (shape[s][0] + shape[s][1]);
        int holds = 0, plain = 0;
        for (int k = 0; k < 1000; k++) {
            struct wg_variance_split split;
            double share = 0;
            for (int i = 0; i < 198; i++) {
                share = i % 66 == 0 ? gsl_ran_beta(rng, shape[s][0], shape[s][1]) : share;
                value[i] = (struct wg_split_value){gsl_rng_uniform(rng) < share, 1, -1, i / 66};
            }
            cr_assert_eq(wg_variance_split(&split, value, 198, WG_SPLIT_SHARE, SURE, &err), 0);
            cr_assert(split.interval.high > split.interval.low);
            holds += split.interval.low <= truth && truth <= split.interval.high;
            plain += split.luck.low <= truth && truth <= split.luck.high;
        }
        gsl_rng_free(rng);
        cr_log_info("beta %g, %g: holds in %.1f %%, Wilson's in %.1f %%", shape[s][0], shape[s][1], holds / 10.0,
                    plain / 10.0);
        cr_expect(holds >= 880, "beta %g, %g: %d of 1000", shape[s][0], shape[s][1], holds);
        cr_expect(plain < 600, "winters count once each, not once a replicate");
    }
}
