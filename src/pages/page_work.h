/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The section of a result's page on the keeper's work.
 */
#ifndef WG_PAGES_PAGE_WORK_H
#define WG_PAGES_PAGE_WORK_H

#include "figures/html.h"
#include "forecast/work.h"

/**
 * Writes the work calendar: by week, or in a long period by month, with later years folded. The first year prints as a
 * sheet of one page. `name` is that of the scenario. Returns 0 or WG_ERR_MEMORY.
 */
int wg_report_work(const struct wg_work *weekly, const char *name, const struct wg_page *page, struct wg_error *err);

#endif
