/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * What `run --what-matters` found as one page.
 */
#ifndef WG_PAGES_PAGE_SENSITIVITY_H
#define WG_PAGES_PAGE_SENSITIVITY_H

#include "data/answer_data.h"
#include "figures/html.h"
#include "scenario/scenario.h"

/** Writes the page of an answer into *page; `scenario` is the stored one. Returns 0 or WG_ERR_MEMORY. */
int wg_report_sensitivity(const struct wg_answer_data *data, const struct wg_sensitivity *matters,
                          const struct wg_scenario *scenario, const struct wg_page *page, struct wg_error *err);

#endif
