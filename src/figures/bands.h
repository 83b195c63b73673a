/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Computes quantiles over replicates, row by row.
 */
#ifndef WG_FIGURES_BANDS_H
#define WG_FIGURES_BANDS_H

#include "data/result_data.h"
#include "figures/table.h"

enum wg_band { WG_Q05, WG_Q25, WG_Q50, WG_Q75, WG_Q95, WG_N_BANDS };

/**
 * Adds five columns, "NAME 5 %" ... "NAME median" ... "NAME 95 %", quantiles over replicates of each row
 * (values[replicate][row]; type 7 of Hyndman & Fan 1996). Omits NaN; the quantiles are NaN if all values are. Returns the
 * number of the first column, or WG_ERR_MEMORY.
 */
int wg_bands_add(struct wg_table *table, const char *name, const char *unit, const double *values, int64_t replicates,
                 struct wg_error *err);
/** The replicates of a result in order of their plausible animals. Zero-initialise. */
struct wg_animal_order {
    int64_t n;
    int64_t *replicate; /* NULL: too few replicates of each animal for a band, or only the middle animal */
    int *animal;        /* of each of them */
};
/** Reads it. Returns 0 or a negative error; free in every case. */
int wg_animal_order_read(struct wg_animal_order *order, struct wg_result_data *data, struct wg_error *err);
void wg_animal_order_free(struct wg_animal_order *order);
/**
 * Makes the inner two of five columns the 5 % and 95 % of the animals' own medians, "NAME animals 5 %": what is not known of the
 * animal, inside what weather and luck add to it. Does nothing without an order. Returns 0 or WG_ERR_MEMORY.
 */
int wg_bands_use_animals(struct wg_table *table, int first, const char *name, const double *values,
                         const struct wg_animal_order *order, struct wg_error *err);
/** Returns column `band` of those five. */
static inline const double *wg_bands_of(const struct wg_table *table, int first, enum wg_band band) {
    return table->column[first + (int)band].value;
}
/** Returns the first row with a column's maximum; -1 if all are NaN. */
int wg_table_peak(const struct wg_table *table, int column);

#endif
