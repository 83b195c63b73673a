/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads a sensitivity analysis back from its file and checks every size before use.
 */
#include "results/answer_file.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Reads the names of a dimension of 1 .. most; free each of the *n. */
static int read_names(struct wg_answer_data *data, const char *dimension, int most, char **name, int *n,
                      struct wg_error *err) {
    struct wg_h5_shape shape;
    if (!wg_h5_find_shape(wg_answer_file_of(data)->h5, dimension, WG_H5_STRING, &shape) || shape.n_dims != 1 ||
        shape.size[0] < 1 || shape.size[0] > most)
        return wg_stored_damaged(wg_answer_file_of(data), dimension, err);
    *n = (int)shape.size[0];
    return wg_h5_read_texts(wg_answer_file_of(data)->h5, dimension, *n, name, err);
}

/* Reads columns of n values, named in a list that ends with NULL, into out[column][most]. */
static int read_columns(struct wg_answer_data *data, const char *const *name, int n, int most, double *out,
                        struct wg_error *err) {
    const struct wg_h5_shape shape = {1, {n}};
    int code = 0;
    for (int c = 0; name[c] != NULL && code == 0; c++) {
        void *values;
        code = wg_stored_values(wg_answer_file_of(data), name[c], WG_H5_REAL, &shape, &values, err);
        if (code == 0)
            memcpy(out + (ptrdiff_t)c * most, values, (size_t)n * sizeof *out);
        free(values);
    }
    return code;
}

static int read_unknowns(struct wg_answer_data *data, struct wg_sensitivity *to, struct wg_error *err) {
    static const char *const column[] = {"low", "high", "trend", "group", "share", "share_low", "share_high", NULL};
    double value[7][WG_MAX_NUMBERS];
    char *name[WG_MAX_NUMBERS] = {0};
    int code = read_names(data, "unknown", WG_MAX_NUMBERS, name, &to->n_unknowns, err);
    if (code == 0)
        code = read_columns(data, column, to->n_unknowns, WG_MAX_NUMBERS, value[0], err);
    for (int i = 0; i < to->n_unknowns; i++) {
        const struct wg_parameter *const p = code == 0 ? wg_species_find(name[i]) : NULL;
        if (code == 0 && (p == NULL || !(value[3][i] >= 0 && value[3][i] < to->n_unknowns)))
            code = wg_stored_damaged(wg_answer_file_of(data), name[i], err);
        if (code == 0) {
            const int group = (int)value[3][i];
            to->unknown[i] = (struct wg_unknown){p, value[0][i], value[1][i], group, value[2][i]};
            to->shares.share[group] = (struct wg_estimate){value[4][i], {value[5][i], value[6][i]}};
            to->shares.n_groups = group >= to->shares.n_groups ? group + 1 : to->shares.n_groups;
        }
        free(name[i]);
    }
    return code;
}

static const struct wg_measurement *find_measurement(const char *name) {
    for (const struct wg_measurement *m = wg_measurements(); m->name != NULL; m++)
        if (strcmp(m->name, name) == 0)
            return m;
    return NULL;
}

static int read_measurements(struct wg_answer_data *data, struct wg_sensitivity *to, struct wg_error *err) {
    static const char *const column[] = {
        "removes", "removes_low",  "removes_high",    "sd_left",          "answer_low", "answer_high",
        "worth",   "step_sd_left", "step_answer_low", "step_answer_high", NULL};
    double value[10][WG_MAX_MEASUREMENTS];
    char *name[WG_MAX_MEASUREMENTS] = {0};
    int code = read_names(data, "measurement", WG_MAX_MEASUREMENTS, name, &to->n_measurements, err);
    if (code == 0)
        code = read_columns(data, column, to->n_measurements, WG_MAX_MEASUREMENTS, value[0], err);
    for (int i = 0; i < to->n_measurements; i++) {
        const struct wg_measurement *const m = code == 0 ? find_measurement(name[i]) : NULL;
        const double worth = value[6][i];
        if (code == 0 && (m == NULL || !(worth >= 0 && worth <= WG_MEASUREMENTS_TOGETHER)))
            code = wg_stored_damaged(wg_answer_file_of(data), name[i], err);
        if (code == 0) {
            to->measurement[i] = (struct wg_measurement_gain){
                m, {{value[0][i], {value[1][i], value[2][i]}}, value[3][i], {value[4][i], value[5][i]}}};
            if (worth >= 1)
                to->step[(int)worth - 1] =
                    (struct wg_measurement_step){i, {{0, {0, 0}}, value[7][i], {value[8][i], value[9][i]}}};
            to->n_steps = (int)worth > to->n_steps ? (int)worth : to->n_steps;
        }
        free(name[i]);
    }
    return code;
}

static bool is_finite_estimate(const struct wg_estimate *estimate) {
    return isfinite(estimate->value) && isfinite(estimate->range.low) && isfinite(estimate->range.high);
}

static bool is_finite_gain(const struct wg_gain *gain) {
    return isfinite(gain->sd) && isfinite(gain->answer.low) && isfinite(gain->answer.high);
}

/* If the animals do not differ, nothing of this is known. */
static bool is_all_finite(const struct wg_sensitivity *m) {
    bool is = is_finite_gain(&m->before) && is_finite_estimate(&m->shares.together);
    for (int g = 0; g < m->shares.n_groups; g++)
        is = is && is_finite_estimate(&m->shares.share[g]);
    for (int i = 0; i < m->n_measurements; i++)
        is = is && is_finite_gain(&m->measurement[i].gain) && is_finite_estimate(&m->measurement[i].gain.share);
    for (int i = 0; i < m->n_steps; i++)
        is = is && is_finite_gain(&m->step[i].gain);
    return is;
}

static int read_one_numbers(struct wg_answer_data *data, struct wg_sensitivity *to, struct wg_error *err) {
    double luck_sd, animals, differ, replicates;
    const struct {
        const char *name;
        double *to;
    } number[] = {{"answer_mean", &to->shares.mean},
                  {"animals_low", &to->before.answer.low},
                  {"animals_high", &to->before.answer.high},
                  {"animals_sd", &to->before.sd},
                  {"luck_sd", &luck_sd},
                  {"together", &to->shares.together.value},
                  {"together_low", &to->shares.together.range.low},
                  {"together_high", &to->shares.together.range.high},
                  {"animals", &animals},
                  {"animals_differ", &differ},
                  {"total_replicates", &replicates}};
    for (size_t i = 0; i < sizeof number / sizeof *number; i++)
        if (!wg_h5_find_real(wg_answer_file_of(data)->h5, number[i].name, number[i].to))
            return wg_stored_damaged(wg_answer_file_of(data), number[i].name, err);
    if (differ > 0 && !is_all_finite(to))
        return wg_stored_damaged(wg_answer_file_of(data), "what was found", err);
    if (!(animals >= 1 && animals < 1e6 && replicates >= animals && replicates < 1e15))
        return wg_stored_damaged(wg_answer_file_of(data), "the number of its animals", err);
    to->n_animals = (int)animals;
    to->replicates = (int64_t)replicates;
    to->shares.luck = luck_sd * luck_sd;
    const double between = differ > 0 ? to->before.sd * to->before.sd : 0;
    to->shares.between = (struct wg_estimate){between, {between, between}};
    return 0;
}

static int read_answer_of(struct wg_answer_data *data, struct wg_sensitivity *to, struct wg_error *err) {
    char *name;
    if (!wg_h5_find_attribute(wg_answer_file_of(data)->h5, ".", "answer_of", &name))
        return wg_stored_damaged(wg_answer_file_of(data), "what it answers", err);
    to->outcome = strcmp(name, wg_diary_outcomes()[WG_OUTCOME_survived].name) == 0 ? WG_SENSITIVITY_SURVIVAL
                                                                                   : WG_SENSITIVITY_CRAWL_OFF;
    free(name);
    return 0;
}

int wg_answer_data_sensitivity(struct wg_answer_data *data, struct wg_sensitivity *to, struct wg_error *err) {
    wg_assert(data->kind == WG_ANSWER_SENSITIVITY);
    *to = (struct wg_sensitivity){0};
    int code = read_answer_of(data, to, err);
    if (code == 0)
        code = read_unknowns(data, to, err);
    if (code == 0)
        code = read_measurements(data, to, err);
    return code == 0 ? read_one_numbers(data, to, err) : code;
}
