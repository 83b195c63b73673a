/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Growth and appetite of a larva.
 *
 * The mass of a well-fed larva follows its development, and its gain sets its
 * demand for feed. When feed is short, the colony scales the gain by the ration
 * (eaten over demanded, 0..1) and development by wg_development_share(). Masses are
 * fresh, in g, unless stated; temperatures are the substrate's, in degC. All
 * functions are pure.
 */
#ifndef WG_SPECIES_GROWTH_H
#define WG_SPECIES_GROWTH_H

#include "base/error.h"
#include "species/clock.h"
#include "species/species.h"

/** Fresh mass in g of a full-grown, well-fed larva reared at temp_c on feed of a quality 0..1 (clamped); never < 0. */
double wg_final_mass_g(const struct wg_species *species, double temp_c, double quality);
/** The growth curve G(x), logistic in development x: 1 at x >= 1, hatch_mass_g/final_mass_g at 0. */
double wg_growth_share(const struct wg_species *species, double x);
/** Dry feed in kg needed for a fresh gain in g. */
double wg_feed_for_gain_kg(const struct wg_species *species, double gain_g);
/** Rate of development at a ration 0..1 (clamped), as a share of the well-fed rate. */
double wg_development_share(const struct wg_species *species, double ration);
/**
 * First-order rate per day at which microbes consume usable dry matter and frass: over dt days a share 1 - exp(-rate
 * dt).
 */
double wg_microbe_rate(const struct wg_species *species, double temp_c);
/** Development of a larva after age_days well fed at 27 degC, capped below 1. */
double wg_larva_x_at_age(const struct wg_species *species, double age_days);
/** Fresh mass in g of a larva with D = 1 at development x on feed of the given quality. */
double wg_larva_mass_at_x(const struct wg_species *species, double x, double quality);

/**
 * The average larva of a cohort. Individuals differ in the development D they need:
 * each weighs G(x/D) and leaves full-grown at x = D. The mean mass of those still in
 * the stage at x is E[G(x/D) | D > x], as a share of the final mass. Tabled; immutable
 * after init, may be shared between threads.
 *
 * Hatchlings enter at their hatch mass and eat from the next step on. A starving cohort
 * shares one condition (its mean mass over that of well-fed larvae at the same x) and
 * so one starvation hazard. With individual masses about a sixth more would survive a
 * famine and breed (measured by tests/verify/twin.py).
 *
 * While x advances by dx, those still in the stage gain A(x) dx on average, A(x) = E[G'(x/D)/D | D > x]; feed eaten and
 * metabolic heat are proportional to it.
 */
struct wg_cohort_growth {
    int n;
    double per_step;  /* nodes per unit of x */
    double *mean;     /* n values; constant beyond the table */
    double *appetite; /* n values */
};
/**
 * Takes half a millisecond. `ahead` (0..1) is the development by which wg_cohort_appetite() looks ahead. Returns 0, or
 * WG_ERR_MEMORY with the struct safe to free.
 */
int wg_cohort_growth_init(struct wg_cohort_growth *growth, const struct wg_species *species,
                          const struct wg_clock *larva, double ahead, struct wg_error *err);
/** Safe after a failed or missing (zeroed) init. */
void wg_cohort_growth_free(struct wg_cohort_growth *growth);
/** Mean mass of those still in the stage at x, as a share of the final mass. */
double wg_cohort_mean_share(const struct wg_cohort_growth *growth, double x);
/**
 * Mean gain per unit of development of a larva now at x, `ahead` later, as a share of the final mass:
 * A(x + ahead) S(x + ahead)/S(x), because larvae that have left by then eat nothing. With half a step ahead it is the
 * mean over the step to second order.
 */
double wg_cohort_appetite(const struct wg_cohort_growth *growth, double x);
/**
 * Mean mass, as a share of the final mass, after a step of all larvae present before it: the share `left` left
 * full-grown, the rest weigh mean_share. The gain of a cohort is this less its mass before the step, which conserves
 * mass exactly.
 */
static inline double wg_reached_share(double mean_share, double left) {
    return mean_share + left * (1.0 - mean_share);
}

#endif
