/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * A run of the page: a plan with what its forecast, report and figures are made of, kept for the questions that follow.
 */
#ifndef WG_BROWSER_PAGE_RUN_H
#define WG_BROWSER_PAGE_RUN_H

#include "base/sha256.h"
#include "browser/page.h"
#include "data/result_memory.h"
#include "figures/figures.h"
#include "pages/pages.h"
#include "report/forecast_facts.h"

struct wg_page_run {
    struct wg_scenario scenario;
    struct wg_summary summary; /* this and the next four as the run gives them, for the forecast */
    struct wg_warning_tally watch;
    struct wg_warnings warnings;
    struct wg_work work;
    struct wg_goal_tally odds;
    struct wg_report_lives lives; /* as a file would give them back, for the report */
    struct wg_observer life_observer[WG_REPORT_OBSERVERS];
    struct wg_result_memory *memory;
    struct wg_result_data data;    /* what is kept, once the run is done */
    struct wg_bytes command;       /* that repeats it */
    char key[WG_SHA256_TEXT_SIZE]; /* of all that its replicates are made of */
    char now[32];                  /* when it began, ISO 8601 */
    struct wg_reasons reasons;
    bool is_explained; /* the reasons are known */
    bool was_stopped;  /* before all replicates: the forecast is of those that were lived */
};

/** Prepares to observe the replicates of run->scenario. Returns 0 or WG_ERR_MEMORY. */
int wg_page_run_begin(struct wg_page_run *run, struct wg_error *err);
#define WG_PAGE_RUN_OBSERVERS 5
/** Lists the observers of the run. */
void wg_page_run_observers(struct wg_page_run *run, struct wg_observer out[WG_PAGE_RUN_OBSERVERS]);
/** Ends a run after its last replicate. Returns 0 or WG_ERR_MEMORY. */
int wg_page_run_end(struct wg_page_run *run, struct wg_error *err);

/** Returns the forecast of the run; it borrows all. */
struct wg_forecast wg_page_run_forecast(const struct wg_page_run *run);
/** Finds the reasons, unless they are known. Returns 0, WG_STOPPED or a negative error. */
int wg_page_run_explain(struct wg_engine *engine, struct wg_page_run *run, struct wg_error *err);

#endif
