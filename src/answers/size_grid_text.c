/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Prints a grid of chances: a row for each value of the first number, a column for each of the second.
 */
#include "answers/size_text.h"

#include "report/forecast_facts.h"
#include "report/goals_report.h"
#include "report/warning_lists.h"
#include "text/goal_text.h"
#include "text/show.h"
#include "json/json.h"
#include <wintergrub/version.h>

#include <ctype.h>
#include <string.h>

#define ROW_NAME 15
#define MOST_WIDTH 13 /* of a column */
#define MAX_LINE 640

enum wg_verdict wg_size_grid_verdict(const struct wg_size_grid *grid, int setup) {
    const int n = grid->scenario->plan.n_goals;
    enum wg_verdict all = WG_YES;
    for (int g = 0; g < n; g++) {
        const enum wg_verdict one = grid->goal[setup * n + g].verdict;
        if (one == WG_NO)
            return WG_NO;
        if (one == WG_UNDECIDED)
            all = WG_UNDECIDED;
    }
    return all;
}

/* "[87*]": the plan's own, 87 of 100, surely enough; "+": enough by the estimate */
static void show_grid_cell(const struct wg_size_grid *grid, int setup, char out[32]) {
    const struct wg_grid_odds *const odds = &grid->varied->odds;
    const bool is_own = odds->own == setup;
    const char *const mark = wg_size_grid_verdict(grid, setup) == WG_YES ? "*" : odds->is_enough[setup] ? "+" : " ";
    char share[WG_SHOWN_SIZE];
    wg_show_share(odds->met[setup], share);
    (void)snprintf(out, 32, "%s%.12s%s%s", is_own ? "[" : "", share, is_own ? "]" : mark, is_own ? mark : " ");
}

/* Writes a row of the table without blanks at its end. */
static void print_grid_row(const char *name, int n, char cell[][32], FILE *to) {
    const int width = (79 - ROW_NAME) / n < MOST_WIDTH ? (79 - ROW_NAME) / n : MOST_WIDTH;
    char row[WG_COMPARE_MAX * MOST_WIDTH + ROW_NAME + 1];
    int used = snprintf(row, sizeof row, "%-*.*s", ROW_NAME, ROW_NAME - 1, name);
    for (int c = 0; c < n; c++)
        used += snprintf(row + used, sizeof row - (size_t)used, "%*.*s", width, width - 1, cell[c]);
    while (used > 0 && row[used - 1] == ' ')
        row[--used] = '\0';
    (void)fprintf(to, "%s\n", row);
}

static void print_cells(const struct wg_size_grid *grid, FILE *to) {
    const struct wg_varied *const varied = grid->varied;
    const int n = varied->n_values[1];
    char cell[WG_COMPARE_MAX][32];
    for (int c = 0; c < n; c++)
        (void)snprintf(cell[c], sizeof cell[c], "%.30s", varied->value[1][c]);
    print_grid_row("", n, cell, to);
    for (int r = 0; r < varied->n_values[0]; r++) {
        for (int c = 0; c < n; c++)
            show_grid_cell(grid, r * n + c, cell[c]);
        print_grid_row(varied->value[0][r], n, cell, to);
    }
}

/* Says which pairs are enough, by the values of the second number. */
static void word_enough(const struct wg_size_grid *grid, char out[MAX_LINE]) {
    const struct wg_varied *const varied = grid->varied;
    const int n_columns = varied->n_values[1];
    size_t n = 0;
    int best = 0;
    out[0] = '\0';
    for (int i = 1; i < varied->n_values[0] * n_columns; i++)
        best = varied->odds.met[i] > varied->odds.met[best] ? i : best;
    for (int c = 0; c < n_columns && n < MAX_LINE - 1; c++) {
        int first = -1, last = -1, count = 0;
        for (int r = 0; r < varied->n_values[0]; r++)
            if (varied->odds.is_enough[r * n_columns + c]) {
                first = first < 0 ? r : first;
                last = r;
                count++;
            }
        if (count == 0)
            continue;
        const char *const joint = last == first ? "" : count == last - first + 1 ? " to " : " and some up to ";
        n += (size_t)snprintf(out + n, MAX_LINE - n, "%s%.30s%s%.30s with %.30s",
                              n > 0 ? "; " : "Enough, surely or by the estimate: ", varied->value[0][first], joint,
                              last > first ? varied->value[0][last] : "", varied->value[1][c]);
    }
    if (n == 0)
        (void)snprintf(out, MAX_LINE, "No pair is enough. The best is %.40s with %.40s.",
                       varied->value[0][best / n_columns], varied->value[1][best % n_columns]);
    else if (n < MAX_LINE - 2)
        (void)strcat(out, ".");
}

void wg_size_grid_print(const struct wg_size_grid *grid, FILE *to) {
    const struct wg_varied *const varied = grid->varied;
    const struct wg_plan *const plan = &grid->scenario->plan;
    const char *const noun = wg_forecast_noun_of(plan, grid->replicates);
    char line[MAX_LINE], enough[MAX_LINE], n[WG_SHOWN_SIZE];
    (void)snprintf(line, sizeof line, "%c%.170s (down) and %.170s (across)",
                   toupper((unsigned char)varied->subject[0][0]), varied->subject[0] + 1, varied->subject[1]);
    wg_show_lines(to, 2, line);
    wg_goals_list(&grid->scenario->plan, to);
    (void)snprintf(line, sizeof line, "Of 100 %s, so many meet %s:", noun,
                   plan->n_goals > 1 ? "all goals" : "the goal");
    wg_show_lines(to, 2, line);
    print_cells(grid, to);
    (void)snprintf(line, sizeof line, "* surely enough, + enough by the estimate, for %s%s",
                   plan->n_goals > 1 ? "each goal with its own chance" : "the goal",
                   varied->odds.own >= 0 ? "; [ ] the plan as it is" : "");
    wg_show_lines(to, 2, line);
    word_enough(grid, enough);
    wg_show_lines(to, 2, enough);
    wg_show_whole(grid->replicates, n);
    (void)snprintf(line, sizeof line,
                   "%s %s for each pair, with the same weather, animals and mishaps in all. --json gives the 95 %% "
                   "interval of each number. Surely enough: the interval of the pair, taken by itself, is above the "
                   "chance wanted.",
                   n, noun);
    wg_show_lines(to, 2, line);
    wg_notes_print_cautions(&plan, 1, to);
}

/* ---- JSON ---- */

static void put_grid_number(struct wg_json *json, const struct wg_size_grid *grid, int k) {
    const char *const name[WG_VARIED_MAX] = {"down", "across"};
    wg_json_object(json, name[k]);
    wg_json_text(json, "key", grid->key[k]);
    wg_json_text(json, "subject", grid->varied->subject[k]);
    wg_json_list(json, "values");
    for (int i = 0; i < grid->varied->n_values[k]; i++)
        wg_json_text(json, NULL, grid->varied->value[k][i]);
    wg_json_close(json);
    wg_json_close(json);
}

static void put_chance(struct wg_json *json, const struct wg_goal_chance *chance) {
    wg_json_whole(json, "years", chance->n);
    wg_json_whole(json, "met", chance->hits);
    wg_json_real(json, "share", chance->share);
    wg_json_real(json, "low", chance->interval.low);
    wg_json_real(json, "high", chance->interval.high);
}

static void put_grid_cell(struct wg_json *json, const struct wg_size_grid *grid, int setup) {
    const int n_goals = grid->scenario->plan.n_goals, n_columns = grid->varied->n_values[1];
    wg_json_object(json, NULL);
    wg_json_text(json, "down", grid->varied->value[0][setup / n_columns]);
    wg_json_text(json, "across", grid->varied->value[1][setup % n_columns]);
    wg_json_flag(json, "is_plan", grid->varied->odds.own == setup);
    wg_json_text(json, "enough", wg_verdict_name(wg_size_grid_verdict(grid, setup)));
    wg_json_flag(json, "enough_by_estimate", grid->varied->odds.is_enough[setup]);
    wg_json_object(json, "all_goals");
    put_chance(json, &grid->all[setup]);
    wg_json_close(json);
    wg_json_list(json, "goals");
    for (int g = 0; g < n_goals; g++) {
        wg_json_object(json, NULL);
        put_chance(json, &grid->goal[setup * n_goals + g]);
        wg_json_real(json, "wanted", grid->scenario->plan.goal[g].chance);
        wg_json_close(json);
    }
    wg_json_close(json);
    wg_json_close(json);
}

int wg_size_grid_print_json(const struct wg_size_grid *grid, FILE *to, struct wg_error *err) {
    struct wg_json *const json = wg_json_new();
    wg_json_text(json, "wintergrub", WG_VERSION);
    wg_json_text(json, "answer", "size of two numbers");
    wg_json_text(json, "scenario", grid->scenario->path);
    wg_json_seed(json, grid->seed);
    wg_json_whole(json, "replicates", grid->replicates);
    put_grid_number(json, grid, 0);
    put_grid_number(json, grid, 1);
    wg_json_list(json, "cells");
    for (int i = 0; i < grid->varied->n_values[0] * grid->varied->n_values[1]; i++)
        put_grid_cell(json, grid, i);
    wg_json_close(json);
    wg_notes_put_cautions(json, &grid->scenario->plan);
    return wg_json_print(json, to, err);
}
