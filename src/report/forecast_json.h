/**
 * The forecast for other programs, and the parts of it that a comparison and a sweep have too.
 */
#ifndef WG_REPORT_FORECAST_JSON_H
#define WG_REPORT_FORECAST_JSON_H

#include "report/forecast_facts.h"
#include "report/json.h"

/** The whole document. 0 or WG_ERR_MEMORY. */
int wg_forecast_print_json(const struct wg_forecast *forecast, FILE *to, struct wg_error *err);

void wg_forecast_put_period(struct wg_json *json, const struct wg_plan *plan);
/** Over which days spring flies are counted, and whether that is the whole spring. */
void wg_forecast_put_spring(struct wg_json *json, const struct wg_plan *plan);
void wg_forecast_put_survival(struct wg_json *json, const struct wg_summary *summary);
/** Every outcome of the table. 0 or WG_ERR_MEMORY. */
int wg_forecast_put_outcomes(struct wg_json *json, const struct wg_summary *summary);

#endif
