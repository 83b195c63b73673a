/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The results of a sweep as a table and as JSON.
 */
#ifndef WG_ANSWERS_SWEEP_TEXT_H
#define WG_ANSWERS_SWEEP_TEXT_H

#include "report/forecast_facts.h"
#include "text/show.h"
#include "json/json.h"

struct wg_sweep_item {
    char *scenario; /* path */
    char *name;     /* its stem, for the keeper */
    char *result;   /* path, FOLDER/STEM.h5 */
};
/** Zero-initialise; owned. */
struct wg_sweep_list {
    int64_t n, capacity;
    struct wg_sweep_item *item;
};
/** The numbers of a scenario's replicates, from a run or from a result. */
struct wg_sweep_numbers {
    struct wg_summary summary;
    struct wg_goal_tally odds;
};

/** One line of the table, as text. */
struct wg_sweep_row {
    char alive[16], goals[16];
    char first[WG_SHOWN_SIZE], harvest[WG_SHOWN_SIZE], cost[WG_SHOWN_SIZE];
    bool is_kept;   /* the result existed already */
    bool is_failed; /* the cells are empty */
    bool is_older;  /* a result of an older version of the scenario remains */
};
/** Fills a row. Returns 0 or WG_ERR_MEMORY. */
int wg_sweep_row_fill(struct wg_sweep_row *row, const struct wg_plan *plan, const struct wg_sweep_numbers *numbers,
                      struct wg_error *err);
void wg_sweep_print(const struct wg_sweep_list *list, const struct wg_sweep_row *rows, const char *folder, FILE *to);
/**
 * Writes one scenario into the open list. `why`: from wg_sweep_find_existing(), "" if it was kept or is new. Returns 0
 * or an error as wg_cells_init().
 */
int wg_sweep_put_json(struct wg_json *json, const struct wg_sweep_item *item, const struct wg_scenario *scenario,
                      const struct wg_sweep_numbers *numbers, bool is_kept, const char *why, struct wg_error *err);

#endif
