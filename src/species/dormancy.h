/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Overwintering: only prepupae go dormant. All numbers are judgement and the
 * weakest part of the model; a scenario can set every one.
 *
 * A larva that becomes a prepupa goes dormant with the probability
 * wg_dormancy_chance(). Once wg_dormancy_open() is true it accumulates heat
 * (wg_dormancy_heat) up to its own requirement, lognormal with median 1 (struct
 * wg_clocks, `dormancy`), and then resumes as a prepupa at dorm_resume_x.
 */
#ifndef WG_SPECIES_DORMANCY_H
#define WG_SPECIES_DORMANCY_H

#include "species/species.h"

#include <stdbool.h>

/**
 * Probability that a new prepupa goes dormant; it falls with both arguments. day_h:
 * hours of light (lamps count), which count only as far as dorm_by_day says; ground7_c:
 * mean ground temperature of the last 7 days, degC.
 */
double wg_dormancy_chance(const struct wg_species *species, double day_h, double ground7_c);
/** True once heat counts: after enough cold days (mean below dorm_open_cold_c), or enough days in all. */
bool wg_dormancy_open(const struct wg_species *species, double cold_days, double days);
/** Heat accumulated per day at a ground temperature in degC, in units of dorm_heat_median; never < 0. */
double wg_dormancy_heat(const struct wg_species *species, double ground_c);

#endif
