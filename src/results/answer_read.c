/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads an answer back from its file and checks every size before use.
 */
#include "results/answer_file.h"

#include "data/size_sentences.h"
#include "results/stored_parts.h"
#include "storage/provenance.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static int read_answer_kind(struct wg_answer_data *data, struct wg_error *err) {
    char *kind;
    int found = -1;
    if (!wg_h5_find_attribute(wg_answer_file_of(data)->h5, ".", WG_ATTRIBUTE_KIND, &kind))
        return wg_stored_damaged(wg_answer_file_of(data), "its kind", err);
    for (int i = 0; i < WG_ANSWER_N_KINDS; i++)
        if (strcmp(kind, wg_answer_kind_name((enum wg_answer_kind)i)) == 0)
            found = i;
    free(kind);
    if (found < 0)
        return wg_stored_damaged(wg_answer_file_of(data), "its kind", err);
    data->kind = (enum wg_answer_kind)found;
    return 0;
}

static void free_answer_file(void *file) {
    wg_stored_free(file);
    free(file);
}

static int read_answer_frame(struct wg_answer_data *data, struct wg_error *err) {
    struct wg_stored_file *const file = data->file;
    int code = wg_stored_expect(file, WG_STORED_ANSWER, err);
    data->in = file->facts;
    if (code == 0)
        code = read_answer_kind(data, err);
    if (code == 0)
        code = wg_stored_inputs_read(file, &data->inputs, err);
    if (code == 0)
        code = wg_stored_warnings_read(file->h5, &data->warned, err);
    if (code < 0)
        return code;
    data->text = wg_h5_attribute_or_empty(file->h5, ".", "answer");
    data->why = wg_h5_attribute_or_empty(file->h5, ".", "why");
    return data->text != NULL && data->why != NULL ? wg_h5_failed(file->h5, err) : wg_no_memory(err, file->facts.path);
}

int wg_answer_data_take(struct wg_answer_data *data, struct wg_stored_file *file, struct wg_error *err) {
    struct wg_stored_file *const own = malloc(sizeof *own);
    *data = (struct wg_answer_data){0};
    if (own == NULL) {
        wg_stored_free(file);
        return wg_no_memory(err, NULL);
    }
    data->file = own;
    data->free = free_answer_file;
    *own = *file;
    *file = (struct wg_stored_file){0};
    return read_answer_frame(data, err);
}

/* ---- a search for the right size ---- */

static int find_size_outcome(const char *name) {
    for (int i = WG_SIZE_FOUND; i <= WG_SIZE_NOT_MONOTONE; i++)
        if (strcmp(name, wg_size_outcome_name((enum wg_size_outcome)i)) == 0)
            return i;
    return -1;
}

static int read_words(struct wg_answer_data *data, struct wg_answer_size *to, struct wg_error *err) {
    char *key = NULL, *subject = NULL, *unit = NULL, *outcome = NULL, *looked_for = NULL;
    const int has = wg_h5_find_attribute(wg_answer_file_of(data)->h5, ".", "key", &key) &
                    wg_h5_find_attribute(wg_answer_file_of(data)->h5, ".", "subject", &subject) &
                    wg_h5_find_attribute(wg_answer_file_of(data)->h5, ".", "unit_as_written", &unit) &
                    wg_h5_find_attribute(wg_answer_file_of(data)->h5, ".", "outcome", &outcome) &
                    wg_h5_find_attribute(wg_answer_file_of(data)->h5, ".", "looked_for", &looked_for);
    const int found = has ? find_size_outcome(outcome) : -1;
    int code = 0;
    if (found < 0) {
        code = wg_stored_damaged(wg_answer_file_of(data), "what was asked", err);
    } else {
        (void)snprintf(to->vary.path, sizeof to->vary.path, "%s", key);
        (void)snprintf(to->vary.subject, sizeof to->vary.subject, "%s", subject);
        (void)snprintf(to->vary.unit, sizeof to->vary.unit, "%s", unit);
        to->size.outcome = (enum wg_size_outcome)found;
        to->question.largest = strcmp(looked_for, "largest") == 0;
    }
    free(key);
    free(subject);
    free(unit);
    free(outcome);
    free(looked_for);
    return code;
}

/* Copies a variable that must have this shape. */
static int read_answer_column(struct wg_answer_data *data, const char *name, struct wg_h5_shape shape, double *out,
                              struct wg_error *err) {
    void *values;
    const int64_t n = shape.n_dims == 2 ? shape.size[0] * shape.size[1] : shape.size[0];
    const int code = wg_stored_values(wg_answer_file_of(data), name, WG_H5_REAL, &shape, &values, err);
    if (code == 0)
        memcpy(out, values, (size_t)n * sizeof *out);
    free(values);
    return code;
}

static int read_goals(struct wg_answer_data *data, struct wg_answer_size *to, struct wg_error *err) {
    struct wg_h5_shape shape;
    char *text[WG_MAX_GOALS] = {0};
    if (!wg_h5_find_shape(wg_answer_file_of(data)->h5, "goal", WG_H5_STRING, &shape) || shape.n_dims != 1 ||
        shape.size[0] < 1 || shape.size[0] > WG_MAX_GOALS)
        return wg_stored_damaged(wg_answer_file_of(data), "its goals", err);
    to->question.n_goals = (int)shape.size[0];
    double *const asked = to->question.wanted;
    int code = read_answer_column(data, "chance_asked", shape, asked, err);
    if (code == 0)
        code = wg_h5_read_texts(wg_answer_file_of(data)->h5, "goal", to->question.n_goals, text, err);
    for (int g = 0; g < to->question.n_goals; g++) {
        if (code == 0) {
            (void)snprintf(to->goal[g], sizeof to->goal[g], "%s", text[g]);
            if (!(asked[g] > 0 && asked[g] < 1))
                code = wg_stored_damaged(wg_answer_file_of(data), "chance_asked", err);
        }
        free(text[g]);
    }
    return code;
}

static bool is_date(struct wg_answer_data *data) {
    char *unit;
    if (!wg_h5_find_attribute(wg_answer_file_of(data)->h5, "value", "units", &unit))
        return false;
    const bool is = strncmp(unit, "days since 1970-01-01", strlen("days since 1970-01-01")) == 0;
    free(unit);
    return is;
}

/* Reads the numbers of replicates; checks each range before its cast. */
static int store_point(struct wg_answer_data *data, struct wg_size_point *point, double value, double n,
                       const double *met, int n_goals, struct wg_error *err) {
    bool well = isfinite(value) && n >= 1 && n < 1e15;
    for (int g = 0; g < n_goals; g++)
        well = well && met[g] >= 0 && met[g] <= n;
    if (!well)
        return wg_stored_damaged(wg_answer_file_of(data), "how often a goal was met", err);
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
    if (!wg_h5_find_shape(wg_answer_file_of(data)->h5, "value", WG_H5_REAL, &shape) || shape.n_dims != 1 ||
        shape.size[0] < 1 || shape.size[0] > WG_SIZE_MAX_POINTS)
        return wg_stored_damaged(wg_answer_file_of(data), "the values that were tried", err);
    const int n_points = to->size.n_points = (int)shape.size[0];
    int code = read_answer_column(data, "value", shape, value, err);
    if (code == 0)
        code = read_answer_column(data, "replicates", shape, n, err);
    if (code == 0)
        code = read_answer_column(data, "met", (struct wg_h5_shape){2, {n_points, n_goals}}, met, err);
    if (code == 0)
        code = wg_h5_read_texts(wg_answer_file_of(data)->h5, "enough", n_points, enough, err);
    for (int i = 0; i < n_points; i++) {
        if (code == 0)
            code = store_point(data, &to->size.point[i], value[i], n[i], met + (ptrdiff_t)i * n_goals, n_goals, err);
        if (code == 0)
            to->size.point[i].verdict = verdict_from_name(enough[i]);
        free(enough[i]);
    }
    return code;
}

static int read_goal_curves(struct wg_answer_data *data, struct wg_answer_size *to, struct wg_error *err) {
    static const char *const name[] = {"curve_crossing", "curve_slope",          "curve_top", "curve_from", "curve_to",
                                       "curve_spread",   "curve_fit_probability"};
    double column[7][WG_MAX_GOALS];
    for (int i = 0; i < 7; i++) {
        const int code =
            read_answer_column(data, name[i], (struct wg_h5_shape){1, {to->question.n_goals}}, column[i], err);
        if (code < 0)
            return code;
    }
    for (int g = 0; g < to->question.n_goals; g++)
        to->size.curve[g] = (struct wg_size_curve){column[0][g], column[1][g], column[2][g], column[3][g],
                                                   column[4][g], column[5][g], column[6][g]};
    return 0;
}

static int read_size_numbers(struct wg_answer_data *data, struct wg_answer_size *to, struct wg_error *err) {
    double best = 0, geometric = 0, difference = 0, falls_goal = 0, replicates = 0, deciding = 0, fits = 0;
    const struct {
        const char *name;
        double *to;
    } numbers[] = {{to->question.largest ? "largest_enough" : "smallest_enough", &to->size.enough},
                   {"too_little", &to->size.too_little},
                   {"number", &to->size.number.about},
                   {"number_low", &to->size.number.low},
                   {"number_high", &to->size.number.high},
                   {"number_luckier", &to->size.number.luckier},
                   {"number_harder", &to->size.number.harder},
                   {"deciding_goal", &deciding},
                   {"curve_fits", &fits},
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
        if (!wg_h5_find_real(wg_answer_file_of(data)->h5, numbers[i].name, numbers[i].to))
            return wg_stored_damaged(wg_answer_file_of(data), numbers[i].name, err);
    }
    to->question.step = to->vary.step;
    to->question.geometric = geometric > 0;
    to->vary.is_difference = difference > 0;
    if (!(replicates >= 0 && replicates < 1e15 && falls_goal >= 0 && falls_goal < to->question.n_goals &&
          deciding >= 0 && deciding < to->question.n_goals))
        return wg_stored_damaged(wg_answer_file_of(data), "what was found", err);
    to->size.replicates = (int64_t)replicates;
    to->size.falls_goal = (int)falls_goal;
    to->size.number.goal = (int)deciding;
    to->size.number.fits = fits > 0;
    to->size.low = to->question.low;
    to->size.high = to->question.high;
    to->size.best = wg_size_find(&to->size, best);
    const int well = to->size.best >= 0 && to->question.confidence > 0 && to->question.confidence < 1 &&
                     to->question.low < to->question.high && (!to->question.geometric || to->question.low > 0);
    return well ? 0 : wg_stored_damaged(wg_answer_file_of(data), "what was found", err);
}

int wg_answer_data_size(struct wg_answer_data *data, struct wg_answer_size *to, struct wg_error *err) {
    *to = (struct wg_answer_size){.vary = {.at = 0}};
    if (data->kind != WG_ANSWER_SIZE)
        return wg_fail(err, WG_ERR_FORMAT, data->in.path,
                       "This is an answer of %s, which has no figures and no report. Read it with h5dump "
                       "or xarray, or print the answer again: %.300s",
                       wg_answer_kind_name(data->kind), data->in.command_line);
    int code = read_words(data, to, err);
    if (code == 0)
        code = read_goals(data, to, err);
    if (code == 0)
        code = read_points(data, to, err);
    if (code == 0)
        code = read_goal_curves(data, to, err);
    if (code == 0)
        code = read_size_numbers(data, to, err);
    if (code == 0) {
        to->vary.is_date = is_date(data);
        code =
            wg_h5_failed(wg_answer_file_of(data)->h5, err); /* is_date() is also false if memory for the unit ran out */
    }
    return code;
}
