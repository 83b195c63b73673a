/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * wg_colony_verify() and its like: no shipped scenario and no invented one ever breaks what they ask, at the end of any
 * step; and each thing that is broken by hand is named.
 */
#include "colony/state.h"
#include "forecast/ensemble.h"
#include "forecast/replicate.h"
#include "forecast/summary.h"
#include "scenario/scenario.h"
#include "species/plausible.h"
#include "support/plans.h"
#include "text/print_state.h"

#include "climate/climate.h"

#include <criterion/criterion.h>
#include <glob.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- at the end of every step ---- */

static void (*at_end_of_step)(struct wg_colony *colony);
static long n_steps;

void __real_wg_step_ledger(struct wg_colony *colony);
void __wrap_wg_step_ledger(struct wg_colony *colony);
void __wrap_wg_step_ledger(struct wg_colony *colony) {
    __real_wg_step_ledger(colony);
    n_steps++;
    at_end_of_step(colony);
}

static void expect_sound(struct wg_colony *colony) {
    struct wg_error err = {0};
    cr_assert_eq(wg_colony_verify(colony, &err), 0, "day %d to %d h: %s: %s", colony->day, colony->to, err.where,
                 err.text);
}

/* Lives a replicate with a look at the world before, at the weather, and at the colony after each step. */
static void live_verified(const struct wg_plan *plan, int64_t replicate) {
    struct wg_error err = {0};
    struct wg_world world = {0};
    struct wg_simulator simulator = {0};
    struct wg_diary diary = {0};
    cr_assert_eq(wg_world_init(&world, plan, &err), 0, "%s", err.text);
    cr_assert_eq(wg_world_verify(&world, &err), 0, "%s: %s", err.where, err.text);
    cr_assert_eq(wg_simulator_init(&simulator, &world, &err), 0, "%s", err.text);
    cr_assert_eq(wg_diary_init(&diary, plan, &err), 0, "%s", err.text);
    cr_assert_eq(wg_simulator_run(&simulator, replicate, &diary, &err), 0, "%s", err.text);
    cr_assert_eq(wg_weather_verify(&simulator.weather, world.climate, &err), 0, "%s: %s", err.where, err.text);
    wg_diary_free(&diary);
    wg_simulator_free(&simulator);
    wg_world_free(&world);
}

Test(verify, every_shipped_scenario_is_sound_at_every_step) {
    glob_t found;
    at_end_of_step = expect_sound;
    cr_assert_eq(glob(WG_SOURCE_DIR "/scenarios/*.yaml", 0, NULL, &found), 0);
    for (size_t i = 0; i < found.gl_pathc; i++) {
        struct wg_scenario scenario = {0};
        struct wg_mistakes problems = {0};
        struct wg_error err = {0};
        cr_assert_eq(wg_scenario_read(&scenario, found.gl_pathv[i], &problems, &err), 0, "%s", found.gl_pathv[i]);
        struct wg_plan plan = scenario.plan;
        wg_plausible_animal((int)i * 17, &plan.species); /* another one for each */
        plan.animals = WG_ANIMALS_MIDDLE;
        plan.n_goals = 0; /* their dates may lie behind the sixtieth day */
        plan.last_day = plan.first_day + 59 < plan.last_day ? plan.first_day + 59 : plan.last_day;
        for (int steps = 1; steps <= 4; steps += 3) {
            plan.steps_per_day = steps;
            n_steps = 0;
            live_verified(&plan, 0);
            cr_expect_eq(n_steps, (plan.last_day - plan.first_day + 1) * steps, "%s", found.gl_pathv[i]);
        }
        wg_mistakes_free(&problems);
        wg_scenario_free(&scenario);
    }
    cr_expect_geq(found.gl_pathc, 12);
    globfree(&found);
}

/* A year and a half outdoors with traps and a second place: every pool has its day. */
static void plan_of_all_pools(struct wg_plan *plan) {
    plan_outdoors(plan, 500);
    plan_add_place(plan, WG_SHED);
    for (int day = 0; day < 500; day += 10)
        plan_start(plan, day, WG_MOVABLE_LARVAE, 5, 2000);
    plan_feed(plan, 2);
    plan_collect(plan, 0.2);
    plan_add(plan, (struct wg_action){.kind = WG_ACTION_LAY_IN_TRAPS,
                                      .from = plan->first_day,
                                      .to = plan->last_day,
                                      .every = 1,
                                      .as.traps = {.share = 0.3}});
}

/* ---- broken by hand ---- */

/* A pool of place 0 by its place in wg_place_pools(), or of bin 0. */
enum { EGG = -2, LARVA = -1, TRAP = 0, PREPUPA, ASLEEP, WAKING, PUPA, VIRGIN, MATED, SPENT, MALE };

static struct wg_pool *pool_of(struct wg_colony *colony, int which) {
    struct wg_place_colony *const place = &colony->place[0];
    struct wg_pool *const pool[] = {&place->trap,   &place->prepupa, &place->asleep, &place->waking, &place->pupa,
                                    &place->virgin, &place->mated,   &place->spent,  &place->male};
    return which == EGG ? &colony->bin[0].egg : which == LARVA ? &colony->bin[0].larva : pool[which];
}

/* A member of the first cohort of a pool, and a value that it cannot have. */
#define BREAK_COHORT(which, member, broken)                                                                            \
    do {                                                                                                               \
        struct wg_pool *const pool = pool_of(colony, which);                                                           \
        if (pool->n > 0)                                                                                               \
            BREAK(pool->cohort[0].member, broken, #member);                                                            \
    } while (0)

/* Sets, expects that the word is named, and sets back. The line of the source says which it is. */
#define BREAK(place, broken, word)                                                                                     \
    do {                                                                                                               \
        __typeof__(place) const kept = (place);                                                                        \
        (place) = (broken);                                                                                            \
        expect_named(colony, word, __LINE__);                                                                          \
        (place) = kept;                                                                                                \
    } while (0)

enum { MOST_LINES = 1000 };
static bool is_broken_once[MOST_LINES]; /* by line of this source: a pool may be empty on the first day */

static void expect_named(struct wg_colony *colony, const char *word, int line) {
    struct wg_error err = {0};
    cr_expect_eq(wg_colony_verify(colony, &err), WG_ERR_INTERNAL, "line %d: %s may be broken", line, word);
    cr_expect_not_null(strstr(err.text, word), "line %d: %s: %s does not name %s", line, err.where, err.text, word);
    cr_assert_lt(line, MOST_LINES);
    is_broken_once[line] = true;
}

static void break_cohorts(struct wg_colony *colony) {
    const double nan = (double)NAN;
    for (int which = EGG; which <= MALE; which++) {
        BREAK_COHORT(which, count, 0);
        BREAK_COHORT(which, count, -5);
        BREAK_COHORT(which, x, -1e-9);
        BREAK_COHORT(which, log_s, 1e-6);
        BREAK_COHORT(which, log_s, pool->cohort[0].log_s - 1e-6);
        BREAK_COHORT(which, log_s, nan);
        BREAK_COHORT(which, mass_g, -0.01);
        BREAK_COHORT(which, mass_g, 5.0);
        BREAK_COHORT(which, mass_g, nan);
        BREAK_COHORT(which, share, pool->cohort[0].share + 1e-6);
        BREAK_COHORT(which, mark, -1e-9);
        BREAK_COHORT(which, mark, 1e9);
        BREAK_COHORT(which, days, 1e9);
        BREAK_COHORT(which, lineage, -1);
        BREAK_COHORT(which, lineage, colony->world->n_lineages);
    }
    BREAK_COHORT(EGG, mass_g, 1e-9);
    BREAK_COHORT(TRAP, mass_g, 1e-9);
    BREAK_COHORT(ASLEEP, days, -1.0);
    BREAK_COHORT(PUPA, days, 1.0);
    BREAK_COHORT(VIRGIN, mark, 0.1);
    BREAK_COHORT(MATED, mark, 2 * pool->cohort[0].x);
}

static void break_pools(struct wg_colony *colony) {
    for (int which = EGG; which <= MALE; which++) {
        struct wg_pool *const pool = pool_of(colony, which);
        BREAK(pool->n, -1, "n is -1");
        BREAK(pool->n, pool->capacity + 1, "n is");
        BREAK(pool->capacity, colony->step_capacity + 1, "capacity");
        if (pool->n > 0) { /* one more than the ledger knows of */
            pool->cohort[0].count++;
            expect_named(colony, "alive less those counted", __LINE__);
            pool->cohort[0].count--;
        }
    }
}

static void break_bin(struct wg_colony *colony) {
    struct wg_bin_state *const bin = &colony->bin[0];
    BREAK(bin->hatched.n_lineages, 1, "hatched");
    BREAK(bin->laid.n_lineages, 1, "laid");
    BREAK(bin->collect_share, 1.1, "collect_share");
    BREAK(bin->give_back, -0.1, "give_back");
    BREAK(bin->eaten_kg, (double)NAN, "eaten_kg");
    BREAK(bin->meal.ration, 1.001, "ration");
    BREAK(bin->yesterday_c[7], (double)NAN, "yesterday_c");
    BREAK(bin->pile.usable_kg, -1e-9, "usable_kg");
    BREAK(bin->pile.residue_kg, -1.0, "residue_kg");
    BREAK(bin->pile.frass_kg, (double)NAN, "frass_kg");
    BREAK(bin->pile.quality_kg, bin->pile.usable_kg * 1.01 + 1e-6, "quality_kg");
    BREAK(bin->pile.conversion_kg, -1.0, "conversion_kg");
    BREAK(bin->pile.usable_kg, bin->pile.usable_kg + 1, "feed given less feed used");
}

static void break_place(struct wg_colony *colony) {
    struct wg_place_colony *const place = &colony->place[1];
    BREAK(place->crawled.n_lineages, 1, "crawled");
    BREAK(place->resumed.n_lineages, 1, "resumed");
    BREAK(place->pupated.n_lineages, 1, "pupated");
    BREAK(place->emerged.n_lineages, 1, "emerged");
    BREAK(place->trapped.n_lineages, 1, "trapped");
    BREAK(place->trap_share, 2.0, "trap_share");
    BREAK(place->spring_day, colony->day + 1, "spring_day");
    BREAK(place->air.air_c, 250.0, "air.air_c");
    BREAK(place->air.mass_c, (double)INFINITY, "air.mass_c");
    BREAK(place->air.ground_c, (double)NAN, "air.ground_c");
    BREAK(place->air.bin_c[0], -273.15, "air.bin_c");
    BREAK(place->hours.air_c[23], (double)NAN, "hours.air_c");
    BREAK(place->hours.ground_c[0], -201.0, "hours.ground_c");
    BREAK(place->hours.light_w_m2[12], -1.0, "hours.light_w_m2");
    BREAK(place->settings.set_point_c, 99.0, "set_point_c");
    BREAK(place->settings.mat_set_point_c[0], -99.0, "mat_set_point_c");
    BREAK(place->settings.u_bin_w_m2k[0], (double)NAN, "u_bin_w_m2k");
    BREAK(place->settings.lid[0], 1.5, "lid");
}

static void break_ledger(struct wg_colony *colony) {
    struct wg_ledger *const ledger = &colony->ledger;
    BREAK(ledger->started, -1, "started");
    BREAK(ledger->laid, -1, "laid");
    BREAK(ledger->wild, -1, "wild");
    BREAK(ledger->taken, -1, "taken");
    BREAK(ledger->flown, -1, "flown");
    BREAK(ledger->dead[WG_PUPA][WG_CAUSE_COLD], -1, "dead");
    BREAK(ledger->dead[WG_PUPA][WG_CAUSE_COLD], ledger->dead[WG_PUPA][WG_CAUSE_COLD] + 1, "in less out");
    BREAK(ledger->feed_given_kg, ledger->feed_given_kg * 1.001 + 1, "feed given less feed used");
    BREAK(colony->alive, colony->alive + 1, "alive less those counted");
}

static void break_step(struct wg_colony *colony) {
    BREAK(colony->day, -1, "day");
    BREAK(colony->to, 25, "to is 25");
    BREAK(colony->from, colony->to + 1, "from");
    BREAK(colony->dt_day, 0.5, "dt_day");
    BREAK(colony->sky.day, colony->sky.day + 1, "sky.day");
    BREAK(colony->sky.mean_c, (double)NAN, "sky.mean_c");
    BREAK(colony->sky.day_length_h, 25.0, "day_length_h");
    BREAK(colony->power_out_to_h, -1, "power_out_to_h");
}

static void break_everything(struct wg_colony *colony) {
    expect_sound(colony);
    if (colony->day % 25 != 0)
        return;
    break_cohorts(colony);
    break_pools(colony);
    break_bin(colony);
    break_place(colony);
    break_ledger(colony);
    break_step(colony);
    expect_sound(colony);
}

/* Lines of this source that call BREAK or BREAK_COHORT. */
static int breaking_lines(bool is_one[MOST_LINES]) {
    FILE *const source = fopen(WG_SOURCE_DIR "/tests/colony/test_verify.c", "r");
    char text[400];
    int n = 0;
    cr_assert_not_null(source);
    for (int line = 1; fgets(text, sizeof text, source) != NULL; line++) {
        const char *const word = text + strspn(text, " ");
        is_one[line] = strchr(word, '\\') == NULL && /* not in a macro */
                       (strncmp(word, "BREAK(", 6) == 0 || strncmp(word, "BREAK_COHORT(", 13) == 0);
        n += is_one[line];
    }
    (void)fclose(source);
    return n;
}

Test(verify, whatever_is_broken_is_named) {
    struct wg_plan plan;
    bool is_one[MOST_LINES] = {false};
    plan_of_all_pools(&plan);
    at_end_of_step = break_everything;
    live_verified(&plan, 1);
    cr_expect_geq(breaking_lines(is_one), 70);
    for (int line = 0; line < MOST_LINES; line++)
        cr_expect(!is_one[line] || is_broken_once[line], "line %d was never broken: was its pool empty all the time?",
                  line);
    wg_plan_free(&plan);
}

/* ---- printed ---- */

static char printed[400000];

#define EXPECT_PRINTED(call, start)                                                                                    \
    do {                                                                                                               \
        FILE *const to = fmemopen(printed, sizeof printed, "w");                                                       \
        cr_assert_not_null(to);                                                                                        \
        (void)(call);                                                                                                  \
        (void)fclose(to);                                                                                              \
        cr_expect_eq(strncmp(printed, start, strlen(start)), 0, "%.200s", printed);                                    \
    } while (0)

static void print_once(struct wg_colony *colony) {
    if (colony->day != 20)
        return;
    for (int broken = 0; broken < 2; broken++) {
        FILE *const to = fmemopen(printed + broken * sizeof printed / 2, sizeof printed / 2, "w");
        cr_assert_not_null(to);
        colony->bin[0].give_back += 2 * broken;
        wg_colony_print_state(colony, to);
        colony->bin[0].give_back = 0;
        (void)fclose(to);
    }
}

Test(verify, a_printed_state_says_what_is_there_and_whether_it_is_sound) {
    struct wg_plan plan;
    plan_laboratory(&plan, 27, 30);
    plan_start(&plan, 20, WG_MOVABLE_EGGS, 0, 1234567);
    plan_immortal(&plan);
    at_end_of_step = print_once;
    live_verified(&plan, 0);
    cr_expect_eq(strncmp(printed, "sound\nday 20 (21 January 2026), hours 24 to 24, alive 1234567\n", 60), 0, "%.200s",
                 printed);
    cr_expect_not_null(strstr(printed, "  egg: n 1, capacity"), "%.2000s", printed);
    cr_expect_not_null(strstr(printed, "    0: count 1234567, x 0."), "%.2000s", printed);
    cr_expect_not_null(strstr(printed, "place 0 \"place\": laboratory"), "%.4000s", printed);
    cr_expect_not_null(strstr(printed + sizeof printed / 2, "NOT SOUND: bin 0: give_back is 2 and must"));
    wg_plan_free(&plan);
}

/* ---- world, climate, weather, summary ---- */

static void expect_world_names(const struct wg_world *world, const char *word) {
    struct wg_error err = {0};
    cr_expect_lt(wg_world_verify(world, &err), 0, "%s may be broken", word);
    cr_expect_not_null(strstr(err.text, word), "%s: %s does not name %s", err.where, err.text, word);
}

#define BREAK_WORLD(place, broken, word)                                                                               \
    do {                                                                                                               \
        __typeof__(place) const kept = (place);                                                                        \
        (place) = (broken);                                                                                            \
        expect_world_names(&world, word);                                                                              \
        (place) = kept;                                                                                                \
    } while (0)

Test(verify, what_is_broken_in_a_world_is_named) {
    struct wg_plan plan;
    struct wg_world world = {0};
    struct wg_error err = {0};
    plan_of_all_pools(&plan);
    cr_assert_eq(wg_world_init(&world, &plan, &err), 0, "%s", err.text);
    BREAK_WORLD(plan.steps_per_day, 7, "steps_per_day");
    BREAK_WORLD(world.n_generations, 2, "n_generations");
    BREAK_WORLD(world.n_lineages, 7, "n_lineages");
    BREAK_WORLD(world.clocks.dormancy.top, (double)NAN, "top");
    BREAK_WORLD(world.clocks.stage[WG_CLOCK_PUPA].per_step, 0.0, "per_step");
    BREAK_WORLD(world.clocks.stage[WG_CLOCK_PUPA].cubic[3][0], 0.5, "ln S");
    BREAK_WORLD(world.growth.mean[5], 1.1, "mean");
    BREAK_WORLD(world.growth.appetite[5], -0.1, "appetite");
    BREAK_WORLD(world.places[1].n_bins, 2, "n_bins");
    BREAK_WORLD(world.climate->high_c[100], -50.0, "high_c - low_c");
    BREAK_WORLD(world.climate->high_sd_c[7], -1.0, "high_sd_c");
    BREAK_WORLD(world.climate->low_sd_c[7], (double)NAN, "low_sd_c");
    BREAK_WORLD(world.climate->wave_c[7], (double)NAN, "wave_c");
    BREAK_WORLD(world.climate->day_length_h[0], 24.5, "day_length_h");
    BREAK_WORLD(world.climate->above[364], -1.0, "above");
    BREAK_WORLD(world.climate->sun_share[10][12], 0.9, "sun_share");
    BREAK_WORLD(world.climate->shape[3].first, 24, "shape.first");
    BREAK_WORLD(world.climate->shape[3].last, -1, "shape.last");
    BREAK_WORLD(world.climate->generator.a[0][0], 1.5, "of a");
    BREAK_WORLD(world.climate->generator.b[0][0], 2.0, "b[0][0]");
    BREAK_WORLD(world.climate->generator.b[1][1], (double)NAN, "b[1][1]");
    EXPECT_PRINTED(wg_world_print_state(&world, to), "sound\nn_generations");
    wg_world_free(&world);
    wg_plan_free(&plan);
}

static void expect_weather_names(const struct wg_weather *weather, const struct wg_climate *climate, const char *word) {
    struct wg_error err = {0};
    cr_expect_eq(wg_weather_verify(weather, climate, &err), WG_ERR_INTERNAL, "%s may be broken", word);
    cr_expect_not_null(strstr(err.text, word), "%s: %s does not name %s", err.where, err.text, word);
}

Test(verify, what_is_broken_in_the_weather_is_named) {
    struct wg_plan plan;
    struct wg_world world = {0};
    struct wg_weather weather = {0};
    struct wg_error err = {0};
    gsl_rng *const rng = gsl_rng_alloc(wg_rng_type());
    plan_outdoors(&plan, 30);
    cr_assert_eq(wg_world_init(&world, &plan, &err), 0, "%s", err.text);
    cr_assert_eq(wg_weather_init(&weather, world.climate, &err), 0, "%s", err.text);
    wg_rng_start(rng, 1, 0, WG_PURPOSE_WEATHER);
    wg_weather_draw(&weather, world.climate, rng);
    cr_expect_eq(wg_weather_verify(&weather, world.climate, &err), 0, "%s: %s", err.where, err.text);
    EXPECT_PRINTED(wg_weather_print_state(&weather, world.climate, to), "sound\n18 April 2026: low_c ");
    const double low_c = weather.low_c[9];
    weather.low_c[9] = weather.high_c[9] + 1;
    expect_weather_names(&weather, world.climate, "high_c");
    weather.low_c[9] = (double)NAN;
    expect_weather_names(&weather, world.climate, "low_c");
    weather.low_c[9] = low_c;
    weather.anomaly_c[0] = (double)INFINITY;
    expect_weather_names(&weather, world.climate, "anomaly_c");
    weather.anomaly_c[0] = 0;
    weather.n_days--;
    expect_weather_names(&weather, world.climate, "n_days");
    weather.n_days++;
    weather.first_day++;
    expect_weather_names(&weather, world.climate, "first_day");
    gsl_rng_free(rng);
    wg_weather_free(&weather);
    wg_world_free(&world);
    wg_plan_free(&plan);
}

static void expect_summary_names(const struct wg_summary *summary, const char *word) {
    struct wg_error err = {0};
    cr_expect_eq(wg_summary_verify(summary, &err), WG_ERR_INTERNAL, "%s may be broken", word);
    cr_expect_not_null(strstr(err.text, word), "%s: %s does not name %s", err.where, err.text, word);
}

static void do_nothing(struct wg_colony *colony) {
    (void)colony;
}

Test(verify, what_is_broken_in_a_summary_is_named) {
    struct wg_plan plan;
    struct wg_summary summary = {0};
    struct wg_error err = {0};
    at_end_of_step = do_nothing;
    plan_laboratory(&plan, 27, 30);
    plan_start(&plan, 0, WG_MOVABLE_EGGS, 0, 500);
    cr_assert_eq(wg_summary_init(&summary, &plan, 4, &err), 0);
    const struct wg_observer observer = wg_summary_observer(&summary);
    cr_assert_eq(wg_ensemble_run(&plan, &(struct wg_ensemble_options){.count = 3, .threads = 1}, &observer, 1, &err),
                 0);
    cr_expect_eq(wg_summary_verify(&summary, &err), 0, "%s: %s", err.where, err.text);
    EXPECT_PRINTED(wg_summary_print_state(&summary, to), "sound\nn 3, capacity 4\nreplicate 0: survived 1 ");
    double *const peak = (double *)wg_summary_outcome(&summary, WG_OUTCOME_peak_larvae), kept = peak[2];
    peak[2] = -1;
    expect_summary_names(&summary, "peak_larvae is -1");
    peak[2] = kept;
    double *const first = (double *)wg_summary_outcome(&summary, WG_OUTCOME_first_adult_day);
    first[0] = 31;
    expect_summary_names(&summary, "first_adult_day is 31");
    first[0] = (double)NAN; /* may be: it did not happen */
    cr_expect_eq(wg_summary_verify(&summary, &err), 0, "%s: %s", err.where, err.text);
    summary.n = 5;
    expect_summary_names(&summary, "n is 5");
    summary.n = 3;
    wg_summary_free(&summary);
    wg_plan_free(&plan);
}
