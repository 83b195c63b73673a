/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Simulates a plan for its warnings alone.
 */
#include "analysis/plan_warnings.h"

#include "forecast/work.h"

int wg_warnings_of_plan(struct wg_warnings *warnings, const struct wg_plan *plan,
                        const struct wg_ensemble_options *options, struct wg_error *err) {
    struct wg_warning_tally watch = {.plan = plan};
    struct wg_work work;
    int code = wg_work_init(&work, plan, options->count, err);
    const struct wg_observer observers[] = {wg_warning_observer(&watch), wg_work_observer(&work)};
    if (code == 0)
        code = wg_ensemble_run(plan, options, observers, 2, err);
    if (code == 0)
        wg_warnings_find(warnings, &watch, &work);
    wg_work_free(&work);
    return code;
}
