/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Prints the chances at each value tried and the answer in one sentence, as text and as JSON.
 */
#include "answers/size_text.h"

#include "base/utf8.h"
#include "data/size_sentences.h"
#include "report/forecast_facts.h"
#include "report/goals_report.h"
#include "report/warning_lists.h"
#include "text/goal_text.h"
#include "text/show.h"
#include <wintergrub/version.h>

#include <ctype.h>
#include <math.h>
#include <string.h>

#define MAX_COLUMNS 2 /* goals: as many as fit into 80 columns, beside values of the usual width */
#define CELL 22       /* "98 % (92.1 to 99.9 %)" */
#define VALUE 16      /* the usual width: "15 November 2026" */

struct varied_text {
    char text[WG_VARY_SHOWN_SIZE];
};

static struct varied_text show_varied_value(const struct wg_size_output *sizing, double value) {
    struct varied_text s;
    wg_vary_show_plain(sizing->vary, value, s.text);
    return s;
}

/* ---- the curve ---- */

static void show_goal_chance(const struct wg_size_output *sizing, const struct wg_size_point *point, int goal,
                             char out[48]) {
    char share[16], range[24];
    wg_goals_text_chance(wg_size_share(point, goal), share);
    wg_goals_text_interval(wg_size_interval(sizing->question, point, goal), range);
    (void)snprintf(out, 48, "%s (%s)", share, range);
}

static int columns_of_value(const struct wg_size_output *sizing, double value) {
    const struct varied_text shown = show_varied_value(sizing, value);
    int n = 0;
    for (const char *c = shown.text; *c != '\0'; c++)
        n += wg_utf8_starts(*c);
    return n;
}

/* Returns the width of the column of values: a unit may be long. */
static int width_of_values(const struct wg_size_output *sizing) {
    int width = VALUE;
    for (int i = 0; i < sizing->size->n_points; i++) {
        const int n = columns_of_value(sizing, sizing->size->point[i].value);
        width = n > width ? n : width;
    }
    return width;
}

/* Whether a line has a cell for each goal, or for the hardest only. */
static bool has_all_goals(const struct wg_size_output *sizing, int width) {
    const int n = sizing->question->n_goals;
    return n == 1 || (n <= MAX_COLUMNS && width <= VALUE);
}

static void print_tried_value(const struct wg_size_output *sizing, const struct wg_size_point *point, int width,
                              FILE *to) {
    const int n_goals = has_all_goals(sizing, width) ? sizing->question->n_goals : 0;
    char n[WG_SHOWN_SIZE], cell[48];
    wg_show_whole(point->n, n);
    (void)fprintf(to, "%s%*s %7s", show_varied_value(sizing, point->value).text,
                  width - columns_of_value(sizing, point->value), "", n);
    if (n_goals == 0) {
        const int goal = wg_size_hardest_goal(sizing->question, point);
        show_goal_chance(sizing, point, goal, cell);
        (void)fprintf(to, "  goal %d, %-*s ", goal + 1, CELL, cell);
    }
    for (int g = 0; g < n_goals; g++) {
        show_goal_chance(sizing, point, g, cell);
        (void)fprintf(to, "  %-*s", CELL, cell);
    }
    (void)fprintf(to, " %s\n", wg_size_enough_word(sizing->question, sizing->size, point));
}

static void print_tried_values(const struct wg_size_output *sizing, FILE *to) {
    const int width = width_of_values(sizing), n_goals = has_all_goals(sizing, width) ? sizing->question->n_goals : 0;
    (void)fprintf(to, "%-*s %7s", width, "value", "tried");
    if (n_goals == 0)
        (void)fprintf(to, "  %-*s", CELL + 9, "the hardest goal there");
    for (int g = 0; g < n_goals; g++)
        (void)fprintf(to, "  goal %d%-*s", g + 1, CELL - 6, "");
    (void)fputs(" enough\n", to);
    for (int i = 0; i < sizing->size->n_points; i++)
        print_tried_value(sizing, &sizing->size->point[i], width, to);
}

/* ---- the answer ---- */

void wg_size_output_print(const struct wg_size_output *sizing, FILE *to) {
    char text[WG_SIZE_TEXT], line[WG_SIZE_TEXT], n[WG_SHOWN_SIZE];
    (void)snprintf(line, sizeof line, "%c%s: the %s number that meets %s (%s, %s in the file)",
                   toupper((unsigned char)sizing->vary->subject[0]), sizing->vary->subject + 1,
                   sizing->question->largest ? "largest" : "smallest",
                   sizing->question->n_goals > 1 ? "all goals" : "the goal", sizing->vary->path,
                   show_varied_value(sizing, sizing->vary->value).text);
    wg_show_lines(to, 2, line);
    wg_goals_list(&sizing->scenario->plan, to);
    print_tried_values(sizing, to);
    wg_size_text(sizing->vary, sizing->question, sizing->size, text);
    wg_show_lines(to, 2, text);
    if (*sizing->why != '\0')
        wg_show_lines(to, 2, sizing->why);
    wg_show_whole(sizing->size->replicates, n);
    (void)snprintf(line, sizeof line,
                   "%s replicates in total. What is sure, and all ranges of the table together, hold with %.4g %% "
                   "confidence; so does the interval of the number.",
                   n, 100 * sizing->question->confidence);
    wg_show_lines(to, 2, line);
    const struct wg_plan *const plan = &sizing->scenario->plan;
    (void)snprintf(line, sizeof line, "at %s",
                   show_varied_value(sizing, wg_size_recommended(sizing->vary, sizing->size)).text);
    wg_notes_print_warnings(sizing->warnings, line, to);
    wg_notes_print_cautions(&plan, 1, to);
}

/* ---- JSON ---- */

static void put_iso_date(struct wg_json *json, const char *key, const struct wg_vary *vary, double value) {
    char date[WG_VARY_SHOWN_SIZE];
    wg_vary_show(vary, value, date);
    wg_json_text(json, key, date);
}

static void put_value(struct wg_json *json, const char *key, const struct wg_size_output *sizing, double value) {
    if (isnan(value))
        wg_json_text(json, key, NULL);
    else if (sizing->vary->is_date)
        put_iso_date(json, key, sizing->vary, value);
    else
        wg_json_real(json, key, value);
}

static void put_vary(struct wg_json *json, const struct wg_size_output *sizing) {
    wg_json_object(json, "vary");
    wg_json_text(json, "key", sizing->vary->path);
    put_value(json, "value", sizing, sizing->vary->value);
    wg_json_text(json, "unit", sizing->vary->unit[0] == ' ' ? sizing->vary->unit + 1 : sizing->vary->unit);
    wg_json_text(json, "subject", sizing->vary->subject);
    put_value(json, "low", sizing, sizing->size->low);
    put_value(json, "high", sizing, sizing->size->high);
    wg_json_text(json, "looked_for", sizing->question->largest ? "largest" : "smallest");
    wg_json_close(json);
}

static void put_json_point(struct wg_json *json, const struct wg_size_output *sizing,
                           const struct wg_size_point *point) {
    wg_json_object(json, NULL);
    put_value(json, "value", sizing, point->value);
    wg_json_whole(json, "replicates", point->n);
    wg_json_text(json, "enough", wg_verdict_name(point->verdict));
    wg_json_list(json, "goals");
    for (int g = 0; g < sizing->question->n_goals; g++) {
        wg_json_object(json, NULL);
        wg_json_whole(json, "met", point->hits[g]);
        wg_goals_json_put_chance(json, wg_size_share(point, g), wg_size_interval(sizing->question, point, g));
        wg_json_close(json);
    }
    wg_json_close(json);
    wg_json_close(json);
}

static void put_size_answer_json(struct wg_json *json, const struct wg_size_output *sizing) {
    const struct wg_size *const size = sizing->size;
    char text[WG_SIZE_TEXT];
    wg_size_text(sizing->vary, sizing->question, sizing->size, text);
    wg_json_text(json, "outcome", wg_size_outcome_name(size->outcome));
    put_value(json, "enough", sizing, size->enough);
    put_value(json, "too_little", sizing, size->too_little);
    put_value(json, "number", sizing, size->number.about);
    put_value(json, "number_low", sizing, size->number.low);
    put_value(json, "number_high", sizing, size->number.high);
    put_value(json, "number_for_luckier_half_of_animals", sizing, size->number.luckier);
    put_value(json, "number_for_harder_half_of_animals", sizing, size->number.harder);
    wg_json_whole(json, "deciding_goal", size->number.goal + 1);
    wg_json_flag(json, "curve_fits", size->number.fits);
    put_value(json, "best", sizing, size->point[size->best].value);
    put_value(json, "falls_from", sizing, size->falls_from);
    put_value(json, "falls_to", sizing, size->falls_to);
    wg_json_text(json, "text", text);
    wg_json_text(json, "why", *sizing->why != '\0' ? sizing->why : NULL);
    wg_json_real(json, "confidence", sizing->question->confidence);
    wg_json_whole(json, "replicates", size->replicates);
}

int wg_size_output_print_json(const struct wg_size_output *sizing, FILE *to, struct wg_error *err) {
    const struct wg_plan *const plan = &sizing->scenario->plan;
    struct wg_json *const json = wg_json_new();
    wg_json_text(json, "wintergrub", WG_VERSION);
    wg_json_text(json, "scenario", sizing->scenario->path);
    wg_json_seed(json, sizing->seed);
    put_vary(json, sizing);
    wg_json_list(json, "goals");
    for (int i = 0; i < plan->n_goals; i++) {
        wg_json_object(json, NULL);
        wg_goals_json_put_one(json, &plan->goal[i], plan->currency);
        wg_json_close(json);
    }
    wg_json_close(json);
    put_size_answer_json(json, sizing);
    wg_json_list(json, "curve");
    for (int i = 0; i < sizing->size->n_points; i++)
        put_json_point(json, sizing, &sizing->size->point[i]);
    wg_json_close(json);
    put_value(json, "warnings_at", sizing, wg_size_recommended(sizing->vary, sizing->size));
    wg_notes_put_warnings(json, sizing->warnings, NULL);
    wg_notes_put_cautions(json, plan);
    return wg_json_print(json, to, err);
}
