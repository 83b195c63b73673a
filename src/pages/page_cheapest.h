/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * An answer of `cheapest` as one page.
 */
#ifndef WG_PAGES_PAGE_CHEAPEST_H
#define WG_PAGES_PAGE_CHEAPEST_H

#include "cheapest/cheapest_figures.h"
#include "figures/html.h"

/** Writes the page into *page. `in` as for the figure. Returns 0 or WG_ERR_MEMORY. */
int wg_report_cheapest(const struct wg_cheapest *cheapest, const struct wg_run_facts *in,
                       const struct wg_figures *figures, const struct wg_page *page, struct wg_error *err);

#endif
