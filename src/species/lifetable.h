/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The life table at a constant temperature with unlimited feed: stage durations,
 * survival and the intrinsic rate of increase, in closed form.
 *
 * A stage needs a gamma amount of development (mean 1, coefficient of variation c),
 * so with rate r and hazard h, both per day,
 *     E[exp(-s time); alive] = (1 + (s + h) c^2 / r)^(-1/c^2)
 * which at s = 0 is the survival of the stage. For larvae in the cold, whose hazard
 * falls as they grow, it is integrated numerically. The growth rate is the root r of
 *     1 = sum over ages of exp(-r age) x offspring at that age
 * (Lotka 1907, Science 26:21; Euler 1760), counted in eggs.
 *
 * Flies have daily steps, as in a simulation with one step a day: a female emerges at
 * a uniform hour of day 0, mates with the daily probability once able, and lays once
 * when her eggs are ripe, on the next day at the earliest. No prepupa goes dormant and
 * the ground is not dark.
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

/** The life table. HUGE_VAL days mean "never". */
struct wg_lifetable {
    double days[WG_N_CLOCKS];     /* mean time in the stage without deaths; adult: life span by age alone */
    double survival[WG_N_CLOCKS]; /* survival through the stage; adult: share of females that survive to lay */
    double mating_days;           /* emergence to mating, mean over females that survive to lay */
    double laying_days;           /* emergence to laying, same mean */
    double egg_to_egg_days;       /* sum of the mean stage times and laying_days */
    double generations_per_year;  /* 365 / egg_to_egg_days; 0 if never */
    double clutch;                /* mean eggs of a female that lays */
    double daughters_and_sons;    /* net reproduction R0: eggs per egg */
    double growth_per_day;        /* r; -HUGE_VAL if no female ever lays */
    double doubling_days;         /* ln 2 / r; HUGE_VAL if it does not grow */
};

void wg_lifetable_make(struct wg_lifetable *table, const struct wg_species *species,
                       const struct wg_lifetable_setting *setting);

/**
 * Longest time in days between two pulls of an egg trap such that at most `share`
 * (0 < share < 1, e.g. 0.05) of the eggs laid uniformly since the last pull have
 * hatched. HUGE_VAL where eggs do not develop.
 */
double wg_trap_interval_days(const struct wg_species *species, double temp_c, double share);

#endif
