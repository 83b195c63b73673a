/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * wintergrub figures: draws a result, a comparison or an answer of size.
 */
#include "answers/comparison.h"
#include "base/utf8.h"
#include "cli/args.h"
#include "cli/in_child.h"
#include "cli/message.h"
#include "cli/save.h"
#include "cli/stop.h"
#include "figures/figures.h"
#include "results/answer_file.h"
#include "results/comparison_file.h"
#include "results/result_file.h"

#include <stdio.h>
#include <stdlib.h>

/* Prints a line or two about each figure. */
static void list_figures(const struct wg_figures *figures, const char *folder) {
    for (size_t i = 0; i < figures->n; i++) {
        const struct wg_figure *const figure = wg_figures_get(figures, i);
        char text[1024];
        (void)snprintf(text, sizeof text, "%s.{svg,pdf,png}: %s.", wg_figure_name(figure), wg_figure_title(figure));
        wg_utf8_clean(text);
        (void)puts(text);
    }
    char text[1024];
    (void)snprintf(text, sizeof text, "%.900s", folder);
    wg_utf8_clean(text);
    (void)printf("%zu %s in %s\n", figures->n, figures->n == 1 ? "figure" : "figures", text);
}

/* The next three take over the open file. */
static int draw_result(struct wg_figures *figures, struct wg_stored_file *file, struct wg_error *err) {
    struct wg_result_data data;
    int code = wg_result_data_take(&data, file, err);
    if (code == 0)
        code = wg_figures_make(figures, &data, err);
    wg_result_data_free(&data);
    return code;
}

static int draw_compared(struct wg_figures *figures, struct wg_stored_file *file, struct wg_error *err) {
    struct wg_comparison_data data;
    struct wg_choice choice = {0};
    int code = wg_comparison_data_take(&data, file, err);
    if (code == 0)
        code = wg_comparison_data_choice(&data, &choice, err);
    if (code == 0)
        code = wg_comparison_figures(figures, &data, &choice, err);
    wg_choice_free(&choice);
    wg_comparison_data_free(&data);
    return code;
}

static int draw_sizes(struct wg_figures *figures, struct wg_answer_data *data, struct wg_error *err) {
    struct wg_answer_size answer;
    const int code = wg_answer_data_size(data, &answer, err);
    return code == 0 ? wg_figures_size(figures, &data->in, &answer, err) : code;
}

static int draw_sensitivity(struct wg_figures *figures, struct wg_answer_data *data, struct wg_error *err) {
    struct wg_sensitivity matters;
    const int code = wg_answer_data_sensitivity(data, &matters, err);
    return code == 0 ? wg_figures_sensitivity(figures, &data->in, &matters, err) : code;
}

static int draw_answer(struct wg_figures *figures, struct wg_stored_file *file, struct wg_error *err) {
    struct wg_answer_data data;
    int code = wg_answer_data_take(&data, file, err);
    if (code == 0)
        code = data.kind == WG_ANSWER_SENSITIVITY ? draw_sensitivity(figures, &data, err)
                                                  : draw_sizes(figures, &data, err);
    wg_answer_data_free(&data);
    return code;
}

static int make_figures(struct wg_figures *figures, const char *path, struct wg_error *err) {
    struct wg_stored_file file = {0};
    int code = wg_read_in_child(path, err);
    if (code == 0)
        code = wg_stored_open(&file, path, err);
    if (code == 0 && file.kind == WG_STORED_COMPARISON)
        code = draw_compared(figures, &file, err);
    else if (code == 0)
        code = file.kind == WG_STORED_ANSWER ? draw_answer(figures, &file, err) : draw_result(figures, &file, err);
    wg_stored_free(&file);
    return code;
}

/* Returns the exit status. */
static int save_all_figures(const struct wg_args *args, const char *folder) {
    static const struct wg_exit_cleanup cleanup = {.line = "wintergrub: stopped; nothing was drawn.\n"};
    struct wg_figures figures = {0};
    struct wg_error err = {0};
    wg_stop_immediately(&cleanup);
    int code = make_figures(&figures, args->argument[0], &err);
    wg_stop_immediately(NULL);
    int status = code == 0 ? wg_figures_check_paths(args, "output", &figures, folder, NULL) : 0;
    if (code == 0 && status == 0) {
        code = wg_figures_save(&figures, folder, wg_args_has(args, "force"), wg_stop_flag(), &err);
        if (code == 0)
            list_figures(&figures, folder);
    }
    wg_figures_free(&figures);
    if (code == WG_STOPPED) {
        wg_message("stopped; the figures written so far are complete, the others are missing.");
        return wg_stop_status();
    }
    return code < 0 ? wg_message_error(&err) : status;
}

static int run_figures(const struct wg_args *args) {
    struct wg_error err = {0};
    const char *const output = wg_args_option(args, "output");
    char *const folder = output != NULL ? NULL : wg_args_default_output(args->argument[0], "-figures");
    int status;
    if (output == NULL && folder == NULL) {
        (void)wg_no_memory(&err, NULL);
        status = wg_message_error(&err);
    } else {
        status = save_all_figures(args, output != NULL ? output : folder);
    }
    free(folder);
    return status;
}

static const struct wg_option options[] = {
    {"output", 'o', "FOLDER", "where to put them (default: NAME-figures)", 1},
    {"force", 'f', NULL, "replace existing figures", 0},
    {.name = NULL},
};

const struct wg_command wg_command_figures = {
    .name = "figures",
    .arguments = "NAME.h5",
    .summary = "draw a result: SVG, PDF and PNG",
    .help = "Draws a result: stages with their ranges, the colony with its stages stacked,\n"
            "generations side by side, temperatures and heat, crawl-off by week, and spring\n"
            "flies. For a comparison it draws survival, harvest and cost of each setup, for\n"
            "a grid also a coloured table; for an answer of size, chance against value. Each\n"
            "figure comes as SVG, PDF and PNG (1280 by 720 pixels). The SVG contains the\n"
            "numbers drawn, as CSV in <metadata>.",
    .least = 1,
    .most = 1,
    .options = options,
    .run = run_figures,
};
