/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The parts of a forecast, and what its text, JSON and page share.
 */
#ifndef WG_REPORT_FORECAST_FACTS_H
#define WG_REPORT_FORECAST_FACTS_H

#include "analysis/goal_tally.h"
#include "analysis/reasons.h"
#include "forecast/summary.h"
#include "forecast/work.h"
#include "scenario/scenario.h"
#include "text/warning_sentences.h"

#define WG_SENTENCE_SIZE 512

struct wg_forecast {
    const struct wg_scenario *scenario;
    const struct wg_summary *summary;
    const struct wg_warnings *warnings;
    const struct wg_work *work;
    const struct wg_goal_tally *odds; /* of the goals; NULL: not counted */
    const char *result_path;          /* NULL: no file */
    const struct wg_reasons *reasons; /* why it dies out or earns nothing; NULL: not asked */
};

/** Returns "years" if the period is about one year, else "futures". */
const char *wg_forecast_noun(const struct wg_plan *plan);
/** The same for `n` of them: "year" or "future" for one. */
const char *wg_forecast_noun_of(const struct wg_plan *plan, int64_t n);
/** Describes in one line where the weather comes from. */
void wg_forecast_weather(const struct wg_scenario *scenario, char out[WG_SENTENCE_SIZE]);
/**
 * Words in a sentence why the cost is not known. Returns false if it is known, or if the plan gives no price at all.
 */
bool wg_forecast_no_cost(const struct wg_plan *plan, char out[WG_SENTENCE_SIZE]);

#endif
