/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads a result back from its file. A file is damaged if the sizes of its variables differ from those of its
 * coordinates.
 */
#include "results/result_file.h"

#include "base/calendar.h"
#include "data/series_terms.h"
#include "results/stored_parts.h"
#include "species/plausible.h"
#include "storage/provenance.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define MAX_DAYS 36600        /* a hundred years, the longest period of a scenario */
#define MAX_PARAMETERS 1000   /* judgement: more is not plausible */
#define REPLAY_BYTES 33554432 /* judgement: 32 MB of diaries in memory */
#define TIME_UNIT "days since "

/* ---- by variable: the source of the data ---- */

/* The state of the source: the file and what its shapes are checked against. */
struct result_file {
    struct wg_stored_file file;
    struct wg_diary sizes; /* no arrays */
};

/* Finds the shape a series must have in this file; returns false if the file has a different one. */
static int check_series(struct result_file *in, const struct wg_series *series, struct wg_h5_shape *shape,
                        struct wg_error *err) {
    const int width = wg_diary_width(&in->sizes, series->dims), n_dims = series->dims == WG_PER_DAY ? 2 : 3;
    if (!wg_h5_find_shape(in->file.h5, series->name, WG_H5_REAL, shape) || shape->n_dims != n_dims ||
        shape->size[0] != in->file.facts.replicates || shape->size[1] != in->sizes.n_days ||
        (n_dims == 3 && shape->size[2] != width))
        return wg_fail(
            err, WG_ERR_FORMAT, in->file.facts.path,
            "This result has no %s of the form that this wintergrub reads: it is damaged or from another version.",
            series->name);
    return 0;
}

static int read_file_series(void *self, const struct wg_series *series, int column, int64_t replicates, double *out,
                            struct wg_error *err) {
    struct result_file *const in = self;
    struct wg_h5_shape count, from = {0};
    const int code = check_series(in, series, &count, err);
    if (code < 0)
        return code;
    from.n_dims = count.n_dims;
    count.size[0] = replicates;
    if (count.n_dims == 3) {
        from.size[2] = column;
        count.size[2] = 1;
    }
    return wg_h5_read_block(in->file.h5, series->name, WG_H5_REAL, &from, &count, out, err);
}

static int read_file_outcome(void *self, enum wg_outcome_number outcome, double **values, struct wg_error *err) {
    struct result_file *const in = self;
    const struct wg_h5_shape shape = {1, {in->file.facts.replicates}};
    return wg_stored_outcome(&in->file, outcome, &shape, in->sizes.n_days, values, err);
}

static int read_file_cells(void *self, struct wg_cell **cells, struct wg_error *err) {
    struct result_file *const in = self;
    const int64_t replicates = in->file.facts.replicates;
    const struct wg_h5_shape shape = {1, {replicates}};
    void *animal = NULL, *winter = NULL;
    int code = wg_stored_values(&in->file, "animal", WG_H5_COUNT, &shape, &animal, err);
    if (code == 0)
        code = wg_stored_values(&in->file, "winter", WG_H5_COUNT, &shape, &winter, err);
    *cells = code == 0 ? malloc((size_t)replicates * sizeof **cells) : NULL;
    if (code == 0 && *cells == NULL)
        code = wg_no_memory(err, in->file.facts.path);
    for (int64_t k = 0; k < replicates && code == 0; k++) {
        const int64_t a = ((int64_t *)animal)[k];
        (*cells)[k] = (struct wg_cell){(int)a, ((int64_t *)winter)[k]};
        if (a < -1 || a >= wg_plausible_count() || (*cells)[k].winter < 0)
            code = wg_stored_damaged(&in->file, "its animals and winters", err);
    }
    if (code < 0) {
        free(*cells);
        *cells = NULL;
    }
    free(animal);
    free(winter);
    return code;
}

static int read_file_generations(void *self, double **values, struct wg_error *err) {
    struct result_file *const in = self;
    const struct wg_h5_shape shape = {3, {in->sizes.n_days, WG_N_STAGES, in->sizes.n_generations}};
    void *read;
    const int code = wg_stored_values(&in->file, "count_by_generation", WG_H5_REAL, &shape, &read, err);
    *values = read;
    return code;
}

static void free_result_file(void *self) {
    struct result_file *const in = self;
    wg_stored_free(&in->file);
    free(in);
}

static const struct wg_result_source file_source = {read_file_series, read_file_outcome, read_file_cells,
                                                    read_file_generations, free_result_file};

/* ---- opening ---- */

/* Reads the length of a coordinate. */
static int64_t length_of(struct wg_result_data *data, const char *name, enum wg_h5_kind kind) {
    struct wg_h5_shape shape;
    return wg_h5_find_shape(wg_result_data_file(data)->h5, name, kind, &shape) && shape.n_dims == 1 ? shape.size[0] : 0;
}

/* True if the air of the only place is that outdoors, so that the file has no series of it; not if it was removed. */
static bool lacks_air(struct wg_h5 *file, int n_places) {
    static const char name[] = "air_temperature";
    struct wg_h5_shape shape;
    return n_places == 1 && !wg_h5_find_shape(file, name, WG_H5_REAL, &shape) && wg_h5_was_written(file, name) != 1;
}

static int read_result_sizes(struct wg_result_data *data, struct wg_error *err) {
    const int64_t days = length_of(data, "time", WG_H5_COUNT), replicates = length_of(data, "replicate", WG_H5_COUNT);
    const int64_t generations = length_of(data, "generation", WG_H5_COUNT);
    const int64_t places = length_of(data, "place", WG_H5_STRING), bins = length_of(data, "bin", WG_H5_STRING);
    if (days < 1 || days > MAX_DAYS)
        return wg_stored_damaged(wg_result_data_file(data), "its days", err);
    if (replicates != data->in.replicates)
        return wg_stored_damaged(wg_result_data_file(data), "its number of replicates", err);
    if (generations < 1 || generations > 64)
        return wg_stored_damaged(wg_result_data_file(data), "its generations", err);
    if (places < 1 || places > WG_MAX_PLACES || bins > WG_MAX_BINS)
        return wg_stored_damaged(wg_result_data_file(data), "its places and bins", err);
    data->n_days = (int)days;
    data->n_generations = (int)generations;
    data->n_places = (int)places;
    data->n_bins = (int)bins;
    data->outdoors = lacks_air(wg_result_data_file(data)->h5, data->n_places);
    return 0;
}

static int read_first_day(struct wg_result_data *data, struct wg_error *err) {
    char *unit, date[11] = "";
    if (!wg_h5_find_attribute(wg_result_data_file(data)->h5, "time", "units", &unit))
        return wg_stored_damaged(wg_result_data_file(data), "its first day", err);
    if (strncmp(unit, TIME_UNIT, strlen(TIME_UNIT)) == 0)
        (void)snprintf(date, sizeof date, "%s", unit + strlen(TIME_UNIT));
    free(unit);
    const int well = wg_day_parse(date, &data->first_day) == 0 && data->first_day <= WG_DAY_LAST - data->n_days;
    return well ? 0 : wg_stored_damaged(wg_result_data_file(data), "its first day", err);
}

static int read_places(struct wg_result_data *data, struct wg_error *err) {
    char *stands[WG_MAX_BINS] = {NULL};
    int code = data->n_places > 0
                   ? wg_h5_read_texts(wg_result_data_file(data)->h5, "place", data->n_places, data->place, err)
                   : 0;
    if (code == 0 && data->n_bins > 0)
        code = wg_h5_read_texts(wg_result_data_file(data)->h5, "bin", data->n_bins, data->bin, err);
    if (code == 0 && data->n_bins > 0)
        code = wg_h5_read_texts(wg_result_data_file(data)->h5, "bin_place", data->n_bins, stands, err);
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
    const int code = wg_h5_read_texts(wg_result_data_file(data)->h5, name, data->n_parameters, column, err);
    for (int i = 0; i < data->n_parameters; i++)
        *(char **)((char *)&data->parameter[i] + offset) = column[i];
    free(column);
    return code;
}

static int read_parameter_values(struct wg_result_data *data, struct wg_error *err) {
    const struct wg_h5_shape shape = {1, {data->n_parameters}};
    char text[WG_PARAMETER_TEXT];
    void *read;
    int code =
        wg_stored_values(wg_result_data_file(data), WG_PROVENANCE "/parameter_value", WG_H5_REAL, &shape, &read, err);
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
        return wg_stored_damaged(wg_result_data_file(data), "its list of the animal's numbers", err);
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

/* Sets the sizes that every variable of the file must have. */
static void set_sizes(struct wg_result_data *data) {
    struct wg_diary *const sizes = &((struct result_file *)data->self)->sizes;
    sizes->n_days = data->n_days;
    sizes->n_places = data->n_places;
    sizes->n_bins = data->n_bins;
    sizes->n_generations = data->n_generations;
    data->readable = wg_result_readable(data->in.replicates, data->n_days);
}

/* Reads what is in every result, from the file of data->self. */
static int read_result_frame(struct wg_result_data *data, struct wg_error *err) {
    struct wg_stored_file *const file = wg_result_data_file(data);
    int code = wg_stored_expect(file, WG_STORED_RESULT, err);
    data->in = file->facts;
    if (code == 0)
        code = wg_stored_inputs_read(file, &data->inputs, err);
    if (code == 0)
        code = read_result_sizes(data, err);
    if (code == 0)
        code = read_first_day(data, err);
    if (code == 0)
        code = read_places(data, err);
    if (code == 0)
        code = read_parameters(data, err);
    if (code == 0)
        code = wg_stored_animals_read(file, data->n_parameters, &data->animals, err);
    if (code < 0)
        return code;
    set_sizes(data);
    (void)wg_h5_find_attribute(file->h5, WG_PROVENANCE, WG_ATTRIBUTE_WHY, &data->words.why);
    (void)wg_h5_find_attribute(file->h5, WG_PROVENANCE, WG_ATTRIBUTE_CHECKED, &data->words.checked);
    data->digest = wg_h5_attribute_or_empty(file->h5, WG_PROVENANCE, WG_ATTRIBUTE_DIGEST);
    return data->digest != NULL ? wg_h5_failed(file->h5, err) : wg_no_memory(err, file->facts.path);
}

struct wg_stored_file *wg_result_data_file(const struct wg_result_data *data) {
    wg_assert(data->source == &file_source);
    return &((struct result_file *)data->self)->file;
}

int wg_result_data_take(struct wg_result_data *data, struct wg_stored_file *file, struct wg_error *err) {
    struct result_file *const in = calloc(1, sizeof *in);
    *data = (struct wg_result_data){0};
    if (in == NULL) {
        wg_stored_free(file);
        return wg_no_memory(err, NULL);
    }
    in->file = *file;
    *file = (struct wg_stored_file){0};
    data->source = &file_source;
    data->self = in;
    return read_result_frame(data, err);
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
    int code =
        n_goals > 0 ? wg_stored_values(wg_result_data_file(data), "goal_met", WG_H5_COUNT, &shape, &read, err) : 0;
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
        const struct wg_series_place place = wg_series_place(&replay->diary, replay->data->outdoors, series);
        struct wg_h5_shape count, from = {0};
        int code = check_series(replay->data->self, place.series, &count, err);
        if (code < 0)
            return code;
        from.n_dims = count.n_dims;
        from.size[0] = replay->from;
        count.size[0] = replay->n;
        if (place.column >= 0) {
            from.size[2] = place.column;
            count.size[2] = 1;
        }
        code = wg_h5_read_block(wg_result_data_file(replay->data)->h5, place.series->name,
                                series->is_count ? WG_H5_COUNT : WG_H5_REAL, &from, &count, replay->block[i], err);
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
