/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads a comparison back from its file.
 */
#include "results/comparison_file.h"

#include "base/calendar.h"
#include "results/stored_parts.h"
#include "storage/provenance.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- the source of the data ---- */

/* The state of the source. */
struct comparison_source_file {
    struct wg_stored_file file;
    int n, n_days; /* setups; length of the period */
};

static struct wg_stored_file *file_of(const struct wg_comparison_data *data) {
    return &((struct comparison_source_file *)data->self)->file;
}

static int read_compared_outcome(void *self, enum wg_outcome_number outcome, double **values, struct wg_error *err) {
    struct comparison_source_file *const in = self;
    const struct wg_h5_shape shape = {2, {in->n, in->file.facts.replicates}};
    return wg_stored_outcome(&in->file, outcome, &shape, in->n_days, values, err);
}

static int read_compared_cells(void *self, int setup, struct wg_split_value **cells, struct wg_error *err) {
    struct comparison_source_file *const in = self;
    const int64_t replicates = in->file.facts.replicates, from = setup * replicates;
    const struct wg_h5_shape shape = {2, {in->n, replicates}};
    struct wg_h5_shape found;
    void *animal = NULL, *winter = NULL;
    *cells = NULL;
    if (!wg_h5_find_shape(in->file.h5, "animal", WG_H5_COUNT, &found))
        return 0;
    int code = wg_stored_values(&in->file, "animal", WG_H5_COUNT, &shape, &animal, err);
    if (code == 0)
        code = wg_stored_values(&in->file, "winter", WG_H5_COUNT, &shape, &winter, err);
    if (code == 0) {
        *cells = calloc((size_t)replicates, sizeof **cells);
        code = *cells == NULL ? wg_no_memory(err, NULL) : 0;
    }
    for (int64_t k = 0; k < replicates && code == 0; k++)
        (*cells)[k] = (struct wg_split_value){0, 1, ((int64_t *)animal)[from + k], ((int64_t *)winter)[from + k]};
    free(animal);
    free(winter);
    return code;
}

static void free_comparison_file(void *self) {
    struct comparison_source_file *const in = self;
    wg_stored_free(&in->file);
    free(in);
}

static const struct wg_comparison_source file_source = {read_compared_outcome, read_compared_cells,
                                                        free_comparison_file};

/* ---- opening ---- */

static int read_comparison_sizes(struct wg_comparison_data *data, struct wg_error *err) {
    struct wg_h5_shape shape;
    if (!wg_h5_find_shape(file_of(data)->h5, "scenario", WG_H5_STRING, &shape) || shape.n_dims != 1 ||
        shape.size[0] < WG_COMPARE_MIN || shape.size[0] > WG_COMPARE_MAX)
        return wg_stored_damaged(file_of(data), "its number of scenarios", err);
    data->n = (int)shape.size[0];
    ((struct comparison_source_file *)data->self)->n = data->n;
    return data->in.replicates <= INT32_MAX ? 0 : wg_stored_damaged(file_of(data), "its number of replicates", err);
}

static int read_day_attribute(const struct wg_comparison_data *data, const char *name, int32_t *day) {
    char *const text = wg_h5_attribute_or_empty(file_of(data)->h5, ".", name);
    const int code = text != NULL ? wg_day_parse(text, day) : -1;
    free(text);
    return code;
}

static int read_period(struct wg_comparison_data *data, struct wg_error *err) {
    int32_t last_day;
    if (read_day_attribute(data, WG_ATTRIBUTE_FIRST_DAY, &data->first_day) != 0 ||
        read_day_attribute(data, WG_ATTRIBUTE_LAST_DAY, &last_day) != 0 || last_day < data->first_day)
        return wg_stored_damaged(file_of(data), "its first and last day", err);
    data->n_days = (int)(last_day - data->first_day) + 1;
    ((struct comparison_source_file *)data->self)->n_days = data->n_days;
    return 0;
}

static int read_setup_texts(struct wg_comparison_data *data, struct wg_error *err) {
    const struct {
        const char *name;
        char **to;
    } texts[] = {{"scenario_title", data->title},
                 {WG_PROVENANCE "/" WG_ATTRIBUTE_SCENARIO_PATH, data->scenario_path},
                 {WG_PROVENANCE "/" WG_ATTRIBUTE_SCENARIO_SHA256, data->scenario_sha256},
                 {WG_PROVENANCE "/" WG_TEXT_SCENARIO "_text", data->scenario_text}};
    struct wg_h5_shape shape;
    int code = 0;
    for (size_t i = 0; i < sizeof texts / sizeof *texts && code == 0; i++)
        code = wg_h5_read_texts(file_of(data)->h5, texts[i].name, data->n, texts[i].to, err);
    if (code == 0 && wg_h5_find_shape(file_of(data)->h5, WG_SCENARIO_WHY, WG_H5_STRING, &shape))
        code = wg_h5_read_texts(file_of(data)->h5, WG_SCENARIO_WHY, data->n, data->why, err);
    return code;
}

/* Copies an attribute; "" if it is missing. */
static int read_short_attribute(const struct wg_comparison_data *data, const char *name, char *out, size_t size,
                                struct wg_error *err) {
    char *const text = wg_h5_attribute_or_empty(file_of(data)->h5, ".", name);
    if (text == NULL)
        return wg_no_memory(err, NULL);
    (void)snprintf(out, size, "%s", text);
    free(text);
    return 0;
}

static int read_varied_values(struct wg_comparison_data *data, int k, const char *name, struct wg_error *err) {
    struct wg_h5_shape shape;
    struct wg_varied *const varied = &data->varied;
    char *value[WG_COMPARE_MAX] = {NULL};
    if (!wg_h5_find_shape(file_of(data)->h5, name, WG_H5_STRING, &shape) || shape.n_dims != 1 || shape.size[0] < 1 ||
        shape.size[0] > data->n)
        return wg_stored_damaged(file_of(data), "the values that tell its setups apart", err);
    varied->n_values[k] = (int)shape.size[0];
    const int code = wg_h5_read_texts(file_of(data)->h5, name, varied->n_values[k], value, err);
    for (int i = 0; i < varied->n_values[k]; i++) {
        if (value[i] != NULL)
            (void)snprintf(varied->value[k][i], sizeof varied->value[k][i], "%s", value[i]);
        free(value[i]);
    }
    return code;
}

/* Reads what tells setups made from one scenario apart; other comparisons have none of it. */
static int read_varied(struct wg_comparison_data *data, struct wg_error *err) {
    static const char *const number[WG_VARIED_MAX] = {WG_ATTRIBUTE_VARIED "_1", WG_ATTRIBUTE_VARIED "_2"};
    static const char *const values[WG_VARIED_MAX] = {WG_VARIED_VALUE "_1", WG_VARIED_VALUE "_2"};
    struct wg_varied *const varied = &data->varied;
    int code = read_short_attribute(data, WG_ATTRIBUTE_VARIED "_title", varied->title, sizeof varied->title, err);
    for (int k = 0; k < WG_VARIED_MAX && code == 0; k++) {
        varied->n_values[k] = 1;
        code = read_short_attribute(data, number[k], varied->subject[k], sizeof varied->subject[k], err);
        if (code < 0 || varied->subject[k][0] == '\0')
            continue;
        varied->n = k + 1;
        code = read_varied_values(data, k, values[k], err);
    }
    if (code == 0 && varied->n > 0 && varied->n_values[0] * varied->n_values[1] != data->n)
        return wg_stored_damaged(file_of(data), "the values that tell its setups apart", err);
    return code;
}

static int read_odds_column(struct wg_comparison_data *data, const char *name, double *out, struct wg_error *err) {
    const struct wg_h5_shape shape = {1, {data->n}};
    void *read;
    const int code = wg_stored_values(file_of(data), name, WG_H5_REAL, &shape, &read, err);
    if (code == 0)
        memcpy(out, read, (size_t)data->n * sizeof *out);
    free(read);
    return code;
}

/* Only a grid of `size` has them. */
static int read_grid_odds(struct wg_comparison_data *data, struct wg_error *err) {
    struct wg_grid_odds *const odds = &data->varied.odds;
    struct wg_h5_shape shape;
    double enough[WG_COMPARE_MAX], own[WG_COMPARE_MAX];
    odds->own = -1;
    if (!wg_h5_find_shape(file_of(data)->h5, WG_GOALS_MET, WG_H5_REAL, &shape))
        return 0;
    int code = read_odds_column(data, WG_GOALS_MET, odds->met, err);
    if (code == 0)
        code = read_odds_column(data, WG_GOALS_MET "_low", odds->low, err);
    if (code == 0)
        code = read_odds_column(data, WG_GOALS_MET "_high", odds->high, err);
    if (code == 0)
        code = read_odds_column(data, WG_GOALS_ENOUGH, enough, err);
    if (code == 0)
        code = read_odds_column(data, WG_IS_PLAN, own, err);
    for (int i = 0; i < data->n && code == 0; i++) {
        odds->is_enough[i] = enough[i] > 0;
        odds->own = own[i] > 0 ? i : odds->own;
    }
    odds->n = code == 0 ? data->n : 0;
    return code;
}

/* An older wintergrub did not store which outcome is the harvest: then it is what is taken out, if anything is. */
static int read_main_outcome(struct wg_comparison_data *data, struct wg_error *err) {
    char name[48] = "";
    double *taken;
    int code = read_short_attribute(data, WG_ATTRIBUTE_MAIN_OUTCOME, name, sizeof name, err);
    data->harvest = WG_COMPARED_total_harvest_mass;
    if (code == 0 && strcmp(name, wg_diary_outcomes()[WG_OUTCOME_total_crawl_off_mass].name) == 0)
        data->harvest = WG_COMPARED_total_crawl_off_mass;
    if (code < 0 || name[0] != '\0')
        return code;
    code = wg_comparison_data_outcome(data, WG_OUTCOME_total_harvest_mass, &taken, err);
    if (code < 0)
        return code;
    int64_t k = 0;
    while (k < data->n * data->in.replicates && !(taken[k] > 0))
        k++;
    if (k == data->n * data->in.replicates)
        data->harvest = WG_COMPARED_total_crawl_off_mass;
    free(taken);
    return 0;
}

static int read_comparison_frame(struct wg_comparison_data *data, struct wg_error *err) {
    struct wg_stored_file *const file = file_of(data);
    int code = wg_stored_expect(file, WG_STORED_COMPARISON, err);
    data->in = file->facts;
    if (code == 0)
        code = read_comparison_sizes(data, err);
    if (code == 0)
        code = read_period(data, err);
    if (code == 0) {
        data->currency = wg_h5_attribute_or_empty(file->h5, ".", "currency");
        code = data->currency == NULL ? wg_no_memory(err, NULL) : read_setup_texts(data, err);
    }
    if (code == 0)
        code = read_varied(data, err);
    if (code == 0)
        code = read_grid_odds(data, err);
    if (code == 0)
        code = read_main_outcome(data, err);
    return code == 0 ? wg_stored_warnings_read(file->h5, &data->warned, err) : code;
}

int wg_comparison_data_take(struct wg_comparison_data *data, struct wg_stored_file *file, struct wg_error *err) {
    struct comparison_source_file *const in = calloc(1, sizeof *in);
    *data = (struct wg_comparison_data){0};
    if (in == NULL) {
        wg_stored_free(file);
        return wg_no_memory(err, NULL);
    }
    in->file = *file;
    *file = (struct wg_stored_file){0};
    data->source = &file_source;
    data->self = in;
    return read_comparison_frame(data, err);
}
