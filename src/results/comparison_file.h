/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Writes the file of a comparison: HDF5 that is also netCDF-4/CF, like a result (result_file.h), renamed into place
 * only when complete. It holds outcomes but no daily series. Its contents:
 *
 *   attributes   time_coverage_start, time_coverage_end: first and last day of the period, "2026-11-01"; days in
 *                outcomes are counted from the first; currency: of all setups, "" if none names one
 *   dimensions   scenario ("A", "B", ...), replicate
 *   OUTCOME(scenario, replicate)   every row of WG_OUTCOME_TABLE; NaN: did not happen
 *   main_outcome (attribute): the outcome that is the harvest, total_harvest_mass or total_crawl_off_mass
 *   varied_title, varied_1, varied_2 (attributes), varied_value_1(varied_value_1), varied_value_2: of setups made from
 *                one scenario, its title, the numbers that differ and their values; the last varies fastest
 *   goals_met(scenario), goals_met_low, goals_met_high, goals_enough, is_plan: of a grid of `size`
 *   scenario_why(scenario): why most of its colonies die, "" if they do not or if it was not asked
 *   scenario_title(scenario), survival(scenario), survival_low, survival_high
 *   animal(scenario, replicate), winter(scenario, replicate): if replicates share any
 *   of each row of WG_COMPARED_TABLE, against scenario A, NaN for A itself:
 *     OUTCOME_difference(scenario), ..._difference_low, ..._difference_high,
 *     OUTCOME_chance_better, ..._chance_better_low, ..._chance_better_high, OUTCOME_variance_factor,
 *     OUTCOME_animals_better, ..._animals_same, ..._animals_worse (0 without plausible animals)
 *   cost_of_extra_kg(scenario), cost_of_extra_kg_low, cost_of_extra_kg_high
 *   warning(warning) (the sentence), warning_scenario(warning) ("A"), warning_kind, warning_about (place or bin),
 *   warning_replicates, caution(caution): if there are any; attributes of provenance (warnings, cautions) count them
 *   group provenance   texts and SHA-256 of all scenarios and weather records, seed, versions, command line, every
 *                      number of the animal in each: parameter_value(scenario, parameter)
 */
#ifndef WG_RESULTS_COMPARISON_FILE_H
#define WG_RESULTS_COMPARISON_FILE_H

#include "data/comparison_data.h"
#include "data/comparison_words.h"
#include "forecast/warnings.h"
#include "results/result_file.h"
#include "storage/stored_file.h"

struct wg_comparison_file;

/**
 * Checks, before the simulation, that `path` can be written and opens a temporary file beside it, with the same errors
 * as wg_result_create(). On failure *out is NULL and no file is left.
 */
int wg_comparison_file_create(struct wg_comparison_file **out, const char *path, int force, struct wg_error *err);
/**
 * Writes a finished comparison, renames the file into place and frees it. scenario[compare->n] and warnings[compare->n]
 * belong to the setups, in order. On failure an old file is unchanged and no temporary file is left.
 */
int wg_comparison_file_close(struct wg_comparison_file *file, const struct wg_compare *compare,
                             const struct wg_scenario *const *scenario, const struct wg_warnings *const *warnings,
                             const struct wg_comparison_words *words, const struct wg_provenance *provenance,
                             struct wg_error *err);
/** Removes the unfinished file and frees it. NULL is allowed. */
void wg_comparison_file_abandon(struct wg_comparison_file *file);

/* ---- reads a comparison back from its file (comparison_file.h describes the layout) ---- */

/**
 * Takes ownership of an open file and zeroes it. Returns 0, WG_ERR_FORMAT (not a comparison, other version, damaged)
 * or WG_ERR_MEMORY.
 */
int wg_comparison_data_take(struct wg_comparison_data *data, struct wg_stored_file *file, struct wg_error *err);

#endif
