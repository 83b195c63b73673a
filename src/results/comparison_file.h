/**
 * The file of a comparison: HDF5 that is also netCDF-4/CF, like a result (see
 * result.h), put in place only when whole. It holds outcomes, not days.
 *
 *   attributes   time_coverage_start, time_coverage_end: first and last day of the period, "2026-11-01"; days in
 *                outcomes are counted from the first
 *   dimensions   scenario ("A", "B", ...), replicate
 *   OUTCOME(scenario, replicate)   every row of WG_OUTCOME_TABLE; NaN: did not happen
 *   scenario_title(scenario), survival(scenario), survival_low, survival_high
 *   of each row of WG_COMPARED_TABLE, against scenario A, NaN for A itself:
 *     OUTCOME_difference(scenario), ..._difference_low, ..._difference_high,
 *     OUTCOME_chance_better, ..._chance_better_low, ..._chance_better_high, OUTCOME_variance_factor
 *   cost_of_extra_kg(scenario), cost_of_extra_kg_low, cost_of_extra_kg_high
 *   warning(warning) (the sentence), warning_scenario(warning) ("A"), warning_kind, warning_about (place or bin),
 *   warning_replicates, caution(caution): where there are any; how many in the notes warnings and cautions of provenance
 *   group provenance   texts and SHA-256 of all scenarios and weather records, seed, versions, command line, every
 *                      number of the animal in each: parameter_value(scenario, parameter)
 */
#ifndef WG_RESULTS_COMPARISON_FILE_H
#define WG_RESULTS_COMPARISON_FILE_H

#include "analysis/compare.h"
#include "forecast/warnings.h"
#include "results/result_write.h"

struct wg_comparison_file;

/**
 * Before the simulation: checks that `path` can become a file and opens it beside
 * its name; what is refused, and how, is that of wg_result_create(). On failure *out is NULL and nothing is left.
 */
int wg_comparison_file_create(struct wg_comparison_file **out, const char *path, int force, struct wg_error *err);
/**
 * Writes a comparison that was run, puts the file in place and frees. scenario[compare->n], warnings[compare->n]: those of
 * the setups, in order.
 * On failure the old file is whole and nothing unfinished is left.
 */
int wg_comparison_file_close(struct wg_comparison_file *file, const struct wg_compare *compare,
                             const struct wg_scenario *const *scenario, const struct wg_warnings *const *warnings,
                             const struct wg_provenance *provenance, struct wg_error *err);
/** Drops the unfinished file and frees. NULL is allowed. */
void wg_comparison_file_abandon(struct wg_comparison_file *file);

#endif
