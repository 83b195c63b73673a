/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * A comparison as charts and pages read it: from its file (results/comparison_file.h) or from memory
 * (wg_comparison_data_now()), in the same numbers.
 */
#ifndef WG_DATA_COMPARISON_DATA_H
#define WG_DATA_COMPARISON_DATA_H

#include "analysis/choice.h"
#include "data/comparison_words.h"
#include "data/run_facts.h"
#include "data/stored_warnings.h"
#include "text/verdict_sentences.h"

/** Title of the data and of the file of every comparison. */
#define WG_COMPARISON_TITLE "Comparison of black soldier fly colonies under the same weather"

/** Where the numbers of a comparison come from. Each function returns 0 or a negative error; what it gives is malloc'ed. */
struct wg_comparison_source {
    int (*outcome)(void *self, enum wg_outcome_number outcome, double **values, struct wg_error *err);
    int (*cells)(void *self, int setup, struct wg_split_value **cells, struct wg_error *err);
    void (*free)(void *self); /* NULL: the source outlives the data */
};

/** A comparison. Zero-initialise; free with wg_comparison_data_free() in every case. */
struct wg_comparison_data {
    const struct wg_comparison_source *source;
    void *self;             /* of the source */
    struct wg_run_facts in; /* borrowed from the source */
    int n;                  /* setups, WG_COMPARE_MIN..WG_COMPARE_MAX */
    int32_t first_day;
    int n_days;     /* length of the period, 1 or more */
    char *currency; /* of all setups, "" if none names one */
    char *title[WG_COMPARE_MAX], *scenario_path[WG_COMPARE_MAX];
    char *why[WG_COMPARE_MAX]; /* NULL in the file of an older wintergrub */
    char *scenario_sha256[WG_COMPARE_MAX], *scenario_text[WG_COMPARE_MAX];
    struct wg_stored_warnings warned;
    struct wg_varied varied;
    enum wg_compared harvest; /* the main outcome */
};

/** Reads an outcome, [setup][replicate], NaN if it did not happen, into *values (malloc'ed). */
int wg_comparison_data_outcome(struct wg_comparison_data *data, enum wg_outcome_number outcome, double **values,
                               struct wg_error *err);
/** Returns the title of a setup, or its path if it has none. */
const char *wg_comparison_data_name(const struct wg_comparison_data *data, int setup);
/**
 * Reads the cells of a setup into *cells (malloc'ed), with the weight 1; NULL if its replicates are independent, or if an older
 * wintergrub wrote the file.
 */
int wg_comparison_data_cells(struct wg_comparison_data *data, int setup, struct wg_split_value **cells,
                             struct wg_error *err);
/** Makes the choice among the setups. Zero-initialise it; free it with wg_choice_free() in every case. */
int wg_comparison_data_choice(struct wg_comparison_data *data, struct wg_choice *choice, struct wg_error *err);
/** Returns what the verdict needs; borrows the choice and the names. */
struct wg_verdict_facts wg_comparison_data_facts(const struct wg_comparison_data *data, const struct wg_choice *choice);
/** Frees the data; may be zeroed, half-opened or already freed. */
void wg_comparison_data_free(struct wg_comparison_data *data);

/* ---- a comparison that was just computed, as its file would have it ---- */

/**
 * Opens a finished comparison; scenario[compare->n] and warnings[compare->n] (NULL: not checked) belong to the setups, in
 * order. `compare` must outlive the data. Returns 0 or WG_ERR_MEMORY; free the data in every case.
 */
int wg_comparison_data_now(struct wg_comparison_data *data, const struct wg_compare *compare,
                           const struct wg_scenario *const *scenario, const struct wg_warnings *const *warnings,
                           const struct wg_comparison_words *words, const struct wg_provenance *provenance,
                           struct wg_error *err);

#endif
