/*
 * Keeps a run.
 */
#include "browser/page_run.h"

#include <stdlib.h>

struct wg_forecast wg_page_run_forecast(const struct wg_page_run *run) {
    return (struct wg_forecast){.scenario = &run->scenario,
                                .summary = &run->summary,
                                .warnings = &run->warnings,
                                .work = &run->work,
                                .odds = &run->odds,
                                .reasons = run->is_explained ? &run->reasons : NULL};
}

int wg_page_run_explain(struct wg_page *page, struct wg_page_run *run, struct wg_error *err) {
    struct wg_page_progress progress = {.page = page, .doing = "finding the reason"};
    const struct wg_ensemble_options options = {
        .stop = &page->stop, .progress = wg_page_progress, .progress_self = &progress};
    if (run->is_explained)
        return 0;
    const int code = wg_reasons_find(&run->reasons, &run->scenario.plan, &run->summary, false, &options, err);
    run->is_explained = code == 0;
    return code;
}

void wg_page_run_free(struct wg_page_run *run) {
    if (run == NULL)
        return;
    wg_work_free(&run->work);
    wg_goal_tally_free(&run->odds);
    wg_summary_free(&run->summary);
    wg_scenario_free(&run->scenario);
    free(run);
}
