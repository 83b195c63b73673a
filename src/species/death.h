/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Hazards of death per day as functions of temperature, age and hunger.
 *
 * Hazards of competing causes add up: in a step, 1 - exp(-integrated hazard) die. Temperatures in degC are those of
 * the medium of the stage: the bin's substrate for eggs and larvae, the ground for
 * prepupae and pupae, the air for flies. All functions are pure, finite for any
 * outdoor temperature, and never negative. Individuals that leave or enter a stage in
 * a step are exposed to its hazards for half the step; cold and hunger of larvae are
 * evaluated at the start of the step.
 */
#ifndef WG_SPECIES_DEATH_H
#define WG_SPECIES_DEATH_H

#include "species/clock.h"
#include "species/species.h"

#include <math.h>

/** Causes of death, in the order of the result file. Old age is the exit from the adult clock. */
enum wg_cause {
    WG_CAUSE_BACKGROUND,
    WG_CAUSE_HEAT,
    WG_CAUSE_COLD,
    WG_CAUSE_FREEZING,
    WG_CAUSE_HUNGER,
    WG_CAUSE_AGE,
    WG_CAUSE_RAID,
    WG_N_CAUSES
};
/** "background", "heat", "cold", "freezing", "hunger", "old age", "raid" */
const char *wg_cause_name(enum wg_cause cause);

/** The curves of cold hazard; larvae have two, by development. */
enum wg_cold_curve {
    WG_COLD_EGG,
    WG_COLD_YOUNG_LARVA,
    WG_COLD_OLD_LARVA,
    WG_COLD_PREPUPA,
    WG_COLD_PUPA,
    WG_COLD_ADULT,
    WG_N_COLD_CURVES
};

/**
 * Background hazard of a stage, per day: the hazard at 27 degC times the pace of development relative to 27 degC, but
 * at least background_floor of it. So survival of a stage does not depend on temperature where development is quick,
 * as it was measured, and animals that stand still in the cold die slowly. The pace is that of the temperature alone:
 * neither the ration nor the dark changes it. Dormant prepupae have species->dormant_hazard instead.
 */
double wg_hazard_background(const struct wg_species *species, enum wg_clock_stage stage, double temp_c);
/**
 * Chronic heat, per day, from the mean of the last 24 h (egg, larva, prepupa,
 * pupa; not flies). Calibrated at constant temperature, so pass the mean: hourly
 * peaks would kill every outdoor bin in a hot summer.
 */
double wg_hazard_heat_chronic(const struct wg_species *species, double mean24_c);
/** Acute heat, per day, at an hour's temperature (all stages). */
double wg_hazard_heat_acute(const struct wg_species *species, double temp_c);
/** Cold, per day, at an hour's temperature; 0 from species->cold_limit_c up. */
double wg_hazard_cold(const struct wg_species *species, enum wg_cold_curve line, double temp_c);
/** The parameters of a curve; its scale is the hazard at 4 degC. */
#define WG_COLD_REFERENCE_C 4.0
/** The curve of a stage; for larvae that of the old. */
enum wg_cold_curve wg_cold_curve_of(enum wg_clock_stage stage);
struct wg_cold wg_cold_of(const struct wg_species *species, enum wg_cold_curve line);
/** Freezing, per day: freeze_hazard below the stage's supercooling point, else 0. */
double wg_hazard_freezing(const struct wg_species *species, enum wg_clock_stage stage, double temp_c);
/** Background, cold (of larvae: the old) and freezing together, per day: a steady cold without feed or growth. */
double wg_hazard_in_the_cold(const struct wg_species *species, enum wg_clock_stage stage, double temp_c);
/**
 * Cold hazard of a larva at development x, from the hazards of the young and the old
 * curve (per day, or integrated over a step): log-linear in x between the two; 0 if
 * either is 0.
 */
double wg_hazard_cold_larva(const struct wg_species *species, double x, double young, double old);
/**
 * Starvation hazard of a full-grown larva, per day at 27 degC, at a ration 0..1: proportional to the square of the
 * deficit. Scale it with the pace of development (well-fed development of the step over that of a day at 27 degC) and,
 * for smaller larvae, with wg_hunger_by_size().
 */
double wg_hazard_hunger(const struct wg_species *species, double ration);
/**
 * Starvation hazard of a larva of mass_g relative to a full-grown one: (final / mass)^(1/4), 9 for a hatchling.
 * Reserves scale with mass and metabolism with mass^(3/4) (Kleiber 1932, Hilgardia 6:315, MEMORY), so survival time
 * scales with mass^(1/4). Constant below the hatch mass.
 */
static inline double wg_hunger_by_size(const struct wg_species *species, double mass_g) {
    return sqrt(sqrt(species->final_mass_g / (mass_g > species->hatch_mass_g ? mass_g : species->hatch_mass_g)));
}

/**
 * Sums of the hourly hazards per day (divided by 24, the integrated hazard of those hours), within 1e-12 of the sum of
 * single calls. Acute heat below exp(-33) of its scale counts as 0.
 */
/** Development and background hazard, which share the rate. */
struct wg_pace_sums {
    double development, background;
};
struct wg_pace_sums wg_pace_sums_of(const struct wg_species *species, enum wg_clock_stage stage,
                                    const struct wg_hours *hours);
double wg_hazard_heat_acute_sum(const struct wg_species *species, const struct wg_hours *hours);
double wg_hazard_cold_sum(const struct wg_species *species, enum wg_cold_curve line, const struct wg_hours *hours);
/**
 * Chronic heat of n hours, each from the mean of the 24 hours that end with it. If every one gives less than a
 * thousandth of heat_chronic, the last, mean24_c[n-1], is used for all.
 */
double wg_hazard_heat_chronic_sum(const struct wg_species *species, const double *mean24_c, int n);
double wg_hazard_freezing_sum(const struct wg_species *species, enum wg_clock_stage stage,
                              const struct wg_hours *hours);

#endif
