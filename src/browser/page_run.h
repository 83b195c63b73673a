/**
 * A run of the page: a plan with what its forecast is made of, kept for the questions about it that follow.
 */
#ifndef WG_BROWSER_PAGE_RUN_H
#define WG_BROWSER_PAGE_RUN_H

#include "browser/page.h"
#include "report/forecast_facts.h"

struct wg_page_run {
    struct wg_scenario scenario;
    struct wg_summary summary;
    struct wg_warning_tally watch;
    struct wg_warnings warnings;
    struct wg_work work;
    struct wg_goal_tally odds;
    struct wg_reasons reasons;
    bool is_explained; /* the reasons are known */
    bool was_stopped;  /* before all replicates: the forecast is of those that were lived */
};

/** Returns the forecast of the run; it borrows all. */
struct wg_forecast wg_page_run_forecast(const struct wg_page_run *run);
/** Finds the reasons, unless they are known. Returns 0, WG_STOPPED or a negative error. */
int wg_page_run_explain(struct wg_page *page, struct wg_page_run *run, struct wg_error *err);

#endif
