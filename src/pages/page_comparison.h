/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * A comparison as one page.
 */
#ifndef WG_PAGES_PAGE_COMPARISON_H
#define WG_PAGES_PAGE_COMPARISON_H

#include "data/comparison_data.h"
#include "figures/html.h"

/** Writes the page of a comparison into *page. Returns 0 or a negative error. */
int wg_report_comparison(struct wg_comparison_data *data, const struct wg_page *page, struct wg_error *err);

#endif
