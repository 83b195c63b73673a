/**
 * What kills: hazards per day as functions of temperature, age and hunger.
 *
 * Hazards of causes add up; over a step of dt days, with the hazard integrated
 * over its hours, a share 1 - exp(-sum) dies. The background is
 * species->hazard[stage]. Temperatures in degC, of where the stage lives: eggs
 * and larvae in the bin's substrate, prepupae and pupae in the ground, flies in
 * the air. All functions are pure, finite for any temperature of this world, and
 * never negative. Who leaves a stage in a step pays for half of it there, who enters
 * one for half of it there; cold and hunger of larvae are those of the start of the step.
 */
#ifndef WG_SPECIES_DEATH_H
#define WG_SPECIES_DEATH_H

#include "species/clock.h"
#include "species/species.h"

#include <math.h>

/** Causes, in the order of the result file. Old age is the adults' stage clock running out. */
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

/** The cold lines: larvae have two, by development. */
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
 * Chronic heat, per day, from the mean of the last 24 h (egg, larva, prepupa,
 * pupa; not flies). Calibrated at constant temperature: hourly peaks would kill
 * every outdoor bin in a hot summer, so give it the mean.
 */
double wg_hazard_heat_chronic(const struct wg_species *species, double mean24_c);
/** Acute heat, per day, at an hour's temperature (all stages). */
double wg_hazard_heat_acute(const struct wg_species *species, double temp_c);
/** Cold, per day, at an hour's temperature; 0 from species->cold_limit_c up. */
double wg_hazard_cold(const struct wg_species *species, enum wg_cold_curve line, double temp_c);
/** The numbers of a line, which are told at 4 degC. */
#define WG_COLD_REFERENCE_C 4.0
/** The curve of a stage; for larvae that of the old. */
enum wg_cold_curve wg_cold_curve_of(enum wg_clock_stage stage);
struct wg_cold wg_cold_of(const struct wg_species *species, enum wg_cold_curve line);
/** Freezing, per day: freeze_hazard below the stage's supercooling point, else 0. */
double wg_hazard_freezing(const struct wg_species *species, enum wg_clock_stage stage, double temp_c);
/**
 * The cold hazard of a larva of development x from those of the young and the
 * old line (per day, or already integrated over a step): log-linear in x between.
 * 0 if either is 0.
 */
double wg_hazard_cold_larva(const struct wg_species *species, double x, double young, double old);
/**
 * Starvation of a full-grown larva, per day at 27 degC, at a ration 0..1: 0 when well fed, rising with the square of
 * what lacks. It goes with the pace of development: the step's full development over that of a day at 27 degC. A smaller
 * one starves faster: times wg_hunger_by_size().
 */
double wg_hazard_hunger(const struct wg_species *species, double ration);
/**
 * How many times faster a larva of mass_g starves than one of the species' final mass: (final / mass)^(1/4), 1 for a
 * full-grown larva, 9 for a hatchling. Reserves go with mass, what living uses up with mass^(3/4) (Kleiber 1932,
 * Hilgardia 6:315, MEMORY), so that hunger is endured for times that go with mass^(1/4). Below the hatch mass as there.
 */
static inline double wg_hunger_by_size(const struct wg_species *species, double mass_g) {
    return sqrt(sqrt(species->final_mass_g / (mass_g > species->hatch_mass_g ? mass_g : species->hatch_mass_g)));
}

/**
 * The same over some hours: sums of the hazards per day (divided by 24 they are the hazard of those hours). To within
 * 1e-12 of the sum of single calls; acute heat of exp(-33) of its scale is taken for none.
 */
double wg_hazard_heat_acute_sum(const struct wg_species *species, const struct wg_hours *hours);
double wg_hazard_cold_sum(const struct wg_species *species, enum wg_cold_curve line, const struct wg_hours *hours);
/**
 * Chronic heat of n hours, each by the mean of the 24 hours that end with it. Where all of these means are so mild that
 * they give less than a thousandth of heat_chronic the last one, mean24_c[n-1], stands for all.
 */
double wg_hazard_heat_chronic_sum(const struct wg_species *species, const double *mean24_c, int n);
double wg_hazard_freezing_sum(const struct wg_species *species, enum wg_clock_stage stage,
                              const struct wg_hours *hours);

#endif
