/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * The engine against the same model in plain C (plain_engine.c: GSL's binomial, the gamma distribution function for
 * every cohort and step): equality of distributions.
 *
 * Both have the same recorded hours, so that only the animals differ. 16 quantities by two-sample Kolmogorov-Smirnov,
 * false alarm 1e-5 each (agreement.h), fixed seeds: 1.4e-3 for the whole file.
 */
#include "forecast/replicate.h"
#include "reference/agreement.h"
#include "reference/plain_engine.h"
#include "scenario/scenario.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <stdlib.h>

enum { QUANTITIES = 16, MOST = 600 };
static const char *const quantity[QUANTITIES] = {"eggs laid",
                                                 "flies emerged",
                                                 "crawl-off",
                                                 "crawl-off kg",
                                                 "feed eaten kg",
                                                 "larvae on day 60",
                                                 "eggs on day 100",
                                                 "pupae on day 60",
                                                 "dormant at the end",
                                                 "alive at the end",
                                                 "died of hunger",
                                                 "died of cold",
                                                 "share laid in traps",
                                                 "eggs in traps on day 101",
                                                 "larvae in the first bin on day 90",
                                                 "in the last one"};

struct sample {
    double value[QUANTITIES][MOST];
};

static double sum_of(const int64_t *count, int day) {
    int64_t sum = 0;
    for (int s = 0; s < WG_N_STAGES; s++)
        sum += count[day * WG_N_STAGES + s];
    return (double)sum;
}

/* What both kinds of outcome share: counts by day and stage. */
static void put_counts(struct sample *sample, int k, const int64_t *count, int n_days) {
    const int end = n_days - 1;
    sample->value[5][k] = (double)count[60 * WG_N_STAGES + WG_LARVA];
    sample->value[6][k] = (double)count[100 * WG_N_STAGES + WG_EGG];
    sample->value[7][k] = (double)count[60 * WG_N_STAGES + WG_PUPA];
    sample->value[8][k] = (double)count[end * WG_N_STAGES + WG_DORMANT];
    sample->value[9][k] = sum_of(count, end);
}

static void put_engine(struct sample *sample, int k, const struct wg_diary *d) {
    double *const v = &sample->value[0][k];
    for (int q = 0; q < QUANTITIES; q++)
        v[q * MOST] = 0;
    for (int day = 0; day < d->n_days; day++) {
        v[0 * MOST] += (double)d->eggs_laid[day];
        v[1 * MOST] += (double)d->adults_emerged[day];
        v[2 * MOST] += (double)d->crawl_off_count[day];
        v[3 * MOST] += d->crawl_off_mass[day];
        for (int b = 0; b < d->n_bins; b++)
            v[4 * MOST] += d->feed_eaten[day * d->n_bins + b];
        v[10 * MOST] += (double)d->deaths[day * WG_N_CAUSES + WG_CAUSE_HUNGER];
        v[11 * MOST] += (double)d->deaths[day * WG_N_CAUSES + WG_CAUSE_COLD];
        v[12 * MOST] += (double)d->eggs_trapped[day];
    }
    v[12 * MOST] /= fmax(1, v[0 * MOST]);
    v[13 * MOST] = (double)d->eggs_in_traps[101];
    v[14 * MOST] = (double)d->bin_larvae[90 * d->n_bins];
    v[15 * MOST] = (double)d->bin_larvae[90 * d->n_bins + d->n_bins - 1];
    put_counts(sample, k, d->count, d->n_days);
}

static void put_plain(struct sample *sample, int k, int n_bins, const struct plain_outcome *o) {
    const double value[] = {(double)o->eggs_laid, (double)o->emerged, (double)o->crawled, o->crawled_kg, o->eaten_kg};
    for (int q = 0; q < 5; q++)
        sample->value[q][k] = value[q];
    sample->value[10][k] = (double)o->dead[WG_CAUSE_HUNGER];
    sample->value[11][k] = (double)o->dead[WG_CAUSE_COLD];
    sample->value[12][k] = (double)o->eggs_trapped / fmax(1, (double)o->eggs_laid);
    sample->value[13][k] = (double)o->in_traps[101];
    sample->value[14][k] = (double)o->in_bin[0][90];
    sample->value[15][k] = (double)o->in_bin[n_bins - 1][90];
    put_counts(sample, k, o->count, o->n_days);
}

static void sample_engine(struct sample *sample, const struct wg_world *world, const struct recorded_hours *hours,
                          int n) {
    struct wg_simulator liver = {0};
    struct wg_diary diary = {0};
    cr_assert_eq(wg_simulator_init(&liver, world, NULL), 0);
    cr_assert_eq(wg_diary_init(&diary, world->plan, NULL), 0);
    for (int k = 0; k < n; k++) {
        hours_play(hours);
        cr_assert_eq(wg_simulator_run(&liver, 1000 + k, &diary, NULL), 0);
        put_engine(sample, k, &diary);
    }
    hours_play(NULL);
    wg_diary_free(&diary);
    wg_simulator_free(&liver);
}

static void sample_plain(struct sample *sample, const struct wg_world *world, const struct recorded_hours *hours,
                         int n) {
    struct plain_outcome outcome;
    gsl_rng *const rng = gsl_rng_alloc(gsl_rng_mt19937);
    plain_outcome_init(&outcome, world->plan);
    for (int k = 0; k < n; k++) {
        gsl_rng_set(rng, 1 + (unsigned long)k);
        plain_run(world->plan, &world->growth, hours, rng, &outcome);
        put_plain(sample, k, world->plan->n_bins, &outcome);
    }
    gsl_rng_free(rng);
    plain_outcome_free(&outcome);
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

/* Variant of a scenario; pull_every: days between two pulls of the traps, where there are any. */
struct way {
    int days, steps_per_day, pull_every; /* 0: before they hatch */
    bool two_bins, as_eaten;             /* all feed as eaten, up to its amount */
    double fruit_kg;
    double room_c; /* > 0: a dark room, in the long days of the south */
};

static void move_into_room(struct wg_plan *plan, double room_c) {
    wg_shelter_defaults(&plan->places[0].shelter, WG_ROOM);
    wg_ground_defaults(&plan->places[0].ground, WG_ROOM);
    wg_bin_defaults(&plan->bins[0].spec, WG_ROOM, 0.150, 0);
    plan->places[0].shelter.steady_c = room_c;
    plan->places[0].ground.dark = true;
    plan->climate.latitude_deg = -plan->climate.latitude_deg;
}

static void compare(const char *name, struct way way, int few) {
    const int n = agreement_replicates(few);
    char path[1024];
    struct wg_scenario scenario;
    struct wg_mistakes problems = {0};
    struct wg_world world;
    struct recorded_hours hours;
    cr_assert_leq(n, MOST);
    (void)snprintf(path, sizeof path, "%s/scenarios/%s.yaml", WG_SOURCE_DIR, name);
    cr_assert_eq(wg_scenario_read(&scenario, path, &problems, NULL), 0);
    scenario.plan.last_day = scenario.plan.first_day + way.days - 1;
    scenario.plan.steps_per_day = way.steps_per_day;
    scenario.plan.animals = WG_ANIMALS_MIDDLE;
    for (int i = 0; i < scenario.plan.n_actions; i++)
        if (scenario.plan.actions[i].kind == WG_ACTION_PULL_TRAPS) {
            scenario.plan.actions[i].every = way.pull_every > 0 ? way.pull_every : 1;
            scenario.plan.actions[i].cue = way.pull_every > 0 ? WG_CUE_NONE : WG_CUE_BEFORE_HATCH;
        }
    if (way.room_c > 0)
        move_into_room(&scenario.plan, way.room_c);
    if (way.two_bins)
        add_bin(&scenario.plan, way.fruit_kg);
    for (int i = 0; i < scenario.plan.n_actions; i++)
        if (scenario.plan.actions[i].kind == WG_ACTION_FEED)
            scenario.plan.actions[i].as.feed.as_eaten = way.as_eaten;
    cr_assert_eq(wg_world_init(&world, &scenario.plan, NULL), 0);
    hours_record(&hours, &scenario.plan, 0);
    struct sample *const engine = calloc(2, sizeof *engine), *const plain = engine + 1;
    cr_assert_not_null(engine);
    sample_engine(engine, &world, &hours, n);
    sample_plain(plain, &world, &hours, n);
    for (int q = 0; q < QUANTITIES; q++) {
        const double chance = agreement(engine->value[q], (size_t)n, plain->value[q], (size_t)n);
        cr_expect_gt(chance, AGREEMENT_FALSE_ALARM, "%s, %d steps a day, %s: medians %g and %g, chance %g", name,
                     way.steps_per_day, quantity[q], engine->value[q][n / 2], plain->value[q][n / 2], chance);
    }
    free(engine);
    hours_free(&hours);
    wg_world_free(&world);
    wg_mistakes_free(&problems);
    wg_scenario_free(&scenario);
}

/* A reference that recomputed known values would flatter the engine. */
Test(plain_engine, asks_the_distribution_function_no_more_than_needed) {
    struct wg_scenario scenario;
    struct wg_mistakes problems = {0};
    struct wg_world world;
    struct recorded_hours hours;
    struct plain_outcome outcome;
    gsl_rng *const rng = gsl_rng_alloc(gsl_rng_mt19937);
    cr_assert_eq(wg_scenario_read(&scenario, WG_SOURCE_DIR "/scenarios/bench-overlap.yaml", &problems, NULL), 0);
    scenario.plan.last_day = scenario.plan.first_day + 99;
    scenario.plan.animals = WG_ANIMALS_MIDDLE;
    cr_assert_eq(wg_world_init(&world, &scenario.plan, NULL), 0);
    hours_record(&hours, &scenario.plan, 0);
    plain_outcome_init(&outcome, &scenario.plan);
    plain_run(&scenario.plan, &world.growth, &hours, rng, &outcome);
    cr_expect_gt(outcome.cohort_steps, 1000);
    cr_expect_lt(outcome.evaluations, 2 * outcome.cohort_steps, "%lld evaluations in %lld cohort-steps",
                 (long long)outcome.evaluations, (long long)outcome.cohort_steps);
    plain_outcome_free(&outcome);
    hours_free(&hours);
    gsl_rng_free(rng);
    wg_world_free(&world);
    wg_mistakes_free(&problems);
    wg_scenario_free(&scenario);
}

Test(plain_engine, winter_outdoors_agrees) {
    compare("harrow-hill-outdoors", (struct way){.days = 365, .steps_per_day = 1}, 80);
}

Test(plain_engine, short_steps_agree) {
    compare("harrow-hill-outdoors", (struct way){.days = 120, .steps_per_day = 4}, 70);
}

/* Prepupae go dormant although days are long outdoors. */
Test(plain_engine, a_dark_room_agrees) {
    compare("harrow-hill-outdoors", (struct way){.days = 102, .steps_per_day = 1, .room_c = 14}, 40);
}

Test(plain_engine, crowded_laboratory_agrees) {
    compare("bench-overlap", (struct way){.days = 200, .steps_per_day = 1}, 80);
}

/* Pulled before they hatch. */
Test(plain_engine, traps_in_a_shed_agree) {
    compare("crow-lane-shed", (struct way){.days = 150, .steps_per_day = 1}, 70);
}

/* So late that many eggs hatch in them. */
Test(plain_engine, traps_pulled_late_agree) {
    compare("crow-lane-shed", (struct way){.days = 110, .steps_per_day = 1, .pull_every = 7}, 70);
}

/* Two bins in a place: one of them empty, and fed with less of a poorer feed. */
Test(plain_engine, an_empty_second_bin_agrees) {
    compare("crow-lane-shed", (struct way){.days = 110, .steps_per_day = 1, .pull_every = 3, .two_bins = true}, 70);
}

/* One with scraps, the other with fruit, both as eaten up to an amount. */
Test(plain_engine, two_bins_fed_differently_agree) {
    compare("crow-lane-shed",
            (struct way){
                .days = 130, .steps_per_day = 1, .pull_every = 4, .two_bins = true, .as_eaten = true, .fruit_kg = 1},
            80);
}

Test(plain_engine, two_bins_in_short_steps_agree) {
    compare("crow-lane-shed",
            (struct way){.days = 102, .steps_per_day = 4, .pull_every = 4, .two_bins = true, .fruit_kg = 1}, 40);
}
