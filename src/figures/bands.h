/**
 * Computes quantiles over replicates, row by row.
 */
#ifndef WG_FIGURES_BANDS_H
#define WG_FIGURES_BANDS_H

#include "figures/table.h"
#include "results/result_data.h"

enum wg_band { WG_Q05, WG_Q25, WG_Q50, WG_Q75, WG_Q95, WG_N_BANDS };

/**
 * Adds five columns, "NAME 5 %" ... "NAME median" ... "NAME 95 %", quantiles over replicates of each row
 * (values[replicate][row]; type 7 of Hyndman & Fan 1996). Omits NaN; the quantiles are NaN if all values are. Returns the
 * number of the first column, or WG_ERR_MEMORY.
 */
int wg_bands_add(struct wg_table *table, const char *name, const char *unit, const double *values, int64_t replicates,
                 struct wg_error *err);
/** Returns column `band` of those five. */
static inline const double *wg_bands_of(const struct wg_table *table, int first, enum wg_band band) {
    return table->column[first + (int)band].value;
}
/** Returns the first row with a column's maximum; -1 if all are NaN. */
int wg_table_peak(const struct wg_table *table, int column);

#endif
