/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Words the answer of `size` in one or two sentences, with values in both unit systems.
 */
#ifndef WG_DATA_SIZE_SENTENCES_H
#define WG_DATA_SIZE_SENTENCES_H

#include "sizing/size.h"
#include "variants/vary.h"

#define WG_SIZE_TEXT 1024

/** Returns the name in files and JSON: "found", "enough at the end of the range", "impossible", ... */
const char *wg_size_outcome_name(enum wg_size_outcome outcome);
/** Words the answer in one sentence, without a full stop: "Larvae to start with: about 19,000 (17,000 to 21,000)". */
void wg_size_headline(const struct wg_vary *vary, const struct wg_size_question *question, const struct wg_size *size,
                      char out[WG_SIZE_TEXT]);
/** Words the whole answer: the headline, animals, what decides, the sure bracket, what it lacks. */
void wg_size_text(const struct wg_vary *vary, const struct wg_size_question *question, const struct wg_size *size,
                  char out[WG_SIZE_TEXT]);
/** Returns the share of replicates at a point that met a goal; NaN without replicates. */
double wg_size_share(const struct wg_size_point *point, int goal);
/** Returns the goal that is farthest below the chance it wants, or least above it. */
int wg_size_hardest_goal(const struct wg_size_question *question, const struct wg_size_point *point);
/** Returns the value to recommend: the number, rounded as it is shown; else what is surely enough; else the best. */
double wg_size_recommended(const struct wg_vary *vary, const struct wg_size *size);
/** Returns the point of a value that was tried; -1 if it was not, and for NaN. */
int wg_size_find(const struct wg_size *size, double value);

/**
 * Shows a value that is surely enough, or surely not, with two figures of a count and three of other numbers, rounded to the
 * side on which that stays true: "14,000" for 13,396 larvae that are enough; "" for NaN.
 */
void wg_size_show_bound(const struct wg_vary *vary, double value, bool is_rounded_up, char out[2 * WG_VARY_SHOWN_SIZE]);
/** Returns "yes", "no", "open", or "beyond" for an open value on the far side of one that is surely enough. */
const char *wg_size_enough_word(const struct wg_size_question *question, const struct wg_size *size,
                                const struct wg_size_point *point);

#endif
