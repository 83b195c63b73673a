/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Mating, laying and clutches.
 *
 * Waits are measured on the adult clock, so flies wait longer in the cool. A female
 * lays one clutch: a uniform integer, times a factor for her mass and for warmth,
 * rounded to the nearest.
 *
 * Times of emergence and mating are uniform within a step of dx. So the share of females
 * at development x that are able to mate is P(x + u dx > wg_mating_x()), u uniform on
 * -1/2..1/2; the share of mated females that are ripe is the same with wg_laying_x(),
 * counted from a uniform time within the step of mating, in the next step at the earliest.
 * With steps shorter than a day, the probability of having mated by the end of a step
 * depends on the hours of light and warmth since midnight, so that a day with few bright
 * hours gives the same result in one step and in 24.
 */
#ifndef WG_SPECIES_BREEDING_H
#define WG_SPECIES_BREEDING_H

#include "base/random.h"
#include "species/species.h"

#include <stdint.h>

/**
 * Weight 0..1 of an hour at air_c: rises linearly over fly_warmth_width_k around the threshold (mate_air_c or
 * lay_air_c).
 */
double wg_warm_share(const struct wg_species *species, double threshold_c, double air_c);
/** Probability that an able female mates on a day with `hours` (0..24) of both light and warmth; 0 without any. */
double wg_mating_chance(const struct wg_species *species, double hours);
/** The same within one step, given no mating in the `before` hours so far that day; `after` includes the step. */
double wg_mating_chance_between(const struct wg_species *species, double before, double after);
/** Adult development needed from emergence to mating, and from mating to laying; tabled as days at 27 degC. */
double wg_mating_x(const struct wg_species *species);
double wg_laying_x(const struct wg_species *species);
/** Warmth factor 0..1 of a clutch from the mean air temperature of the last clutch_warm_days: 1 near 28.6 degC. */
double wg_clutch_warmth(double air_c);
/**
 * Size factor of a clutch: the mother's mass over final_mass_g, clamped to clutch_mass_low..high and so that the
 * largest clutch weighs at most the share clutch_most of her mass.
 */
double wg_clutch_size_factor(const struct wg_species *species, double mass_g);
/**
 * Mean and variance of one clutch (uniform integer on [low, high], scaled by
 * `factor` >= 0, rounded to the nearest), exact by enumeration; takes about a
 * microsecond.
 */
double wg_clutch_mean(const struct wg_species *species, double factor);
double wg_clutch_variance(const struct wg_species *species, double factor);
/**
 * Draws the total eggs of `mothers` clutches. Up to 64 mothers, draws each clutch
 * (exact); above, a normal with the exact mean and variance, rounded and clamped to
 * [mothers * smallest, mothers * largest clutch]. Uses no random number when the
 * result must be 0 (no mothers, or no clutch rounds to an egg). Saturates at 2^62.
 * Asserts mothers >= 0 and factor >= 0.
 */
int64_t wg_clutch_sum(const struct wg_species *species, int64_t mothers, double factor, gsl_rng *rng);

#endif
