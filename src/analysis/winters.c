/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Counts survival by winter of a replayed record.
 */
#include "analysis/winters.h"

#include "analysis/cells.h"

#include <stdlib.h>

/* Returns the winter of a year, inserted in order if it is new; NULL: no place for another. */
static struct wg_winter *find_winter(struct wg_winters *winters, int year) {
    int at = 0;
    while (at < winters->n && winters->winter[at].year < year)
        at++;
    if (at < winters->n && winters->winter[at].year == year)
        return &winters->winter[at];
    if (winters->n == WG_MAX_WINTERS)
        return NULL;
    for (int i = winters->n++; i > at; i--)
        winters->winter[i] = winters->winter[i - 1];
    winters->winter[at] = (struct wg_winter){.year = year};
    return &winters->winter[at];
}

int wg_winters_count(struct wg_winters *winters, const struct wg_plan *plan, const struct wg_summary *summary,
                     struct wg_error *err) {
    *winters = (struct wg_winters){0};
    if (!wg_plan_replays_winters(plan))
        return 0;
    const double *const survived = wg_summary_outcome(summary, WG_OUTCOME_survived);
    struct wg_split_value *cells;
    const int code = wg_cells_of(&cells, plan, summary->n, err);
    for (int64_t k = 0; k < summary->n && code == 0; k++) {
        struct wg_winter *const winter = find_winter(winters, (int)cells[k].winter);
        if (winter == NULL)
            continue;
        winter->n++;
        winter->alive += survived[k] > 0;
    }
    free(cells);
    return code;
}
