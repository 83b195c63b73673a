/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Writes a fit: what is learnt, outcomes and today before and after the log, each note beside its expected range, and every
 * animal that agrees. Without an answer only what holds before the log.
 */
#include "data/series_terms.h"
#include "results/answer_file.h"

#include <stdlib.h>
#include <string.h>

#define N_QUANTILES 5
static const double quantile[N_QUANTILES] = {0.05, 0.25, 0.5, 0.75, 0.95};

/* ---- what is learnt ---- */

static void put_learnt(struct wg_h5 *file, const struct wg_fit *fit) {
    double values[2][WG_N_LEARNT * N_QUANTILES];
    const char *name[WG_N_LEARNT], *unit[WG_N_LEARNT];
    const bool has_answer = wg_fit_has_answer(fit);
    const struct wg_h5_variable quantiles = {
        .name = "quantile", .unit = "1", .text = "share below", .kind = WG_H5_REAL, .n_dims = 1};
    for (int i = 0; i < WG_N_LEARNT; i++) {
        name[i] = wg_learnt_name((enum wg_learnt)i);
        unit[i] = wg_learnt_unit((enum wg_learnt)i);
        for (int q = 0; q < N_QUANTILES; q++)
            for (int b = 0; b < (has_answer ? 2 : 1); b++)
                values[b][i * N_QUANTILES + q] = wg_fit_learnt(fit, (enum wg_learnt)i, b == 0, quantile[q]);
    }
    (void)wg_h5_dimension(file, &quantiles, N_QUANTILES, quantile);
    (void)wg_put_names(file, "learnt", "what a log tells of the animal", WG_N_LEARNT, name);
    (void)wg_put_texts(file, "learnt_unit", "its unit", "learnt", unit);
    (void)wg_put_reals(file, "learnt_before", "1", "quantiles before the log, in the unit of learnt_unit", "learnt",
                       "quantile", values[0]);
    if (has_answer)
        (void)wg_put_reals(file, "learnt_after", "1", "quantiles after the log", "learnt", "quantile", values[1]);
}

/* ---- the log ---- */

static const char *log_kind_unit(enum wg_log_kind kind) {
    return kind == WG_LOG_CRAWL_OFF || kind == WG_LOG_TAKEN ? "kg" : kind == WG_LOG_BIN_TEMPERATURE ? "degC" : "1";
}

struct log_arrays {
    int64_t *day, *since, *line, *explained;
    double *value, *low, *high;
    const char **what, **unit;
};

static void add_log_entry(struct log_arrays *to, const struct wg_answer *answer, int i) {
    const struct wg_log_entry *const note = &answer->as.fit.log->note[i];
    struct wg_interval range;
    const bool before = !wg_fit_has_answer(answer->as.fit.found);
    to->explained[i] = wg_fit_explains(answer->as.fit.found, answer->as.fit.log->note, i, before, &range);
    to->day[i] = note->day;
    to->since[i] = note->since;
    to->line[i] = note->line;
    to->value[i] = note->value;
    to->low[i] = range.low;
    to->high[i] = range.high;
    to->what[i] = wg_log_kind_name(note->kind);
    to->unit[i] = log_kind_unit(note->kind);
}

static void put_day_numbers(struct wg_h5 *file, const char *name, const char *text, const int64_t *values) {
    const struct wg_h5_variable variable = {.name = name,
                                            .unit = "days since 1970-01-01 00:00:00",
                                            .text = text,
                                            .kind = WG_H5_COUNT,
                                            .n_dims = 1,
                                            .dim = {"note"}};
    const int number = wg_h5_variable(file, &variable);
    if (number < 0)
        return;
    (void)wg_h5_attribute(file, number, "calendar", "proleptic_gregorian");
    (void)wg_h5_write(file, number, values);
}

static void put_log_columns(struct wg_h5 *file, const struct log_arrays *notes) {
    put_day_numbers(file, "note_day", "day of the note", notes->day);
    put_day_numbers(file, "note_since", "first day that it counts", notes->since);
    (void)wg_put_texts(file, "note_what", "what was noted", "note", notes->what);
    (void)wg_put_texts(file, "note_unit", "unit of its value and range", "note", notes->unit);
    (void)wg_put_reals(file, "note_value", "1", "what the keeper wrote, in the unit of note_unit", "note", NULL,
                       notes->value);
    (void)wg_put_reals(file, "note_low", "1",
                       "lower end of the range of 9 in 10 notes; for flies: chance of seeing any", "note", NULL,
                       notes->low);
    (void)wg_put_reals(file, "note_high", "1", "upper end of that range; for flies: the same chance", "note", NULL,
                       notes->high);
    (void)wg_put_counts(file, "note_explained", "1: the note is within that range", "note", NULL, notes->explained);
}

static int put_log(struct wg_h5 *file, const struct wg_answer *answer, struct wg_error *err) {
    const size_t n = (size_t)answer->as.fit.log->n;
    int64_t *const whole = calloc(4 * n + 1, sizeof *whole);
    double *const real = calloc(3 * n + 1, sizeof *real);
    const char **const text = calloc(2 * n + 1, sizeof *text);
    const int code = whole == NULL || real == NULL || text == NULL ? wg_no_memory(err, NULL) : 0;
    if (code == 0) {
        struct log_arrays notes = {whole,    whole + n,    whole + 2 * n, whole + 3 * n, real,
                                   real + n, real + 2 * n, text,          text + n};
        const struct wg_h5_variable line = {
            .name = "note", .unit = "1", .text = "line of the note in the log", .kind = WG_H5_COUNT, .n_dims = 1};
        for (int i = 0; i < answer->as.fit.log->n; i++)
            add_log_entry(&notes, answer, i);
        (void)wg_h5_dimension(file, &line, (int64_t)n, notes.line);
        put_log_columns(file, &notes);
    }
    free(text);
    free(real);
    free(whole);
    return code;
}

/* ---- outcomes ---- */

static void put_outcomes_of(struct wg_h5 *file, const struct wg_fit *fit, bool before) {
    double values[WG_N_OUTCOMES * N_QUANTILES], happened[WG_N_OUTCOMES];
    for (int o = 0; o < fit->n_outcomes; o++) {
        happened[o] = wg_fit_happened(fit, fit->outcome[o], before);
        for (int q = 0; q < N_QUANTILES; q++)
            values[o * N_QUANTILES + q] = wg_fit_outcome(fit, fit->outcome[o], before, quantile[q]);
    }
    (void)wg_put_reals(file, before ? "outcome_before" : "outcome_after", "1",
                       before ? "quantiles before the log, in the unit of outcome_unit; inf: later than the end"
                              : "quantiles after the log, in the unit of outcome_unit",
                       "outcome", "quantile", values);
    (void)wg_put_reals(file, before ? "happened_before" : "happened_after", "1",
                       before ? "share of the replicates in which it happened, before the log"
                              : "the same after the log",
                       "outcome", NULL, happened);
    (void)wg_put_real(file, before ? "survival_before" : "survival_after", "1",
                      before ? "chance that the colony is alive at the end, before the log" : "the same after the log",
                      wg_fit_share_above(fit, WG_OUTCOME_survived, before, 0.5));
}

static void put_outcomes(struct wg_h5 *file, const struct wg_fit *fit, int32_t first_day) {
    const char *name[WG_N_OUTCOMES], *unit[WG_N_OUTCOMES];
    char days[WG_DAYS_UNIT_SIZE];
    wg_days_unit(first_day, days);
    for (int o = 0; o < fit->n_outcomes; o++) {
        const struct wg_outcome *const outcome = &wg_diary_outcomes()[fit->outcome[o]];
        name[o] = outcome->name;
        unit[o] = wg_outcome_is_date(outcome) ? days : outcome->unit;
    }
    (void)wg_put_names(file, "outcome", "outcome of a replicate", fit->n_outcomes, name);
    (void)wg_put_texts(file, "outcome_unit", "unit of the outcome", "outcome", unit);
    put_outcomes_of(file, fit, true);
    if (wg_fit_has_answer(fit))
        put_outcomes_of(file, fit, false);
}

/* ---- today ---- */

static void put_today(struct wg_h5 *file, const struct wg_fit *fit) {
    double values[WG_NOW_MOST * N_QUANTILES];
    int64_t index[WG_NOW_MOST];
    const char *name[WG_NOW_MOST], *unit[WG_NOW_MOST];
    const struct wg_h5_variable row = {
        .name = "now", .unit = "1", .text = "number of a quantity of today", .kind = WG_H5_COUNT, .n_dims = 1};
    int64_t number[WG_NOW_MOST];
    for (int i = 0; i < fit->today.n; i++) {
        number[i] = i;
        name[i] = wg_now_name(&fit->today, i);
        unit[i] = wg_now_is_mass(fit->today.quantity[i].kind) ? "kg" : "1";
        index[i] = fit->today.quantity[i].index;
        for (int q = 0; q < N_QUANTILES; q++)
            values[i * N_QUANTILES + q] = wg_fit_now(fit, i, false, quantile[q]);
    }
    (void)wg_h5_dimension(file, &row, fit->today.n, number);
    (void)wg_put_texts(file, "now_what", "what it is", "now", name);
    (void)wg_put_texts(file, "now_unit", "its unit", "now", unit);
    (void)wg_put_counts(file, "now_index", "its bin or week, from 0; of others: the stage", "now", NULL, index);
    (void)wg_put_reals(file, "now_after", "1", "quantiles, in the unit of now_unit", "now", "quantile", values);
}

/* ---- the animals ---- */

/* Writes what is learnt of each animal, [animal][learnt], and how many of its futures agree: quantiles count it so often. */
static int put_fitted_animals(struct wg_h5 *file, const struct wg_fit *fit, struct wg_error *err) {
    const size_t n = (size_t)fit->agree;
    int64_t *const number = calloc(n, sizeof *number), *const futures = calloc(n, sizeof *futures);
    double *const values = calloc(n * WG_N_LEARNT, sizeof *values);
    const int code = number == NULL || futures == NULL || values == NULL ? wg_no_memory(err, NULL) : 0;
    for (size_t k = 0; k < n && code == 0; k++) {
        number[k] = (int64_t)k;
        for (size_t i = 0; i < WG_N_LEARNT; i++)
            values[k * WG_N_LEARNT + i] = fit->learnt[i * n + k];
    }
    for (int64_t k = 0; k < fit->after.n && code == 0; k++)
        futures[fit->animal_of[k]]++;
    if (code == 0) {
        const struct wg_h5_variable animal = {
            .name = "animal", .unit = "1", .text = "number of the animal", .kind = WG_H5_COUNT, .n_dims = 1};
        (void)wg_h5_dimension(file, &animal, fit->agree, number);
        (void)wg_put_reals(file, "animal_learnt", "1", "what is learnt, of each animal that agrees with the log",
                           "animal", "learnt", values);
        (void)wg_put_counts(file, "animal_futures", "its futures that agree with the log: quantiles count it so often",
                            "animal", NULL, futures);
    }
    free(values);
    free(futures);
    free(number);
    return code;
}

int wg_put_fit(struct wg_h5 *file, const struct wg_answer *answer, struct wg_error *err) {
    const struct wg_fit *const fit = answer->as.fit.found;
    (void)wg_h5_attribute(file, -1, "log", answer->as.fit.log_path);
    put_learnt(file, fit);
    int code = put_log(file, answer, err);
    put_outcomes(file, fit, answer->scenario->plan.first_day);
    if (code == 0 && wg_fit_has_answer(fit)) {
        put_today(file, fit);
        code = put_fitted_animals(file, fit, err);
    }
    (void)wg_put_count(file, "animals_drawn", "animals that were moved towards the log", fit->drawn);
    (void)wg_put_count(file, "animals_that_agree", "animals that agree with the log", fit->agree);
    (void)wg_put_count(file, "too_few", "1: too few animals agree: the log and the plan do not agree, no ranges",
                       !wg_fit_has_answer(fit));
    (void)wg_put_count(file, "total_replicates", "replicates lived in all", fit->replicates);
    return code;
}
