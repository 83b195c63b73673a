/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The trials of `size`: which replicates are lived at which value, which goals each met, and how much less they say
 * than independent ones.
 */
#ifndef WG_SIZING_SIZE_TRIALS_H
#define WG_SIZING_SIZE_TRIALS_H

#include "sizing/size.h"

/** WG_SIZE_ROW replicates at one value. */
struct wg_size_row {
    double value;
    int64_t first;
    uint8_t met[WG_SIZE_ROW]; /* bit g: met goal g */
};

/** Zero-initialise; free with wg_size_trials_free(). */
struct wg_size_trials {
    int64_t n_rows, capacity;
    struct wg_size_row *row;
};
void wg_size_trials_free(struct wg_size_trials *trials);

/** Simulates one more row at a value and adds its hits to the point. Returns 0, WG_ERR_MEMORY or the trial's error. */
int wg_size_trials_add(struct wg_size_trials *trials, const struct wg_size_question *question,
                       struct wg_size_point *point, struct wg_error *err);

/** How a goal's curve sees the points: `influence` and `chance` by point. */
struct wg_size_influence {
    int goal, n_points;
    const struct wg_size_point *point;
    double influence[WG_SIZE_MAX_POINTS], chance[WG_SIZE_MAX_POINTS];
    double variance; /* of the crossing with independent replicates */
};
/**
 * Sets *effect to the variance of the crossing, with replicates of one animal and of one winter correlated, over that of
 * independent ones; at least 1. Sums of influences by animal, plus by winter, minus by replicate (Cameron, Gelbach &
 * Miller 2011, J. Bus. Econ. Stat. 29:238). Returns 0 or WG_ERR_MEMORY.
 */
int wg_size_trials_design_effect(const struct wg_size_trials *trials, const struct wg_size_question *question,
                                 const struct wg_size_influence *influence, double *effect, struct wg_error *err);
/** Returns the trials and hits of a goal by animal and point, malloc'ed; *n_animals 0 (and NULL) if there is only one. */
int wg_size_trials_by_animal(const struct wg_size_trials *trials, const struct wg_size_question *question,
                             const struct wg_size *size, int goal, struct wg_curve_animal **animal, int *n_animals,
                             struct wg_error *err);

#endif
