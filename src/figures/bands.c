/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Computes quantiles over replicates, each row separately: the median line is not the course of any replicate.
 */
#include "figures/bands.h"

#include "base/stats.h"
#include "forecast/lattice.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define LEAST_OF_EACH 4 /* replicates of an animal (judgement: its median of fewer is mostly luck) */

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

/* ---- animals ---- */

struct animal_of {
    int animal;
    int64_t replicate;
};

static int by_animal_number(const void *left, const void *right) {
    const struct animal_of *const a = left, *const b = right;
    return a->animal != b->animal ? a->animal - b->animal
                                  : (a->replicate > b->replicate) - (a->replicate < b->replicate);
}

static int sort_animals(struct wg_animal_order *order, const struct wg_cell *cells, int64_t n, struct wg_error *err) {
    struct animal_of *const of = calloc((size_t)n, sizeof *of);
    order->replicate = calloc((size_t)n, sizeof *order->replicate);
    order->animal = calloc((size_t)n, sizeof *order->animal);
    if (of == NULL || order->replicate == NULL || order->animal == NULL) {
        free(of);
        return wg_no_memory(err, NULL);
    }
    for (int64_t k = 0; k < n; k++)
        of[k] = (struct animal_of){cells[k].animal, k};
    qsort(of, (size_t)n, sizeof *of, by_animal_number);
    for (int64_t k = 0; k < n; k++) {
        order->replicate[k] = of[k].replicate;
        order->animal[k] = of[k].animal;
    }
    order->n = n;
    free(of);
    return 0;
}

int wg_animal_order_read(struct wg_animal_order *order, struct wg_result_data *data, struct wg_error *err) {
    struct wg_cell *cells;
    *order = (struct wg_animal_order){0};
    if (data->animals.animals != WG_ANIMALS_PLAUSIBLE || data->in.replicates < LEAST_OF_EACH * WG_LATTICE_ANIMALS)
        return 0;
    int code = wg_result_data_cells(data, &cells, err);
    if (code == 0)
        code = sort_animals(order, cells, data->in.replicates, err);
    free(cells);
    return code;
}

void wg_animal_order_free(struct wg_animal_order *order) {
    free(order->replicate);
    free(order->animal);
    *order = (struct wg_animal_order){0};
}

/* Fills `median` with the animals' own medians of a row; `of_one` is room for one animal's values. Returns their number. */
static size_t animal_medians(const double *values, int row, int n_rows, const struct wg_animal_order *order,
                             double *of_one, double *median) {
    size_t animals = 0;
    for (int64_t i = 0; i < order->n;) {
        const int animal = order->animal[i];
        size_t n = 0;
        for (; i < order->n && order->animal[i] == animal; i++) {
            const double value = values[order->replicate[i] * n_rows + row];
            if (!isnan(value))
                of_one[n++] = value;
        }
        wg_sort(of_one, n);
        if (n > 0)
            median[animals++] = wg_quantile_sorted(of_one, n, 0.5);
    }
    return animals;
}

int wg_bands_use_animals(struct wg_table *table, int first, const char *name, const double *values,
                         const struct wg_animal_order *order, struct wg_error *err) {
    struct wg_table_column *const low = &table->column[first + WG_Q25], *const high = &table->column[first + WG_Q75];
    if (order->replicate == NULL)
        return 0;
    double *const room = calloc(2 * (size_t)order->n, sizeof *room);
    if (room == NULL)
        return wg_no_memory(err, NULL);
    for (int row = 0; row < table->n_rows; row++) {
        const size_t n = animal_medians(values, row, table->n_rows, order, room, room + order->n);
        wg_sort(room + order->n, n);
        low->value[row] = wg_quantile_sorted(room + order->n, n, 0.05);
        high->value[row] = wg_quantile_sorted(room + order->n, n, 0.95);
    }
    (void)snprintf(low->name, sizeof low->name, "%.90s animals 5 %%", name);
    (void)snprintf(high->name, sizeof high->name, "%.90s animals 95 %%", name);
    free(room);
    return 0;
}

int wg_table_peak(const struct wg_table *table, int column) {
    const double *const value = table->column[column].value;
    int best = -1;
    for (int i = 0; i < table->n_rows; i++)
        if (!isnan(value[i]) && (best < 0 || value[i] > value[best]))
            best = i;
    return best;
}
