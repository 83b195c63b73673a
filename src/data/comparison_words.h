/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * What a comparison has besides its numbers: what tells its setups apart, and why they die.
 */
#ifndef WG_DATA_COMPARISON_WORDS_H
#define WG_DATA_COMPARISON_WORDS_H

#include "analysis/compare.h"
#include "variants/vary.h"

#define WG_VARIED_MAX 2

/** How often the setups of a grid of `size` meet all goals. */
struct wg_grid_odds {
    int n;                                                                 /* setups; 0: no such grid */
    double met[WG_COMPARE_MAX], low[WG_COMPARE_MAX], high[WG_COMPARE_MAX]; /* shares of the years, 95 % interval */
    bool is_enough[WG_COMPARE_MAX];                                        /* every goal is met as often as it wants */
    int own; /* the setup of the plan as it is; -1: none */
};

/**
 * The numbers that tell setups made from one scenario apart. Setup s has the value s / n_values[1] of the first and
 * s % n_values[1] of the second number; n_values is 1 beyond n.
 */
struct wg_varied {
    int n;           /* 0: each setup has a file of its own */
    char title[128]; /* of the scenario */
    char subject[WG_VARIED_MAX][WG_VARY_LABEL];
    int n_values[WG_VARIED_MAX];
    char value[WG_VARIED_MAX][WG_COMPARE_MAX][WG_VARY_SHOWN_SIZE]; /* as written: "65 degF" */
    struct wg_grid_odds odds;
};

/** The sentences of a comparison beside its numbers. */
struct wg_comparison_words {
    const struct wg_varied *varied;
    const char *why[WG_COMPARE_MAX]; /* of each setup; NULL: none */
};

#endif
