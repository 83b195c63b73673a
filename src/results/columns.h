/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Defines and writes variables of answers, comparisons and results in one call each. The file remembers failures
 * (wg_h5_failed()).
 */
#ifndef WG_RESULTS_COLUMNS_H
#define WG_RESULTS_COLUMNS_H

#include "colony/diary.h"
#include "storage/hdf5_file.h"

#include <stdbool.h>

/**
 * Writes real numbers over the dimensions a and b; NULL for none (both NULL: one value). Returns the number of the
 * variable.
 */
int wg_put_reals(struct wg_h5 *file, const char *name, const char *unit, const char *text, const char *a, const char *b,
                 const double *values);
int wg_put_counts(struct wg_h5 *file, const char *name, const char *text, const char *a, const char *b,
                  const int64_t *values);
int wg_put_texts(struct wg_h5 *file, const char *name, const char *text, const char *a, const char *const *values);
int wg_put_real(struct wg_h5 *file, const char *name, const char *unit, const char *text, double value);
int wg_put_count(struct wg_h5 *file, const char *name, const char *text, int64_t value);
/** Bytes of "days since 2026-09-15 00:00:00". */
#define WG_DAYS_UNIT_SIZE 40
/** Writes the unit of days counted from a day (CF-1.10, section 4.4). */
void wg_days_unit(int32_t first_day, char out[WG_DAYS_UNIT_SIZE]);

/** Writes the latitude of the site as a scalar coordinate (CF-1.10, section 5.7), if the climate has one. */
void wg_put_latitude(struct wg_h5 *file, const struct wg_climate_spec *climate);

/** Defines a dimension whose coordinates are texts. */
int wg_put_names(struct wg_h5 *file, const char *name, const char *text, int64_t size, const char *const *values);

#endif
