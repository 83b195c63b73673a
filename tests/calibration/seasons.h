/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * What animals do in a year outdoors: the seasonal findings, and what a keeper would ask, by simulation.
 */
#ifndef WG_TESTS_CALIBRATION_SEASONS_H
#define WG_TESTS_CALIBRATION_SEASONS_H

#include "calibration/findings.h"
#include "scenario/scenario.h"

#include <stdbool.h>

enum season_quantity {
    SEASON_WINTER_FLIES,
    SEASON_DORMANT,
    SEASON_SPRING_WIDTH,
    SEASON_JUNE,
    SEASON_GENERATIONS,
    N_SEASONS
};
/** Key of a quantity in findings.tsv. */
const char *season_key(enum season_quantity quantity);
/** True if its finding speaks of wild flies, from which nobody takes prepupae; else keepers report it. */
bool season_is_wild(enum season_quantity quantity);

/** An animal's years. */
struct seasons {
    double quantity[N_SEASONS]; /* NaN: there was nothing to measure */
    double alive;               /* share of years with anything alive at the end */
    double harvest_kg;          /* mean */
};

/** Reads a scenario; exits with a message if that fails. */
void seasons_scenario(struct wg_scenario *scenario, const char *path);
/** Nobody takes larvae or prepupae out, as among wild flies. */
void seasons_stop_harvest(struct wg_scenario *scenario);
/**
 * Lives replicates first .. first + years - 1 of the scenario, from 15 September, with an animal. Exits with a message
 * if that fails.
 */
void seasons_live(struct seasons *seasons, const struct wg_scenario *scenario, const struct wg_species *species,
                  int64_t first, int years);
/** Log likelihood of a seasonal finding; where there was nothing to measure, what an animal has that agrees, on average. */
double season_log_likelihood(const struct finding *finding, const struct seasons *seasons,
                             enum season_quantity quantity);

#endif
