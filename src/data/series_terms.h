/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * How a result stores the daily series of the diary: CF terms, rounding, and series that repeat another one.
 */
#ifndef WG_DATA_SERIES_TERMS_H
#define WG_DATA_SERIES_TERMS_H

#include "colony/diary.h"

#include <stdbool.h>
#include <stddef.h>

/** CF-1.10, section 7.3 (cell methods) and appendix E; the table of standard names. */
struct wg_series_terms {
    const char *series;        /* its name in the diary's table */
    const char *cell_methods;  /* "time: sum" */
    const char *standard_name; /* NULL: the table of standard names has none */
};
/** Returns the terms of a series of the diary. */
const struct wg_series_terms *wg_series_terms(const char *series);

/** True if an outcome is a day of the period, which a file gives as a date. */
bool wg_outcome_is_date(const struct wg_outcome *outcome);
/** Returns a diary with the sizes of a plan and no arrays. */
struct wg_diary wg_series_shape(const struct wg_plan *plan);

/** Where the values of a series stand in a file. */
struct wg_series_place {
    const struct wg_series *series; /* the series asked for, or the one it would repeat */
    int column;                     /* of `series` along its third dimension; -1: all of it */
};
/** True if a plan has one place and that is outdoors. */
bool wg_series_outdoors(const struct wg_plan *plan);
/**
 * Finds where a series is stored: with one bin, what the bin has is the total, and only the total is in the file; with one
 * place, outdoors, the air of the place is that outdoors. `shape` has the number of places and bins.
 */
struct wg_series_place wg_series_place(const struct wg_diary *shape, bool outdoors, const struct wg_series *series);

/**
 * Bits of the fraction that daily real numbers keep in a file (judgement: 0.0002 degC of 30 degC). Rounding to the
 * nearest, ties to even, changes a number by at most 2^-17 = 0.0008 % of itself. The other 36 bits are zero and compress
 * to nothing.
 */
#define WG_SERIES_BITS 16
/** Rounds n numbers to WG_SERIES_BITS; NaN and infinities stay. */
void wg_series_round(const double *values, size_t n, double *rounded);

#endif
