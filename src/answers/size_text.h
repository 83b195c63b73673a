/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * What `size` found, as text and as JSON.
 */
#ifndef WG_ANSWERS_SIZE_TEXT_H
#define WG_ANSWERS_SIZE_TEXT_H

#include "analysis/goal_tally.h"
#include "data/comparison_words.h"
#include "forecast/warnings.h"
#include "report/goals_report.h"
#include "sizing/size.h"
#include "variants/vary.h"

#include <stdio.h>

struct wg_size_output {
    const struct wg_scenario *scenario;
    const struct wg_vary *vary;
    const struct wg_size_question *question;
    const struct wg_size *size;
    uint64_t seed;
    const char *why;                    /* why no value is enough; "": nothing to say */
    const struct wg_warnings *warnings; /* at wg_size_recommended() */
};

/** Prints the answer in words and the chance at each value tried. */
void wg_size_output_print(const struct wg_size_output *sizing, FILE *to);
/** Prints the same as JSON. Returns 0 or WG_ERR_MEMORY. */
int wg_size_output_print_json(const struct wg_size_output *sizing, FILE *to, struct wg_error *err);

/*
 * Prints the answer of `size` over two numbers, a grid of chances that all goals are met, as text and as JSON.
 */

/** A grid as simulated; the lists have a setup for each pair of values. */
struct wg_size_grid {
    const struct wg_scenario *scenario; /* before any number was changed */
    const struct wg_varied *varied;     /* with the odds */
    const char *key[WG_VARIED_MAX];     /* paths of the numbers */
    const struct wg_goal_chance *goal;  /* [setup * n_goals + goal] */
    const struct wg_goal_chance *all;   /* [setup]: of all goals in the same replicate */
    int64_t replicates;                 /* of each setup */
    uint64_t seed;
};

/** Returns YES if every goal is surely met often enough in a setup, NO if one surely is not. */
enum wg_verdict wg_size_grid_verdict(const struct wg_size_grid *grid, int setup);
void wg_size_grid_print(const struct wg_size_grid *grid, FILE *to);
int wg_size_grid_print_json(const struct wg_size_grid *grid, FILE *to, struct wg_error *err);

#endif
