/*
 * Computes quantiles over replicates, each row separately: the median line is not the course of any replicate.
 */
#include "figures/bands.h"

#include "base/stats.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

int wg_bands_add(struct wg_table *table, const char *name, const char *unit, const double *values, int64_t replicates,
                 struct wg_error *err) {
    static const double share[WG_N_BANDS] = {0.05, 0.25, 0.5, 0.75, 0.95};
    static const char *const word[WG_N_BANDS] = {"5 %", "25 %", "median", "75 %", "95 %"};
    char head[WG_TABLE_NAME];
    int first = -1;
    for (int band = 0; band < WG_N_BANDS; band++) {
        (void)snprintf(head, sizeof head, "%.100s %s", name, word[band]);
        const int number = wg_table_add(table, head, unit, err);
        if (number < 0)
            return number;
        first = band == 0 ? number : first;
    }
    double *const sorted = calloc((size_t)replicates + 1, sizeof *sorted);
    if (sorted == NULL)
        return wg_no_memory(err, NULL);
    for (int row = 0; row < table->n_rows; row++) {
        size_t n = 0;
        for (int64_t i = 0; i < replicates; i++) {
            const double value = values[i * table->n_rows + row];
            if (!isnan(value))
                sorted[n++] = value;
        }
        wg_sort(sorted, n);
        for (int band = 0; band < WG_N_BANDS; band++)
            table->column[first + band].value[row] = wg_quantile_sorted(sorted, n, share[band]);
    }
    free(sorted);
    return first;
}

int wg_table_peak(const struct wg_table *table, int column) {
    const double *const value = table->column[column].value;
    int best = -1;
    for (int i = 0; i < table->n_rows; i++)
        if (!isnan(value[i]) && (best < 0 || value[i] > value[best]))
            best = i;
    return best;
}
