/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Keeps a run in memory: outcomes, means by generation, and some daily series.
 */
#include "data/result_memory.h"

#include "data/generation_sums.h"
#include "data/series_terms.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define PLUS_ONE(...) +1
enum { N_SERIES = 0 WG_DIARY_TABLE(PLUS_ONE) };

/* One column of a series, [replicate][day]: floats until a value needs more bits. */
struct kept_column {
    const struct wg_series *series;
    int column, width; /* of the series; column -1: one value a day */
    bool is_wide;
    void *value;
};

struct wg_result_memory {
    const struct wg_scenario *scenario;
    struct wg_run_facts facts;
    struct wg_diary shape;
    const struct wg_observer *observers;
    int n_observers;
    struct wg_summary summary;
    struct wg_generation_sums generations;
    int64_t replicates, seen;
    int64_t kept; /* replicates whose series are kept */
    int n_columns;
    struct kept_column *column;
    double *rounded[N_SERIES]; /* one replicate of each series of real numbers */
};

/* ---- beginning ---- */

static const struct wg_series *series_called(const char *name) {
    const struct wg_series *series = wg_diary_series();
    while (series->name != NULL && strcmp(series->name, name) != 0)
        series++;
    wg_assert(series->name != NULL);
    return series;
}

static bool has_column(const struct wg_result_memory *memory, const struct wg_series *series, int column) {
    for (int i = 0; i < memory->n_columns; i++)
        if (memory->column[i].series == series && memory->column[i].column == column)
            return true;
    return false;
}

/* Lists the columns of the series that are asked for, where a file would have them. */
static int list_columns(struct wg_result_memory *memory, const char *const *names, struct wg_error *err) {
    for (; *names != NULL; names++) {
        const struct wg_series *const asked = series_called(*names);
        const struct wg_series_place place =
            wg_series_place(&memory->shape, wg_series_outdoors(&memory->scenario->plan), asked);
        const bool is_daily = place.series->dims == WG_PER_DAY;
        const int width = wg_diary_width(&memory->shape, place.series->dims);
        for (int c = 0; c < width; c++) {
            const int column = is_daily ? -1 : c;
            if ((place.column >= 0 && c != place.column) || has_column(memory, place.series, column))
                continue;
            struct kept_column *const grown = realloc(memory->column, (size_t)(memory->n_columns + 1) * sizeof *grown);
            if (grown == NULL)
                return wg_no_memory(err, NULL);
            memory->column = grown;
            grown[memory->n_columns++] = (struct kept_column){.series = place.series, .column = column, .width = width};
        }
    }
    return 0;
}

/* Finds how many replicates fit in the bytes allowed. */
static int64_t count_kept(const struct wg_result_memory *memory, size_t bytes) {
    const size_t replicate = sizeof(float) * (size_t)memory->shape.n_days * (size_t)memory->n_columns;
    const int64_t all = wg_result_readable(memory->replicates, memory->shape.n_days);
    if (bytes == 0 || replicate == 0 || (size_t)all <= bytes / replicate)
        return all;
    const int64_t fit = (int64_t)(bytes / replicate);
    const int64_t least = all < WG_RESULT_MIN_READ ? all : WG_RESULT_MIN_READ;
    return fit < least ? least : fit;
}

static int allocate_values(struct wg_result_memory *memory, struct wg_error *err) {
    const size_t n = (size_t)memory->kept * (size_t)memory->shape.n_days;
    for (int i = 0; i < memory->n_columns; i++) {
        memory->column[i].value = calloc(n, sizeof(float));
        if (memory->column[i].value == NULL)
            return wg_no_memory(err, NULL);
    }
    for (int i = 0; i < N_SERIES; i++) {
        const struct wg_series *const series = &wg_diary_series()[i];
        const size_t values = (size_t)memory->shape.n_days * (size_t)wg_diary_width(&memory->shape, series->dims);
        memory->rounded[i] = series->is_count ? NULL : calloc(values + 1, sizeof(double));
        if (!series->is_count && memory->rounded[i] == NULL)
            return wg_no_memory(err, NULL);
    }
    return 0;
}

int wg_result_memory_new(struct wg_result_memory **out, const struct wg_scenario *scenario,
                         const struct wg_provenance *provenance, const struct wg_keep *keep, struct wg_error *err) {
    struct wg_result_memory *const memory = calloc(1, sizeof *memory);
    *out = NULL;
    if (memory == NULL)
        return wg_no_memory(err, NULL);
    memory->scenario = scenario;
    memory->shape = wg_series_shape(&scenario->plan);
    memory->observers = keep->observers;
    memory->n_observers = keep->n_observers;
    memory->replicates = provenance->replicates;
    int code = wg_run_facts_now(&memory->facts, wg_scenario_name(scenario), provenance, true, err);
    if (code == 0)
        code = wg_summary_init(&memory->summary, &scenario->plan, memory->replicates, err);
    if (code == 0)
        code = wg_generation_sums_init(&memory->generations, &memory->shape, err);
    if (code == 0)
        code = list_columns(memory, keep->series, err);
    memory->kept = count_kept(memory, keep->bytes);
    if (code == 0)
        code = allocate_values(memory, err);
    if (code < 0)
        wg_result_memory_free(memory);
    else
        *out = memory;
    return code;
}

size_t wg_result_memory_size(const struct wg_result_memory *memory) {
    size_t bytes = 0;
    for (int i = 0; i < memory->n_columns; i++)
        bytes += (size_t)memory->kept * (size_t)memory->shape.n_days *
                 (memory->column[i].is_wide ? sizeof(double) : sizeof(float));
    return bytes;
}

void wg_result_memory_free(struct wg_result_memory *memory) {
    if (memory == NULL)
        return;
    for (int i = 0; i < memory->n_columns; i++)
        free(memory->column[i].value);
    for (int i = 0; i < N_SERIES; i++)
        free(memory->rounded[i]);
    free(memory->column);
    wg_generation_sums_free(&memory->generations);
    wg_summary_free(&memory->summary);
    wg_run_facts_free(&memory->facts);
    free(memory);
}

/* ---- keeping ---- */

static bool fits_float(double value) {
    return isnan(value) || (fabs(value) <= 1e38 && (double)(float)value == value);
}

static int widen(struct wg_result_memory *memory, struct kept_column *column, struct wg_error *err) {
    const size_t n = (size_t)memory->kept * (size_t)memory->shape.n_days;
    double *const wide = malloc(n * sizeof *wide);
    if (wide == NULL)
        return wg_no_memory(err, NULL);
    for (size_t i = 0; i < n; i++)
        wide[i] = (double)((const float *)column->value)[i];
    free(column->value);
    column->value = wide;
    column->is_wide = true;
    return 0;
}

/* Keeps a replicate's column, of which `values` has rows of column->width. */
static int keep_column(struct wg_result_memory *memory, struct kept_column *column, int64_t replicate,
                       const void *values, struct wg_error *err) {
    const int n_days = memory->shape.n_days, c = column->column < 0 ? 0 : column->column;
    for (int day = 0; day < n_days; day++) {
        const size_t from = (size_t)day * (size_t)column->width + (size_t)c;
        const size_t to = (size_t)replicate * (size_t)n_days + (size_t)day;
        const double value =
            column->series->is_count ? (double)((const int64_t *)values)[from] : ((const double *)values)[from];
        if (!column->is_wide && !fits_float(value) && widen(memory, column, err) < 0)
            return WG_ERR_MEMORY;
        if (column->is_wide)
            ((double *)column->value)[to] = value;
        else
            ((float *)column->value)[to] = (float)value;
    }
    return 0;
}

/* Points a shallow copy of a diary at rounded numbers, and repeats the totals that a file stores once. */
static struct wg_diary as_stored(const struct wg_result_memory *memory, const struct wg_diary *diary) {
    struct wg_diary stored = *diary;
    const bool outdoors = wg_series_outdoors(&memory->scenario->plan);
    for (int i = 0; i < N_SERIES; i++) {
        const struct wg_series *const series = &wg_diary_series()[i];
        const size_t n = (size_t)diary->n_days * (size_t)wg_diary_width(diary, series->dims);
        if (series->is_count)
            continue;
        wg_series_round(wg_diary_values(diary, series), n, memory->rounded[i]);
        memcpy((char *)&stored + series->offset, &memory->rounded[i], sizeof memory->rounded[i]);
    }
    for (int i = 0; i < N_SERIES; i++) {
        const struct wg_series *const series = &wg_diary_series()[i];
        const struct wg_series_place place = wg_series_place(diary, outdoors, series);
        if (place.series != series && place.column < 0)
            memcpy((char *)&stored + series->offset, (const char *)&stored + place.series->offset, sizeof(double *));
    }
    return stored;
}

static int on_replicate_memory(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    struct wg_result_memory *const memory = self;
    wg_assert(replicate == memory->seen && replicate < memory->replicates);
    const struct wg_observer summary = wg_summary_observer(&memory->summary);
    const struct wg_diary stored = as_stored(memory, diary);
    int code = summary.on_replicate(summary.self, replicate, diary, err);
    if (code == 0)
        code = wg_generation_sums_add(&memory->generations, diary, err);
    for (int i = 0; i < memory->n_columns && code == 0 && replicate < memory->kept; i++)
        code =
            keep_column(memory, &memory->column[i], replicate, wg_diary_values(&stored, memory->column[i].series), err);
    for (int i = 0; i < memory->n_observers && code == 0; i++)
        code = memory->observers[i].on_replicate(memory->observers[i].self, replicate, &stored, err);
    memory->seen++;
    return code;
}

struct wg_observer wg_result_memory_observer(struct wg_result_memory *memory) {
    return (struct wg_observer){on_replicate_memory, memory};
}

/* ---- the source of the data ---- */

static int read_kept_series(void *self, const struct wg_series *series, int column, int64_t replicates, double *out,
                            struct wg_error *err) {
    const struct wg_result_memory *const memory = self;
    const size_t n = (size_t)replicates * (size_t)memory->shape.n_days;
    const struct kept_column *kept = memory->column;
    (void)err;
    while (kept < memory->column + memory->n_columns && !(kept->series == series && kept->column == column))
        kept++;
    wg_assert(kept < memory->column + memory->n_columns && replicates <= memory->kept);
    for (size_t i = 0; i < n; i++)
        out[i] = kept->is_wide ? ((const double *)kept->value)[i] : (double)((const float *)kept->value)[i];
    return 0;
}

static int read_kept_outcome(void *self, enum wg_outcome_number outcome, double **values, struct wg_error *err) {
    const struct wg_result_memory *const memory = self;
    const bool is_kept = wg_outcome_is_kept(outcome, &memory->scenario->plan);
    const double *const from = wg_summary_outcome(&memory->summary, outcome);
    *values = malloc((size_t)memory->replicates * sizeof **values);
    if (*values == NULL)
        return wg_no_memory(err, NULL);
    for (int64_t k = 0; k < memory->replicates; k++)
        (*values)[k] = is_kept ? from[k] : (double)NAN;
    return 0;
}

static int read_kept_cells(void *self, struct wg_cell **cells, struct wg_error *err) {
    const struct wg_result_memory *const memory = self;
    *cells = malloc((size_t)memory->replicates * sizeof **cells);
    if (*cells == NULL)
        return wg_no_memory(err, NULL);
    for (int64_t k = 0; k < memory->replicates; k++)
        (*cells)[k] = wg_lattice_cell(&memory->scenario->plan, k);
    return 0;
}

static int read_kept_generations(void *self, double **values, struct wg_error *err) {
    const struct wg_result_memory *const memory = self;
    const size_t day = WG_N_STAGES * (size_t)memory->shape.n_generations;
    *values = malloc((size_t)memory->shape.n_days * day * sizeof **values);
    if (*values == NULL)
        return wg_no_memory(err, NULL);
    for (int i = 0; i < memory->generations.n_spells; i++)
        (void)wg_generation_means(&memory->generations, i, memory->replicates, *values + (size_t)i * WG_SPELL * day);
    return 0;
}

static const struct wg_result_source memory_source = {read_kept_series, read_kept_outcome, read_kept_cells,
                                                      read_kept_generations, NULL};

/* ---- opening ---- */

static int copy_places(struct wg_result_data *data, const struct wg_plan *plan, struct wg_error *err) {
    bool well = true;
    data->n_places = plan->n_places;
    data->n_bins = plan->n_bins;
    data->outdoors = wg_series_outdoors(plan);
    for (int p = 0; p < plan->n_places; p++)
        well = (data->place[p] = strdup(plan->places[p].name)) != NULL && well;
    for (int b = 0; b < plan->n_bins; b++) {
        well = (data->bin[b] = strdup(plan->bins[b].name)) != NULL && well;
        data->bin_place[b] = plan->bins[b].place;
    }
    return well ? 0 : wg_no_memory(err, NULL);
}

static int copy_parameters(struct wg_result_data *data, const struct wg_plan *plan, struct wg_error *err) {
    const struct wg_parameter *const table = wg_species_parameters();
    int n = 0;
    bool well = true;
    while (table[n].name != NULL)
        n++;
    data->parameter = calloc((size_t)n, sizeof *data->parameter);
    if (data->parameter == NULL)
        return wg_no_memory(err, NULL);
    data->n_parameters = n;
    for (int i = 0; i < n; i++) {
        char value[WG_PARAMETER_TEXT];
        wg_parameter_text(wg_species_get(&plan->species, &table[i]), value);
        data->parameter[i] = (struct wg_result_parameter){strdup(table[i].name), strdup(value), strdup(table[i].unit),
                                                          strdup(table[i].source), strdup(table[i].text)};
        const struct wg_result_parameter *const p = &data->parameter[i];
        well =
            well && p->name != NULL && p->value != NULL && p->unit != NULL && p->source != NULL && p->meaning != NULL;
    }
    return well ? 0 : wg_no_memory(err, NULL);
}

int wg_result_memory_open(struct wg_result_memory *memory, struct wg_result_data *data, struct wg_error *err) {
    const struct wg_plan *const plan = &memory->scenario->plan;
    wg_assert(memory->seen > 0);
    memory->replicates = memory->facts.replicates = memory->seen;
    memory->kept = memory->kept < memory->seen ? memory->kept : memory->seen;
    *data = (struct wg_result_data){.source = &memory_source,
                                    .self = memory,
                                    .in = memory->facts,
                                    .first_day = plan->first_day,
                                    .n_days = memory->shape.n_days,
                                    .n_generations = memory->shape.n_generations,
                                    .readable = memory->kept,
                                    .animals = {.animals = plan->animals},
                                    .digest = strdup(wg_program_digest())};
    int code =
        data->digest != NULL ? wg_run_inputs_copy(&data->inputs, memory->scenario, err) : wg_no_memory(err, NULL);
    if (code == 0)
        code = copy_places(data, plan, err);
    return code == 0 ? copy_parameters(data, plan, err) : code;
}
