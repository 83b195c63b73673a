/*
 * Reads a comparison back from its file.
 */
#include "results/comparison_data.h"

#include "base/calendar.h"
#include "results/stored_warnings_write.h"
#include "storage/provenance.h"

#include <stdlib.h>
#include <string.h>

static int read_comparison_sizes(struct wg_comparison_data *data, struct wg_error *err) {
    struct wg_h5_shape shape;
    if (!wg_h5_find_shape(data->in.h5, "scenario", WG_H5_STRING, &shape) || shape.n_dims != 1 ||
        shape.size[0] < WG_COMPARE_MIN || shape.size[0] > WG_COMPARE_MAX)
        return wg_stored_damaged(&data->in, "its number of scenarios", err);
    data->n = (int)shape.size[0];
    return data->in.replicates <= INT32_MAX ? 0 : wg_stored_damaged(&data->in, "its number of replicates", err);
}

static int read_day_attribute(const struct wg_comparison_data *data, const char *name, int32_t *day) {
    char *const text = wg_h5_attribute_or_empty(data->in.h5, ".", name);
    const int code = text != NULL ? wg_day_parse(text, day) : -1;
    free(text);
    return code;
}

static int read_period(struct wg_comparison_data *data, struct wg_error *err) {
    int32_t last_day;
    if (read_day_attribute(data, WG_ATTRIBUTE_FIRST_DAY, &data->first_day) != 0 ||
        read_day_attribute(data, WG_ATTRIBUTE_LAST_DAY, &last_day) != 0 || last_day < data->first_day)
        return wg_stored_damaged(&data->in, "its first and last day", err);
    data->n_days = (int)(last_day - data->first_day) + 1;
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
    int code = 0;
    for (size_t i = 0; i < sizeof texts / sizeof *texts && code == 0; i++)
        code = wg_h5_read_texts(data->in.h5, texts[i].name, data->n, texts[i].to, err);
    return code;
}

static int read_reasons(struct wg_comparison_data *data, struct wg_error *err) {
    struct wg_h5_shape shape;
    if (!wg_h5_find_shape(data->in.h5, "why", WG_H5_STRING, &shape))
        return wg_h5_failed(data->in.h5, err);
    return wg_h5_read_texts(data->in.h5, "why", data->n, data->why, err);
}

int wg_comparison_data_take(struct wg_comparison_data *data, struct wg_stored_file *file, struct wg_error *err) {
    *data = (struct wg_comparison_data){.in = *file};
    *file = (struct wg_stored_file){0};
    int code = wg_stored_expect(&data->in, WG_STORED_COMPARISON, err);
    if (code == 0)
        code = read_comparison_sizes(data, err);
    if (code == 0)
        code = read_period(data, err);
    if (code == 0)
        code = read_setup_texts(data, err);
    if (code == 0)
        code = read_reasons(data, err);
    return code == 0 ? wg_stored_warnings_read(data->in.h5, &data->warned, err) : code;
}

int wg_comparison_data_outcome(struct wg_comparison_data *data, enum wg_outcome_number outcome, double **values,
                               struct wg_error *err) {
    const struct wg_h5_shape shape = {2, {data->n, data->in.replicates}};
    void *read;
    const int code = wg_stored_values(&data->in, wg_diary_outcomes()[outcome].name, WG_H5_REAL, &shape, &read, err);
    *values = read;
    return code;
}

const char *wg_comparison_data_name(const struct wg_comparison_data *data, int setup) {
    return *data->title[setup] != '\0' ? data->title[setup] : data->scenario_path[setup];
}

int wg_comparison_data_cells(struct wg_comparison_data *data, int setup, struct wg_split_value **cells,
                             struct wg_error *err) {
    const struct wg_h5_shape shape = {2, {data->n, data->in.replicates}};
    const int64_t from = setup * data->in.replicates;
    struct wg_h5_shape found;
    void *animal = NULL, *winter = NULL;
    *cells = NULL;
    if (!wg_h5_find_shape(data->in.h5, "animal", WG_H5_COUNT, &found))
        return 0;
    int code = wg_stored_values(&data->in, "animal", WG_H5_COUNT, &shape, &animal, err);
    if (code == 0)
        code = wg_stored_values(&data->in, "winter", WG_H5_COUNT, &shape, &winter, err);
    if (code == 0) {
        *cells = calloc((size_t)data->in.replicates, sizeof **cells);
        code = *cells == NULL ? wg_no_memory(err, NULL) : 0;
    }
    for (int64_t k = 0; k < data->in.replicates && code == 0; k++)
        (*cells)[k] = (struct wg_split_value){0, 1, ((int64_t *)animal)[from + k], ((int64_t *)winter)[from + k]};
    free(animal);
    free(winter);
    return code;
}

void wg_comparison_data_free(struct wg_comparison_data *data) {
    wg_stored_free(&data->in);
    for (int i = 0; i < WG_COMPARE_MAX; i++) {
        free(data->title[i]);
        free(data->scenario_path[i]);
        free(data->scenario_sha256[i]);
        free(data->scenario_text[i]);
        free(data->why[i]);
    }
    wg_stored_warnings_free(&data->warned);
    memset(data, 0, sizeof *data);
}
