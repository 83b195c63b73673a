/**
 * Mating, laying and clutches.
 *
 * Waits are in development of the adult clock, so flies wait longer in the cool.
 * A female lays one clutch: a uniform whole number of eggs, times a factor for
 * her mass and for warmth, rounded to the nearest.
 *
 * Within a step of dx of adult development flies emerged, and mated, at any moment
 * of it alike: of females at development x the share able to mate is that of x + u dx,
 * u even on -1/2..1/2, past wg_mating_x(); of the mated, the share ripe is that past
 * wg_laying_x() counted from an even moment of the step of mating, at the earliest in
 * the next step. In steps shorter than a day those able since dawn have mated by the
 * end of a step with the chance of the hours of light and warmth so far, so that a
 * day of few bright hours means the same in one step and in 24.
 */
#ifndef WG_SPECIES_BREEDING_H
#define WG_SPECIES_BREEDING_H

#include "base/random.h"
#include "species/species.h"

#include <stdint.h>

/** How far an hour at air_c counts as warm, 0..1: rising over fly_warmth_width_k around the threshold (mate_air_c or lay_air_c). */
double wg_warm_share(const struct wg_species *species, double threshold_c, double air_c);
/** Chance that an able female mates on a day with so many hours (0..24) of both light and warmth; 0 without any. */
double wg_mating_chance(const struct wg_species *species, double hours);
/** The same of one that has not mated in the hours `before` of the day, in a step after which they are `after`. */
double wg_mating_chance_between(const struct wg_species *species, double before, double after);
/** Adult development to be reached before mating / to pass between mating and laying: days at 27 degC by its clock. */
double wg_mating_x(const struct wg_species *species);
double wg_laying_x(const struct wg_species *species);
/** The warmth factor 0..1 of a clutch, from the air's mean in degC over the last clutch_warm_days: 1 near 28.6 degC. */
double wg_clutch_warmth(double air_c);
/**
 * Clutch scale from the mother's mass in g: her share of final_mass_g, held within clutch_mass_low..high, and so that the
 * largest clutch weighs at most the share clutch_most of her.
 */
double wg_clutch_size_factor(const struct wg_species *species, double mass_g);
/**
 * Mean and variance of one clutch (uniform integer on [low, high], scaled by
 * `factor` >= 0, rounded to the nearest), exact: counted over the range, about a
 * microsecond.
 */
double wg_clutch_mean(const struct wg_species *species, double factor);
double wg_clutch_variance(const struct wg_species *species, double factor);
/**
 * Total eggs of `mothers` clutches. Up to 64 mothers each clutch is drawn
 * (exact law); above, a normal with the exact mean and variance, rounded and
 * kept within [mothers*least, mothers*most]. No random number is consumed when
 * the answer must be 0 (no mothers, or no clutch that rounds to an egg). Held at
 * 2^62. Negative mothers or factor are a mistake of the caller (wg_assert).
 */
int64_t wg_clutch_sum(const struct wg_species *species, int64_t mothers, double factor, gsl_rng *rng);

#endif
