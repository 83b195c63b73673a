/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Facts of a forecast beside its outcomes: the weather, and why a cost is not known.
 */
#include "report/forecast_facts.h"
#include "text/show.h"

#include <math.h>

const char *wg_forecast_noun(const struct wg_plan *plan) {
    return wg_forecast_noun_of(plan, 2);
}

const char *wg_forecast_noun_of(const struct wg_plan *plan, int64_t n) {
    return wg_replicates_noun((int)(plan->last_day - plan->first_day) + 1, n);
}

/* ---- weather ---- */

static void record_years(const struct wg_weather_record *record, char out[32]) {
    const int from = wg_date_from_day(record->first_day).year;
    const int to = wg_date_from_day(record->first_day + record->n_days - 1).year;
    (void)snprintf(out, 32, "%d to %d", from, to);
}

void wg_forecast_weather(const struct wg_scenario *scenario, char out[WG_SENTENCE_SIZE]) {
    const struct wg_climate_spec *const climate = &scenario->plan.climate;
    const char *const path = scenario->record_path != NULL ? scenario->record_path : "a record";
    char shown[WG_SHOWN_SIZE], years[32] = "";
    if (climate->record != NULL)
        record_years(climate->record, years);
    switch (climate->kind) {
    case WG_CLIMATE_CONSTANT:
        wg_show_temperature(climate->constant_c, shown);
        (void)snprintf(out, WG_SENTENCE_SIZE, "none, %s all the time", shown);
        break;
    case WG_CLIMATE_NORMALS:
        if (climate->sketch != NULL)
            (void)snprintf(shown, sizeof shown, "an invented climate of the kind \"%s\"", climate->sketch);
        else
            (void)snprintf(shown, sizeof shown, "twelve monthly normals");
        (void)snprintf(out, WG_SENTENCE_SIZE, "generated around %s, at %.3g degrees %s", shown,
                       fabs(climate->latitude_deg), climate->latitude_deg < 0 ? "south" : "north");
        break;
    case WG_CLIMATE_YEARS:
        (void)snprintf(out, WG_SENTENCE_SIZE, "real years of %.300s (%s), each as likely", path, years);
        break;
    case WG_CLIMATE_FITTED:
        (void)snprintf(out, WG_SENTENCE_SIZE, "generated, fitted to %.300s (%s)", path, years);
        break;
    }
}

bool wg_forecast_no_cost(const struct wg_plan *plan, char out[WG_SENTENCE_SIZE]) {
    struct wg_source source, without = {0};
    bool priced = false;
    if (wg_plan_has_cost(plan, &without))
        return false;
    for (int i = 0; wg_plan_source(plan, i, &source); i++) {
        priced = priced || source.has_price;
        if (!source.has_power)
            without = source;
    }
    if (!without.has_power)
        (void)snprintf(
            out, WG_SENTENCE_SIZE,
            "The power of the lamps in %s is not in the scenario, so what they draw and what it costs is not "
            "known.",
            without.where);
    else if (priced)
        (void)snprintf(out, WG_SENTENCE_SIZE, "The %s of %s %s no price in the scenario, so the cost is not known.",
                       wg_source_name(without.kind), without.where, without.kind == WG_SOURCE_LAMPS ? "have" : "has");
    return priced || !without.has_power;
}
