/**
 * The forecast as a keeper reads it, and the same numbers as JSON.
 */
#ifndef WG_REPORT_FORECAST_H
#define WG_REPORT_FORECAST_H

#include "analysis/goal_tally.h"
#include "forecast/summary.h"
#include "report/json.h"
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

/** One screen of 80 columns. 0 or WG_ERR_MEMORY. */
int wg_forecast_print(const struct wg_forecast *forecast, FILE *to, struct wg_error *err);
/** The whole document. 0 or WG_ERR_MEMORY. */
int wg_forecast_print_json(const struct wg_forecast *forecast, FILE *to, struct wg_error *err);

/* ---- the work calendar, calendar_text.c ---- */

/** Feed, traps and crawl-off, a line for each week, 80 columns. */
void wg_work_print(const struct wg_work *work, FILE *to);
/** The same as arrays, one value a week, under the key "weeks". */
void wg_work_put_json(const struct wg_work *work, struct wg_json *json);

/* ---- shared by the two, forecast_facts.c ---- */

/** "years" when the period is about one, else "futures". */
const char *wg_forecast_noun(const struct wg_plan *plan);
/** The same of `n` of them: one is a "year" or a "future". */
const char *wg_forecast_noun_of(const struct wg_plan *plan, int64_t n);
/** Where the weather comes from, one line. */
void wg_forecast_weather(const struct wg_scenario *scenario, char out[WG_SENTENCE_SIZE]);
/** Wet weight of all feed given by the plan, kg. */
double wg_forecast_feed_kg(const struct wg_plan *plan);
/** True if anything draws power: heaters, mats, lamps. */
bool wg_forecast_has_heat(const struct wg_plan *plan);
/** Why the cost is not known, a sentence; false where it is, or where no price is given at all. */
bool wg_forecast_no_cost(const struct wg_plan *plan, char out[WG_SENTENCE_SIZE]);
/** True if anything is taken out: crawl-off collected or larvae scooped. */
bool wg_forecast_has_harvest(const struct wg_plan *plan);

/* ---- warnings and cautions, warning_lists.c ---- */

/** Every warning, a line or more each: "Warning: ...", or with `who` "Warning, B: ...". */
void wg_notes_print_warnings(const struct wg_warnings *warnings, const char *who, FILE *to);
/** Those that any of n plans calls for. */
void wg_notes_print_cautions(const struct wg_plan *const *plan, int n, FILE *to);
/** As the list "warnings"; work: of the same replicates, for the spells of weeks, may be NULL. */
void wg_notes_put_warnings(struct wg_json *json, const struct wg_warnings *warnings, const struct wg_work *work);
/** As the list "cautions". */
void wg_notes_put_cautions(struct wg_json *json, const struct wg_plan *plan);

/* ---- parts of the JSON, shared with `compare`, forecast_json.c ---- */

void wg_forecast_put_period(struct wg_json *json, const struct wg_plan *plan);
/** Over which days spring flies are counted, and whether that is the whole spring. */
void wg_forecast_put_spring(struct wg_json *json, const struct wg_plan *plan);
void wg_forecast_put_survival(struct wg_json *json, const struct wg_summary *summary);
/** Every outcome of the table. 0 or WG_ERR_MEMORY. */
int wg_forecast_put_outcomes(struct wg_json *json, const struct wg_summary *summary);

#endif
