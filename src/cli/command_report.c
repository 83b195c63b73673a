/*
 * wintergrub report: a result as one web page.
 */
#include "cli/args.h"
#include "cli/load_scenario.h"
#include "cli/message.h"
#include "cli/stop.h"
#include "report/page.h"

#include <stdlib.h>
#include <string.h>

/* "sites/hill.h5" -> "hill.html", malloc'ed */
static char *default_report_path(const char *result) {
    const char *const slash = strrchr(result, '/'), *const name = slash != NULL ? slash + 1 : result;
    const char *const dot = strrchr(name, '.');
    const size_t stem = dot != NULL && dot != name ? (size_t)(dot - name) : strlen(name);
    const size_t size = stem + sizeof ".html";
    char *const path = malloc(size);
    if (path != NULL)
        (void)snprintf(path, size, "%.*s.html", (int)stem, name);
    return path;
}

int wg_report_save(const struct wg_bytes *page, const char *path, int force, struct wg_error *err) {
    wg_stop_immediately(NULL);
    return wg_page_save(page, path, force, err);
}

/* The observers of a run see the replicates again. */
static int replay_observers(struct wg_result_data *data, const struct wg_scenario *scenario, struct wg_summary *summary,
                            struct wg_warning_tally *watch, struct wg_work *work, struct wg_goal_tally *odds,
                            struct wg_error *err) {
    const struct wg_observer observers[] = {wg_summary_observer(summary), wg_warning_observer(watch),
                                            wg_work_observer(work), wg_goal_tally_observer(odds)};
    int code = wg_summary_init(summary, &scenario->plan, data->replicates, err);
    if (code == 0)
        code = wg_work_init(work, &scenario->plan, data->replicates, err);
    if (code == 0)
        code = wg_result_data_replay(data, &scenario->plan, observers, 4, err);
    return code;
}

static int write_result_report(struct wg_result_data *data, const struct wg_scenario *scenario, const char *path,
                               int force, struct wg_error *err) {
    struct wg_summary summary = {0};
    struct wg_warning_tally watch = {.plan = &scenario->plan};
    struct wg_goal_tally odds;
    struct wg_work work = {0};
    struct wg_figures figures = {0};
    struct wg_bytes page = {0};
    wg_goal_tally_init(&odds, &scenario->plan);
    int code = replay_observers(data, scenario, &summary, &watch, &work, &odds, err);
    if (code == 0)
        code = wg_figures_make(&figures, data, err);
    if (code == 0) {
        struct wg_warnings warnings;
        wg_warnings_find(&warnings, &watch, &work);
        const struct wg_forecast forecast = {.scenario = scenario,
                                             .summary = &summary,
                                             .warnings = &warnings,
                                             .work = &work,
                                             .odds = &odds,
                                             .result_path = data->path};
        code = wg_report_put(&(struct wg_report){&forecast, data, &figures}, &page, err);
    }
    if (code == 0)
        code = wg_report_save(&page, path, force, err);
    wg_bytes_free(&page);
    wg_figures_free(&figures);
    wg_work_free(&work);
    wg_summary_free(&summary);
    return code;
}

/* The exit status. */
static int report_result(struct wg_result_data *data, const char *path, int force) {
    struct wg_scenario scenario = {0};
    struct wg_error err = {0};
    const struct wg_result_inputs *const record = &data->record;
    int status = wg_load_scenario_text(&scenario, record->scenario_path, record->scenario_text, record->scenario_size,
                                       record->record_text, record->record_size);
    if (status == 0) {
        scenario.plan.replicates = record->replicates;
        scenario.plan.seed = record->seed;
        if (write_result_report(data, &scenario, path, force, &err) < 0)
            status = wg_message_error(&err);
    }
    wg_scenario_free(&scenario);
    return status;
}

static int write_comparison(struct wg_comparison_data *data, const char *path, int force, struct wg_error *err) {
    struct wg_figures figures = {0};
    struct wg_bytes page = {0};
    int code = wg_figures_compare(&figures, data, err);
    if (code == 0)
        code = wg_report_put_comparison(data, &figures, &page, err);
    if (code == 0)
        code = wg_report_save(&page, path, force, err);
    wg_bytes_free(&page);
    wg_figures_free(&figures);
    return code;
}

/* The exit status of a report of either kind. */
static int report_file(const char *result, const char *path, int force) {
    struct wg_error err = {0};
    struct wg_result_data data = {0};
    struct wg_comparison_data comparison = {0};
    const int is_comparison = wg_comparison_data_is(result, &err);
    int status = 0;
    if (is_comparison == 1) {
        if (wg_comparison_data_open(&comparison, result, &err) < 0 ||
            write_comparison(&comparison, path, force, &err) < 0)
            status = wg_message_error(&err);
    } else if (is_comparison < 0 || wg_result_data_open(&data, result, &err) < 0) {
        status = wg_message_error(&err);
    } else {
        status = report_result(&data, path, force);
    }
    wg_comparison_data_free(&comparison);
    wg_result_data_free(&data);
    return status;
}

static int run_report(const struct wg_args *args) {
    const char *const output = wg_args_option(args, "output");
    char *const given = output == NULL ? default_report_path(args->argument[0]) : NULL;
    const char *const path = output != NULL ? output : given;
    static const struct wg_exit_cleanup farewell = {.line = "wintergrub: stopped; no report was written.\n"};
    int status;
    wg_stop_immediately(&farewell);
    if (path == NULL)
        status = wg_message_error(&(struct wg_error){.code = WG_ERR_MEMORY});
    else if ((status = wg_args_check_output(args, path)) == 0 &&
             !wg_report_size(args->argument[0], path, wg_args_has(args, "force"), &status))
        status = report_file(args->argument[0], path, wg_args_has(args, "force"));
    wg_stop_immediately(NULL);
    if (status == 0)
        wg_message("the report is in %s", path);
    free(given);
    return status == 0 && atomic_load(wg_stop_flag()) != 0 ? wg_stop_status() : status;
}

static const struct wg_option options[] = {
    {"output", 'o', "FILE", "where it goes (default: NAME.html, here)"},
    {"force", 'f', NULL, "replace a report that is already there"},
    {NULL, 0, NULL, NULL},
};

const struct wg_command wg_command_report = {
    .name = "report",
    .arguments = "NAME.h5",
    .summary = "write a result as one web page",
    .help = "One page of HTML that needs nothing else: the question, the answer in three\n"
            "sentences, figures with their numbers, the work week by week, what was\n"
            "assumed and where from, warnings, and how the result was made. It can be\n"
            "mailed, printed on letter or A4, and read on a phone or aloud.",
    .least = 1,
    .most = 1,
    .options = options,
    .run = run_report,
};
