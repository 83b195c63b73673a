/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * A result as one page: question, answer, figures, work, assumptions, warnings, provenance.
 */
#ifndef WG_PAGES_PAGE_RESULT_H
#define WG_PAGES_PAGE_RESULT_H

#include "analysis/goal_tally.h"
#include "data/result_data.h"
#include "figures/html.h"
#include "forecast/warnings.h"
#include "forecast/work.h"

#define WG_REPORT_OBSERVERS 4
/** What a page needs of the lives of a run besides its data. The plan is borrowed. */
struct wg_report_lives {
    struct wg_summary summary;
    struct wg_warning_tally watch;
    struct wg_work work;
    struct wg_goal_tally odds;
};
/** Returns 0 or WG_ERR_MEMORY; free the lives in every case. */
int wg_report_lives_init(struct wg_report_lives *lives, const struct wg_plan *plan, int64_t replicates,
                         struct wg_error *err);
/** Lists the observers that fill them; show these every replicate, in order, as a file stores it. */
void wg_report_lives_observers(struct wg_report_lives *lives, struct wg_observer out[WG_REPORT_OBSERVERS]);
void wg_report_lives_free(struct wg_report_lives *lives);

/** Writes the page of a run, or its body, with the reasons of data->words. Returns 0 or a negative error. */
int wg_report_result(struct wg_result_data *data, const struct wg_scenario *scenario,
                     const struct wg_report_lives *lives, const struct wg_page *page, struct wg_error *err);

#endif
