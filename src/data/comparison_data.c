/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads the numbers of a comparison from whatever source has them.
 */
#include "data/comparison_data.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

int wg_comparison_data_outcome(struct wg_comparison_data *data, enum wg_outcome_number outcome, double **values,
                               struct wg_error *err) {
    return data->source->outcome(data->self, outcome, values, err);
}

int wg_comparison_data_cells(struct wg_comparison_data *data, int setup, struct wg_split_value **cells,
                             struct wg_error *err) {
    return data->source->cells(data->self, setup, cells, err);
}

const char *wg_comparison_data_name(const struct wg_comparison_data *data, int setup) {
    return *data->title[setup] != '\0' ? data->title[setup] : data->scenario_path[setup];
}

int wg_comparison_data_choice(struct wg_comparison_data *data, struct wg_choice *choice, struct wg_error *err) {
    int code = 0;
    choice->n = data->n;
    choice->replicates = data->in.replicates;
    choice->harvest = data->harvest;
    for (int c = 0; c < WG_N_COMPARED && code == 0; c++)
        if (wg_choice_needs((enum wg_compared)c, data->harvest))
            code = wg_comparison_data_outcome(data, wg_compared_outcome((enum wg_compared)c), &choice->values[c], err);
    choice->has_accounts = code == 0 && !isnan(choice->values[WG_COMPARED_balance][0]);
    for (int i = 0; i < data->n && code == 0; i++) {
        for (int c = 0; c < (choice->has_accounts ? WG_N_COMPARED : WG_COMPARED_balance); c++)
            choice->setup[i].outcome[c] =
                choice->values[c] != NULL ? choice->values[c] + i * data->in.replicates : NULL;
        code = wg_comparison_data_cells(data, i, &choice->setup[i].cells, err);
    }
    return code == 0 ? wg_choice_find(choice, err) : code;
}

struct wg_verdict_facts wg_comparison_data_facts(const struct wg_comparison_data *data,
                                                 const struct wg_choice *choice) {
    struct wg_verdict_facts facts = {.choice = choice, .n_days = data->n_days, .currency = data->currency};
    for (int i = 0; i < data->n; i++)
        facts.name[i] = wg_comparison_data_name(data, i);
    return facts;
}

void wg_comparison_data_free(struct wg_comparison_data *data) {
    if (data->source != NULL && data->source->free != NULL)
        data->source->free(data->self);
    free(data->currency);
    for (int i = 0; i < WG_COMPARE_MAX; i++) {
        free(data->title[i]);
        free(data->why[i]);
        free(data->scenario_path[i]);
        free(data->scenario_sha256[i]);
        free(data->scenario_text[i]);
    }
    wg_stored_warnings_free(&data->warned);
    memset(data, 0, sizeof *data);
}
