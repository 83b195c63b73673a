/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Opens a comparison that was just computed.
 */
#include "data/comparison_data.h"

#include "base/sha256.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- the source of the data ---- */

struct compared_now {
    const struct wg_compare *compare;
    struct wg_run_facts facts;
};

static int read_outcome_now(void *self, enum wg_outcome_number outcome, double **values, struct wg_error *err) {
    const struct wg_compare *const compare = ((const struct compared_now *)self)->compare;
    const bool is_kept = wg_compare_keeps(compare, outcome);
    double *to = *values = malloc((size_t)compare->n * (size_t)compare->replicates * sizeof *to);
    if (to == NULL)
        return wg_no_memory(err, NULL);
    for (int i = 0; i < compare->n; i++) {
        const double *const from = wg_summary_outcome(&compare->setup[i].summary, outcome);
        for (int64_t k = 0; k < compare->replicates; k++)
            *to++ = is_kept ? from[k] : (double)NAN;
    }
    return 0;
}

/* A file has the animals and winters of replicates without their weights. */
static int read_cells_now(void *self, int setup, struct wg_split_value **cells, struct wg_error *err) {
    const struct wg_compare *const compare = ((const struct compared_now *)self)->compare;
    const int code = wg_compare_cells(compare, setup, cells, err);
    for (int64_t k = 0; code == 0 && *cells != NULL && k < compare->replicates; k++) {
        (*cells)[k].value = 0;
        (*cells)[k].weight = 1;
    }
    return code;
}

static void free_compared_now(void *self) {
    struct compared_now *const now = self;
    wg_run_facts_free(&now->facts);
    free(now);
}

static const struct wg_comparison_source memory_source = {read_outcome_now, read_cells_now, free_compared_now};

/* ---- opening ---- */

static int copy_setup(struct wg_comparison_data *data, int i, const struct wg_scenario *scenario, const char *why,
                      struct wg_error *err) {
    char digest[WG_SHA256_TEXT_SIZE];
    wg_sha256(scenario->text, scenario->text_size, digest);
    data->title[i] = strdup(scenario->plan.title);
    data->why[i] = strdup(why != NULL ? why : "");
    data->scenario_path[i] = strdup(scenario->path != NULL ? scenario->path : "");
    data->scenario_sha256[i] = strdup(digest);
    data->scenario_text[i] = strdup(scenario->text);
    const bool well = data->title[i] != NULL && data->why[i] != NULL && data->scenario_path[i] != NULL &&
                      data->scenario_sha256[i] != NULL && data->scenario_text[i] != NULL;
    return well ? 0 : wg_no_memory(err, NULL);
}

/* Copies what a file has of it: nothing of setups that have files of their own. */
static void copy_varied(struct wg_varied *to, const struct wg_varied *from) {
    for (int k = 0; k < WG_VARIED_MAX; k++)
        to->n_values[k] = 1;
    if (from->n > 0)
        *to = *from;
    to->odds = from->odds;
    if (from->odds.n == 0)
        to->odds = (struct wg_grid_odds){.own = -1};
}

int wg_comparison_data_now(struct wg_comparison_data *data, const struct wg_compare *compare,
                           const struct wg_scenario *const *scenario, const struct wg_warnings *const *warnings,
                           const struct wg_comparison_words *words, const struct wg_provenance *provenance,
                           struct wg_error *err) {
    const struct wg_plan *const first = compare->setup[0].plan, *plan[WG_COMPARE_MAX];
    struct compared_now *const now = calloc(1, sizeof *now);
    *data = (struct wg_comparison_data){0};
    if (now == NULL)
        return wg_no_memory(err, NULL);
    now->compare = compare;
    int code = wg_run_facts_now(&now->facts, WG_COMPARISON_TITLE, provenance, false, err);
    *data = (struct wg_comparison_data){.source = &memory_source,
                                        .self = now,
                                        .in = now->facts,
                                        .n = compare->n,
                                        .first_day = first->first_day,
                                        .n_days = (int)(first->last_day - first->first_day) + 1,
                                        .currency = strdup(wg_compare_currency(compare)),
                                        .harvest = wg_compare_main(compare)};
    if (code == 0 && data->currency == NULL)
        code = wg_no_memory(err, NULL);
    copy_varied(&data->varied, words->varied);
    for (int i = 0; i < compare->n; i++)
        plan[i] = &scenario[i]->plan;
    for (int i = 0; i < compare->n && code == 0; i++)
        code = copy_setup(data, i, scenario[i], words->why[i], err);
    return code == 0 ? wg_stored_warnings_word(&data->warned, compare->n, plan, warnings, err) : code;
}
