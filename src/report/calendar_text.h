/**
 * The work calendar: feed, traps and crawl-off, week by week.
 */
#ifndef WG_REPORT_CALENDAR_TEXT_H
#define WG_REPORT_CALENDAR_TEXT_H

#include "forecast/work.h"
#include "report/json.h"
#include "text/show.h"

/** Prints a line for each week, 80 columns. */
void wg_work_print(const struct wg_work *work, FILE *to);
/** Writes the same as arrays, one value a week, under the key "weeks". */
void wg_work_put_json(const struct wg_work *work, struct wg_json *json);
/** Words how often to pull traps: "3 days", "14+ days", "no need". */
void wg_work_show_pull(double days, char out[WG_SHOWN_SIZE]);
/** Returns the shortest such interval of all places with traps; infinite if none need pulling. */
double wg_work_shortest_pull(const struct wg_work *work, int week);

#endif
