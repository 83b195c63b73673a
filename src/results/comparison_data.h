/**
 * A comparison file read back (its layout is in comparison_file.h).
 */
#ifndef WG_RESULTS_COMPARISON_DATA_H
#define WG_RESULTS_COMPARISON_DATA_H

#include "analysis/compare.h"
#include "results/stored_warnings.h"

struct wg_h5;

/** An open comparison. Zero-initialise; owns all it points to. Free with wg_comparison_data_free() in every case. */
struct wg_comparison_data {
    struct wg_h5 *file;
    char *path;
    int n; /* setups, WG_COMPARE_MIN..WG_COMPARE_MAX */
    int32_t first_day;
    int n_days; /* of the period, 1 or more */
    int64_t replicates;
    uint64_t seed;
    char *title[WG_COMPARE_MAX], *scenario_path[WG_COMPARE_MAX];
    char *scenario_sha256[WG_COMPARE_MAX], *scenario_text[WG_COMPARE_MAX];
    char *command_line, *started, *source; /* "" where the file says nothing */
    struct wg_stored_warnings warned;
};

/** 1 if the file is a comparison of any version, 0 if it is something else; WG_ERR_FILE, WG_ERR_FORMAT (damaged), WG_ERR_MEMORY. */
int wg_comparison_data_is(const char *path, struct wg_error *err);
/** WG_ERR_FILE, WG_ERR_FORMAT (no comparison, another version's, damaged), WG_ERR_MEMORY. */
int wg_comparison_data_open(struct wg_comparison_data *data, const char *path, struct wg_error *err);
/** An outcome of WG_OUTCOME_TABLE, [setup][replicate], NaN: did not happen. malloc'ed into *values. */
int wg_comparison_data_outcome(struct wg_comparison_data *data, const char *name, double **values,
                               struct wg_error *err);
/** Safe on a zeroed or half-opened one, and twice. */
void wg_comparison_data_free(struct wg_comparison_data *data);

#endif
