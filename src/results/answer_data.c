/*
 * What does this answer say? Read back from its file, each size looked at before it is trusted.
 */
#include "results/answer_data.h"

#include "results/size_sentences.h"
#include "results/stored_warnings_write.h"
#include "storage/provenance.h"
#include "storage/sha256.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define SCENARIO WG_PROVENANCE "/" WG_TEXT_SCENARIO
#define RECORD WG_PROVENANCE "/" WG_TEXT_RECORD
#define MAX_VALUES 50000000 /* judgement: 400 MB; the most draws of a fit have 24 million outcomes */

static int fail_answer_damaged(const struct wg_answer_data *data, const char *what, struct wg_error *err) {
    const int code = wg_h5_failed(data->file, err);
    return code < 0 ? code
                    : wg_fail(err, WG_ERR_FORMAT, data->path, "This answer is damaged: %s cannot be read.", what);
}

int wg_answer_data_is(const char *path, struct wg_error *err) {
    return wg_hdf5_has(path, WG_ATTRIBUTE_ANSWER, err);
}

/* ---- opening ---- */

static int check_answer_format(struct wg_answer_data *data, struct wg_error *err) {
    uint64_t format = 0;
    if (!wg_h5_find_number(data->file, WG_PROVENANCE, WG_ATTRIBUTE_ANSWER, &format))
        return wg_fail(err, WG_ERR_FORMAT, data->path, "This is not an answer of wintergrub.");
    if (format != WG_ANSWER_FORMAT)
        return wg_fail(err, WG_ERR_FORMAT, data->path,
                       "This answer has format %llu of another wintergrub, and this one reads %d: ask again.",
                       (unsigned long long)format, WG_ANSWER_FORMAT);
    return 0;
}

static int read_answer_kind(struct wg_answer_data *data, struct wg_error *err) {
    char *kind;
    int found = -1;
    if (!wg_h5_find_attribute(data->file, ".", WG_ATTRIBUTE_KIND, &kind))
        return fail_answer_damaged(data, "its kind", err);
    for (int i = 0; i < WG_ANSWER_N_KINDS; i++)
        if (strcmp(kind, wg_answer_kind_name((enum wg_answer_kind)i)) == 0)
            found = i;
    free(kind);
    if (found < 0)
        return fail_answer_damaged(data, "its kind", err);
    data->kind = (enum wg_answer_kind)found;
    return 0;
}

static int read_answer_attributes(struct wg_answer_data *data, struct wg_error *err) {
    const struct {
        const char *group, *name;
        char **to;
    } notes[] = {{".", "title", &data->title},
                 {".", "source", &data->source},
                 {".", "answer", &data->text},
                 {WG_PROVENANCE, WG_ATTRIBUTE_COMMAND, &data->command_line},
                 {WG_PROVENANCE, WG_ATTRIBUTE_STARTED, &data->started},
                 {WG_PROVENANCE, WG_ATTRIBUTE_SCENARIO_PATH, &data->scenario_path},
                 {WG_PROVENANCE, WG_ATTRIBUTE_SCENARIO_SHA256, &data->scenario_sha256}};
    for (size_t i = 0; i < sizeof notes / sizeof *notes; i++) {
        *notes[i].to = wg_h5_attribute_or_empty(data->file, notes[i].group, notes[i].name);
        if (*notes[i].to == NULL)
            return wg_no_memory(err, data->path);
    }
    return wg_h5_failed(data->file, err);
}

static int read_answer_scenario(struct wg_answer_data *data, struct wg_error *err) {
    char digest[WG_SHA256_TEXT_SIZE];
    uint64_t replicates = 0;
    if (!wg_h5_find_text(data->file, SCENARIO, &data->scenario_text, &data->scenario_size))
        return fail_answer_damaged(data, "its scenario", err);
    wg_sha256(data->scenario_text, data->scenario_size, digest);
    if (strcmp(digest, data->scenario_sha256) != 0)
        return wg_fail(err, WG_ERR_FORMAT, data->path, "The scenario in this answer was changed: its SHA-256 differs.");
    if (!wg_h5_find_text(data->file, RECORD, &data->record_text, &data->record_size) &&
        wg_h5_failed(data->file, NULL) < 0)
        return wg_h5_failed(data->file, err);
    if (!wg_h5_find_number(data->file, WG_PROVENANCE, WG_ATTRIBUTE_REPLICATES, &replicates) || replicates > INT64_MAX)
        return fail_answer_damaged(data, "its number of replicates", err);
    data->replicates = (int64_t)replicates;
    return wg_h5_find_number(data->file, WG_PROVENANCE, WG_ATTRIBUTE_SEED, &data->seed)
               ? 0
               : fail_answer_damaged(data, "its seed", err);
}

int wg_answer_data_open(struct wg_answer_data *data, const char *path, struct wg_error *err) {
    memset(data, 0, sizeof *data);
    data->path = strdup(path);
    int code = data->path != NULL ? wg_hdf5_open(&data->file, data->path, err) : wg_no_memory(err, data->path);
    if (code == 0)
        code = check_answer_format(data, err);
    if (code == 0)
        code = read_answer_kind(data, err);
    if (code == 0)
        code = read_answer_attributes(data, err);
    if (code == 0)
        code = wg_stored_warnings_read(data->file, &data->warned, err);
    return code == 0 ? read_answer_scenario(data, err) : code;
}

void wg_answer_data_free(struct wg_answer_data *data) {
    char *const text[] = {
        data->path,    data->title,         data->text,          data->source,          data->command_line,
        data->started, data->scenario_path, data->scenario_text, data->scenario_sha256, data->record_text};
    wg_h5_free(data->file); /* first: it borrows the path */
    for (size_t i = 0; i < sizeof text / sizeof *text; i++)
        free(text[i]);
    wg_stored_warnings_free(&data->warned);
    memset(data, 0, sizeof *data);
}

/* ---- variables ---- */

/* Values in all; -1: more than any answer has. */
static int64_t count_of(const struct wg_h5_shape *shape) {
    int64_t n = 1;
    for (int i = 0; i < shape->n_dims; i++) {
        if (shape->size[i] < 0 || shape->size[i] > MAX_VALUES / (n > 0 ? n : 1))
            return -1;
        n *= shape->size[i];
    }
    return n;
}

int wg_answer_data_reals(struct wg_answer_data *data, const char *name, int64_t *n, double **values,
                         struct wg_error *err) {
    struct wg_h5_shape shape;
    *values = NULL;
    if (!wg_h5_find_shape(data->file, name, WG_H5_REAL, &shape) || shape.n_dims < 1 || (*n = count_of(&shape)) < 0)
        return fail_answer_damaged(data, name, err);
    *values = calloc((size_t)*n + 1, sizeof **values);
    if (*values == NULL)
        return wg_no_memory(err, data->path);
    const struct wg_h5_shape from = {.n_dims = shape.n_dims};
    const int code = wg_h5_read_block(data->file, name, WG_H5_REAL, &from, &shape, *values, err);
    if (code < 0) {
        free(*values);
        *values = NULL;
    }
    return code;
}

int wg_answer_data_real(struct wg_answer_data *data, const char *name, double *value, struct wg_error *err) {
    return wg_h5_find_real(data->file, name, value) ? 0 : fail_answer_damaged(data, name, err);
}

int wg_answer_data_texts(struct wg_answer_data *data, const char *name, int64_t n, char **out, struct wg_error *err) {
    return wg_h5_read_texts(data->file, name, n, out, err);
}

/* ---- a search for the right size ---- */

static int find_size_outcome(const char *name) {
    for (int i = WG_SIZE_FOUND; i <= WG_SIZE_NOT_MONOTONE; i++)
        if (strcmp(name, wg_size_outcome_name((enum wg_size_outcome)i)) == 0)
            return i;
    return -1;
}

static int read_words(struct wg_answer_data *data, struct wg_answer_size *to, struct wg_error *err) {
    char *key = NULL, *unit = NULL, *outcome = NULL, *looked_for = NULL;
    const int has = wg_h5_find_attribute(data->file, ".", "key", &key) &
                    wg_h5_find_attribute(data->file, ".", "unit_as_written", &unit) &
                    wg_h5_find_attribute(data->file, ".", "outcome", &outcome) &
                    wg_h5_find_attribute(data->file, ".", "looked_for", &looked_for);
    const int found = has ? find_size_outcome(outcome) : -1;
    int code = 0;
    if (found < 0) {
        code = fail_answer_damaged(data, "what was asked", err);
    } else {
        (void)snprintf(to->vary.path, sizeof to->vary.path, "%s", key);
        (void)snprintf(to->vary.unit, sizeof to->vary.unit, "%s", unit);
        to->size.outcome = (enum wg_size_outcome)found;
        to->question.largest = strcmp(looked_for, "largest") == 0;
    }
    free(key);
    free(unit);
    free(outcome);
    free(looked_for);
    return code;
}

/* A column of `n` values, copied out; its size is looked at first, for what an enemy promises is not made room for. */
static int read_answer_column(struct wg_answer_data *data, const char *name, int64_t n, double *out,
                              struct wg_error *err) {
    struct wg_h5_shape shape;
    double *values;
    if (!wg_h5_find_shape(data->file, name, WG_H5_REAL, &shape) || count_of(&shape) != n)
        return fail_answer_damaged(data, name, err);
    const int code = wg_answer_data_reals(data, name, &n, &values, err);
    if (code < 0)
        return code;
    wg_assert(values != NULL);
    memcpy(out, values, (size_t)n * sizeof *out);
    free(values);
    return 0;
}

static int read_goals(struct wg_answer_data *data, struct wg_answer_size *to, struct wg_error *err) {
    struct wg_h5_shape shape;
    char *text[WG_MAX_GOALS] = {0};
    if (!wg_h5_find_shape(data->file, "goal", WG_H5_STRING, &shape) || shape.n_dims != 1 || shape.size[0] < 1 ||
        shape.size[0] > WG_MAX_GOALS)
        return fail_answer_damaged(data, "its goals", err);
    to->question.n_goals = (int)shape.size[0];
    double *const asked = to->question.wanted;
    int code = read_answer_column(data, "chance_asked", to->question.n_goals, asked, err);
    if (code == 0)
        code = wg_answer_data_texts(data, "goal", to->question.n_goals, text, err);
    for (int g = 0; g < to->question.n_goals; g++) {
        if (code == 0) {
            (void)snprintf(to->goal[g], sizeof to->goal[g], "%s", text[g]);
            if (!(asked[g] > 0 && asked[g] < 1))
                code = fail_answer_damaged(data, "chance_asked", err);
        }
        free(text[g]);
    }
    return code;
}

static bool is_date(struct wg_answer_data *data) {
    char *unit;
    if (!wg_h5_find_attribute(data->file, "value", "units", &unit))
        return false;
    const bool is = strncmp(unit, "days since 1970-01-01", strlen("days since 1970-01-01")) == 0;
    free(unit);
    return is;
}

/* Numbers of replicates as they were counted: sizes are looked at before a cast. */
static int store_point(struct wg_answer_data *data, struct wg_size_point *point, double value, double n,
                       const double *met, int n_goals, struct wg_error *err) {
    bool well = isfinite(value) && n >= 1 && n < 1e15;
    for (int g = 0; g < n_goals; g++)
        well = well && met[g] >= 0 && met[g] <= n;
    if (!well)
        return fail_answer_damaged(data, "how often a goal was met", err);
    *point = (struct wg_size_point){.value = value, .n = (int64_t)n, .verdict = WG_UNDECIDED};
    for (int g = 0; g < n_goals; g++)
        point->hits[g] = (int64_t)met[g];
    return 0;
}

static enum wg_verdict verdict_from_name(const char *name) {
    for (int v = WG_NO; v < WG_UNDECIDED; v++)
        if (strcmp(name, wg_verdict_name((enum wg_verdict)v)) == 0)
            return (enum wg_verdict)v;
    return WG_UNDECIDED;
}

static int read_points(struct wg_answer_data *data, struct wg_answer_size *to, struct wg_error *err) {
    struct wg_h5_shape shape;
    double value[WG_SIZE_MAX_POINTS] = {0}, n[WG_SIZE_MAX_POINTS] = {0};
    double met[WG_SIZE_MAX_POINTS * WG_MAX_GOALS] = {0};
    char *enough[WG_SIZE_MAX_POINTS] = {0};
    const int n_goals = to->question.n_goals;
    if (!wg_h5_find_shape(data->file, "value", WG_H5_REAL, &shape) || shape.n_dims != 1 || shape.size[0] < 1 ||
        shape.size[0] > WG_SIZE_MAX_POINTS)
        return fail_answer_damaged(data, "the values that were tried", err);
    const int n_points = to->size.n_points = (int)shape.size[0];
    int code = read_answer_column(data, "value", n_points, value, err);
    if (code == 0)
        code = read_answer_column(data, "replicates", n_points, n, err);
    if (code == 0)
        code = read_answer_column(data, "met", (int64_t)n_points * n_goals, met, err);
    if (code == 0)
        code = wg_answer_data_texts(data, "enough", n_points, enough, err);
    for (int i = 0; i < n_points; i++) {
        if (code == 0)
            code = store_point(data, &to->size.point[i], value[i], n[i], met + (ptrdiff_t)i * n_goals, n_goals, err);
        if (code == 0)
            to->size.point[i].verdict = verdict_from_name(enough[i]);
        free(enough[i]);
    }
    return code;
}

static int read_size_numbers(struct wg_answer_data *data, struct wg_answer_size *to, struct wg_error *err) {
    double best = 0, geometric = 0, difference = 0, falls_goal = 0, replicates = 0;
    const struct {
        const char *name;
        double *to;
    } numbers[] = {{to->question.largest ? "largest_enough" : "smallest_enough", &to->size.enough},
                   {"too_little", &to->size.too_little},
                   {"about", &to->size.about},
                   {"best", &best},
                   {"falls_from", &to->size.falls_from},
                   {"falls_to", &to->size.falls_to},
                   {"value_in_scenario", &to->vary.value},
                   {"searched_from", &to->question.low},
                   {"searched_to", &to->question.high},
                   {"falls_goal", &falls_goal},
                   {"is_geometric", &geometric},
                   {"is_difference", &difference},
                   {"step", &to->vary.step},
                   {"confidence", &to->question.confidence},
                   {"total_replicates", &replicates}};
    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++) {
        const int code = wg_answer_data_real(data, numbers[i].name, numbers[i].to, err);
        if (code < 0)
            return code;
    }
    to->question.step = to->vary.step;
    to->question.geometric = geometric > 0;
    to->vary.is_difference = difference > 0;
    if (!(replicates >= 0 && replicates < 1e15 && falls_goal >= 0 && falls_goal < to->question.n_goals))
        return fail_answer_damaged(data, "what was found", err);
    to->size.replicates = (int64_t)replicates;
    to->size.falls_goal = (int)falls_goal;
    to->size.best = wg_size_find(&to->size, best);
    const int well = to->size.best >= 0 && to->question.confidence > 0 && to->question.confidence < 1 &&
                     to->question.low < to->question.high && (!to->question.geometric || to->question.low > 0);
    return well ? 0 : fail_answer_damaged(data, "what was found", err);
}

int wg_answer_data_size(struct wg_answer_data *data, struct wg_answer_size *to, struct wg_error *err) {
    *to = (struct wg_answer_size){.vary = {.at = 0}};
    if (data->kind != WG_ANSWER_SIZE)
        return wg_fail(err, WG_ERR_FORMAT, data->path,
                       "This is an answer of %s, and only those of size have a picture or a page. Read it with h5dump "
                       "or xarray, or ask for its words again: %.300s",
                       wg_answer_kind_name(data->kind), data->command_line);
    int code = read_words(data, to, err);
    if (code == 0)
        code = read_goals(data, to, err);
    if (code == 0)
        code = read_points(data, to, err);
    if (code == 0)
        code = read_size_numbers(data, to, err);
    if (code == 0) {
        to->vary.is_date = is_date(data);
        code = wg_h5_failed(data->file, err); /* no memory for the unit is not no date */
    }
    return code;
}
