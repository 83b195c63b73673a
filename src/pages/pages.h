/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Results, comparisons and answers as one web page each.
 */
#ifndef WG_PAGES_PAGES_H
#define WG_PAGES_PAGES_H

#include "analysis/goal_tally.h"
#include "answers/fit_text.h"
#include "cheapest/cheapest_figures.h"
#include "data/answer_data.h"
#include "data/comparison_data.h"
#include "data/result_data.h"
#include "figures/html.h"
#include "forecast/warnings.h"
#include "forecast/work.h"
#include "scenario/scenario.h"

/* ---- a result as one page: question, answer, figures, work, assumptions, warnings, provenance ---- */

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

/* ---- a comparison as one page ---- */

/** Writes the page of a comparison into *page. Returns 0 or a negative error. */
int wg_report_comparison(struct wg_comparison_data *data, const struct wg_page *page, struct wg_error *err);

/* ---- an answer of `size` as one page ---- */

/** Writes the page into *page; `answer` and `scenario` are those in the file. Returns 0 or WG_ERR_MEMORY. */
int wg_report_size(const struct wg_answer_data *data, const struct wg_answer_size *answer,
                   const struct wg_scenario *scenario, const struct wg_page *page, struct wg_error *err);

/* ---- what `run --what-matters` found as one page ---- */

/** Writes the page of an answer into *page; `scenario` is the stored one. Returns 0 or WG_ERR_MEMORY. */
int wg_report_sensitivity(const struct wg_answer_data *data, const struct wg_sensitivity *matters,
                          const struct wg_scenario *scenario, const struct wg_page *page, struct wg_error *err);

/* ---- what `fit` found as one page ---- */

/** Writes the page into *page. Returns 0 or WG_ERR_MEMORY. */
int wg_report_fit(const struct wg_fit_output *fitting, const char *command_line, const struct wg_page *page,
                  struct wg_error *err);

/* ---- an answer of `cheapest` as one page ---- */

/** Writes the page into *page. `in` as for the figure. Returns 0 or WG_ERR_MEMORY. */
int wg_report_cheapest(const struct wg_cheapest *cheapest, const struct wg_run_facts *in,
                       const struct wg_figures *figures, const struct wg_page *page, struct wg_error *err);

#endif
