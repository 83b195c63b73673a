/**
 * Overwintering: only prepupae go dormant. All numbers are judgement and the
 * weakest part of the model; every one can be set in a scenario.
 *
 * A prepupa decides when it enters the stage (wg_dormancy_chance). It then waits
 * until its sleep is open (wg_dormancy_open), and from then on collects heat
 * (wg_dormancy_heat) until it has what it needs, a lognormal amount of median 1
 * (struct wg_clocks, `dormancy`); it goes on as a prepupa at dorm_resume_x.
 */
#ifndef WG_SPECIES_DORMANCY_H
#define WG_SPECIES_DORMANCY_H

#include "species/species.h"

#include <stdbool.h>

/**
 * Chance that a larva entering the prepupal stage goes dormant: 0..1, falling with
 * both. day_h: hours of light (lamps count); ground7_c: ground mean of the last 7
 * days, degC.
 */
double wg_dormancy_chance(const struct wg_species *species, double day_h, double ground7_c);
/** True once heat counts: enough cold days (mean below dorm_open_cold_c), or enough days in all. */
bool wg_dormancy_open(const struct wg_species *species, double cold_days, double days);
/** Heat gained towards the end of dormancy per day at a ground temperature in degC, in dorm_heat_median; never < 0. */
double wg_dormancy_heat(const struct wg_species *species, double ground_c);

#endif
