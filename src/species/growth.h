/**
 * Growth and appetite of a larva.
 *
 * A well-fed larva's mass follows its development; what it gains sets what it
 * wants to eat. Where feed lacks, the colony scales the gain by the ration (eaten
 * over wanted, 0..1) and development by wg_development_share(). Mass in g fresh
 * unless said, temperatures in degC of the substrate. All functions are pure.
 */
#ifndef WG_SPECIES_GROWTH_H
#define WG_SPECIES_GROWTH_H

#include "base/error.h"
#include "species/clock.h"
#include "species/species.h"

/** Wet mass in g of a full-grown, well-fed larva raised at temp_c on feed of a quality 0..1 (clamped); never < 0. */
double wg_final_mass_g(const struct wg_species *species, double temp_c, double quality);
/** The growth curve G(x), logistic in development x: 1 at x >= 1, hatch_mass_g/final_mass_g at 0. */
double wg_growth_share(const struct wg_species *species, double x);
/** Wet mass gained by one well-fed larva of average need going from x to x + dx, g. */
double wg_growth_gain_g(const struct wg_species *species, double x, double dx, double temp_c, double quality);
/** Dry feed in kg that a wet gain in g asks for. */
double wg_feed_for_gain_kg(const struct wg_species *species, double gain_g);
/** Share of full development speed at a ration 0..1 (clamped). */
double wg_development_share(const struct wg_species *species, double ration);
/** First-order loss of the pile's usable dry matter, and of frass, to microbes, per day: over dt days a share 1 - exp(-rate dt). */
double wg_microbe_rate(const struct wg_species *species, double temp_c);
/** Development of a larva of an age in days kept well fed at 27 degC, capped below 1. */
double wg_larva_x_at_age(const struct wg_species *species, double age_days);
/** Wet mass, g, of a larva of average need at development x on feed of the given quality. */
double wg_larva_mass_at_x(const struct wg_species *species, double x, double quality);

/**
 * The average larva of a cohort. Individuals differ in the development D they
 * need, and each grows with its own: it weighs G(x/D) and leaves full-grown at
 * x = D. Of those still there at x the mean weight is E[G(x/D) | D > x], as a share
 * of the final mass. Tabled; immutable after init, may be shared between threads.
 *
 * Hatchlings enter at their hatch mass and eat from the next step on. In hunger a
 * cohort shares one condition (its mean weight over that of well-fed larvae of the same
 * development), and with it one hazard of hunger. With weights of their own about a
 * sixth more would come through a famine and breed (tests/verify/twin.py measures it).
 *
 * While x moves on by dx, those still there gain A(x) dx on average, A(x) = E[G'(x/D)/D | D > x]: what they eat in an
 * hour, and how much they warm their bin, goes with that.
 */
struct wg_cohort_growth {
    int n;
    double per_step;  /* nodes per unit of x */
    double *mean;     /* n values; beyond the table the last one holds */
    double *appetite; /* n values */
};
/**
 * Takes half a millisecond. `ahead` (0..1): by how much development wg_cohort_appetite() looks ahead. 0 or WG_ERR_MEMORY;
 * the struct is then safe to free.
 */
int wg_cohort_growth_init(struct wg_cohort_growth *growth, const struct wg_species *species,
                          const struct wg_clock *larva, double ahead, struct wg_error *err);
/** Safe after a failed or missing (zeroed) init. */
void wg_cohort_growth_free(struct wg_cohort_growth *growth);
/** Mean weight of those still there, share of the final mass. */
double wg_cohort_mean_share(const struct wg_cohort_growth *growth, double x);
/**
 * What one of those now at x will gain per unit of development when they are `ahead` further, share of the final mass:
 * A(x + ahead) S(x + ahead)/S(x), since those who are done by then eat no more. With half a step ahead it is the mean over
 * the step, to the second order.
 */
double wg_cohort_appetite(const struct wg_cohort_growth *growth, double x);
/**
 * The mean weight, share of the final mass, that all of a cohort have reached who were there before: of them the share
 * `done` left full-grown, the rest are still there and weigh mean_share. What a cohort gains is this less what it
 * weighed, so that a meal is neither lost nor made in the steps.
 */
static inline double wg_reached_share(double mean_share, double done) {
    return mean_share + done * (1.0 - mean_share);
}

#endif
