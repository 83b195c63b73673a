/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Writes the file of a comparison: each outcome of each replicate of each setup, from which other differences can be
 * computed, the differences reported, and the provenance.
 */
#include "results/comparison_file.h"

#include "base/calendar.h"
#include "base/sha256.h"
#include "data/comparison_data.h"
#include "data/series_terms.h"
#include "results/columns.h"
#include "results/stored_parts.h"
#include "storage/atomic_file.h"
#include "storage/provenance.h"
#include <wintergrub/version.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define NAME_SIZE 80
#define TEXT_SIZE 200

struct wg_comparison_file {
    struct wg_atomic_file place;
    struct wg_h5 *file;
    char record_name[WG_COMPARE_MAX][NAME_SIZE]; /* names of dimensions, which the file borrows until it is finished */
};

/* ---- outcomes ---- */

/* Every setup has the same period: wg_compare_run() refuses others. */
static void note_period(struct wg_h5 *file, const struct wg_plan *plan) {
    char date[11];
    wg_day_format(plan->first_day, date);
    (void)wg_h5_attribute(file, -1, WG_ATTRIBUTE_FIRST_DAY, date);
    wg_day_format(plan->last_day, date);
    (void)wg_h5_attribute(file, -1, WG_ATTRIBUTE_LAST_DAY, date);
}

static int add_dimensions(struct wg_h5 *file, const struct wg_compare *compare, struct wg_error *err) {
    const char *letter[WG_COMPARE_MAX];
    const struct wg_h5_variable replicate = {
        .name = "replicate", .unit = "1", .text = "number of the replicate", .kind = WG_H5_COUNT, .n_dims = 1};
    int64_t *const number = malloc((size_t)compare->replicates * sizeof *number);
    if (number == NULL)
        return wg_no_memory(err, NULL);
    for (int64_t k = 0; k < compare->replicates; k++)
        number[k] = k;
    for (int i = 0; i < compare->n; i++)
        letter[i] = wg_setup_letter(i);
    (void)wg_h5_attribute(file, -1, "Conventions", "CF-1.10");
    (void)wg_h5_attribute(file, -1, "title", WG_COMPARISON_TITLE);
    (void)wg_h5_attribute(file, -1, "source", "wintergrub " WG_VERSION);
    (void)wg_h5_attribute(file, -1, "currency", wg_compare_currency(compare));
    note_period(file, compare->setup[0].plan);
    (void)wg_h5_attribute(file, -1, WG_ATTRIBUTE_MAIN_OUTCOME,
                          wg_diary_outcomes()[wg_compared_outcome(wg_compare_main(compare))].name);
    (void)wg_put_names(file, "scenario", "letter of the scenario", compare->n, letter);
    wg_put_latitude(file, &compare->setup[0].plan->climate);
    const int counted = wg_h5_dimension(file, &replicate, compare->replicates, number);
    if (counted >= 0)
        (void)wg_h5_attribute(file, counted, "standard_name", "realization");
    free(number);
    return 0;
}

static void write_outcome(struct wg_h5 *file, const struct wg_compare *compare, enum wg_outcome_number number) {
    const struct wg_outcome *const outcome = &wg_diary_outcomes()[number];
    char days[WG_DAYS_UNIT_SIZE];
    const bool is_date = wg_outcome_is_date(outcome);
    wg_days_unit(compare->setup[0].plan->first_day, days);
    const struct wg_h5_variable variable = {.name = outcome->name,
                                            .unit = is_date ? days : outcome->unit,
                                            .text = outcome->text,
                                            .kind = WG_H5_REAL,
                                            .n_dims = 2,
                                            .dim = {"scenario", "replicate"}};
    const int column = wg_h5_variable(file, &variable);
    if (column >= 0)
        (void)wg_h5_attribute(file, column, "coordinates", "scenario_title");
    if (column >= 0 && is_date)
        (void)wg_h5_attribute(file, column, "calendar", "proleptic_gregorian");
    for (int i = 0; i < compare->n && column >= 0; i++)
        (void)wg_h5_write_rows(file, column, i, 1, wg_summary_outcome(&compare->setup[i].summary, number));
}

/* CF-1.10, section 7.3.4: a standard name stands for a dimension that the variable no longer has. */
static void mark_mean(struct wg_h5 *file, int variable) {
    if (variable >= 0)
        (void)wg_h5_attribute(file, variable, "cell_methods", "realization: mean");
}

static void write_survival(struct wg_h5 *file, const struct wg_compare *compare) {
    double share[WG_COMPARE_MAX], low[WG_COMPARE_MAX], high[WG_COMPARE_MAX];
    for (int i = 0; i < compare->n; i++) {
        const struct wg_variance_split *const survival = &compare->setup[i].odds.survival;
        share[i] = survival->mean;
        low[i] = survival->interval.low;
        high[i] = survival->interval.high;
    }
    mark_mean(file, wg_put_reals(file, "survival", "1", "share of the replicates with any individual alive at the end",
                                 "scenario", NULL, share));
    (void)wg_put_reals(file, "survival_low", "1", "lower end of the 95 % interval of survival", "scenario", NULL, low);
    (void)wg_put_reals(file, "survival_high", "1", "upper end of the 95 % interval of survival", "scenario", NULL,
                       high);
}

static int define_cells(struct wg_h5 *file, const char *name, const char *text) {
    const struct wg_h5_variable variable = {
        .name = name, .unit = "1", .text = text, .kind = WG_H5_COUNT, .n_dims = 2, .dim = {"scenario", "replicate"}};
    return wg_h5_variable(file, &variable);
}

/* Writes the animal and the winter of each replicate of a setup; `number` is room for them. */
static void write_setup_cells(struct wg_h5 *file, const int column[2], int setup, const struct wg_split_value *cells,
                              int64_t n, int64_t *number) {
    for (int64_t k = 0; k < n; k++)
        number[k] = cells[k].animal;
    if (column[0] >= 0)
        (void)wg_h5_write_rows(file, column[0], setup, 1, number);
    for (int64_t k = 0; k < n; k++)
        number[k] = cells[k].winter;
    if (column[1] >= 0)
        (void)wg_h5_write_rows(file, column[1], setup, 1, number);
}

/* Writes the cells of the replicates, unless they are independent: then all setups are. */
static int write_cells(struct wg_h5 *file, const struct wg_compare *compare, struct wg_error *err) {
    int column[2] = {-1, -1}, code = 0;
    int64_t *const number = malloc((size_t)compare->replicates * sizeof *number);
    if (number == NULL)
        return wg_no_memory(err, NULL);
    for (int i = 0; i < compare->n && code == 0; i++) {
        struct wg_split_value *cells;
        code = wg_compare_cells(compare, i, &cells, err);
        if (code == 0 && cells != NULL && i == 0) {
            column[0] = define_cells(file, "animal", "plausible animal of the replicate; -1: the middle animal");
            column[1] = define_cells(file, "winter",
                                     "winter of the replicate: the year of the record, else the number of its weather");
        }
        if (code == 0 && cells != NULL)
            write_setup_cells(file, column, i, cells, compare->replicates, number);
        free(cells);
    }
    free(number);
    return code;
}

/* ---- differences ---- */

/* One number of a difference: the suffix of its name, and the text around the outcome's long name. */
struct figure {
    const char *name, *text;
    bool has_unit; /* the outcome's unit; else a plain number */
    double (*of)(const struct wg_difference *difference);
};

static double mean_of(const struct wg_difference *d) {
    return d->mean;
}
static double low_of(const struct wg_difference *d) {
    return d->interval.low;
}
static double high_of(const struct wg_difference *d) {
    return d->interval.high;
}
static double chance_of(const struct wg_difference *d) {
    return d->chance;
}
static double chance_low_of(const struct wg_difference *d) {
    return d->chance_interval.low;
}
static double chance_high_of(const struct wg_difference *d) {
    return d->chance_interval.high;
}
static double animals_better_of(const struct wg_difference *d) {
    return (double)d->animals.better;
}
static double animals_same_of(const struct wg_difference *d) {
    return (double)d->animals.same;
}
static double animals_worse_of(const struct wg_difference *d) {
    return (double)d->animals.worse;
}
static double factor_of(const struct wg_difference *d) {
    return d->variance_factor;
}

static const struct figure figure[] = {
    {"difference", "mean paired difference from scenario A of: ", true, mean_of},
    {"difference_low", "lower end of the 95 % interval of the mean paired difference of: ", true, low_of},
    {"difference_high", "upper end of the 95 % interval of the mean paired difference of: ", true, high_of},
    {"chance_better", "share of replicates better than scenario A (a tie is not better), by: ", false, chance_of},
    {"chance_better_low", "lower end of the 95 % interval of the chance to be better by: ", false, chance_low_of},
    {"chance_better_high", "upper end of the 95 % interval of the chance to be better by: ", false, chance_high_of},
    {"animals_better", "number of plausible animals whose mean is better than in scenario A, by: ", false,
     animals_better_of},
    {"animals_same", "number of those whose mean is the same, by: ", false, animals_same_of},
    {"animals_worse", "number of those whose mean is worse, by: ", false, animals_worse_of},
    {"variance_factor", "sum of both variances divided by the variance of the paired difference of: ", false,
     factor_of},
};

static void write_figure(struct wg_h5 *file, const struct wg_compare *compare, enum wg_compared compared,
                         const struct figure *what) {
    const struct wg_outcome *const outcome = &wg_diary_outcomes()[wg_compared_outcome(compared)];
    char name[NAME_SIZE], text[TEXT_SIZE];
    double value[WG_COMPARE_MAX] = {(double)NAN};
    (void)snprintf(name, sizeof name, "%s_%s", outcome->name, what->name);
    (void)snprintf(text, sizeof text, "%s%s", what->text, outcome->text);
    for (int i = 1; i < compare->n; i++)
        value[i] = what->of(&compare->pair[i].difference[compared]);
    const int column = wg_put_reals(file, name, what->has_unit ? outcome->unit : "1", text, "scenario", NULL, value);
    if (what->of == mean_of)
        mark_mean(file, column);
}

static void write_prices(struct wg_h5 *file, const struct wg_compare *compare) {
    const double none = (double)NAN;
    double price[WG_COMPARE_MAX] = {none}, low[WG_COMPARE_MAX] = {none}, high[WG_COMPARE_MAX] = {none};
    for (int i = 1; i < compare->n; i++) {
        price[i] = compare->pair[i].extra.per_kg;
        low[i] = compare->pair[i].extra.interval.low;
        high[i] = compare->pair[i].extra.interval.high;
    }
    (void)wg_put_reals(file, "cost_of_extra_kg", "kg-1",
                       "extra cost of energy per extra kg taken out, compared with A (per extra kg of crawl-off if "
                       "nothing is taken out)",
                       "scenario", NULL, price);
    (void)wg_put_reals(file, "cost_of_extra_kg_low", "kg-1",
                       "lower end of the 95 % interval of cost_of_extra_kg (Fieller)", "scenario", NULL, low);
    (void)wg_put_reals(file, "cost_of_extra_kg_high", "kg-1",
                       "upper end of the 95 % interval of cost_of_extra_kg (Fieller)", "scenario", NULL, high);
}

static void write_differences(struct wg_h5 *file, const struct wg_compare *compare) {
    for (int c = 0; c < wg_compare_compared_kept(compare); c++)
        for (size_t f = 0; f < sizeof figure / sizeof *figure; f++)
            write_figure(file, compare, (enum wg_compared)c, &figure[f]);
    write_prices(file, compare);
}

/* ---- setups made from one scenario ---- */

static void write_varied(struct wg_h5 *file, const struct wg_varied *varied) {
    static const char *const number[WG_VARIED_MAX] = {WG_ATTRIBUTE_VARIED "_1", WG_ATTRIBUTE_VARIED "_2"};
    static const char *const values[WG_VARIED_MAX] = {WG_VARIED_VALUE "_1", WG_VARIED_VALUE "_2"};
    if (varied->n > 0)
        (void)wg_h5_attribute(file, -1, WG_ATTRIBUTE_VARIED "_title", varied->title);
    for (int k = 0; k < varied->n; k++) {
        const char *value[WG_COMPARE_MAX];
        for (int i = 0; i < varied->n_values[k]; i++)
            value[i] = varied->value[k][i];
        (void)wg_h5_attribute(file, -1, number[k], varied->subject[k]);
        (void)wg_put_names(file, values[k], "values of a number that tells the scenarios apart", varied->n_values[k],
                           value);
    }
}

static void write_grid_odds(struct wg_h5 *file, const struct wg_grid_odds *odds) {
    double enough[WG_COMPARE_MAX], own[WG_COMPARE_MAX];
    for (int i = 0; i < odds->n; i++) {
        enough[i] = odds->is_enough[i];
        own[i] = odds->own == i;
    }
    (void)wg_put_reals(file, WG_GOALS_MET, "1", "share of the years in which all goals are met", "scenario", NULL,
                       odds->met);
    (void)wg_put_reals(file, WG_GOALS_MET "_low", "1", "lower end of its 95 % interval", "scenario", NULL, odds->low);
    (void)wg_put_reals(file, WG_GOALS_MET "_high", "1", "upper end of its 95 % interval", "scenario", NULL, odds->high);
    (void)wg_put_reals(file, WG_GOALS_ENOUGH, "1", "1: every goal is met as often as it wants, by the estimate",
                       "scenario", NULL, enough);
    (void)wg_put_reals(file, WG_IS_PLAN, "1", "1: the plan as it is", "scenario", NULL, own);
}

static void write_why(struct wg_h5 *file, int n, const struct wg_comparison_words *words) {
    const char *why[WG_COMPARE_MAX];
    for (int i = 0; i < n; i++)
        why[i] = words->why[i] != NULL ? words->why[i] : "";
    (void)wg_put_texts(file, WG_SCENARIO_WHY, "why most of its colonies die, found by experiment", "scenario", why);
}

/* ---- provenance ---- */

static void write_scenarios(struct wg_h5 *file, int n, const struct wg_scenario *const *scenario) {
    const char *path[WG_COMPARE_MAX], *text[WG_COMPARE_MAX], *digest[WG_COMPARE_MAX];
    char digests[WG_COMPARE_MAX][WG_SHA256_TEXT_SIZE];
    for (int i = 0; i < n; i++) {
        wg_sha256(scenario[i]->text, scenario[i]->text_size, digests[i]);
        path[i] = scenario[i]->path;
        text[i] = scenario[i]->text;
        digest[i] = digests[i];
    }
    (void)wg_put_texts(file, WG_ATTRIBUTE_SCENARIO_PATH, "path of the scenario file", "scenario", path);
    (void)wg_put_texts(file, WG_ATTRIBUTE_SCENARIO_SHA256, "SHA-256 of the scenario file", "scenario", digest);
    (void)wg_put_texts(file, WG_TEXT_SCENARIO "_text", "text of the scenario file", "scenario", text);
}

static void write_bytes(struct wg_comparison_file *file, int i, const struct wg_scenario *scenario) {
    char *const dimension = file->record_name[i];
    char name[NAME_SIZE];
    (void)snprintf(dimension, NAME_SIZE, "weather_byte_%c", 'A' + i);
    (void)snprintf(name, sizeof name, WG_TEXT_RECORD "_%c", 'A' + i);
    const struct wg_h5_variable byte = {.name = dimension, .kind = WG_H5_NO_VALUES, .n_dims = 1};
    const struct wg_h5_variable text = {.name = name,
                                        .unit = "1",
                                        .text = "bytes of the weather file",
                                        .kind = WG_H5_BYTE,
                                        .n_dims = 1,
                                        .dim = {dimension}};
    (void)wg_h5_dimension(file->file, &byte, (int64_t)scenario->record_size, NULL);
    (void)wg_h5_write(file->file, wg_h5_variable(file->file, &text), scenario->record_text);
}

/* All setups have the same weather, but perhaps from different files: writes each file once. */
static void write_records(struct wg_comparison_file *file, int n, const struct wg_scenario *const *scenario) {
    const char *path[WG_COMPARE_MAX], *digest[WG_COMPARE_MAX];
    char digests[WG_COMPARE_MAX][WG_SHA256_TEXT_SIZE];
    bool any = false;
    for (int i = 0; i < n; i++) {
        const bool has = scenario[i]->record_text != NULL && scenario[i]->record_size > 0;
        digests[i][0] = '\0';
        if (has)
            wg_sha256(scenario[i]->record_text, scenario[i]->record_size, digests[i]);
        bool seen = !has;
        for (int j = 0; j < i; j++)
            seen = seen || strcmp(digests[j], digests[i]) == 0;
        if (!seen)
            write_bytes(file, i, scenario[i]);
        path[i] = has && scenario[i]->record_path != NULL ? scenario[i]->record_path : "";
        digest[i] = digests[i];
        any = any || has;
    }
    if (!any)
        return;
    (void)wg_put_texts(file->file, WG_ATTRIBUTE_RECORD_PATH, "path of the weather file", "scenario", path);
    (void)wg_put_texts(file->file, WG_ATTRIBUTE_RECORD_SHA256, "SHA-256 of the weather file", "scenario", digest);
}

static void write_number_columns(struct wg_h5 *file, int n, const struct wg_scenario *const *scenario, size_t rows,
                                 const char **column, double *value) {
    const struct wg_parameter *const table = wg_species_parameters();
    for (size_t p = 0; p < rows; p++) {
        column[p] = table[p].name;
        column[rows + p] = table[p].unit;
        column[2 * rows + p] = table[p].source;
        column[3 * rows + p] = table[p].text;
        for (int i = 0; i < n; i++)
            value[(size_t)i * rows + p] = wg_species_get(&scenario[i]->plan.species, &table[p]);
    }
    (void)wg_put_names(file, "parameter", "name of a number of the species", (int64_t)rows, column);
    (void)wg_put_texts(file, "parameter_unit", "unit of the number", "parameter", column + rows);
    (void)wg_put_reals(file, "parameter_value", "1", "value used, in the unit of parameter_unit", "scenario",
                       "parameter", value);
    (void)wg_put_texts(file, "parameter_source", "source of the default value", "parameter", column + 2 * rows);
    (void)wg_put_texts(file, "parameter_meaning", "what the number is", "parameter", column + 3 * rows);
}

static int write_numbers(struct wg_h5 *file, int n, const struct wg_scenario *const *scenario, struct wg_error *err) {
    size_t rows = 0;
    while (wg_species_parameters()[rows].name != NULL)
        rows++;
    const char **const column = calloc(4 * rows, sizeof *column);
    double *const value = calloc((size_t)n * rows, sizeof *value);
    const int code = column == NULL || value == NULL ? wg_no_memory(err, NULL) : 0;
    if (code == 0)
        write_number_columns(file, n, scenario, rows, column, value);
    free(column);
    free(value);
    return code;
}

static int write_provenance(struct wg_comparison_file *file, int n, const struct wg_scenario *const *scenario,
                            const struct wg_warnings *const *warnings, const struct wg_provenance *provenance,
                            struct wg_error *err) {
    const struct wg_plan *plan[WG_COMPARE_MAX];
    for (int i = 0; i < n; i++)
        plan[i] = &scenario[i]->plan;
    const int code = wg_stored_warnings_put(file->file, n, plan, warnings, err);
    if (code < 0)
        return code;
    (void)wg_h5_group(file->file, WG_PROVENANCE);
    (void)wg_h5_attribute_number(file->file, WG_ATTRIBUTE_COMPARISON, WG_COMPARISON_FORMAT);
    wg_stored_warnings_put_counts(file->file, n, plan, warnings);
    wg_provenance_write_program(file->file, provenance);
    write_scenarios(file->file, n, scenario);
    write_records(file, n, scenario);
    return write_numbers(file->file, n, scenario, err);
}

/* ---- from create to close ---- */

void wg_comparison_file_abandon(struct wg_comparison_file *file) {
    if (file == NULL)
        return;
    wg_h5_free(file->file);
    wg_atomic_file_free(&file->place);
    free(file);
}

int wg_comparison_file_create(struct wg_comparison_file **out, const char *path, int force, struct wg_error *err) {
    *out = NULL;
    struct wg_comparison_file *const file = calloc(1, sizeof *file);
    if (file == NULL)
        return wg_no_memory(err, NULL);
    int code = wg_atomic_file_open(&file->place, path, force, err);
    if (code == 0)
        code = wg_h5_create(&file->file, file->place.fd, file->place.path, err);
    if (code < 0)
        wg_comparison_file_abandon(file);
    else
        *out = file;
    return code;
}

static int write_comparison_content(struct wg_comparison_file *file, const struct wg_compare *compare,
                                    const struct wg_scenario *const *scenario,
                                    const struct wg_warnings *const *warnings, const struct wg_comparison_words *words,
                                    const struct wg_provenance *provenance, struct wg_error *err) {
    const char *title[WG_COMPARE_MAX];
    const int code = add_dimensions(file->file, compare, err);
    if (code < 0)
        return code;
    for (int i = 0; i < compare->n; i++)
        title[i] = scenario[i]->plan.title;
    const int noted = wg_provenance_write_history(file->file, provenance, err);
    if (noted < 0)
        return noted;
    write_varied(file->file, words->varied);
    if (words->varied->odds.n > 0)
        write_grid_odds(file->file, &words->varied->odds);
    write_why(file->file, compare->n, words);
    (void)wg_put_texts(file->file, "scenario_title", "title of the scenario", "scenario", title);
    for (int o = 0; o < WG_N_OUTCOMES; o++)
        if (wg_compare_keeps(compare, (enum wg_outcome_number)o))
            write_outcome(file->file, compare, (enum wg_outcome_number)o);
    write_survival(file->file, compare);
    const int placed = write_cells(file->file, compare, err);
    if (placed < 0)
        return placed;
    write_differences(file->file, compare);
    return write_provenance(file, compare->n, scenario, warnings, provenance, err);
}

int wg_comparison_file_close(struct wg_comparison_file *file, const struct wg_compare *compare,
                             const struct wg_scenario *const *scenario, const struct wg_warnings *const *warnings,
                             const struct wg_comparison_words *words, const struct wg_provenance *provenance,
                             struct wg_error *err) {
    int code = write_comparison_content(file, compare, scenario, warnings, words, provenance, err);
    if (code == 0) {
        code = wg_h5_finish(file->file, err);
        file->file = NULL;
    }
    if (code == 0)
        code = wg_atomic_file_commit(&file->place, err);
    wg_comparison_file_abandon(file); /* frees; keeps the file if it is in place */
    return code;
}
