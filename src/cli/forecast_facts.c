/*
 * What goes into a forecast beside the spread of outcomes: weather, feed,
 * warnings, cautions.
 */
#include "cli/forecast.h"
#include "io/show.h"

#include <math.h>
#include <string.h>

const char *wg_forecast_noun(const struct wg_plan *plan) {
    const int days = plan->last_day - plan->first_day + 1;
    return days >= 360 && days <= 370 ? "years" : "futures";
}

const char *wg_forecast_noun_of(const struct wg_plan *plan, int64_t n) {
    const char *const many = wg_forecast_noun(plan);
    return n != 1 ? many : strcmp(many, "years") == 0 ? "year" : "future";
}

/* ---- weather ---- */

static void record_years(const struct wg_record *record, char out[32]) {
    const int from = wg_date_from_day(record->first_day).year;
    const int to = wg_date_from_day(record->first_day + record->n_days - 1).year;
    (void)snprintf(out, 32, "%d to %d", from, to);
}

void wg_forecast_weather(const struct wg_scenario *scenario, char out[WG_SENTENCE]) {
    const struct wg_climate_spec *const climate = &scenario->plan.climate;
    const char *const path = scenario->record_path != NULL ? scenario->record_path : "a record";
    char shown[WG_SHOWN], years[32] = "";
    if (climate->record != NULL)
        record_years(climate->record, years);
    switch (climate->kind) {
    case WG_CLIMATE_CONSTANT:
        wg_show_temperature(climate->constant_c, shown);
        (void)snprintf(out, WG_SENTENCE, "none, %s all the time", shown);
        break;
    case WG_CLIMATE_NORMALS:
        (void)snprintf(out, WG_SENTENCE, "generated around twelve monthly normals, at %.3g degrees %s",
                       fabs(climate->latitude_deg), climate->latitude_deg < 0 ? "south" : "north");
        break;
    case WG_CLIMATE_YEARS:
        (void)snprintf(out, WG_SENTENCE, "real years of %.300s (%s), each as likely", path, years);
        break;
    case WG_CLIMATE_FITTED:
        (void)snprintf(out, WG_SENTENCE, "generated, fitted to %.300s (%s)", path, years);
        break;
    }
}

/* ---- the plan ---- */

/* How often an action is due in the period. */
static int64_t times_due(const struct wg_plan *plan, const struct wg_action *action) {
    int64_t n = 0;
    for (int32_t day = action->from; day <= action->to && day <= plan->last_day; day += action->every)
        n += day >= plan->first_day;
    return n;
}

double wg_forecast_feed_kg(const struct wg_plan *plan) {
    double kg = 0;
    for (int i = 0; i < plan->n_actions; i++)
        if (plan->actions[i].kind == WG_DO_FEED)
            kg += (double)times_due(plan, &plan->actions[i]) * plan->actions[i].as.feed.wet_kg;
    return kg;
}

bool wg_forecast_has_heat(const struct wg_plan *plan) {
    for (int i = 0; i < plan->n_places; i++)
        if (plan->places[i].heater.power_w > 0)
            return true;
    for (int i = 0; i < plan->n_bins; i++)
        if (plan->bins[i].spec.mat.power_w > 0)
            return true;
    return false;
}

bool wg_forecast_has_harvest(const struct wg_plan *plan) {
    for (int i = 0; i < plan->n_actions; i++)
        if (plan->actions[i].kind == WG_DO_COLLECT || plan->actions[i].kind == WG_DO_SCOOP)
            return true;
    return false;
}

/* ---- warnings ---- */

#define LEAST_MISSING_KG 0.001 /* less is nothing to a keeper (judgement) */

static void warn_of_heater(const struct wg_forecast *forecast, int place, char out[WG_SENTENCE], struct wg_json *json) {
    const struct wg_plan *const plan = &forecast->scenario->plan;
    const struct wg_watched *const watched = &forecast->watch->heater[place];
    const struct wg_place_plan *const where = &plan->places[place];
    const double holds_w = wg_watch_power_that_holds(where->heater.power_w, watched->worst);
    char missing[WG_SHOWN], enough[WG_SHOWN];
    wg_show_power(watched->worst, missing);
    wg_show_power(holds_w, enough);
    (void)snprintf(out, WG_SENTENCE,
                   "heat in %s fell short in %lld of %lld %s, by %s at worst; a heater of %s would have held.",
                   where->name, (long long)watched->replicates, (long long)forecast->summary->n,
                   wg_forecast_noun_of(plan, forecast->summary->n), missing, enough);
    wg_json_text(json, "kind", "heater too weak");
    wg_json_text(json, "place", where->name);
    wg_json_whole(json, "replicates", watched->replicates);
    wg_json_real(json, "worst_short_w", watched->worst);
    wg_json_real(json, "power_that_holds_w", holds_w);
}

static void warn_of_mat(const struct wg_forecast *forecast, int bin, char out[WG_SENTENCE], struct wg_json *json) {
    const struct wg_plan *const plan = &forecast->scenario->plan;
    const struct wg_watched *const watched = &forecast->watch->mat[bin];
    const double holds_w = wg_watch_mat_that_holds(&plan->bins[bin].spec, watched->worst);
    char enough[WG_SHOWN];
    wg_show_power(holds_w, enough);
    (void)snprintf(out, WG_SENTENCE, "mat of %s too weak in %lld of %lld %s: %s holds.", plan->bins[bin].name,
                   (long long)watched->replicates, (long long)forecast->summary->n,
                   wg_forecast_noun_of(plan, forecast->summary->n), enough);
    wg_json_text(json, "kind", "mat too weak");
    wg_json_text(json, "bin", plan->bins[bin].name);
    wg_json_whole(json, "replicates", watched->replicates);
    wg_json_real(json, "coldest_air_degc", watched->worst);
    wg_json_real(json, "power_that_holds_w", holds_w);
}

static void warn_of_bin(const struct wg_forecast *forecast, int bin, char out[WG_SENTENCE], struct wg_json *json) {
    const struct wg_plan *const plan = &forecast->scenario->plan;
    const struct wg_watched *const watched = &forecast->watch->bin[bin];
    char limit[WG_SHOWN];
    wg_show_temperature(WG_WATCH_HOT_C, limit);
    (void)snprintf(out, WG_SENTENCE, "%s over %s in %lld of %lld %s: cool it.", plan->bins[bin].name, limit,
                   (long long)watched->replicates, (long long)forecast->summary->n,
                   wg_forecast_noun_of(plan, forecast->summary->n));
    wg_json_text(json, "kind", "bin too hot");
    wg_json_text(json, "bin", plan->bins[bin].name);
    wg_json_whole(json, "replicates", watched->replicates);
    wg_json_real(json, "limit_degc", WG_WATCH_HOT_C);
    wg_json_real(json, "worst_degc", watched->worst);
}

/* Index of the i-th of n watched things to which it happened, or -1 with i lowered by their number. */
static int find_watched(const struct wg_watched *watched, int n, int *i) {
    for (int at = 0; at < n; at++)
        if (watched[at].replicates > 0 && (*i)-- == 0)
            return at;
    return -1;
}

/* In how many larvae were to be scooped that were not there. */
static int64_t scooped_in_vain(const struct wg_summary *summary) {
    const double *const missing_kg = wg_summary_outcome(summary, "total_asked_not_there");
    int64_t n = 0;
    for (int64_t k = 0; k < summary->n; k++)
        n += missing_kg[k] > LEAST_MISSING_KG;
    return n;
}

static void warn_of_scoop(const struct wg_forecast *forecast, char out[WG_SENTENCE], struct wg_json *json) {
    const struct wg_summary *const summary = forecast->summary;
    const double *const missing_kg = wg_summary_outcome(summary, "total_asked_not_there");
    const int64_t n = scooped_in_vain(summary);
    double worst_kg = 0;
    for (int64_t k = 0; k < summary->n; k++)
        worst_kg = fmax(worst_kg, missing_kg[k]);
    (void)snprintf(out, WG_SENTENCE, "too few larvae to scoop in %lld of %lld %s: scoop less, or a share.",
                   (long long)n, (long long)summary->n, wg_forecast_noun_of(&forecast->scenario->plan, summary->n));
    wg_json_text(json, "kind", "scooped more than there was");
    wg_json_whole(json, "replicates", n);
    wg_json_real(json, "worst_missing_kg", worst_kg);
}

static void warn_of_record(const struct wg_forecast *forecast, char out[WG_SENTENCE], struct wg_json *json) {
    (void)snprintf(out, WG_SENTENCE,
                   "the unit of the weather file %.60s was guessed: see `check`, and say unit: degC or unit: degF.",
                   forecast->scenario->record_path);
    wg_json_text(json, "kind", "unit of the weather guessed");
}

bool wg_forecast_warning(const struct wg_forecast *forecast, int i, char out[WG_SENTENCE], struct wg_json *json) {
    const struct wg_plan *const plan = &forecast->scenario->plan;
    if (forecast->scenario->record_guessed && i-- == 0) {
        wg_json_object(json, NULL);
        warn_of_record(forecast, out, json);
        wg_json_text(json, "text", out);
        wg_json_close(json);
        return true;
    }
    const int place = find_watched(forecast->watch->heater, plan->n_places, &i);
    const int mat = place < 0 ? find_watched(forecast->watch->mat, plan->n_bins, &i) : -1;
    const int bin = place < 0 && mat < 0 ? find_watched(forecast->watch->bin, plan->n_bins, &i) : -1;
    const bool watched = place >= 0 || mat >= 0 || bin >= 0;
    enum wg_work_fault fault = WG_UNDERFED;
    int fed = -1;
    const bool ill_fed = !watched && wg_work_find_fault(forecast->work, &i, &fault, &fed);
    if (!watched && !ill_fed && (i != 0 || scooped_in_vain(forecast->summary) == 0))
        return false;
    wg_json_object(json, NULL);
    if (place >= 0)
        warn_of_heater(forecast, place, out, json);
    else if (mat >= 0)
        warn_of_mat(forecast, mat, out, json);
    else if (bin >= 0)
        warn_of_bin(forecast, bin, out, json);
    else if (ill_fed)
        wg_work_warn(forecast->work, fault, fed, out, json);
    else
        warn_of_scoop(forecast, out, json);
    wg_json_text(json, "text", out);
    wg_json_close(json);
    return true;
}

/* ---- cautions ---- */

/* One line of the screen each. */
const char *wg_forecast_caution(const struct wg_plan *plan, int i) {
    if (plan->feed_unlimited && i-- == 0)
        return "Feed without limit is a thought: read the dates, not the weights.";
    if (wg_forecast_has_heat(plan) && i-- == 0)
        return "Cords, heat, fumes, damp: local electrical and fire code; licensed electrician.";
    if (wg_forecast_has_harvest(plan) && i-- == 0)
        return "Waste-fed larvae as feed, moving live insects: regulated, ask local authority.";
    return NULL;
}
