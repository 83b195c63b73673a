/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The figure of an answer of `cheapest`.
 */
#ifndef WG_CHEAPEST_CHEAPEST_FIGURES_H
#define WG_CHEAPEST_CHEAPEST_FIGURES_H

#include "cheapest/cheapest_text.h"
#include "figures/figure.h"

/** Adds the figure: cost against odds and harvest. `in` has title, seed, replicates, source and start. Returns 0 or WG_ERR_MEMORY. */
int wg_cheapest_figure(struct wg_figures *figures, const struct wg_run_facts *in, const struct wg_cheapest *cheapest,
                       struct wg_error *err);

#endif
