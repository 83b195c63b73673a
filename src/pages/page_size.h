/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * An answer of `size` as one page.
 */
#ifndef WG_PAGES_PAGE_SIZE_H
#define WG_PAGES_PAGE_SIZE_H

#include "data/answer_data.h"
#include "figures/html.h"

/** Writes the page into *page; `answer` and `scenario` are those in the file. Returns 0 or WG_ERR_MEMORY. */
int wg_report_size(const struct wg_answer_data *data, const struct wg_answer_size *answer,
                   const struct wg_scenario *scenario, const struct wg_page *page, struct wg_error *err);

#endif
