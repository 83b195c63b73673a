/*
 * wintergrub run: simulate a scenario, print the forecast, write the result.
 */
#include "cli/forecast.h"
#include "cli/load.h"
#include "cli/say.h"
#include "cli/simulate.h"
#include "cli/stop.h"
#include "cli/words.h"

#include <stdlib.h>
#include <string.h>

#define MOST_REPLICATES 1000000 /* as in a scenario */

/* "sites/hill.yaml" -> "hill.h5", malloc'ed */
static char *default_path(const char *scenario) {
    const char *const slash = strrchr(scenario, '/'), *const name = slash != NULL ? slash + 1 : scenario;
    const char *const dot = strrchr(name, '.');
    const size_t stem = dot != NULL && dot != name ? (size_t)(dot - name) : strlen(name);
    const size_t size = stem + sizeof ".h5";
    char *const path = malloc(size);
    if (path != NULL)
        (void)snprintf(path, size, "%.*s.h5", (int)stem, name);
    return path;
}

/* What the command line says comes before what the scenario says. */
static int apply_options(const struct wg_words *words, struct wg_plan *plan, struct wg_simulation *simulation) {
    uint64_t replicates = (uint64_t)plan->replicates, threads = 0;
    int status = wg_words_whole(words, "replicates", 1, MOST_REPLICATES, &replicates);
    if (status == 0)
        status = wg_words_whole(words, "seed", 0, UINT64_MAX, &plan->seed);
    if (status == 0)
        status = wg_words_whole(words, "threads", 1, WG_MOST_THREADS, &threads);
    plan->replicates = (int64_t)replicates;
    simulation->threads = (int)threads;
    simulation->force = wg_words_has(words, "force");
    simulation->quiet = wg_words_has(words, "quiet");
    return status;
}

static int print(const struct wg_words *words, const struct wg_forecast *forecast) {
    struct wg_error err = {0};
    const int code = wg_words_has(words, "json") ? wg_forecast_print_json(forecast, stdout, &err)
                                                 : wg_forecast_print(forecast, stdout, &err);
    if (code < 0)
        return wg_say_error(&err);
    if (wg_words_has(words, "calendar") && !wg_words_has(words, "json"))
        wg_work_print(forecast->work, stdout);
    const int status = wg_say_output_end(WG_STATUS_DONE);
    if (!wg_words_has(words, "quiet"))
        wg_say("the result is in %s", forecast->result_path);
    return status;
}

static int simulate(const struct wg_words *words, const struct wg_scenario *scenario,
                    const struct wg_simulation *simulation) {
    struct wg_error err = {0};
    struct wg_summary summary = {0};
    struct wg_watch watch = {0};
    struct wg_work work = {0};
    const struct wg_observer observers[] = {wg_summary_observer(&summary), wg_watch_observer(&watch),
                                            wg_work_observer(&work)};
    int status;
    int code = wg_summary_init(&summary, &scenario->plan, scenario->plan.replicates, &err);
    if (code == 0)
        code = wg_work_init(&work, &scenario->plan, scenario->plan.replicates, &err);
    if (code == 0)
        code = wg_simulate(scenario, simulation, observers, 3, &err);
    if (code == WG_STOPPED) {
        wg_say("stopped; nothing was written.");
        status = wg_stop_status();
    } else if (code < 0) {
        status = wg_load_say_error(scenario, &err);
    } else {
        status = print(words, &(struct wg_forecast){.scenario = scenario,
                                                    .summary = &summary,
                                                    .watch = &watch,
                                                    .work = &work,
                                                    .result_path = simulation->path});
    }
    wg_work_free(&work);
    wg_summary_free(&summary);
    return status;
}

static int run(const struct wg_words *words) {
    struct wg_scenario scenario = {0};
    struct wg_simulation simulation = {0};
    char *const path = default_path(words->argument[0]), *const line = wg_words_line(words);
    int status = apply_options(words, &scenario.plan, &simulation); /* a mistyped option first, before all reading */
    if (status == 0)
        status = wg_load_scenario(&scenario, words->argument[0]);
    if (status == 0)
        status = apply_options(words, &scenario.plan, &simulation);
    if (status == 0 && (path == NULL || line == NULL))
        status = wg_say_error(&(struct wg_error){.code = WG_ERR_MEMORY});
    if (status == 0) {
        const char *const output = wg_words_option(words, "output");
        simulation.path = output != NULL ? output : path;
        simulation.command_line = line;
        status = simulate(words, &scenario, &simulation);
    }
    wg_scenario_free(&scenario);
    free(path);
    free(line);
    return status;
}

static const struct wg_option options[] = {
    {"output", 'o', "FILE", "where the result goes (default: NAME.h5, here)"},
    {"replicates", 0, "N", "how many possible years, not as the scenario says"},
    {"seed", 0, "N", "where chance begins, not as the scenario says"},
    {"threads", 't', "N", "how many at once (default: one per processor)"},
    {"force", 'f', NULL, "replace a result that is already there"},
    {"quiet", 'q', NULL, "no progress, and no word about where the result is"},
    {"calendar", 0, NULL, "print each week's work too: feed, traps, crawl-off"},
    {"json", 0, NULL, "print the forecast as JSON, weeks and all"},
    {NULL, 0, NULL, NULL},
};

const struct wg_command wg_command_run = {
    .name = "run",
    .arguments = "NAME.yaml",
    .summary = "simulate, print the forecast",
    .help = "Lives the plan of NAME.yaml through many possible years, prints what came of it\n"
            "and writes every day of every year to a result file (HDF5, also netCDF-4).\n"
            "A result that is already there is left alone unless --force is given.\n\n"
            "\"97 %, between 96 and 99 %\" is the share that was alive and the 95 % interval\n"
            "(Wilson) that the number of possible years allows. The scenario's last day is\n"
            "the end: what had not happened by then may still happen later.",
    .least = 1,
    .most = 1,
    .options = options,
    .run = run,
};
