/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Chooses among setups that were simulated over the same replicates: which live most often, which yields most, what each
 * extra kg costs, and which buy energy only to lose the colony. Says nothing that the replicates cannot tell.
 *
 * Two setups are told apart if the interval of their paired difference excludes 0. The intervals of all pairs hold
 * together with WG_COMPARE_CONFIDENCE (Bonferroni), for survival and for the harvest each.
 */
#ifndef WG_ANALYSIS_CHOICE_H
#define WG_ANALYSIS_CHOICE_H

#include "analysis/compare.h"

/** Mean of an outcome over the replicates in which it happened, and the range that holds nine in ten of them. */
struct wg_choice_number {
    int64_t happened;
    double mean, q05, q95; /* NaN if it never happened */
};

struct wg_choice_setup {
    const double *outcome[WG_N_COMPARED]; /* [replicate], NaN: did not happen; NULL: not needed; borrowed */
    struct wg_split_value *cells;         /* of its replicates; NULL: they are independent; owned */
    struct wg_variance_split survival;    /* found, as the rest */
    struct wg_choice_number number[WG_N_COMPARED];
    double above_zero;            /* share of the replicates whose balance is */
    struct wg_extra_price per_kg; /* of its whole harvest */
    struct wg_extra_price extra;  /* of what it yields beyond the first setup */
};

/** A step up: what each kg costs that `setup` yields beyond `from`. */
struct wg_choice_step {
    int setup, from;
    struct wg_extra_price price;
    struct wg_animals_won animals; /* in how many plausible animals it yields more */
};

/** A setup that buys more energy than another and lives less often. */
struct wg_choice_valley {
    int setup, better;
};

struct wg_choice {
    int n;
    int64_t replicates;
    enum wg_compared harvest; /* wg_compare_main() */
    bool has_accounts;        /* any setup keeps accounts: balances are known */
    struct wg_choice_setup setup[WG_COMPARE_MAX];
    /* Found by wg_choice_find(): */
    bool has_energy;                            /* any setup buys energy */
    bool is_priced;                             /* and all of it has a price */
    enum wg_compared cost;                      /* total_heater_cost, or total_heater_energy if not all has a price */
    int by_survival[WG_COMPARE_MAX], n_longest; /* most often alive first; the first n_longest cannot be told from it */
    int by_harvest[WG_COMPARE_MAX], n_largest;  /* the largest mean first; likewise */
    int by_balance[WG_COMPARE_MAX], n_best;     /* with accounts: the largest mean first; likewise */
    int safe;                                   /* the cheapest of the n_longest; with accounts the best paid */
    int start;                                  /* no setup yields clearly more for no more money */
    int n_steps;
    struct wg_choice_step step[WG_COMPARE_MAX]; /* up from start, by the lowest price of an extra kg each */
    int n_valleys;
    struct wg_choice_valley valley[WG_COMPARE_MAX];
    double *values[WG_N_COMPARED]; /* owned by a choice that was read from a file, [setup][replicate]; else NULL */
};

/** Whether a choice needs an outcome; without the others it leaves their numbers at 0. */
bool wg_choice_needs(enum wg_compared compared, enum wg_compared harvest);
/** Finds the rest from n, replicates, harvest, and the outcomes and cells of all setups. Returns 0 or WG_ERR_MEMORY. */
int wg_choice_find(struct wg_choice *choice, struct wg_error *err);
/**
 * Does all of it for setups that were run; the choice borrows their outcomes. Zero-initialise; free in every case. Returns
 * 0 or an error as wg_compare_cells().
 */
int wg_choice_of(struct wg_choice *choice, const struct wg_compare *compare, struct wg_error *err);
void wg_choice_free(struct wg_choice *choice);

#endif
