/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/* Checks that pictures and pages of a run, a comparison or an answer from memory have the same bytes as from its file. */
#include "answers/comparison.h"
#include "data/comparison_data.h"
#include "data/result_memory.h"
#include "figures/figures.h"
#include "figures/run_csv.h"
#include "figures/svg.h"
#include "pages/pages.h"
#include "results/answer_file.h"
#include "results/comparison_file.h"
#include "results/hand_made.h"
#include "results/result_file.h"

static const struct wg_provenance made_by = {.command_line = "wintergrub run it.yaml",
                                             .started = "2026-11-25T12:00:00Z"};

static void read_shipped(struct wg_scenario *scenario, const char *name) {
    char path[512];
    struct wg_mistakes mistakes = {0};
    struct wg_error err = {0};
    (void)snprintf(path, sizeof path, "%s/scenarios/%s.yaml", WG_SOURCE_DIR, name);
    cr_assert_eq(wg_scenario_read(scenario, path, &mistakes, &err), 0, "%s: %s", name, err.text);
    wg_mistakes_free(&mistakes);
}

/* What a run leaves: in its file, in memory, and for the page from memory. */
struct kept_run {
    struct wg_scenario scenario;
    struct wg_result_memory *memory;
    struct wg_report_lives lives;
    char folder[64], path[128];
};

/* Runs a shipped scenario, into a file and into memory. */
static void run_shipped(struct kept_run *run, const char *name, int64_t replicates) {
    struct wg_error err = {0};
    struct wg_observer inner[WG_REPORT_OBSERVERS];
    struct wg_result_writer *writer;
    memset(run, 0, sizeof *run);
    read_shipped(&run->scenario, name);
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

/* A body may stand on a page that forbids style attributes and scripts, beside another body. */
static void expect_body(const struct wg_bytes *page) {
    static const char *const banned[] = {" style=", "<style", "<script", "<html", "<h1", "<link"};
    static const char *const named[] = {" id=\"", " href=\"#", "-labelledby=\"", "-describedby=\""};
    for (size_t i = 0; i < sizeof banned / sizeof *banned; i++)
        cr_expect_null(strstr(page->data, banned[i]), "%s", banned[i]);
    for (size_t i = 0; i < sizeof named / sizeof *named; i++) {
        int n = 0;
        for (const char *at = page->data; (at = strstr(at, named[i])) != NULL; n++) {
            at += strlen(named[i]);
            cr_expect_eq(strncmp(at, "a-", 2), 0, "%s%.30s", named[i], at);
        }
        cr_expect_gt(n, 0, "%s", named[i]);
    }
}

static void compare_csv(struct wg_result_data *kept, struct wg_result_data *stored, const struct wg_plan *plan,
                        const char *name) {
    struct wg_bytes text[2] = {{0}};
    struct wg_error err = {0};
    for (int i = 0; i < 2; i++) {
        struct wg_result_data *const data = i == 0 ? kept : stored;
        cr_assert_eq(wg_run_days_csv(data, &text[i], &err), 0, "%s", err.text);
        cr_assert_eq(wg_run_years_csv(data, plan, &text[i], &err), 0, "%s", err.text);
    }
    expect_same(&text[1], &text[0], name);
    wg_bytes_free(&text[0]);
    wg_bytes_free(&text[1]);
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
    cr_assert_eq(wg_report_result(&kept, &run.scenario, &run.lives, &body[0], &err), 0);
    cr_assert_eq(wg_report_result(&stored, &run.scenario, &lives, &body[1], &err), 0);
    expect_same(&page[1], &page[0], name);
    expect_body(&page[0]);
    compare_csv(&kept, &stored, &run.scenario.plan, name);
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
    compare_sources("harrow-hill-outdoors", 24);
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

/* The main scenario's 512 replicates: counts that a float holds, at four bytes a value. */
Test(memory, series_are_small) {
    struct kept_run run;
    run_shipped(&run, "harrow-hill-outdoors", 8);
    cr_expect_lt(512 / 8 * wg_result_memory_size(run.memory), 60 * 1000 * 1000);
    forget_run(&run);
}

/* ---- comparisons ---- */

/* Writes the slides, then the body of the page. */
static void write_comparison(struct wg_comparison_data *data, struct wg_bytes *out) {
    struct wg_figures figures = {0};
    struct wg_choice choice = {0};
    struct wg_error err = {0};
    const struct wg_page body = {out, "b-", true};
    cr_assert_eq(wg_comparison_data_choice(data, &choice, &err), 0, "%s", err.text);
    cr_assert_eq(wg_comparison_figures(&figures, data, &choice, &err), 0, "%s", err.text);
    for (size_t i = 0; i < figures.n; i++)
        cr_assert_eq(wg_figure_svg(wg_figures_get(&figures, i), out, &err), 0);
    cr_assert_eq(wg_report_comparison(data, &body, &err), 0, "%s", err.text);
    wg_choice_free(&choice);
    wg_figures_free(&figures);
}

static void compare_setups(const char *const name[2], const struct wg_varied *varied) {
    static struct wg_scenario scenario[2];
    static struct wg_compare compare;
    const struct wg_scenario *const side[2] = {&scenario[0], &scenario[1]};
    const struct wg_warnings *const warnings[2] = {NULL, NULL};
    const struct wg_comparison_words words = {varied, {"A dies of cold.", NULL}};
    struct wg_provenance provenance = made_by;
    char folder[64], path[128];
    struct wg_comparison_file *file;
    struct wg_stored_file opened;
    struct wg_comparison_data kept = {0}, stored = {0};
    struct wg_bytes text[2] = {{0}};
    struct wg_error err = {0};
    compare = (struct wg_compare){.n = 2, .replicates = provenance.replicates = 16, .seed = provenance.seed = 5};
    for (int i = 0; i < 2; i++) {
        read_shipped(&scenario[i], name[i]);
        compare.setup[i] = (struct wg_setup){.plan = &scenario[i].plan, .name = name[i]};
    }
    fresh_folder(folder);
    (void)snprintf(path, sizeof path, "%s/c.h5", folder);
    cr_assert_eq(wg_compare_run(&compare, &(struct wg_ensemble_options){.threads = 1}, &err), 0, "%s", err.text);
    cr_assert_eq(wg_comparison_file_create(&file, path, 0, &err), 0);
    cr_assert_eq(wg_comparison_file_close(file, &compare, side, warnings, &words, &provenance, &err), 0);
    cr_assert_eq(wg_stored_open(&opened, path, &err), 0, "%s", err.text);
    cr_assert_eq(wg_comparison_data_take(&stored, &opened, &err), 0, "%s", err.text);
    cr_assert_eq(wg_comparison_data_now(&kept, &compare, side, warnings, &words, &provenance, &err), 0);
    write_comparison(&kept, &text[0]);
    write_comparison(&stored, &text[1]);
    expect_same(&text[1], &text[0], name[1]);
    wg_bytes_free(&text[0]);
    wg_bytes_free(&text[1]);
    wg_comparison_data_free(&kept);
    wg_comparison_data_free(&stored);
    wg_compare_free(&compare);
    for (int i = 0; i < 2; i++)
        wg_scenario_free(&scenario[i]);
    clear_folder(folder);
}

Test(memory, comparison_of_files) {
    compare_setups((const char *const[]){"crow-lane-outdoors", "crow-lane-mat"}, &(struct wg_varied){0});
}

Test(memory, comparison_of_varied_setups) {
    const struct wg_varied varied = {.n = 1,
                                     .title = "Crow Lane",
                                     .subject = {"starter 1: count"},
                                     .n_values = {2, 1},
                                     .value = {{"100", "200"}},
                                     .odds = {.n = 2, .met = {0.5, 0.75}, .high = {1, 1}, .own = 1}};
    compare_setups((const char *const[]){"crow-lane-outdoors", "crow-lane-mat"}, &varied);
}

/* ---- answers ---- */

/* Stores an answer and opens it from both sources. */
static void open_both(const struct wg_answer *answer, struct wg_answer_data data[2]) {
    char folder[64], path[128];
    struct wg_answer_file *file;
    struct wg_stored_file opened;
    struct wg_error err = {0};
    fresh_folder(folder);
    (void)snprintf(path, sizeof path, "%s/a.h5", folder);
    cr_assert_eq(wg_answer_file_create(&file, path, 0, &err), 0);
    cr_assert_eq(wg_answer_file_close(file, answer, &err), 0, "%s", err.text);
    cr_assert_eq(wg_stored_open(&opened, path, &err), 0, "%s", err.text);
    cr_assert_eq(wg_answer_data_now(&data[0], answer, &err), 0, "%s", err.text);
    cr_assert_eq(wg_answer_data_take(&data[1], &opened, &err), 0, "%s", err.text);
    clear_folder(folder);
}

Test(memory, answer_of_size) {
    struct wg_scenario scenario;
    struct wg_answer_data data[2];
    static struct wg_answer_size answer[2];
    struct wg_bytes page[2] = {{0}};
    struct wg_error err = {0};
    read_shipped(&scenario, "smallest");
    scenario.plan.n_goals = 1;
    scenario.plan.goal[0] =
        (struct wg_goal){.kind = WG_GOAL_SURVIVE, .by = scenario.plan.last_day, .weeks = 1, .chance = 0.9};
    const struct wg_vary vary = {.path = "starter.1.count", .subject = "starter 1: count", .value = 20, .step = 1};
    const struct wg_size_question question = {
        .n_goals = 1, .wanted = {0.9}, .low = 2, .high = 8, .geometric = true, .step = 1, .confidence = 0.95};
    struct wg_size found = {
        .outcome = WG_SIZE_FOUND,
        .enough = 8,
        .too_little = 4,
        .number = {.about = 5.5, .low = 4.6, .high = 6.6, .luckier = 3.2, .harder = 7.1, .fits = true},
        .curve = {{1.1, 2, 1, 2, 8, 0.5, 0.3}},
        .low = 2,
        .high = 8,
        .n_points = 3,
        .best = 2,
        .falls_from = (double)NAN,
        .falls_to = (double)NAN,
        .replicates = 600};
    for (int i = 0; i < 3; i++)
        found.point[i] = (struct wg_size_point){
            .value = 2 << i, .n = 100, .hits = {30 * (i + 1)}, .verdict = i == 2 ? WG_YES : WG_NO};
    const struct wg_answer it = {.kind = WG_ANSWER_SIZE,
                                 .scenario = &scenario,
                                 .provenance = &hand_made_provenance,
                                 .text = "about 5.5",
                                 .why = "It starves.",
                                 .as.size = {&vary, &question, &found}};
    open_both(&it, data);
    wg_answer_size_now(&answer[0], &it);
    cr_assert_eq(wg_answer_data_size(&data[1], &answer[1], &err), 0, "%s", err.text);
    for (int i = 0; i < 2; i++) {
        const struct wg_page body = {&page[i], "s-", true};
        cr_assert_eq(wg_report_size(&data[i], &answer[i], &scenario, &body, &err), 0, "%s", err.text);
        wg_answer_data_free(&data[i]);
    }
    expect_same(&page[1], &page[0], "size");
    wg_bytes_free(&page[0]);
    wg_bytes_free(&page[1]);
    wg_scenario_free(&scenario);
}
