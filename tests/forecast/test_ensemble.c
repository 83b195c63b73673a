/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks ensembles: the same bytes for any number of threads, in order, each replicate as if computed alone. The
 * independent reference is plan_simulate() of the tests' support, which simulates one replicate without threads or ring buffer.
 *
 * Errors inside a replicate, and threads that cannot be started: tests/faults/test_ensemble_faults.c.
 */
#include "forecast/lattice.h"
#include "forecast/watching.h"
#include "support/plans.h"

#include <pthread.h>
#include <stdio.h>

TestSuite(ensemble);

static struct wg_error err;

/* A season outdoors with all random processes: weather, births and deaths, power cuts, raids, wild flies. */
static void chancy_plan(struct wg_plan *plan) {
    plan_outdoors(plan, 70);
    plan_start(plan, 0, WG_MOVABLE_LARVAE, 5, 3000);
    plan_feed(plan, 1.4);
    plan_collect(plan, 0.5);
    plan->mishaps =
        (struct wg_mishaps){.power_cuts_per_year = 30, .power_cut_hours = 12, .raids_per_year = 20, .raid_share = 0.4};
    plan->wild_peak_per_day = 2;
}

/* ---- the same bytes ---- */

Test(ensemble, shows_the_same_bytes_for_1_2_3_and_8_threads) {
    static const int threads[] = {2, 3, 8, 0};
    struct wg_plan plan;
    struct watching one = {0};
    chancy_plan(&plan);
    cr_assert_eq(watch_run(&one, &plan, 0, 40, 1, &err), 0, "%s", err.text);
    cr_assert_eq(one.n, 40);
    for (size_t i = 0; i < sizeof threads / sizeof *threads; i++) {
        struct watching many = {0};
        cr_assert_eq(watch_run(&many, &plan, 0, 40, threads[i], &err), 0, "%s", err.text);
        cr_assert_arr_eq(&many, &one, sizeof one, "%d threads", threads[i]);
    }
    wg_plan_free(&plan);
}

Test(ensemble, shows_each_replicate_as_if_it_were_computed_alone) {
    struct wg_plan plan;
    struct watching all = {0};
    chancy_plan(&plan);
    cr_assert_eq(watch_run(&all, &plan, 0, 20, 2, &err), 0, "%s", err.text);
    for (int64_t k = 0; k < 20; k += 3) {
        struct watching alone = {0};
        cr_assert_eq(watch_run(&alone, &plan, k, 1, 1, &err), 0, "%s", err.text);
        cr_assert_eq(alone.n, 1);
        cr_assert_eq(alone.replicate[0], k);
        cr_assert_eq(alone.hash[0], all.hash[k], "replicate %lld", (long long)k);
    }
    wg_plan_free(&plan);
}

Test(ensemble, agrees_with_a_replicate_lived_in_a_straight_line) {
    struct wg_plan plan;
    struct watching all = {0};
    chancy_plan(&plan);
    cr_assert_eq(watch_run(&all, &plan, 0, 6, 3, &err), 0, "%s", err.text);
    for (int k = 0; k < 6; k++) {
        struct wg_diary diary;
        plan_simulate(&plan, (uint64_t)k, &diary);
        cr_assert_eq(all.hash[k], hash_diary(&diary), "replicate %d", k);
        wg_diary_free(&diary);
    }
    wg_plan_free(&plan);
}

Test(ensemble, starts_as_far_out_as_asked) {
    struct wg_plan plan;
    struct watching far = {0};
    struct wg_diary diary;
    chancy_plan(&plan);
    cr_assert_eq(watch_run(&far, &plan, INT64_C(1) << 40, 3, 2, &err), 0, "%s", err.text);
    cr_assert_eq(far.n, 3);
    cr_assert_eq(far.replicate[2], (INT64_C(1) << 40) + 2);
    plan_simulate(&plan, (UINT64_C(1) << 40) + 2, &diary);
    cr_assert_eq(far.hash[2], hash_diary(&diary));
    wg_diary_free(&diary);
    wg_plan_free(&plan);
}

/* Replicates of two blocks; plan_simulate() builds the world of each animal from nothing, with clocks of its own. */
Test(ensemble, lives_plausible_animals_with_the_same_bytes_for_any_number_of_threads) {
    static const int threads[] = {1, 2, 8};
    enum { FIRST = WG_LATTICE_BLOCK - 30, COUNT = 60 };
    struct wg_plan plan;
    chancy_plan(&plan);
    plan.animals = WG_ANIMALS_PLAUSIBLE;
    plan.is_given[wg_parameter_index(wg_species_find("stay_open"))] = true;
    struct watching seen[3] = {{0}};
    for (int i = 0; i < 3; i++)
        cr_assert_eq(watch_run(&seen[i], &plan, FIRST, COUNT, threads[i], &err), 0, "%s", err.text);
    cr_assert_arr_eq(&seen[1], &seen[0], sizeof seen[0]);
    cr_assert_arr_eq(&seen[2], &seen[0], sizeof seen[0]);
    for (int k = 0; k < COUNT; k += 7) {
        struct wg_diary diary;
        plan_simulate(&plan, (uint64_t)(FIRST + k), &diary);
        cr_assert_eq(seen[0].hash[k], hash_diary(&diary), "replicate %d", FIRST + k);
        wg_diary_free(&diary);
    }
    wg_plan_free(&plan);
}

Test(ensemble, gives_every_replicate_and_every_seed_a_life_of_its_own) {
    struct wg_plan plan;
    struct watching first = {0}, second = {0};
    chancy_plan(&plan);
    plan.seed = 4357; /* differs only above 32 bits, which a 32-bit seed would ignore */
    cr_assert_eq(watch_run(&first, &plan, 0, 20, 2, &err), 0, "%s", err.text);
    plan.seed += UINT64_C(1) << 32;
    cr_assert_eq(watch_run(&second, &plan, 0, 20, 2, &err), 0, "%s", err.text);
    for (int i = 0; i < 20; i++)
        for (int j = 0; j < 20; j++) {
            cr_assert(i == j || first.hash[i] != first.hash[j], "replicates %d and %d", i, j);
            cr_assert_neq(first.hash[i], second.hash[j]);
        }
    wg_plan_free(&plan);
}

/* ---- compared scenarios have the same weather ---- */

struct winters {
    int n;
    uint64_t weather[8], cuts[8], colony[8];
};

static int note_winter(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *error) {
    struct winters *const winters = self;
    (void)replicate;
    (void)error;
    const size_t size = sizeof(double) * (size_t)diary->n_days;
    winters->weather[winters->n] = hash_bytes(1, diary->outdoor_temperature, size);
    winters->cuts[winters->n] = hash_bytes(1, diary->power_out_hours, size);
    winters->colony[winters->n++] = hash_bytes(1, diary->count, size * WG_N_STAGES);
    return 0;
}

Test(ensemble, gives_another_colony_the_same_weather_and_power_cuts) {
    struct winters winters[2] = {{0}};
    for (int i = 0; i < 2; i++) {
        struct wg_plan plan;
        chancy_plan(&plan);
        plan_start(&plan, 10, WG_MOVABLE_EGGS, 0, i == 0 ? 1 : 100000);
        plan.species.larva_dry = i == 0 ? 0.33 : 0.30;
        const struct wg_observer observer = {.on_replicate = note_winter, .self = &winters[i]};
        const struct wg_ensemble_options options = {.count = 8, .threads = 2};
        cr_assert_eq(wg_ensemble_run(&plan, &options, &observer, 1, &err), 0, "%s", err.text);
        wg_plan_free(&plan);
    }
    cr_assert_arr_eq(winters[0].weather, winters[1].weather, sizeof winters[0].weather);
    cr_assert_arr_eq(winters[0].cuts, winters[1].cuts, sizeof winters[0].cuts);
    for (int k = 0; k < 8; k++)
        cr_assert_neq(winters[0].colony[k], winters[1].colony[k]);
    cr_assert_neq(winters[0].weather[0], winters[0].weather[1]);
}

struct shared_winters {
    const struct wg_plan *plan;
    uint64_t weather[2 * WG_LATTICE_ANIMALS], cuts[2 * WG_LATTICE_ANIMALS];
    int n[2 * WG_LATTICE_ANIMALS];
};

static int check_winter(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *error) {
    struct shared_winters *const shared = self;
    const int64_t winter = wg_lattice_cell(shared->plan, replicate).winter;
    const size_t size = sizeof(double) * (size_t)diary->n_days;
    const uint64_t weather = hash_bytes(1, diary->outdoor_temperature, size);
    const uint64_t cuts = hash_bytes(1, diary->power_out_hours, size);
    (void)error;
    if (shared->n[winter]++ > 0)
        cr_assert(weather == shared->weather[winter] && cuts == shared->cuts[winter], "winter %d", (int)winter);
    shared->weather[winter] = weather;
    shared->cuts[winter] = cuts;
    return 0;
}

Test(ensemble, gives_the_animals_of_a_winter_the_same_weather_and_power_cuts) {
    struct wg_plan plan;
    plan_outdoors(&plan, 20);
    plan.mishaps = (struct wg_mishaps){.power_cuts_per_year = 200, .power_cut_hours = 12};
    plan.animals = WG_ANIMALS_PLAUSIBLE;
    struct shared_winters shared = {.plan = &plan};
    const struct wg_observer observer = {.on_replicate = check_winter, .self = &shared};
    const struct wg_ensemble_options options = {.count = WG_LATTICE_BLOCK + 10};
    cr_assert_eq(wg_ensemble_run(&plan, &options, &observer, 1, &err), 0, "%s", err.text);
    for (int i = 1; i < WG_LATTICE_ANIMALS; i++) {
        cr_assert_eq(shared.n[i], 8);
        cr_assert_neq(shared.weather[i], shared.weather[0]);
    }
    wg_plan_free(&plan);
}

/* ---- order ---- */

struct roll {
    pthread_t caller;
    int calls[2]; /* of each observer */
    int64_t done; /* as progress said */
};
struct pupil {
    struct roll *roll;
    int place;
};

static int answer(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *error) {
    const struct pupil *const pupil = self;
    struct roll *const roll = pupil->roll;
    (void)diary;
    (void)error;
    cr_assert(pthread_equal(roll->caller, pthread_self()), "observers are called in the calling thread");
    cr_assert_eq(replicate, 5 + roll->calls[pupil->place], "replicate after replicate");
    cr_assert_eq(roll->calls[0], roll->calls[1] + pupil->place, "observers take turns as they stand in the list");
    cr_assert_eq(roll->done, roll->calls[pupil->place], "progress comes after the observers");
    roll->calls[pupil->place]++;
    return 0;
}

static void progress(void *self, int64_t done, int64_t count) {
    struct roll *const roll = self;
    cr_assert_eq(done, roll->done + 1);
    cr_assert_eq(count, 30);
    roll->done = done;
}

Test(ensemble, calls_observers_and_progress_in_order_in_the_calling_thread) {
    struct wg_plan plan;
    plan_laboratory(&plan, 27, 10);
    plan_start(&plan, 0, WG_MOVABLE_EGGS, 0, 1000);
    struct roll roll = {.caller = pthread_self()};
    struct pupil pupils[2] = {{&roll, 0}, {&roll, 1}};
    const struct wg_observer observers[2] = {{answer, &pupils[0]}, {answer, &pupils[1]}};
    const struct wg_ensemble_options options = {
        .first = 5, .count = 30, .threads = 4, .progress = progress, .progress_self = &roll};
    cr_assert_eq(wg_ensemble_run(&plan, &options, observers, 2, &err), 0, "%s", err.text);
    cr_assert_eq(roll.calls[0], 30);
    cr_assert_eq(roll.calls[1], 30);
    cr_assert_eq(roll.done, 30);
    wg_plan_free(&plan);
}

Test(ensemble, runs_with_nobody_looking_on) {
    struct wg_plan plan;
    plan_laboratory(&plan, 27, 3);
    const struct wg_ensemble_options options = {.count = 9, .threads = 2};
    cr_assert_eq(wg_ensemble_run(&plan, &options, NULL, 0, &err), 0, "%s", err.text);
    wg_plan_free(&plan);
}

/* ---- early ends ---- */

Test(ensemble, ends_with_what_an_observer_returns) {
    static const int answers[] = {WG_ERR_FILE, 7};
    for (size_t i = 0; i < 2; i++)
        for (int threads = 1; threads <= 8; threads *= 2) {
            struct wg_plan plan;
            struct wg_error error = {0};
            struct watching watching = {.refuse_at = 3, .refuse_with = answers[i]};
            plan_laboratory(&plan, 27, 5);
            cr_assert_eq(watch_run(&watching, &plan, 0, 50, threads, &error), answers[i]);
            cr_assert_eq(watching.n, 4, "nothing is shown after a refusal");
            cr_assert_str_eq(error.text, answers[i] < 0 ? "refused" : "");
            cr_assert_eq(error.code, answers[i] < 0 ? answers[i] : 0);
            wg_plan_free(&plan);
        }
}

static atomic_int stop;

static int stop_at_sixth(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *error) {
    (void)diary;
    (void)error;
    ++*(int *)self;
    if (replicate == 5)
        atomic_store(&stop, 15);
    return 0;
}

Test(ensemble, stops_when_asked_to) {
    for (int threads = 1; threads <= 8; threads *= 2) {
        struct wg_plan plan;
        int seen = 0;
        plan_laboratory(&plan, 27, 5);
        atomic_store(&stop, 0);
        const struct wg_observer observer = {.on_replicate = stop_at_sixth, .self = &seen};
        const struct wg_ensemble_options options = {.count = 1000000, .threads = threads, .stop = &stop};
        cr_assert_eq(wg_ensemble_run(&plan, &options, &observer, 1, &err), WG_STOPPED);
        cr_assert_eq(seen, 6, "nothing is shown after the stop");
        cr_assert_eq(err.code, 0, "being stopped is no error");
        wg_plan_free(&plan);
    }
}

Test(ensemble, shows_nothing_if_asked_to_stop_at_once) {
    struct wg_plan plan;
    int seen = 0;
    plan_laboratory(&plan, 27, 5);
    atomic_store(&stop, 1);
    const struct wg_observer observer = {.on_replicate = stop_at_sixth, .self = &seen};
    const struct wg_ensemble_options options = {.count = 10, .threads = 2, .stop = &stop};
    cr_assert_eq(wg_ensemble_run(&plan, &options, &observer, 1, &err), WG_STOPPED);
    cr_assert_eq(seen, 0);
    wg_plan_free(&plan);
}

Test(ensemble, refuses_a_climate_that_cannot_be) {
    struct wg_plan plan;
    struct watching watching = {0};
    plan_outdoors(&plan, 5);
    plan.climate.latitude_deg = 89;
    cr_assert_lt(watch_run(&watching, &plan, 0, 5, 2, &err), 0);
    cr_assert_neq(err.text[0], '\0');
    cr_assert_eq(watching.n, 0);
    wg_plan_free(&plan);
}

/* ---- overflow ---- */

Test(ensemble, names_the_day_and_the_way_out_when_a_colony_outgrows_all_count) {
    struct wg_plan plan;
    struct wg_diary diary;
    char date[24], first[sizeof err.text] = "";
    plan_laboratory(&plan, 29, 2000);
    plan_start(&plan, 0, WG_MOVABLE_EGGS, 0, 1000000);
    plan_simulate(&plan, 0, &diary);
    cr_assert_geq(diary.stopped_day, plan.first_day, "the test needs a colony without bounds");
    wg_day_format_long(diary.stopped_day, date);
    for (int threads = 1; threads <= 8; threads *= 2) {
        struct wg_error error = {0};
        struct watching watching = {0};
        cr_assert_eq(watch_run(&watching, &plan, 0, 4, threads, &error), WG_ERR_OVERGROWN);
        cr_assert_eq(watching.n, 0);
        cr_assert_not_null(strstr(error.text, date), "the date %s in: %s", date, error.text);
        cr_assert_not_null(strstr(error.text, "end the period before"), "%s", error.text);
        cr_assert_not_null(strstr(error.text, "feeding plan"), "%s", error.text);
        if (threads == 1)
            strcpy(first, error.text);
        cr_assert_str_eq(error.text, first, "%d threads", threads);
    }
    struct watching obedient = {0};
    plan.last_day = diary.stopped_day - 1;
    cr_assert_eq(watch_run(&obedient, &plan, 0, 1, 1, &err), 0, "who does as told is not told again: %s", err.text);
    wg_diary_free(&diary);
    wg_plan_free(&plan);
}
