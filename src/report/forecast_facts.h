/**
 * What a forecast is made of, and what its text, JSON and page have in common.
 */
#ifndef WG_REPORT_FORECAST_FACTS_H
#define WG_REPORT_FORECAST_FACTS_H

#include "analysis/goal_tally.h"
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
    const char *result_path;          /* NULL: none was written */
};

/** "years" when the period is about one, else "futures". */
const char *wg_forecast_noun(const struct wg_plan *plan);
/** The same of `n` of them: one is a "year" or a "future". */
const char *wg_forecast_noun_of(const struct wg_plan *plan, int64_t n);
/** Where the weather comes from, one line. */
void wg_forecast_weather(const struct wg_scenario *scenario, char out[WG_SENTENCE_SIZE]);
/** Why the cost is not known, a sentence; false where it is, or where no price is given at all. */
bool wg_forecast_no_cost(const struct wg_plan *plan, char out[WG_SENTENCE_SIZE]);

#endif
