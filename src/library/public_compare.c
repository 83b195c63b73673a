/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Compares two runs replicate by replicate, as the command `compare` does.
 */
#include "analysis/cells.h"
#include "analysis/compare.h"
#include "library/public.h"

#include <stdlib.h>
#include <string.h>

const char *wintergrub_compared(int i) {
    return i < 0 || i >= WG_N_COMPARED ? NULL : wg_diary_outcomes()[wg_compared_outcome((enum wg_compared)i)].name;
}

static int find_compared(const char *outcome) {
    int i = 0;
    while (i < WG_N_COMPARED && strcmp(wintergrub_compared(i), outcome) != 0)
        i++;
    return i < WG_N_COMPARED ? i : -1;
}

static int check_same_runs(const wintergrub_summary *base, const wintergrub_summary *summary, struct wg_error *err) {
    const struct wg_plan *const a = &base->as_run, *const b = &summary->as_run;
    if (base->outcomes.n != a->replicates || summary->outcomes.n != b->replicates)
        return wg_fail(err, WG_ERR_USAGE, NULL, "A run that was stopped early cannot be compared.");
    if (a->replicates != b->replicates || a->seed != b->seed)
        return wg_fail(err, WG_ERR_USAGE, NULL,
                       "Runs can be compared if they have the same number of replicates (here %lld and %lld) and the "
                       "same seed (%llu and %llu).",
                       (long long)a->replicates, (long long)b->replicates, (unsigned long long)a->seed,
                       (unsigned long long)b->seed);
    if ((a->animals == WG_ANIMALS_MIDDLE) != (b->animals == WG_ANIMALS_MIDDLE))
        return wg_fail(err, WG_ERR_INPUT, NULL,
                       "One plan lives plausible animals and the other the middle one only, in winters of its own: "
                       "give both the same \"species: {animals: ...}\".");
    return 0;
}

/* Finds whether the plans have the same days. */
static int check_same_days(const wintergrub_summary *base, const wintergrub_summary *summary, struct wg_error *err) {
    struct wg_compare *const both = calloc(1, sizeof *both);
    if (both == NULL)
        return wg_no_memory(err, NULL);
    both->n = 2;
    both->setup[0] = (struct wg_setup){.plan = &base->as_run, .name = base->name};
    both->setup[1] = (struct wg_setup){.plan = &summary->as_run, .name = summary->name};
    const int code = wg_compare_check(both, err);
    free(both);
    return code;
}

static int compute_public_difference(struct wg_difference *found, const wintergrub_summary *base,
                                     const wintergrub_summary *summary, enum wg_compared compared,
                                     struct wg_error *err) {
    const struct wg_plan *const plan = &base->as_run;
    const enum wg_outcome_number outcome = wg_compared_outcome(compared);
    struct wg_split_value *cells = NULL;
    int code = wg_plan_shares_cells(plan) ? wg_cells_of(&cells, plan, plan->replicates, err) : 0;
    if (code == 0)
        code = wg_compared_difference(found, wg_summary_outcome(&base->outcomes, outcome),
                                      wg_summary_outcome(&summary->outcomes, outcome), cells, plan->replicates,
                                      compared, WG_COMPARE_CONFIDENCE, err);
    free(cells);
    return code;
}

int wintergrub_summary_difference(const wintergrub_summary *base, const wintergrub_summary *summary,
                                  const char *outcome, struct wintergrub_difference *difference,
                                  struct wintergrub_error *error) {
    struct wg_error err = {0};
    struct wg_difference d = {0};
    const int number = find_compared(outcome);
    if (number < 0)
        return wg_public_fail(error, WG_ERR_USAGE, NULL, "\"%.60s\" is not an outcome that can be compared.", outcome);
    const enum wg_compared compared = (enum wg_compared)number;
    int code = check_same_runs(base, summary, &err);
    if (code == 0)
        code = check_same_days(base, summary, &err);
    if (code == 0)
        code = compute_public_difference(&d, base, summary, compared, &err);
    if (code < 0)
        return wg_public_error(error, &err);
    *difference = (struct wintergrub_difference){.n = d.n,
                                                 .mean = d.mean,
                                                 .sd = d.sd,
                                                 .low = d.interval.low,
                                                 .high = d.interval.high,
                                                 .better = d.better,
                                                 .worse = d.worse,
                                                 .ties = d.ties,
                                                 .chance = d.chance,
                                                 .chance_low = d.chance_interval.low,
                                                 .chance_high = d.chance_interval.high,
                                                 .animals_better = d.animals.better,
                                                 .animals_same = d.animals.same,
                                                 .animals_worse = d.animals.worse,
                                                 .variance_factor = d.variance_factor,
                                                 .less_is_better = wg_compared_better(compared) == WG_LESS_IS_BETTER};
    return 0;
}
