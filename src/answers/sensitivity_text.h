/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * What `run --what-matters` found, as text and as JSON.
 */
#ifndef WG_ANSWERS_SENSITIVITY_TEXT_H
#define WG_ANSWERS_SENSITIVITY_TEXT_H

#include "inference/sensitivity.h"
#include "report/forecast_facts.h"

/** Prints the ranking and its basis: 80 columns. */
void wg_sensitivity_print(const struct wg_scenario *scenario, const struct wg_sensitivity *matters, FILE *to);
/** Prints the same as JSON. Returns 0 or WG_ERR_MEMORY. */
int wg_sensitivity_print_json(const struct wg_scenario *scenario, const struct wg_sensitivity *matters, FILE *to,
                              struct wg_error *err);
/* Sentences that the page shares: the answer; what the other numbers, and all above luck together, explain; how much luck. */

void wg_sensitivity_question(const struct wg_sensitivity *matters, char out[WG_SENTENCE_SIZE]);
void wg_sensitivity_rest(const struct wg_sensitivity *matters, char out[WG_SENTENCE_SIZE]);
void wg_sensitivity_together(const struct wg_sensitivity *matters, char out[WG_SENTENCE_SIZE]);
void wg_sensitivity_luck(const struct wg_sensitivity *matters, char out[WG_SENTENCE_SIZE]);
/** Words what measurements would do: an introduction, then a sentence for each of matters->n_steps. */
void wg_sensitivity_measure(const struct wg_sensitivity *matters, char out[WG_SENTENCE_SIZE]);
void wg_sensitivity_step(const struct wg_sensitivity *matters, int i, char out[WG_SENTENCE_SIZE]);
/** Words the ranking in one sentence, for the file of the answer. */
void wg_sensitivity_describe(const struct wg_sensitivity *matters, char out[WG_SENTENCE_SIZE]);

#endif
