/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks strides and backends, on which the MPI ranks rely; tests/cli/ranks.py starts real ranks. The reference is the
 * plain ensemble, which test_ensemble.c checks.
 */
#include "forecast/ranks.h"
#include "forecast/watching.h"
#include "support/plans.h"

TestSuite(backend);

static struct wg_error err;

static void small_plan(struct wg_plan *plan) {
    plan_outdoors(plan, 40);
    plan_start(plan, 0, WG_MOVABLE_LARVAE, 5, 500);
    plan_feed(plan, 1.0);
}

static int watch_some(struct watching *watching, const struct wg_plan *plan,
                      const struct wg_ensemble_options *options) {
    const struct wg_observer observer = {.on_replicate = watch_see, .self = watching};
    return wg_ensemble_run(plan, options, &observer, 1, &err);
}

Test(backend, strides_add_up_to_the_whole) {
    struct wg_plan plan;
    struct watching all = {0};
    small_plan(&plan);
    cr_assert_eq(watch_run(&all, &plan, 4, 17, 2, &err), 0, "%s", err.text);
    for (int64_t hand = 0; hand < 3; hand++) {
        struct watching some = {0};
        const struct wg_ensemble_options options = {
            .first = 4 + hand, .count = (17 - hand + 2) / 3, .stride = 3, .threads = 2};
        cr_assert_eq(watch_some(&some, &plan, &options), 0, "%s", err.text);
        cr_assert_eq(some.n, options.count);
        for (int i = 0; i < some.n; i++) {
            cr_assert_eq(some.replicate[i], 4 + hand + 3 * i);
            cr_assert_eq(some.hash[i], all.hash[hand + 3 * i], "replicate %lld", (long long)some.replicate[i]);
        }
    }
    wg_plan_free(&plan);
}

/* A backend that records its call and returns a code. */
struct recorded {
    const struct wg_plan *plan;
    int64_t first, count;
    int n_observers, answer;
};

static int ask(void *self, const struct wg_plan *plan, const struct wg_ensemble_options *options,
               const struct wg_observer *observers, int n_observers, struct wg_error *error) {
    struct recorded *const recorded = self;
    (void)observers;
    (void)error;
    recorded->plan = plan;
    recorded->first = options->first;
    recorded->count = options->count;
    recorded->n_observers = n_observers;
    return recorded->answer;
}

Test(backend, is_asked_in_place_of_threads) {
    struct wg_plan plan;
    struct watching nobody = {0};
    struct recorded recorded = {.answer = WG_STOPPED};
    const struct wg_backend backend = {ask, &recorded};
    small_plan(&plan);
    const struct wg_ensemble_options options = {.first = 7, .count = 5, .backend = &backend};
    cr_assert_eq(watch_some(&nobody, &plan, &options), WG_STOPPED);
    cr_assert_eq(nobody.n, 0);
    cr_assert_eq(recorded.plan, &plan);
    cr_assert_eq(recorded.first, 7);
    cr_assert_eq(recorded.count, 5);
    cr_assert_eq(recorded.n_observers, 1);
    wg_plan_free(&plan);
}

Test(backend, an_ordinary_build_is_alone) {
    cr_assert_eq(wg_ranks_begin(NULL, NULL, &err), 0);
    cr_assert_eq(wg_ranks_count(), 1);
    cr_assert_eq(wg_ranks_rank(), 0);
    wg_ranks_end();
}
