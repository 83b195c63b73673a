/**
 * Reads a comparison back from its file (comparison_file.h describes the layout).
 */
#ifndef WG_RESULTS_COMPARISON_DATA_H
#define WG_RESULTS_COMPARISON_DATA_H

#include "analysis/choice.h"
#include "results/comparison_file.h"
#include "results/stored_warnings.h"
#include "storage/stored_file.h"
#include "text/verdict_sentences.h"

/** An open comparison. Zero-initialise; owns all it points to. Free with wg_comparison_data_free() in every case. */
struct wg_comparison_data {
    struct wg_stored_file in;
    int n; /* setups, WG_COMPARE_MIN..WG_COMPARE_MAX */
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

/**
 * Takes ownership of an open file and zeroes it. Returns 0, WG_ERR_FORMAT (not a comparison, other version, damaged)
 * or WG_ERR_MEMORY.
 */
int wg_comparison_data_take(struct wg_comparison_data *data, struct wg_stored_file *file, struct wg_error *err);
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

#endif
