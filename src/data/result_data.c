/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads the numbers of a run from whatever source has them.
 */
#include "data/result_data.h"

#include "data/series_terms.h"

#include <stdlib.h>
#include <string.h>

void wg_result_words_free(struct wg_result_words *words) {
    free(words->why);
    free(words->checked);
    *words = (struct wg_result_words){0};
}

void wg_result_data_free(struct wg_result_data *data) {
    if (data->source != NULL && data->source->free != NULL)
        data->source->free(data->self);
    wg_run_inputs_free(&data->inputs);
    for (int i = 0; i < WG_MAX_PLACES; i++)
        free(data->place[i]);
    for (int i = 0; i < WG_MAX_BINS; i++)
        free(data->bin[i]);
    for (int i = 0; i < data->n_parameters; i++) {
        free(data->parameter[i].name);
        free(data->parameter[i].value);
        free(data->parameter[i].unit);
        free(data->parameter[i].source);
        free(data->parameter[i].meaning);
    }
    free(data->parameter);
    free(data->animals.number);
    free(data->animals.value);
    wg_result_words_free(&data->words);
    free(data->digest);
    memset(data, 0, sizeof *data);
}

static const struct wg_series *find_series(const char *name) {
    const struct wg_series *series = wg_diary_series();
    while (series->name != NULL && strcmp(series->name, name) != 0)
        series++;
    wg_assert(series->name != NULL);
    return series;
}

int64_t wg_result_readable(int64_t replicates, int n_days) {
    int64_t most = WG_RESULT_MAX_VALUES / n_days;
    if (most < WG_RESULT_MIN_READ)
        most = WG_RESULT_MIN_READ;
    return replicates < most ? replicates : most;
}

int wg_result_data_read(struct wg_result_data *data, const char *name, int column, struct wg_result_series *series,
                        struct wg_error *err) {
    memset(series, 0, sizeof *series);
    const struct wg_series *const known = find_series(name);
    struct wg_diary sizes;
    memset(&sizes, 0, sizeof sizes);
    sizes.n_places = data->n_places;
    sizes.n_bins = data->n_bins;
    wg_assert(known->dims == WG_PER_DAY ? column == -1 : column >= 0 && column < wg_diary_width(&sizes, known->dims));
    const struct wg_series_place place = wg_series_place(&sizes, data->outdoors, known);
    if (place.series != known)
        column = place.column;
    series->replicates = data->readable;
    series->n_days = data->n_days;
    series->value = calloc((size_t)series->replicates * (size_t)series->n_days, sizeof *series->value);
    if (series->value == NULL)
        return wg_no_memory(err, data->in.path);
    return data->source->series(data->self, place.series, column, series->replicates, series->value, err);
}

void wg_result_series_free(struct wg_result_series *series) {
    free(series->value);
    memset(series, 0, sizeof *series);
}

int wg_result_data_outcome(struct wg_result_data *data, enum wg_outcome_number outcome, double **values,
                           struct wg_error *err) {
    return data->source->outcome(data->self, outcome, values, err);
}

int wg_result_data_cells(struct wg_result_data *data, struct wg_cell **cells, struct wg_error *err) {
    return data->source->cells(data->self, cells, err);
}

int wg_result_data_generations(struct wg_result_data *data, double **values, struct wg_error *err) {
    return data->source->generations(data->self, values, err);
}
