/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * The engine against the same model in numpy (tests/bench/cohorts_numpy.py): equality of distributions.
 *
 * Both have the same recorded hours. 13 quantities by two-sample Kolmogorov-Smirnov, false alarm 1e-5 each
 * (agreement.h), fixed seeds: 8e-4 for the whole file.
 */
#include "forecast/replicate.h"
#include "reference/agreement.h"
#include "reference/numpy_engine.h"
#include "scenario/scenario.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <stdlib.h>

static const char *const quantity[NUMPY_QUANTITIES] = {"eggs laid",
                                                       "flies emerged",
                                                       "crawl-off",
                                                       "crawl-off kg",
                                                       "feed eaten kg",
                                                       "larvae on day 60",
                                                       "eggs on day 100",
                                                       "pupae on day 60",
                                                       "dormant at the end",
                                                       "alive at the end",
                                                       "share laid in traps",
                                                       "eggs in traps on day 101",
                                                       "larvae in the last bin on day 101"};

static void put_engine(double *value[NUMPY_QUANTITIES], int k, const struct wg_diary *d) {
    const int end = d->n_days - 1;
    for (int q = 0; q < NUMPY_QUANTITIES; q++)
        value[q][k] = 0;
    for (int day = 0; day < d->n_days; day++) {
        value[NUMPY_EGGS][k] += (double)d->eggs_laid[day];
        value[NUMPY_EMERGED][k] += (double)d->adults_emerged[day];
        value[NUMPY_CRAWLED][k] += (double)d->crawl_off_count[day];
        value[NUMPY_CRAWLED_KG][k] += d->crawl_off_mass[day];
        for (int b = 0; b < d->n_bins; b++)
            value[NUMPY_EATEN_KG][k] += d->feed_eaten[day * d->n_bins + b];
        value[NUMPY_TRAPPED_SHARE][k] += (double)d->eggs_trapped[day];
    }
    value[NUMPY_TRAPPED_SHARE][k] /= fmax(1, value[NUMPY_EGGS][k]);
    value[NUMPY_IN_TRAPS_101][k] = (double)d->eggs_in_traps[101];
    value[NUMPY_IN_LAST_101][k] = (double)d->bin_larvae[102 * d->n_bins - 1];
    value[NUMPY_LARVAE_60][k] = (double)d->count[60 * WG_N_STAGES + WG_LARVA];
    value[NUMPY_EGGS_100][k] = (double)d->count[100 * WG_N_STAGES + WG_EGG];
    value[NUMPY_PUPAE_60][k] = (double)d->count[60 * WG_N_STAGES + WG_PUPA];
    value[NUMPY_DORMANT_END][k] = (double)d->count[end * WG_N_STAGES + WG_DORMANT];
    for (int s = 0; s < WG_N_STAGES; s++)
        value[NUMPY_ALIVE_END][k] += (double)d->count[end * WG_N_STAGES + s];
}

static void sample_engine(double *value[NUMPY_QUANTITIES], const struct wg_world *world,
                          const struct recorded_hours *hours, int n) {
    struct wg_simulator liver = {0};
    struct wg_diary diary = {0};
    cr_assert_eq(wg_simulator_init(&liver, world, NULL), 0);
    cr_assert_eq(wg_diary_init(&diary, world->plan, NULL), 0);
    for (int k = 0; k < n; k++) {
        hours_play(hours);
        cr_assert_eq(wg_simulator_run(&liver, 2000 + k, &diary, NULL), 0);
        put_engine(value, k, &diary);
    }
    hours_play(NULL);
    wg_diary_free(&diary);
    wg_simulator_free(&liver);
}

/* Adds a second bin, with fruit_kg of fruit a day. */
static void add_bin(struct wg_plan *plan, double fruit_kg) {
    plan->bins = realloc(plan->bins, 2 * sizeof *plan->bins);
    cr_assert_not_null(plan->bins);
    plan->bins[1] = plan->bins[0];
    plan->n_bins = 2;
    plan_add(plan, (struct wg_action){.kind = WG_ACTION_FEED,
                                      .from = plan->first_day,
                                      .to = plan->last_day,
                                      .every = 1,
                                      .bin = 1,
                                      .place = -1,
                                      .as.feed = {.type = wg_feed_find("fruit"), .wet_kg = fruit_kg}});
}

/* pull_every: days between two pulls of the traps, where there are any; fruit_kg < 0: no second bin. */
static void compare(const char *name, int days, int steps_per_day, int pull_every, double fruit_kg, int few) {
    const int n = agreement_replicates(few);
    char path[1024];
    struct wg_scenario scenario;
    struct wg_mistakes problems = {0};
    struct wg_world world;
    struct recorded_hours hours;
    (void)snprintf(path, sizeof path, "%s/scenarios/%s.yaml", WG_SOURCE_DIR, name);
    cr_assert_eq(wg_scenario_read(&scenario, path, &problems, NULL), 0);
    scenario.plan.last_day = scenario.plan.first_day + days - 1;
    scenario.plan.steps_per_day = steps_per_day;
    scenario.plan.animals = WG_ANIMALS_MIDDLE;
    for (int i = 0; i < scenario.plan.n_actions; i++)
        if (scenario.plan.actions[i].kind == WG_ACTION_PULL_TRAPS)
            scenario.plan.actions[i].every = pull_every;
    if (fruit_kg >= 0)
        add_bin(&scenario.plan, fruit_kg);
    cr_assert_eq(wg_world_init(&world, &scenario.plan, NULL), 0);
    hours_record(&hours, &scenario.plan, 0);
    double *engine[NUMPY_QUANTITIES], *other[NUMPY_QUANTITIES], seconds;
    double *const capacity = calloc(2 * NUMPY_QUANTITIES * (size_t)n, sizeof *capacity);
    cr_assert_not_null(capacity);
    for (int q = 0; q < NUMPY_QUANTITIES; q++) {
        engine[q] = capacity + 2 * q * n;
        other[q] = engine[q] + n;
    }
    sample_engine(engine, &world, &hours, n);
    const struct numpy_job job = {.plan = &scenario.plan,
                                  .growth = &world.growth,
                                  .hours = &hours,
                                  .n_recordings = 1,
                                  .replicates = n,
                                  .seed = 1};
    cr_assert_eq(numpy_run(&job, &seconds, other), 0);
    for (int q = 0; q < NUMPY_QUANTITIES; q++) {
        const double chance = agreement(engine[q], (size_t)n, other[q], (size_t)n);
        cr_expect_gt(chance, AGREEMENT_FALSE_ALARM, "%s, %d steps a day, %s: medians %g and %g, chance %g", name,
                     steps_per_day, quantity[q], engine[q][n / 2], other[q][n / 2], chance);
    }
    free(capacity);
    hours_free(&hours);
    wg_world_free(&world);
    wg_mistakes_free(&problems);
    wg_scenario_free(&scenario);
}

Test(numpy_engine, winter_outdoors_agrees) {
    compare("harrow-hill-outdoors", 365, 1, 0, -1, 80);
}

Test(numpy_engine, short_steps_agree) {
    compare("harrow-hill-outdoors", 120, 4, 0, -1, 70);
}

Test(numpy_engine, crowded_laboratory_agrees) {
    /* until generations mix: the program pools them, so that larvae of all generations then have equal mass */
    compare("bench-overlap", 110, 1, 0, -1, 80);
}

Test(numpy_engine, traps_in_a_shed_agree) {
    compare("crow-lane-shed", 150, 1, 3, -1, 70);
}

/* So late that many eggs hatch in them. */
Test(numpy_engine, traps_pulled_late_agree) {
    compare("crow-lane-shed", 110, 1, 7, -1, 80);
}

Test(numpy_engine, an_empty_second_bin_agrees) {
    compare("crow-lane-shed", 110, 1, 3, 0, 70);
}

Test(numpy_engine, two_bins_fed_differently_agree) {
    compare("crow-lane-shed", 130, 1, 4, 1, 120);
}
