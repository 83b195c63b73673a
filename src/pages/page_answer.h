/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The answer of a forecast in three sentences.
 */
#ifndef WG_PAGES_PAGE_ANSWER_H
#define WG_PAGES_PAGE_ANSWER_H

#include "analysis/odds.h"
#include "report/forecast_facts.h"

/** Words sentence 0, 1 or 2: survival, harvest, heat or spring. Returns 0, or WG_ERR_MEMORY and an invalid sentence. */
int wg_report_answer(const struct wg_forecast *forecast, const struct wg_odds *odds, int sentence,
                     char out[WG_SENTENCE_SIZE]);
/** Says what luck, the animal and the winter do to the first two sentences; "" for the third, or if there is nothing to say. */
void wg_report_answer_note(const struct wg_forecast *forecast, const struct wg_odds *odds, int sentence,
                           char out[WG_SENTENCE_SIZE]);

#endif
