/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The state of a search of `size`, shared by its steps (size.c) and its curves (size_number.c).
 */
#ifndef WG_SIZING_SIZE_STATE_H
#define WG_SIZING_SIZE_STATE_H

#include "sizing/size_trials.h"

/** The curve of a goal; for one that falls along the search, along the mirrored coordinate. */
struct wg_size_goal {
    struct wg_curve curve;
    struct wg_curve_value value[WG_SIZE_MAX_POINTS];
    struct wg_curve_limits limits;
    bool falls;
};

struct wg_size_state {
    const struct wg_size_question *question;
    struct wg_size *size; /* during the search, points are in search order */
    struct wg_error *err;
    struct wg_size_trials trials;
    struct wg_size_goal goal[WG_MAX_GOALS];
    int starts_moved, ends_moved; /* how often the range was widened */
    int deciding;                 /* goal that needs most; -1: none rises */
    bool falls
        [WG_MAX_GOALS]; /* the goal's probability surely falls along the search, to a value that is not a sure yes */
    bool rises[WG_MAX_GOALS];
};

/** Returns the coordinate along which the search goes upwards. */
double wg_size_coordinate(const struct wg_size_question *q, double value);
/** Returns the value at a coordinate. */
double wg_size_value(const struct wg_size_question *q, double x);
/** Returns the coordinates of the start and the end of the search. */
double wg_size_start(const struct wg_size_state *state);
double wg_size_end(const struct wg_size_state *state);
/** Returns the tolerance around a coordinate. */
double wg_size_tolerance(const struct wg_size_question *q, double x);

/** Fits the curve of each goal to all trials so far, and finds which goal decides. */
void wg_size_fit(struct wg_size_state *state);
/** Returns the coordinate at which a goal crosses its wanted probability. */
double wg_size_crossing(const struct wg_size_state *state, int goal);
/** Returns the coordinate beyond which a falling goal fails; infinity without one. */
double wg_size_limit(const struct wg_size_state *state);
/** Returns the interval, as coordinates, that more replicates can narrow: as if they shared nothing. */
struct wg_interval wg_size_plain_interval(const struct wg_size_state *state);
/** Fills the number and the curves of the answer. Returns 0 or WG_ERR_MEMORY. */
int wg_size_number_fill(struct wg_size_state *state);

#endif
