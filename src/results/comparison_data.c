/*
 * What stands in this comparison?
 */
#include "results/comparison_data.h"

#include "base/calendar.h"
#include "results/stored_warnings_write.h"
#include "storage/provenance.h"

#include <stdlib.h>
#include <string.h>

static int fail_comparison_damaged(const struct wg_comparison_data *data, const char *what, struct wg_error *err) {
    const int code = wg_h5_failed(data->file, err);
    return code < 0 ? code
                    : wg_fail(err, WG_ERR_FORMAT, data->path, "This comparison is damaged: %s cannot be read.", what);
}

int wg_comparison_data_is(const char *path, struct wg_error *err) {
    return wg_hdf5_has(path, WG_ATTRIBUTE_COMPARISON, err);
}

static int check_comparison_format(struct wg_comparison_data *data, struct wg_error *err) {
    uint64_t format = 0;
    if (!wg_h5_find_number(data->file, WG_PROVENANCE, WG_ATTRIBUTE_COMPARISON, &format))
        return wg_fail(err, WG_ERR_FORMAT, data->path, "This is not a comparison of wintergrub.");
    if (format != WG_COMPARISON_FORMAT)
        return wg_fail(err, WG_ERR_FORMAT, data->path,
                       "This comparison has format %llu of another wintergrub, and this one reads %d: compare again.",
                       (unsigned long long)format, WG_COMPARISON_FORMAT);
    return 0;
}

static int read_comparison_sizes(struct wg_comparison_data *data, struct wg_error *err) {
    struct wg_h5_shape shape;
    uint64_t replicates = 0;
    if (!wg_h5_find_shape(data->file, "scenario", WG_H5_STRING, &shape) || shape.n_dims != 1 ||
        shape.size[0] < WG_COMPARE_MIN || shape.size[0] > WG_COMPARE_MAX)
        return fail_comparison_damaged(data, "its number of scenarios", err);
    data->n = (int)shape.size[0];
    if (!wg_h5_find_number(data->file, WG_PROVENANCE, WG_ATTRIBUTE_REPLICATES, &replicates) || replicates < 1 ||
        replicates > INT32_MAX)
        return fail_comparison_damaged(data, "its number of replicates", err);
    data->replicates = (int64_t)replicates;
    return wg_h5_find_number(data->file, WG_PROVENANCE, WG_ATTRIBUTE_SEED, &data->seed)
               ? 0
               : fail_comparison_damaged(data, "its seed", err);
}

static int read_day_attribute(const struct wg_comparison_data *data, const char *name, int32_t *day) {
    char *const text = wg_h5_attribute_or_empty(data->file, ".", name);
    const int code = text != NULL ? wg_day_parse(text, day) : -1;
    free(text);
    return code;
}

static int read_period(struct wg_comparison_data *data, struct wg_error *err) {
    int32_t last_day;
    if (read_day_attribute(data, WG_ATTRIBUTE_FIRST_DAY, &data->first_day) != 0 ||
        read_day_attribute(data, WG_ATTRIBUTE_LAST_DAY, &last_day) != 0 || last_day < data->first_day)
        return fail_comparison_damaged(data, "its first and last day", err);
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
        code = wg_h5_read_texts(data->file, texts[i].name, data->n, texts[i].to, err);
    return code;
}

static int read_compare_attributes(struct wg_comparison_data *data, struct wg_error *err) {
    data->command_line = wg_h5_attribute_or_empty(data->file, WG_PROVENANCE, WG_ATTRIBUTE_COMMAND);
    data->started = wg_h5_attribute_or_empty(data->file, WG_PROVENANCE, WG_ATTRIBUTE_STARTED);
    data->source = wg_h5_attribute_or_empty(data->file, ".", "source");
    const int well = data->command_line != NULL && data->started != NULL && data->source != NULL;
    return well ? wg_h5_failed(data->file, err) : wg_no_memory(err, data->path);
}

int wg_comparison_data_open(struct wg_comparison_data *data, const char *path, struct wg_error *err) {
    memset(data, 0, sizeof *data);
    data->path = strdup(path);
    int code = data->path != NULL ? wg_hdf5_open(&data->file, data->path, err) : wg_no_memory(err, data->path);
    if (code == 0)
        code = check_comparison_format(data, err);
    if (code == 0)
        code = read_comparison_sizes(data, err);
    if (code == 0)
        code = read_period(data, err);
    if (code == 0)
        code = read_setup_texts(data, err);
    if (code == 0)
        code = wg_stored_warnings_read(data->file, &data->warned, err);
    return code == 0 ? read_compare_attributes(data, err) : code;
}

int wg_comparison_data_outcome(struct wg_comparison_data *data, const char *name, double **values,
                               struct wg_error *err) {
    struct wg_h5_shape is;
    const struct wg_h5_shape from = {.n_dims = 2}, count = {2, {data->n, data->replicates}};
    *values = NULL;
    if (!wg_h5_find_shape(data->file, name, WG_H5_REAL, &is) || is.n_dims != 2 || is.size[0] != data->n ||
        is.size[1] != data->replicates)
        return fail_comparison_damaged(data, name, err);
    *values = calloc((size_t)data->n * (size_t)data->replicates, sizeof **values);
    if (*values == NULL)
        return wg_no_memory(err, data->path);
    const int code = wg_h5_read_block(data->file, name, WG_H5_REAL, &from, &count, *values, err);
    if (code < 0) {
        free(*values);
        *values = NULL;
    }
    return code;
}

void wg_comparison_data_free(struct wg_comparison_data *data) {
    wg_h5_free(data->file);
    for (int i = 0; i < WG_COMPARE_MAX; i++) {
        free(data->title[i]);
        free(data->scenario_path[i]);
        free(data->scenario_sha256[i]);
        free(data->scenario_text[i]);
    }
    wg_stored_warnings_free(&data->warned);
    free(data->path);
    free(data->command_line);
    free(data->started);
    free(data->source);
    memset(data, 0, sizeof *data);
}
