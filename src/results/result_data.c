/*
 * Reads a result back from its file. A file is damaged if the sizes of its variables differ from those of its
 * coordinates.
 */
#include "results/result_data.h"

#include "base/calendar.h"
#include "results/series_terms.h"
#include "species/plausible.h"
#include "storage/provenance.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define MAX_DAYS 36600        /* a hundred years, the longest period of a scenario */
#define MAX_PARAMETERS 1000   /* judgement: more is not plausible */
#define REPLAY_BYTES 33554432 /* judgement: 32 MB of diaries in memory */
#define TIME_UNIT "days since "

/* ---- opening ---- */

/* Reads the length of a coordinate. */
static int64_t length_of(struct wg_result_data *data, const char *name, enum wg_h5_kind kind) {
    struct wg_h5_shape shape;
    return wg_h5_find_shape(data->in.h5, name, kind, &shape) && shape.n_dims == 1 ? shape.size[0] : 0;
}

static int read_result_sizes(struct wg_result_data *data, struct wg_error *err) {
    const int64_t days = length_of(data, "time", WG_H5_COUNT), replicates = length_of(data, "replicate", WG_H5_COUNT);
    const int64_t generations = length_of(data, "generation", WG_H5_COUNT);
    const int64_t places = length_of(data, "place", WG_H5_STRING), bins = length_of(data, "bin", WG_H5_STRING);
    if (days < 1 || days > MAX_DAYS)
        return wg_stored_damaged(&data->in, "its days", err);
    if (replicates != data->in.replicates)
        return wg_stored_damaged(&data->in, "its number of replicates", err);
    if (generations < 1 || generations > 64)
        return wg_stored_damaged(&data->in, "its generations", err);
    if (places > WG_MAX_PLACES || bins > WG_MAX_BINS)
        return wg_stored_damaged(&data->in, "its places and bins", err);
    data->n_days = (int)days;
    data->n_generations = (int)generations;
    data->n_places = (int)places;
    data->n_bins = (int)bins;
    return 0;
}

static int read_first_day(struct wg_result_data *data, struct wg_error *err) {
    char *unit, date[11] = "";
    if (!wg_h5_find_attribute(data->in.h5, "time", "units", &unit))
        return wg_stored_damaged(&data->in, "its first day", err);
    if (strncmp(unit, TIME_UNIT, strlen(TIME_UNIT)) == 0)
        (void)snprintf(date, sizeof date, "%s", unit + strlen(TIME_UNIT));
    free(unit);
    const int well = wg_day_parse(date, &data->first_day) == 0 && data->first_day <= WG_DAY_LAST - data->n_days;
    return well ? 0 : wg_stored_damaged(&data->in, "its first day", err);
}

static int read_places(struct wg_result_data *data, struct wg_error *err) {
    char *stands[WG_MAX_BINS] = {NULL};
    int code = data->n_places > 0 ? wg_h5_read_texts(data->in.h5, "place", data->n_places, data->place, err) : 0;
    if (code == 0 && data->n_bins > 0)
        code = wg_h5_read_texts(data->in.h5, "bin", data->n_bins, data->bin, err);
    if (code == 0 && data->n_bins > 0)
        code = wg_h5_read_texts(data->in.h5, "bin_place", data->n_bins, stands, err);
    for (int b = 0; b < data->n_bins; b++) {
        data->bin_place[b] = -1;
        for (int p = 0; p < data->n_places && code == 0; p++)
            if (strcmp(stands[b], data->place[p]) == 0)
                data->bin_place[b] = p;
        free(stands[b]);
    }
    return code;
}

static int read_parameter_column(struct wg_result_data *data, const char *name, size_t offset, struct wg_error *err) {
    char **const column = calloc((size_t)data->n_parameters, sizeof *column);
    if (column == NULL)
        return wg_no_memory(err, data->in.path);
    const int code = wg_h5_read_texts(data->in.h5, name, data->n_parameters, column, err);
    for (int i = 0; i < data->n_parameters; i++)
        *(char **)((char *)&data->parameter[i] + offset) = column[i];
    free(column);
    return code;
}

static int read_parameter_values(struct wg_result_data *data, struct wg_error *err) {
    const struct wg_h5_shape shape = {1, {data->n_parameters}};
    char text[WG_PARAMETER_TEXT];
    void *read;
    int code = wg_stored_values(&data->in, WG_PROVENANCE "/parameter_value", WG_H5_REAL, &shape, &read, err);
    for (int i = 0; i < data->n_parameters && code == 0; i++) {
        wg_parameter_text(((const double *)read)[i], text);
        data->parameter[i].value = strdup(text);
        if (data->parameter[i].value == NULL)
            code = wg_no_memory(err, data->in.path);
    }
    free(read);
    return code;
}

static int read_parameters(struct wg_result_data *data, struct wg_error *err) {
    const int64_t n = length_of(data, WG_PROVENANCE "/parameter", WG_H5_STRING);
    if (n < 1 || n > MAX_PARAMETERS)
        return wg_stored_damaged(&data->in, "its list of the animal's numbers", err);
    data->parameter = calloc((size_t)n, sizeof *data->parameter);
    if (data->parameter == NULL)
        return wg_no_memory(err, data->in.path);
    data->n_parameters = (int)n;
    static const struct {
        const char *name;
        size_t offset;
    } column[] = {{WG_PROVENANCE "/parameter", offsetof(struct wg_result_parameter, name)},
                  {WG_PROVENANCE "/parameter_unit", offsetof(struct wg_result_parameter, unit)},
                  {WG_PROVENANCE "/parameter_source", offsetof(struct wg_result_parameter, source)},
                  {WG_PROVENANCE "/parameter_meaning", offsetof(struct wg_result_parameter, meaning)}};
    int code = 0;
    for (size_t i = 0; i < sizeof column / sizeof *column && code == 0; i++)
        code = read_parameter_column(data, column[i].name, column[i].offset, err);
    return code == 0 ? read_parameter_values(data, err) : code;
}

int wg_result_data_take(struct wg_result_data *data, struct wg_stored_file *file, struct wg_error *err) {
    *data = (struct wg_result_data){.in = *file};
    *file = (struct wg_stored_file){0};
    int code = wg_stored_expect(&data->in, WG_STORED_RESULT, err);
    if (code == 0)
        code = wg_stored_inputs_read(&data->in, &data->inputs, err);
    if (code == 0)
        code = read_result_sizes(data, err);
    if (code == 0)
        code = read_first_day(data, err);
    if (code == 0)
        code = read_places(data, err);
    if (code == 0)
        code = read_parameters(data, err);
    if (code == 0)
        code = wg_stored_animals_read(&data->in, data->n_parameters, &data->animals, err);
    if (code < 0)
        return code;
    data->digest = wg_h5_attribute_or_empty(data->in.h5, WG_PROVENANCE, WG_ATTRIBUTE_DIGEST);
    return data->digest != NULL ? wg_h5_failed(data->in.h5, err) : wg_no_memory(err, data->in.path);
}

int wg_result_data_open(struct wg_result_data *data, const char *path, struct wg_error *err) {
    struct wg_stored_file file;
    const int code = wg_stored_open(&file, path, err);
    const int taken = code == 0 ? wg_result_data_take(data, &file, err) : code;
    if (code < 0)
        *data = (struct wg_result_data){0};
    wg_stored_free(&file);
    return taken;
}

void wg_result_data_free(struct wg_result_data *data) {
    wg_stored_free(&data->in);
    wg_stored_inputs_free(&data->inputs);
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
    wg_stored_animals_free(&data->animals);
    free(data->digest);
    memset(data, 0, sizeof *data);
}

/* ---- by variable ---- */

static struct wg_diary stored_diary_shape(const struct wg_result_data *data) {
    struct wg_diary shape;
    memset(&shape, 0, sizeof shape);
    shape.n_days = data->n_days;
    shape.n_places = data->n_places;
    shape.n_bins = data->n_bins;
    shape.n_generations = data->n_generations;
    return shape;
}

/* Finds the shape a series must have in this file; returns false if the file has a different one. */
static int check_series(struct wg_result_data *data, const struct wg_series *series, struct wg_h5_shape *shape,
                        struct wg_error *err) {
    const struct wg_diary sizes = stored_diary_shape(data);
    const int width = wg_diary_width(&sizes, series->dims), n_dims = series->dims == WG_PER_DAY ? 2 : 3;
    if (!wg_h5_find_shape(data->in.h5, series->name, WG_H5_REAL, shape) || shape->n_dims != n_dims ||
        shape->size[0] != data->in.replicates || shape->size[1] != data->n_days ||
        (n_dims == 3 && shape->size[2] != width))
        return wg_fail(
            err, WG_ERR_FORMAT, data->in.path,
            "This result has no %s of the form that this wintergrub reads: it is damaged or from another version.",
            series->name);
    return 0;
}

static const struct wg_series *find_series(const char *name) {
    const struct wg_series *series = wg_diary_series();
    while (series->name != NULL && strcmp(series->name, name) != 0)
        series++;
    wg_assert(series->name != NULL);
    return series;
}

static int64_t readable(const struct wg_result_data *data) {
    int64_t most = WG_RESULT_MAX_VALUES / data->n_days;
    if (most < WG_RESULT_MIN_READ)
        most = WG_RESULT_MIN_READ;
    return data->in.replicates < most ? data->in.replicates : most;
}

int wg_result_data_read(struct wg_result_data *data, const char *name, int column, struct wg_result_series *series,
                        struct wg_error *err) {
    memset(series, 0, sizeof *series);
    const struct wg_series *const known = find_series(name);
    const struct wg_diary sizes = stored_diary_shape(data);
    wg_assert(known->dims == WG_PER_DAY ? column == -1 : column >= 0 && column < wg_diary_width(&sizes, known->dims));
    const struct wg_series_place place = wg_series_place(&sizes, known);
    if (place.series != known)
        column = place.column;
    struct wg_h5_shape count, from = {0};
    const int code = check_series(data, place.series, &count, err);
    if (code < 0)
        return code;
    series->replicates = readable(data);
    series->n_days = data->n_days;
    series->value = calloc((size_t)series->replicates * (size_t)series->n_days, sizeof *series->value);
    if (series->value == NULL)
        return wg_no_memory(err, data->in.path);
    from.n_dims = count.n_dims;
    count.size[0] = series->replicates;
    if (count.n_dims == 3) {
        from.size[2] = column;
        count.size[2] = 1;
    }
    return wg_h5_read_block(data->in.h5, place.series->name, WG_H5_REAL, &from, &count, series->value, err);
}

void wg_result_series_free(struct wg_result_series *series) {
    free(series->value);
    memset(series, 0, sizeof *series);
}

static int read_reals_of_shape(struct wg_result_data *data, const char *name, const struct wg_h5_shape *must,
                               double **values, struct wg_error *err) {
    void *read;
    const int code = wg_stored_values(&data->in, name, WG_H5_REAL, must, &read, err);
    *values = read;
    return code;
}

int wg_result_data_outcome(struct wg_result_data *data, enum wg_outcome_number outcome, double **values,
                           struct wg_error *err) {
    const struct wg_h5_shape shape = {1, {data->in.replicates}};
    return wg_stored_outcome(&data->in, outcome, &shape, values, err);
}

int wg_result_data_cells(struct wg_result_data *data, struct wg_cell **cells, struct wg_error *err) {
    const struct wg_h5_shape shape = {1, {data->in.replicates}};
    void *animal = NULL, *winter = NULL;
    int code = wg_stored_values(&data->in, "animal", WG_H5_COUNT, &shape, &animal, err);
    if (code == 0)
        code = wg_stored_values(&data->in, "winter", WG_H5_COUNT, &shape, &winter, err);
    *cells = code == 0 ? malloc((size_t)data->in.replicates * sizeof **cells) : NULL;
    if (code == 0 && *cells == NULL)
        code = wg_no_memory(err, data->in.path);
    for (int64_t k = 0; k < data->in.replicates && code == 0; k++) {
        const int64_t a = ((int64_t *)animal)[k];
        (*cells)[k] = (struct wg_cell){(int)a, ((int64_t *)winter)[k]};
        if (a < -1 || a >= wg_plausible_count() || (*cells)[k].winter < 0)
            code = wg_stored_damaged(&data->in, "its animals and winters", err);
    }
    if (code < 0) {
        free(*cells);
        *cells = NULL;
    }
    free(animal);
    free(winter);
    return code;
}

int wg_result_data_generations(struct wg_result_data *data, double **values, struct wg_error *err) {
    const struct wg_h5_shape shape = {3, {data->n_days, WG_N_STAGES, data->n_generations}};
    return read_reals_of_shape(data, "count_by_generation", &shape, values, err);
}

/* ---- all replicates at once ---- */

static int read_summary(struct wg_result_data *data, struct wg_summary *summary, struct wg_error *err) {
    for (int i = 0; i < WG_N_OUTCOMES; i++) {
        double *values;
        const int code = wg_result_data_outcome(data, (enum wg_outcome_number)i, &values, err);
        if (code < 0)
            return code;
        memcpy(summary->outcome + i * summary->capacity, values, (size_t)data->in.replicates * sizeof *values);
        free(values);
    }
    summary->n = data->in.replicates;
    return 0;
}

static int read_odds(struct wg_result_data *data, const struct wg_summary *summary, struct wg_goal_tally *odds,
                     struct wg_error *err) {
    const double *const survived = wg_summary_outcome(summary, WG_OUTCOME_survived);
    const int n_goals = odds->plan->n_goals;
    const struct wg_h5_shape shape = {2, {data->in.replicates, n_goals}};
    void *read = NULL;
    int code = n_goals > 0 ? wg_stored_values(&data->in, "goal_met", WG_H5_COUNT, &shape, &read, err) : 0;
    const int64_t *const met = read; /* [replicate][goal] */
    for (int64_t k = 0; k < data->in.replicates && code == 0; k++) {
        bool is_met[WG_MAX_GOALS];
        for (int i = 0; i < n_goals; i++)
            is_met[i] = met[k * n_goals + i] != 0;
        code = wg_goal_tally_add(odds, k, survived[k] > 0, is_met, err);
    }
    free(read);
    return code;
}

int wg_result_data_summary(struct wg_result_data *data, const struct wg_plan *plan, struct wg_summary *summary,
                           struct wg_goal_tally *odds, struct wg_error *err) {
    wg_goal_tally_init(odds, plan);
    int code = wg_summary_init(summary, plan, data->in.replicates, err);
    if (code == 0)
        code = read_summary(data, summary, err);
    return code == 0 ? read_odds(data, summary, odds, err) : code;
}

/* ---- by replicate ---- */

#define PLUS_ONE(...) +1
enum { N_SERIES = 0 WG_DIARY_TABLE(PLUS_ONE) };

struct replay {
    struct wg_result_data *data;
    struct wg_diary diary;
    int64_t from, n, capacity; /* replicates in `block` */
    void *block[N_SERIES];     /* [replicate][day][width] */
    size_t row[N_SERIES];      /* values of a replicate */
    double *outcome[WG_N_OUTCOMES];
};

static int replay_begin(struct replay *replay, const struct wg_plan *plan, struct wg_error *err) {
    struct wg_result_data *const data = replay->data;
    if (plan->n_places != data->n_places || plan->n_bins != data->n_bins || plan->first_day != data->first_day ||
        plan->last_day - plan->first_day + 1 != data->n_days || wg_plan_generations(plan) != data->n_generations)
        return wg_fail(err, WG_ERR_FORMAT, data->in.path,
                       "This result is damaged: its scenario does not match its numbers.");
    int code = wg_diary_init(&replay->diary, plan, err);
    replay->diary.stopped_day = -1; /* every stored replicate ran to its end */
    size_t all = 0;
    for (int i = 0; i < N_SERIES; i++)
        all += replay->row[i] =
            (size_t)data->n_days * (size_t)wg_diary_width(&replay->diary, wg_diary_series()[i].dims);
    replay->capacity = (int64_t)(REPLAY_BYTES / (8 * all)) + 1;
    if (replay->capacity > data->in.replicates)
        replay->capacity = data->in.replicates;
    for (int i = 0; i < N_SERIES && code == 0; i++) {
        replay->block[i] = calloc((size_t)replay->capacity * replay->row[i] + 1, 8);
        if (replay->block[i] == NULL)
            code = wg_no_memory(err, data->in.path);
    }
    for (int i = 0; i < WG_N_OUTCOMES && code == 0; i++)
        code = wg_result_data_outcome(data, (enum wg_outcome_number)i, &replay->outcome[i], err);
    return code;
}

static void replay_end(struct replay *replay) {
    for (int i = 0; i < N_SERIES; i++)
        free(replay->block[i]);
    for (int i = 0; i < WG_N_OUTCOMES; i++)
        free(replay->outcome[i]);
    wg_diary_free(&replay->diary);
}

static int read_block(struct replay *replay, struct wg_error *err) {
    for (int i = 0; i < N_SERIES; i++) {
        const struct wg_series *const series = &wg_diary_series()[i];
        if (replay->row[i] == 0)
            continue;
        const struct wg_series_place place = wg_series_place(&replay->diary, series);
        struct wg_h5_shape count, from = {0};
        int code = check_series(replay->data, place.series, &count, err);
        if (code < 0)
            return code;
        from.n_dims = count.n_dims;
        from.size[0] = replay->from;
        count.size[0] = replay->n;
        if (place.column >= 0) {
            from.size[2] = place.column;
            count.size[2] = 1;
        }
        code = wg_h5_read_block(replay->data->in.h5, place.series->name, series->is_count ? WG_H5_COUNT : WG_H5_REAL,
                                &from, &count, replay->block[i], err);
        if (code < 0)
            return code;
    }
    return 0;
}

/* Copies replicate number `from + i` into the diary. */
static void fill_diary(struct replay *replay, int64_t i) {
    char *const diary = (char *)&replay->diary;
    for (int k = 0; k < N_SERIES; k++) {
        void *const to = *(void **)(diary + wg_diary_series()[k].offset);
        if (replay->row[k] > 0)
            memcpy(to, (const char *)replay->block[k] + (size_t)i * replay->row[k] * 8, replay->row[k] * 8);
    }
    for (int k = 0; k < WG_N_OUTCOMES; k++)
        *(double *)(diary + wg_diary_outcomes()[k].offset) = replay->outcome[k][replay->from + i];
}

static int show_block(struct replay *replay, const struct wg_observer *observers, int n, struct wg_error *err) {
    for (int64_t i = 0; i < replay->n; i++) {
        fill_diary(replay, i);
        for (int k = 0; k < n; k++) {
            const int code = observers[k].on_replicate(observers[k].self, replay->from + i, &replay->diary, err);
            if (code != 0)
                return code;
        }
    }
    return 0;
}

int wg_result_data_replay(struct wg_result_data *data, const struct wg_plan *plan, const struct wg_observer *observers,
                          int n_observers, struct wg_error *err) {
    struct replay replay = {.data = data};
    int code = replay_begin(&replay, plan, err);
    for (; code == 0 && replay.from < data->in.replicates; replay.from += replay.n) {
        const int64_t left = data->in.replicates - replay.from;
        replay.n = left < replay.capacity ? left : replay.capacity;
        code = read_block(&replay, err);
        if (code == 0)
            code = show_block(&replay, observers, n_observers, err);
    }
    replay_end(&replay);
    return code;
}
