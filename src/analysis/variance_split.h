/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Splits the variance of an outcome into animals, winters and the rest, and gives the interval and the bands that follow.
 *
 * Replicates that share an animal, or a winter, resemble each other. So their mean is known less well than that of as
 * many independent years, and how far it may lie off because of the animal differs from what weather and luck do to it.
 *
 * Coverage of the 95 % intervals, measured with fixed seeds (tests/verify/odds_coverage.c; animals, winters and both
 * normal behind a probit, or lognormal amounts, from no effect to strong ones; beside it the interval of independent years):
 *   share of 0.005 to 0.995, lattice of 64 to 1,024 years       92 to 99 % (independent: 65 to 97 %)
 *   the same, 20 years                                          93 to 98 %; 86 to 92 % at 0.005 and 0.995
 *   the same, 3 winters, each lived often                       91 to 100 % (independent: 17 to 97 %)
 *   difference of two such shares in pairs, 512 years           95 to 100 %
 *   mean of amounts of skewness 6, lattice of 64 to 1,024 years 92 to 97 % (independent: 55 to 95 %)
 *   the same, 20 years                                          88 to 94 %
 *   the same, 3 winters                                         83 to 92 %; 99 % if winters do not differ
 */
#ifndef WG_ANALYSIS_VARIANCE_SPLIT_H
#define WG_ANALYSIS_VARIANCE_SPLIT_H

#include "base/error.h"
#include "base/stats.h"

#include <stdbool.h>
#include <stdint.h>

/** One value of an outcome, and the animal and winter that it comes from. */
struct wg_split_value {
    double value;  /* NaN: did not happen; left out */
    double weight; /* of its animal; 1 for all unless some animals count more than others; 0 leaves the value out */
    int64_t animal, winter;
};

enum wg_split_kind {
    WG_SPLIT_SHARE,            /* values 0 and 1 */
    WG_SPLIT_SHARE_DIFFERENCE, /* values -1, 0 and 1: difference of two shares, replicate by replicate */
    WG_SPLIT_AMOUNT
};

/** The values of 5, 50 and 95 of 100 animals or winters, with the noise of the few replicates of each taken out. */
struct wg_split_band {
    bool is_known; /* false: fewer than two of them, or none with two values */
    double q05, q50, q95;
};

struct wg_variance_split {
    int64_t n, n_animals, n_winters; /* values used; different animals and winters among them */
    double mean;                     /* NaN for n = 0 */
    /**
     * Components of variance, none negative: `rest` is luck and what an animal does in this winter only. What a design
     * does not show (one animal only, winters all different) is 0 and in the rest, or 0 and no part of any.
     */
    double animal, winter, rest;
    double error, freedom; /* standard error of the mean, animals and winters being samples; degrees of freedom */
    double of_animals, of_winters; /* their parts of the variance behind the interval, 0..1; the rest is luck */
    struct wg_interval interval;   /* of the mean, for other animals and other winters of the same kind */
    struct wg_interval luck;       /* the same if all values were independent: what other dice alone would do */
    struct wg_split_band animals, winters;
};

/**
 * Splits n values. The interval of a share is Wilson's with the number of independent years that has the same variance, never
 * of width 0; that of a difference of shares Tango's likewise; that of an amount Student's corrected for skewness, NaN if
 * all are alike (wg_error_interval()) and not below 0 if no value is. Returns 0 or WG_ERR_MEMORY.
 */
int wg_variance_split(struct wg_variance_split *split, const struct wg_split_value *values, int64_t n,
                      enum wg_split_kind kind, double confidence, struct wg_error *err);

#endif
