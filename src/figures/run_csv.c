/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Writes the numbers of a run as CSV.
 */
#include "figures/run_csv.h"

#include "base/calendar.h"
#include "base/stats.h"
#include "data/series_terms.h"
#include "figures/table.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* ---- days ---- */

enum { N_QUANTILES = 3 };
static const double quantile_share[N_QUANTILES] = {0.05, 0.5, 0.95};
static const char *const quantile_name[N_QUANTILES] = {"5 %", "median", "95 %"};

/* Columns of quantiles, [column][quantile][day]. */
struct day_columns {
    struct wg_result_data *data;
    struct wg_bytes *out; /* the head, while columns are added */
    int n;
    double *value;
};

static int find_day_quantiles(const struct wg_result_series *series, double *out, struct wg_error *err) {
    double *const sorted = malloc((size_t)series->replicates * sizeof *sorted);
    if (sorted == NULL)
        return wg_no_memory(err, NULL);
    for (int day = 0; day < series->n_days; day++) {
        size_t n = 0;
        for (int64_t k = 0; k < series->replicates; k++) {
            const double value = series->value[k * series->n_days + day];
            if (!isnan(value))
                sorted[n++] = value;
        }
        wg_sort(sorted, n);
        for (int q = 0; q < N_QUANTILES; q++)
            out[q * series->n_days + day] = wg_quantile_sorted(sorted, n, quantile_share[q]);
    }
    free(sorted);
    return 0;
}

/* Adds a series; `of` names its place or bin, "" for none, and the unit is "" for counts. */
static int add_day_column(struct day_columns *columns, const char *series_name, int column, const char *what,
                          const char *of, const char *unit, struct wg_error *err) {
    struct wg_result_series series;
    const size_t each = N_QUANTILES * (size_t)columns->data->n_days;
    char head[256];
    double *const grown = realloc(columns->value, (size_t)(columns->n + 1) * each * sizeof *grown);
    if (grown == NULL)
        return wg_no_memory(err, NULL);
    columns->value = grown;
    int code = wg_result_data_read(columns->data, series_name, column, &series, err);
    if (code == 0)
        code = find_day_quantiles(&series, grown + (size_t)columns->n * each, err);
    wg_result_series_free(&series);
    for (int q = 0; q < N_QUANTILES && code == 0; q++) {
        (void)snprintf(head, sizeof head, "%s%s%.120s %s%s%s%s", what, *of != '\0' ? " " : "", of, quantile_name[q],
                       *unit != '\0' ? " [" : "", unit, *unit != '\0' ? "]" : "");
        wg_bytes_put(columns->out, ",");
        wg_csv_cell(columns->out, head);
    }
    columns->n += code == 0;
    return code;
}

static int add_all_day_columns(struct day_columns *columns, struct wg_error *err) {
    const struct wg_result_data *const data = columns->data;
    int code = 0;
    for (int stage = 0; stage < WG_N_STAGES && code == 0; stage++)
        code = add_day_column(columns, "count", stage, wg_stage_name((enum wg_stage)stage), "", "", err);
    if (code == 0)
        code = add_day_column(columns, "crawl_off_mass", -1, "crawl-off", "", "kg", err);
    if (code == 0)
        code = add_day_column(columns, "outdoor_temperature", -1, "outdoors", "", "degC", err);
    for (int p = 0; p < data->n_places && code == 0; p++) {
        code = add_day_column(columns, "air_temperature", p, "air in", data->place[p], "degC", err);
        if (code == 0)
            code = add_day_column(columns, "ground_temperature", p, "ground in", data->place[p], "degC", err);
    }
    for (int b = 0; b < data->n_bins && code == 0; b++)
        code = add_day_column(columns, "bin_temperature", b, "bin", data->bin[b], "degC", err);
    return code;
}

int wg_run_days_csv(struct wg_result_data *data, struct wg_bytes *out, struct wg_error *err) {
    struct day_columns columns = {.data = data, .out = out};
    wg_bytes_put(out, "date");
    const int code = add_all_day_columns(&columns, err);
    for (int day = 0; day < data->n_days && code == 0; day++) {
        char date[11];
        wg_day_format(data->first_day + day, date);
        wg_bytes_printf(out, "\n%s", date);
        for (int i = 0; i < N_QUANTILES * columns.n; i++) {
            wg_bytes_put(out, ",");
            wg_csv_number(out, columns.value[(size_t)i * (size_t)data->n_days + (size_t)day]);
        }
    }
    wg_bytes_put(out, "\n");
    free(columns.value);
    return code < 0 ? code : wg_bytes_failed(out, err);
}

/* ---- years ---- */

static void put_year_head(const struct wg_plan *plan, struct wg_bytes *out) {
    wg_bytes_put(out, "year,animal,winter");
    for (int i = 0; i < WG_N_OUTCOMES; i++) {
        const struct wg_outcome *const outcome = &wg_diary_outcomes()[i];
        const bool has_unit = outcome->unit[0] != '\0' && outcome->unit[0] != '1' && !wg_outcome_is_date(outcome);
        if (wg_outcome_is_kept((enum wg_outcome_number)i, plan))
            wg_bytes_printf(out, ",%s%s%s%s", outcome->name, has_unit ? " [" : "", has_unit ? outcome->unit : "",
                            has_unit ? "]" : "");
    }
}

/* Writes a date without its hour, or a number. */
static void put_year_outcome(const struct wg_plan *plan, enum wg_outcome_number outcome, double value,
                             struct wg_bytes *out) {
    char date[11];
    wg_bytes_put(out, ",");
    if (isnan(value))
        return;
    if (!wg_outcome_is_date(&wg_diary_outcomes()[outcome])) {
        wg_csv_number(out, value);
        return;
    }
    wg_day_format(plan->first_day + (int32_t)floor(value), date);
    wg_bytes_put(out, date);
}

static void put_year_rows(struct wg_result_data *data, const struct wg_plan *plan, const struct wg_cell *cells,
                          double *const *value, struct wg_bytes *out) {
    for (int64_t k = 0; k < data->in.replicates; k++) {
        wg_bytes_printf(out, "\n%lld,%d,%lld", (long long)k + 1, cells[k].animal, (long long)cells[k].winter);
        for (int i = 0; i < WG_N_OUTCOMES; i++)
            if (value[i] != NULL)
                put_year_outcome(plan, (enum wg_outcome_number)i, value[i][k], out);
    }
    wg_bytes_put(out, "\n");
}

int wg_run_years_csv(struct wg_result_data *data, const struct wg_plan *plan, struct wg_bytes *out,
                     struct wg_error *err) {
    double *value[WG_N_OUTCOMES] = {NULL};
    struct wg_cell *cells;
    int code = wg_result_data_cells(data, &cells, err);
    for (int i = 0; i < WG_N_OUTCOMES && code == 0; i++)
        if (wg_outcome_is_kept((enum wg_outcome_number)i, plan))
            code = wg_result_data_outcome(data, (enum wg_outcome_number)i, &value[i], err);
    put_year_head(plan, out);
    if (code == 0)
        put_year_rows(data, plan, cells, value, out);
    for (int i = 0; i < WG_N_OUTCOMES; i++)
        free(value[i]);
    free(cells);
    return code < 0 ? code : wg_bytes_failed(out, err);
}
