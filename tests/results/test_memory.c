/* Checks that pictures and pages of a run from memory have the same bytes as from its file. */
#include "data/result_memory.h"
#include "figures/figures.h"
#include "figures/svg.h"
#include "pages/page_result.h"
#include "results/hand_made.h"
#include "results/result_read.h"

static const struct wg_provenance made_by = {.command_line = "wintergrub run it.yaml",
                                             .started = "2026-11-25T12:00:00Z"};

/* What a run leaves: in its file, in memory, and for the page from memory. */
struct kept_run {
    struct wg_scenario scenario;
    struct wg_result_memory *memory;
    struct wg_report_lives lives;
    char folder[64], path[128];
};

/* Runs a shipped scenario, into a file and into memory. */
static void run_shipped(struct kept_run *run, const char *name, int64_t replicates) {
    char path[512];
    struct wg_mistakes mistakes = {0};
    struct wg_error err = {0};
    struct wg_observer inner[WG_REPORT_OBSERVERS];
    struct wg_result_writer *writer;
    memset(run, 0, sizeof *run);
    (void)snprintf(path, sizeof path, "%s/scenarios/%s.yaml", WG_SOURCE_DIR, name);
    cr_assert_eq(wg_scenario_read(&run->scenario, path, &mistakes, &err), 0, "%s: %s", name, err.text);
    run->scenario.plan.replicates = replicates;
    struct wg_provenance provenance = made_by;
    provenance.replicates = replicates;
    provenance.seed = run->scenario.plan.seed;
    fresh_folder(run->folder);
    (void)snprintf(run->path, sizeof run->path, "%s/it.h5", run->folder);
    cr_assert_eq(wg_report_lives_init(&run->lives, &run->scenario.plan, replicates, &err), 0);
    wg_report_lives_observers(&run->lives, inner);
    const struct wg_keep keep = {wg_figures_series(), 0, inner, WG_REPORT_OBSERVERS};
    cr_assert_eq(wg_result_memory_new(&run->memory, &run->scenario, &provenance, &keep, &err), 0);
    cr_assert_eq(wg_result_create(&writer, run->path, 0, &run->scenario, &provenance, &err), 0, "%s", err.text);
    const struct wg_observer observers[] = {wg_result_observer(writer), wg_result_memory_observer(run->memory)};
    const struct wg_ensemble_options options = {.count = replicates, .threads = 1};
    cr_assert_eq(wg_ensemble_run(&run->scenario.plan, &options, observers, 2, &err), 0, "%s", err.text);
    cr_assert_eq(wg_result_close(writer, &err), 0, "%s", err.text);
    wg_mistakes_free(&mistakes);
}

static void forget_run(struct kept_run *run) {
    wg_result_memory_free(run->memory);
    wg_report_lives_free(&run->lives);
    wg_scenario_free(&run->scenario);
    clear_folder(run->folder);
}

/* Draws every figure as a slide, one after another. */
static void draw_slides(struct wg_result_data *data, struct wg_bytes *out) {
    struct wg_figures figures = {0};
    struct wg_error err = {0};
    cr_assert_eq(wg_figures_make(&figures, data, &err), 0, "%s", err.text);
    for (size_t i = 0; i < figures.n; i++)
        cr_assert_eq(wg_figure_svg(wg_figures_get(&figures, i), out, &err), 0);
    wg_figures_free(&figures);
}

static void expect_same(const struct wg_bytes *file, const struct wg_bytes *memory, const char *name) {
    size_t at = 0;
    cr_assert(file->size > 0 && !file->failed && !memory->failed);
    while (at < file->size && at < memory->size && file->data[at] == memory->data[at])
        at++;
    cr_expect(at == file->size && at == memory->size, "%s: the file has ...%.80s, memory has ...%.80s", name,
              file->data + at, memory->data + at);
}

/* Compares the slides and the page of a run from both sources. */
static void compare_sources(const char *name, int64_t replicates) {
    struct kept_run run;
    struct wg_result_data kept = {0}, stored = {0};
    struct wg_report_lives lives;
    struct wg_observer observers[WG_REPORT_OBSERVERS];
    struct wg_bytes slides[2] = {{0}}, page[2] = {{0}};
    struct wg_error err = {0};
    run_shipped(&run, name, replicates);
    cr_assert_eq(wg_result_memory_open(run.memory, &kept, &err), 0);
    cr_assert_eq(wg_result_data_open(&stored, run.path, &err), 0, "%s", err.text);
    draw_slides(&kept, &slides[0]);
    draw_slides(&stored, &slides[1]);
    expect_same(&slides[1], &slides[0], name);
    cr_assert_eq(wg_report_lives_init(&lives, &run.scenario.plan, replicates, &err), 0);
    wg_report_lives_observers(&lives, observers);
    cr_assert_eq(wg_result_data_replay(&stored, &run.scenario.plan, observers, WG_REPORT_OBSERVERS, &err), 0);
    const struct wg_page body[2] = {{&page[0], "a-", true}, {&page[1], "a-", true}};
    cr_assert_eq(wg_report_result(&kept, &run.scenario, &run.lives, NULL, &body[0], &err), 0);
    cr_assert_eq(wg_report_result(&stored, &run.scenario, &lives, NULL, &body[1], &err), 0);
    expect_same(&page[1], &page[0], name);
    for (int i = 0; i < 2; i++) {
        wg_bytes_free(&slides[i]);
        wg_bytes_free(&page[i]);
    }
    wg_report_lives_free(&lives);
    wg_result_data_free(&kept);
    wg_result_data_free(&stored);
    forget_run(&run);
}

Test(memory, outdoors_over_one_winter) {
    compare_sources("harrow-hill-outdoors", 64);
}

Test(memory, heated_place) {
    compare_sources("crow-lane-mat", 12);
}

Test(memory, several_bins_at_one_place) {
    compare_sources("hoop-house-two-bins", 12);
}

Test(memory, two_places_with_moves) {
    compare_sources("two-place-year", 8);
}

Test(memory, many_generations_at_once) {
    compare_sources("bench-overlap", 4);
}

Test(memory, one_replicate) {
    compare_sources("smallest", 1);
}

/* The main scenario's 512 replicates: counts that a float holds, at four bytes a value. Measured: 34 MB. */
Test(memory, series_are_small) {
    struct kept_run run;
    run_shipped(&run, "harrow-hill-outdoors", 8);
    cr_expect_lt(512 / 8 * wg_result_memory_size(run.memory), 60 * 1000 * 1000);
    forget_run(&run);
}
