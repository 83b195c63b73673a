/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/* Simulates any valid scenario once if it is short and small: no assertion may fail for any numbers. */
#include "forecast/ensemble.h"
#include "fuzz/fuzz.h"

#include <stdlib.h>
#include <string.h>

#define MOST_DAYS 400

/*
 * The limit on days x steps a day x (bins and places): 800 steps of one bin in one place. With sanitizers the busiest
 * such bin takes 0.4 s and a second one 0.2 s more (measured), so an input over FUZZ_MOST_SECONDS is a finding and not
 * just a large colony.
 */
#define MOST_STEPS 1600

static int on_replicate(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    (void)replicate, (void)err;
    *(int *)self += diary->n_days > 0;
    return 0;
}

void fuzz_one(const uint8_t *data, size_t size) {
    struct wg_scenario scenario;
    struct wg_mistakes problems;
    struct wg_error err = {0};
    int seen = 0;
    const int code = wg_scenario_read_text(&scenario, "fuzz.yaml", (const char *)data, size, NULL, 0, &problems, &err);
    const struct wg_plan *const plan = &scenario.plan;
    const int days = code == 0 ? plan->last_day - plan->first_day + 1 : 0;
    const int media = plan->n_bins + plan->n_places;
    if (code == 0 && days <= MOST_DAYS && days * plan->steps_per_day * media <= MOST_STEPS) {
        const struct wg_observer observer = {on_replicate, &seen};
        const struct wg_ensemble_options options = {.count = 1, .threads = 1};
        const int ran = wg_ensemble_run(plan, &options, &observer, 1, &err);
        fuzz_check_error(ran, &err);
        MUST(ran == 0 || ran == WG_ERR_OVERGROWN || ran == WG_ERR_INPUT);
        MUST(seen == (ran == 0));
    }
    wg_scenario_free(&scenario);
    wg_mistakes_free(&problems);
}
