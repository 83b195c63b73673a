/**
 * The life table at a temperature that never changes: how long, how many, how
 * fast a colony with plenty of feed would grow. Closed forms, no chance.
 *
 * A stage needs a gamma amount of development (mean 1, spread c), so with a rate
 * r and a hazard h, both per day, the mean of exp(-s time) over those who live is
 *     (1 + (s + h) c^2 / r)^(-1/c^2)
 * which at s = 0 is the stage's survival. Larvae in the cold, whose hazard falls
 * as they grow, are summed numerically. The growth rate is the root of
 *     1 = sum over ages of exp(-growth age) x daughters and sons at that age
 * (Lotka 1907, Science 26:21; Euler 1760), with eggs counted as the unit.
 *
 * Flies live by days, as in a simulation of one step a day: she emerges at any
 * hour of day 0 alike, mates on a day on which she is able and lucky, and lays
 * once when her eggs are ripe, at the earliest the day after. Nobody goes dormant
 * and the ground is not dark.
 */
#ifndef WG_SPECIES_LIFETABLE_H
#define WG_SPECIES_LIFETABLE_H

#include "species/species.h"

/** The conditions of the table: one temperature for eggs, larvae, ground and air. */
struct wg_lifetable_setting {
    double temp_c;
    double light_h;      /* hours of mating light a day, 0..24 */
    double laying_share; /* share of females that ever lay, 0..1: e.g. species->laying_share_lamps */
    double quality;      /* of the feed, 0..1 */
};

/** What follows from them. HUGE_VAL days mean "never". */
struct wg_lifetable {
    double days[WG_N_CLOCKS];     /* mean time in the stage of the undying; adult: life span of a fly by age alone */
    double survival[WG_N_CLOCKS]; /* share of those who enter a stage that leave it; adult: of females, live to lay */
    double mating_days;           /* emergence to mating, mean over females that live to lay */
    double laying_days;           /* emergence to laying, same mean */
    double egg_to_egg_days;       /* mean stage times and the wait to laying */
    double generations_per_year;  /* 365 / egg_to_egg_days; 0 if never */
    double clutch;                /* mean eggs of a female that lays */
    double daughters_and_sons;    /* net reproduction R0: eggs per egg */
    double growth_per_day;        /* r; -HUGE_VAL if nobody ever lays */
    double doubling_days;         /* ln 2 / r; HUGE_VAL if it does not grow */
};

void wg_lifetable_make(struct wg_lifetable *table, const struct wg_species *species,
                       const struct wg_lifetable_setting *setting);

/**
 * The longest time in days between two pulls of an egg trap such that at most
 * `share` (0 < share < 1, e.g. 0.05) of the living eggs laid evenly since the
 * last pull has hatched. HUGE_VAL where eggs do not develop.
 */
double wg_trap_interval_days(const struct wg_species *species, double temp_c, double share);

#endif
