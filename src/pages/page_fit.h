/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * What `fit` found as one page.
 */
#ifndef WG_PAGES_PAGE_FIT_H
#define WG_PAGES_PAGE_FIT_H

#include "answers/fit_tables.h"
#include "figures/html.h"

/** Writes the page into *page. Returns 0 or WG_ERR_MEMORY. */
int wg_report_fit(const struct wg_fit_output *fitting, const char *command_line, const struct wg_page *page,
                  struct wg_error *err);

#endif
