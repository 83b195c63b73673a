/*
 * wintergrub rerun: does a result's own record give the same result again?
 */
#include "cli/fault.h"
#include "cli/load.h"
#include "cli/say.h"
#include "cli/simulate.h"
#include "cli/stop.h"
#include "cli/words.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>
#include <wintergrub/version.h>

#define FOLDER_PATTERN "wintergrub-XXXXXX"

/* A folder of our own for the second result, away from the keeper's files, and the result's name in it. */
struct aside {
    char *folder, *path;
    struct wg_passing passing; /* the same, for a program that meets a mistake of its own */
};

static int open_aside(struct aside *aside, struct wg_error *err) {
    const char *base = getenv("TMPDIR");
    if (base == NULL || *base == '\0')
        base = "/tmp";
    const size_t size = strlen(base) + sizeof "/" FOLDER_PATTERN "/again.h5";
    aside->folder = malloc(size);
    aside->path = malloc(size);
    if (aside->folder == NULL || aside->path == NULL)
        return wg_fail(err, WG_ERR_MEMORY, NULL, "There is no memory for the name of a file.");
    (void)snprintf(aside->folder, size, "%s/%s", base, FOLDER_PATTERN);
    if (mkdtemp(aside->folder) == NULL) {
        const int reason = errno;
        free(aside->folder);
        aside->folder = NULL;
        return wg_fail(err, WG_ERR_FILE, base, "No folder can be made here for the second result: %s.",
                       strerror(reason));
    }
    (void)snprintf(aside->path, size, "%s/again.h5", aside->folder);
    aside->passing = (struct wg_passing){.file = aside->path, .folder = aside->folder};
    wg_fault_tidies(&aside->passing);
    return 0;
}

static void close_aside(struct aside *aside) {
    wg_fault_tidies(NULL);
    if (aside->folder != NULL) {
        (void)unlink(aside->path);
        (void)rmdir(aside->folder);
    }
    free(aside->folder);
    free(aside->path);
}

static void tell_versions(const struct wg_result_record *record, const char *path) {
    if (record->version == NULL || strcmp(record->version, WG_VERSION) == 0)
        return;
    wg_say("warning: %s was made by wintergrub %s, this is %s; numbers may differ for that reason.", path,
           record->version, WG_VERSION);
}

/* The exit status of the answer. */
static int answer(const char *path, const char *again, int64_t replicates) {
    struct wg_error err = {0};
    char what[256] = "";
    const int code = wg_result_compare(path, again, what, sizeof what, &err);
    if (code < 0)
        return wg_say_error(&err);
    if (code == 0) {
        char text[1024];
        (void)snprintf(text, sizeof text, "the same: all %lld replicates of %s came out again, bit for bit",
                       (long long)replicates, path);
        wg_clean(text);
        (void)puts(text);
        return WG_STATUS_DONE;
    }
    wg_clean(what);
    (void)printf("different: %s\n", what);
    return WG_STATUS_NO;
}

static int repeat(const char *path, const struct wg_scenario *scenario, struct wg_simulation *simulation) {
    struct wg_error err = {0};
    struct aside aside = {0};
    int status;
    int code = open_aside(&aside, &err);
    simulation->path = aside.path;
    if (code == 0)
        code = wg_simulate(scenario, simulation, NULL, 0, &err);
    if (code == WG_STOPPED) {
        wg_say("stopped; nothing was compared.");
        status = wg_stop_status();
    } else if (code < 0) {
        status = wg_load_say_error(scenario, &err);
    } else {
        status = answer(path, aside.path, scenario->plan.replicates);
    }
    close_aside(&aside);
    return status;
}

static int simulate(const struct wg_words *words, const struct wg_result_record *record) {
    struct wg_simulation simulation = {.quiet = wg_words_has(words, "quiet")};
    struct wg_scenario scenario = {0};
    uint64_t threads = 0;
    int status = wg_words_whole(words, "threads", 1, WG_MOST_THREADS, &threads);
    simulation.threads = (int)threads;
    if (status == 0)
        status = wg_load_scenario_text(&scenario, record->scenario_path, record->scenario_text, record->scenario_size,
                                       record->record_text, record->record_size);
    if (status == 0) {
        scenario.plan.replicates = record->replicates;
        scenario.plan.seed = record->seed;
        tell_versions(record, words->argument[0]);
        status = repeat(words->argument[0], &scenario, &simulation);
    }
    wg_scenario_free(&scenario);
    return status;
}

static int rerun(const struct wg_words *words) {
    struct wg_result_record record = {0};
    struct wg_error err = {0};
    const int code = wg_result_read_record(words->argument[0], &record, &err);
    const int status = code < 0 ? wg_say_error(&err) : simulate(words, &record);
    wg_result_record_free(&record);
    return status;
}

static const struct wg_option options[] = {
    {"threads", 't', "N", "how many at once (default: one per processor)"},
    {"quiet", 'q', NULL, "no progress"},
    {NULL, 0, NULL, NULL},
};

const struct wg_command wg_command_rerun = {
    .name = "rerun",
    .arguments = "NAME.h5",
    .summary = "repeat a result and compare",
    .help = "A result holds its scenario, weather and seed. This simulates them again and\n"
            "compares every number. The file itself is only read.\n"
            "Exit status 0: the same, bit for bit; 1: different.",
    .least = 1,
    .most = 1,
    .options = options,
    .run = rerun,
};
