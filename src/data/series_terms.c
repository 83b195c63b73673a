/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * CF terms of the daily series, and how they are stored.
 */
#include "data/series_terms.h"

#include "species/species.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#define AT_END "time: point (at the end of the day)"
#define SUM "time: sum"
#define MEAN "time: mean"
#define HIGHEST "time: maximum (interval: 1 hour)"
#define LOWEST "time: minimum (interval: 1 hour)"

const struct wg_series_terms *wg_series_terms(const char *series) {
    static const struct wg_series_terms table[] = {
        {"count", AT_END, NULL},
        {"eggs_laid", SUM, NULL},
        {"eggs_trapped", SUM, NULL},
        {"eggs_in_traps", AT_END, NULL},
        {"animals", AT_END, NULL},
        {"adults_emerged", SUM, NULL},
        {"spring_flies", SUM, NULL},
        {"crawl_off_count", SUM, NULL},
        {"crawl_off_mass", SUM, NULL},
        {"bin_crawl_off", SUM, NULL},
        {"grub_mass", MEAN, NULL},
        {"harvest_count", SUM, NULL},
        {"harvest_mass", SUM, NULL},
        {"asked_not_there", SUM, NULL},
        {"larval_mass", AT_END, NULL},
        {"bin_larvae", AT_END, NULL},
        {"bin_larval_mass", AT_END, NULL},
        {"feed_given", SUM, NULL},
        {"feed_fresh", SUM, NULL},
        {"feed_demand", SUM, NULL},
        {"feed_eaten", SUM, NULL},
        {"feed_microbes", SUM, NULL},
        {"feed_left", AT_END, NULL},
        {"residue", AT_END, NULL},
        {"outdoor_temperature", MEAN, "air_temperature"},
        {"air_temperature", MEAN, "air_temperature"},
        {"air_low", LOWEST, "air_temperature"},
        {"ground_temperature", MEAN, "soil_temperature"},
        {"bin_temperature", MEAN, NULL},
        {"bin_high", HIGHEST, NULL},
        {"heater_energy", SUM, NULL},
        {"heater_cost", SUM, NULL},
        {"heater_short", HIGHEST, NULL},
        {"mat_short", HIGHEST, NULL},
        {"actions_done", SUM, NULL},
        {"put_in", SUM, NULL},
        {"wild_eggs", SUM, NULL},
        {"eggs_taken", SUM, NULL},
        {"moved", SUM, NULL},
        {"flown", SUM, NULL},
        {"deaths", SUM, NULL},
        {"generations_at_once", AT_END, NULL},
        {"power_out_hours", SUM, NULL},
    };
    const struct wg_series_terms *row = table;
    const struct wg_series_terms *const end = table + sizeof table / sizeof *table;
    while (row < end && strcmp(row->series, series) != 0)
        row++;
    wg_assert(row < end);
    return row;
}

/* A series by bin, and the series that has its total. */
static const struct {
    const char *by_bin, *total;
    int column;
} totals[] = {
    {"bin_crawl_off", "crawl_off_mass", -1}, {"bin_larval_mass", "larval_mass", -1}, {"bin_larvae", "count", WG_LARVA}};

static const struct wg_series *series_named(const char *name) {
    const struct wg_series *series = wg_diary_series();
    while (series->name != NULL && strcmp(series->name, name) != 0)
        series++;
    wg_assert(series->name != NULL);
    return series;
}

bool wg_series_outdoors(const struct wg_plan *plan) {
    return plan->n_places == 1 && plan->places[0].shelter.kind == WG_OUTDOORS;
}

struct wg_series_place wg_series_place(const struct wg_diary *shape, bool outdoors, const struct wg_series *series) {
    if (outdoors && strcmp(series->name, "air_temperature") == 0)
        return (struct wg_series_place){series_named("outdoor_temperature"), -1};
    for (size_t i = 0; shape->n_bins == 1 && i < sizeof totals / sizeof *totals; i++)
        if (strcmp(series->name, totals[i].by_bin) == 0)
            return (struct wg_series_place){series_named(totals[i].total), totals[i].column};
    return (struct wg_series_place){series, -1};
}

bool wg_outcome_is_date(const struct wg_outcome *outcome) {
    return strcmp(outcome->unit, "day") == 0;
}

struct wg_diary wg_series_shape(const struct wg_plan *plan) {
    struct wg_diary shape;
    memset(&shape, 0, sizeof shape);
    shape.first_day = plan->first_day;
    shape.n_days = plan->last_day - plan->first_day + 1;
    shape.n_places = plan->n_places;
    shape.n_bins = plan->n_bins;
    shape.n_generations = wg_plan_generations(plan);
    return shape;
}

void wg_series_round(const double *values, size_t n, double *rounded) {
    const int dropped = 52 - WG_SERIES_BITS; /* of the 52 bits of a double's fraction (IEEE 754) */
    const uint64_t half = UINT64_C(1) << (dropped - 1);
    for (size_t i = 0; i < n; i++) {
        uint64_t bits;
        memcpy(&bits, &values[i], sizeof bits);
        if (isfinite(values[i]))
            bits = (bits + half - 1 + (bits >> dropped & 1)) >> dropped << dropped;
        memcpy(&rounded[i], &bits, sizeof bits);
    }
}
