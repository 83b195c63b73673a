/*
 * Replicates with gaps between them, and replicates that somebody else lives: what the processes of MPI build on. The
 * processes themselves are tested by tests/cli/ranks.py, which starts real ones. The witness is the plain ensemble,
 * whose own witness is in test_ensemble.c.
 */
#include "forecast/ranks.h"
#include "forecast/watching.h"
#include "support/plans.h"

TestSuite(elsewhere);

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

Test(elsewhere, strides_add_up_to_the_whole) {
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

/* Somebody who keeps what he was asked and answers with a code. */
struct somebody {
    const struct wg_plan *plan;
    int64_t first, count;
    int n_observers, answer;
};

static int ask(void *self, const struct wg_plan *plan, const struct wg_ensemble_options *options,
               const struct wg_observer *observers, int n_observers, struct wg_error *error) {
    struct somebody *const somebody = self;
    (void)observers;
    (void)error;
    somebody->plan = plan;
    somebody->first = options->first;
    somebody->count = options->count;
    somebody->n_observers = n_observers;
    return somebody->answer;
}

Test(elsewhere, is_asked_in_place_of_threads) {
    struct wg_plan plan;
    struct watching nobody = {0};
    struct somebody somebody = {.answer = WG_STOPPED};
    const struct wg_backend elsewhere = {ask, &somebody};
    small_plan(&plan);
    const struct wg_ensemble_options options = {.first = 7, .count = 5, .backend = &elsewhere};
    cr_assert_eq(watch_some(&nobody, &plan, &options), WG_STOPPED);
    cr_assert_eq(nobody.n, 0);
    cr_assert_eq(somebody.plan, &plan);
    cr_assert_eq(somebody.first, 7);
    cr_assert_eq(somebody.count, 5);
    cr_assert_eq(somebody.n_observers, 1);
    wg_plan_free(&plan);
}

Test(elsewhere, an_ordinary_build_is_alone) {
    cr_assert_eq(wg_ranks_begin(NULL, NULL, &err), 0);
    cr_assert_eq(wg_ranks_count(), 1);
    cr_assert_eq(wg_ranks_rank(), 0);
    wg_ranks_end();
}
