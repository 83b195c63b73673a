/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Words of a sensitivity analysis that its text, figures and page share.
 */
#ifndef WG_TEXT_SENSITIVITY_WORDS_H
#define WG_TEXT_SENSITIVITY_WORDS_H

#include "inference/sensitivity.h"
#include "text/show.h"

/** True if the answer is a chance, false if it is a mass. */
bool wg_is_chance(const struct wg_sensitivity *matters);
/** "the chance to be alive at the end", "all crawl-off" */
void wg_show_studied(const struct wg_sensitivity *matters, char out[WG_SHOWN_SIZE]);
/** "92 %", "1.2 kg (2.65 lb)" */
void wg_show_answer(const struct wg_sensitivity *matters, double value, char out[WG_SHOWN_SIZE]);
/** "70 to 98 %" */
void wg_show_answers(const struct wg_sensitivity *matters, struct wg_interval range, char out[WG_SHOWN_SIZE]);
/** "61 % (50 to 71 %)", "3 % (0.4 to 8 %)", "0, within luck (at most 5 %)" */
void wg_show_estimate(const struct wg_estimate *estimate, char out[WG_SHOWN_SIZE]);
#define WG_GAIN_SIZE (4 * WG_SHOWN_SIZE)
/** "80 to 99 % (standard deviation 7.1 in place of 12 points)" */
void wg_show_gain(const struct wg_sensitivity *matters, const struct wg_gain *gain, char out[WG_GAIN_SIZE]);

/** "19.4 to 24.8 °C (66.9 to 76.7 °F)": the range of a number over the animals, with its unit. */
void wg_show_unknown(const struct wg_unknown *unknown, char out[WG_SHOWN_SIZE]);

/** Returns the number of unknowns in groups above luck; they come first. */
int wg_count_above_luck(const struct wg_sensitivity *matters);

#endif
