/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Writes the file of an answer of `size`, `run --what-matters` or `fit`: HDF5 that is also netCDF-4/CF, like a result
 * (result_file.h), renamed into place only when complete. It holds the question, the answer and its uncertainty, and
 * no daily series. Its contents:
 *
 *   all          attributes of the file: title, source, kind ("size", "what-matters", "fit"), answer (in words);
 *                group provenance as in a result, with wintergrub_answer_format for its format, and the numbers of
 *                warnings and cautions; warning(warning), warning_kind, warning_about, warning_replicates (in
 *                size: at the recommended value), caution(caution): if there are any; in size, why (no value is enough), if so
 *   size         dimensions value (the values tried), goal
 *                replicates(value), enough(value) ("yes", "no", "cannot tell"), met(value, goal), chance(value, goal),
 *                chance_low, chance_high (simultaneous over all looks and values: the basis of the answer), wilson_low,
 *                wilson_high (95 %, for each value alone), chance_asked(goal), smallest_enough or largest_enough, too_little,
 *                number, number_low, number_high, number_luckier, number_harder (of animals), best, falls_from, falls_to
 *                (NaN: not known), deciding_goal, curve_fits, curve_crossing(goal), curve_slope, curve_top, curve_from, curve_to,
 *                curve_spread, curve_fit_probability, value_in_scenario, searched_from, searched_to, confidence, total_replicates;
 *                attributes key, subject, unit_as_written, outcome, looked_for
 *   what-matters dimensions unknown, measurement
 *                low(unknown), high, meaning, unit, source_of_value, trend, group, share (of the group), share_low,
 *                share_high, above_luck; what_to_do(measurement), error_of, removes, removes_low, removes_high, sd_left,
 *                answer_low, answer_high, worth, step_sd_left, step_answer_low, step_answer_high; answer_mean,
 *                animals_low, animals_high, animals_sd, luck_sd, together, together_low, together_high, animals,
 *                animals_differ, total_replicates; attribute answer_of
 *   fit          dimensions learnt, quantile, note, outcome; with an answer now, animal
 *                learnt_unit(learnt), learnt_before(learnt, quantile), note_day(note), note_since, note_what, note_value,
 *                note_unit, note_low, note_high, note_explained, outcome_before(outcome, quantile), outcome_unit(outcome),
 *                happened_before, survival_before, animals_drawn, animals_that_agree, too_few (1: no answer, the log and
 *                the plan do not agree), total_replicates; with an answer learnt_after, outcome_after, happened_after,
 *                survival_after, now_what(now), now_unit, now_index, now_after(now, quantile), animal_learnt(animal,
 *                learnt); attribute log
 */
#ifndef WG_RESULTS_ANSWER_FILE_H
#define WG_RESULTS_ANSWER_FILE_H

#include "data/answer_data.h"
#include "results/columns.h"
#include "storage/provenance.h"
#include "storage/stored_file.h"

struct wg_answer_file;

/**
 * Checks, before the work, that `path` can be written and opens a temporary file beside it, with the same errors as
 * wg_result_create(). On failure *out is NULL and no file is left.
 */
int wg_answer_file_create(struct wg_answer_file **out, const char *path, int force, struct wg_error *err);
/**
 * Writes the answer, renames the file into place and frees it. On failure an old file is unchanged and no temporary
 * file is left.
 */
int wg_answer_file_close(struct wg_answer_file *file, const struct wg_answer *answer, struct wg_error *err);
/** Removes the unfinished file and frees it. NULL is allowed. */
void wg_answer_file_abandon(struct wg_answer_file *file);

/*
 * Writes the three kinds of answers. The file remembers failures (wg_h5_failed()).
 */

int wg_put_size(struct wg_h5 *file, const struct wg_answer *answer);
/** Returns 0 or WG_ERR_MEMORY, as does the next. */
int wg_put_sensitivity(struct wg_h5 *file, const struct wg_answer *answer, struct wg_error *err);
int wg_put_fit(struct wg_h5 *file, const struct wg_answer *answer, struct wg_error *err);

/* ---- reads an answer back from its file (answer_file.h describes the layout) ---- */

/**
 * Takes ownership of an open file and zeroes it. Returns 0, WG_ERR_FORMAT (not an answer, other version, damaged) or
 * WG_ERR_MEMORY.
 */
int wg_answer_data_take(struct wg_answer_data *data, struct wg_stored_file *file, struct wg_error *err);
/** Reads an open file of the kind SIZE; any other kind is WG_ERR_FORMAT. */
int wg_answer_data_size(struct wg_answer_data *data, struct wg_answer_size *to, struct wg_error *err);
/**
 * Reads an open file of the kind SENSITIVITY, but for the variance between animals (0: they do not differ) and what is not
 * stored. WG_ERR_FORMAT also if this program knows a number or a measurement no longer.
 */
int wg_answer_data_sensitivity(struct wg_answer_data *data, struct wg_sensitivity *to, struct wg_error *err);

/** Returns the file that an answer is read from. */
static inline struct wg_stored_file *wg_answer_file_of(const struct wg_answer_data *data) {
    return data->file;
}

#endif
