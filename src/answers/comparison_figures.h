/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The figures of a comparison.
 */
#ifndef WG_ANSWERS_COMPARISON_FIGURES_H
#define WG_ANSWERS_COMPARISON_FIGURES_H

#include "data/comparison_data.h"
#include "figures/figure.h"

/** Makes them: a grid in colours if two numbers are varied, and rows of dots. `choice` is made of `data`. */
int wg_comparison_figures(struct wg_figures *figures, const struct wg_comparison_data *data,
                          const struct wg_choice *choice, struct wg_error *err);

/** Adds the grid of setups made from one scenario by two numbers; nothing for others. Returns 0 or a negative error. */
int wg_comparison_grid(struct wg_figures *figures, const struct wg_comparison_data *data,
                       const struct wg_choice *choice, const struct wg_verdict_facts *facts, struct wg_error *err);

#endif
