/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Draws the answer of `cheapest`: what each judged plan costs (x), how often it does what was asked (above), and what it gives
 * (below).
 */
#include "cheapest/cheapest_figures.h"

#include "text/money.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* table: a row for each judged plan. part[0].more: the currency; .brief: the title of the x axis.
 * number[]: the chance wanted, the costs at the ends of the axis (below 0: a plan earns), the largest harvest. */
enum { MONEY, ODDS, ODDS_LOW, ODDS_HIGH, HARVEST, IS_WINNER, IS_OWN, N_COLUMNS };
enum { WANTED, LEAST_MONEY, MOST_MONEY, MOST_HARVEST };

#define DOT 8.0
#define TICK 26.0
#define LABEL_GAP 96.0
#define BETWEEN 46.0 /* the two frames */
#define INSET 30.0   /* from the frame's sides to the first and last dot */

static double plan_value(const struct wg_figure *figure, int row, int column) {
    return figure->table.column[column].value[row];
}

static double money_to_x(const struct wg_figure *figure, const struct wg_axes *axes, double money) {
    const double least = figure->number[LEAST_MONEY], span = figure->number[MOST_MONEY] - least;
    return axes->left + INSET + (axes->right - axes->left - 2 * INSET) * (span > 0 ? (money - least) / span : 0);
}

/* Draws a grid line for each round amount, with the amount below if `named`. */
static void draw_money_axis(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes,
                            bool named) {
    const struct wg_text_style style = {WG_FONT_TICK, false, WG_TEXT_COLOUR},
                               bold = {WG_FONT_TICK, true, WG_TEXT_COLOUR};
    const double least = figure->number[LEAST_MONEY], most = figure->number[MOST_MONEY];
    const double step = wg_axes_step(most - least, axes->right - axes->left - 2 * INSET, LABEL_GAP);
    char text[1 + WG_SHOWN_SIZE];
    for (double i = most > least ? ceil(least / step) : 0; i * step <= most && (i <= 0 || most > 0); i++) {
        const double x = money_to_x(figure, axes, i * step);
        wg_canvas_stroke(canvas, x, axes->top, x, axes->bottom, WG_GRID, 1, WG_SOLID);
        wg_show_money(fabs(i * step), fabs(i * step), 3, figure->part[0].more, text + 1);
        text[0] = '-';
        if (named)
            wg_canvas_text(canvas, x, axes->bottom + TICK, WG_CENTRE, &style, i < 0 ? text : text + 1);
    }
    if (named)
        wg_canvas_text(canvas, (axes->left + axes->right) / 2, axes->bottom + 2 * TICK, WG_CENTRE, &bold,
                       figure->part[0].brief);
}

static struct wg_colour colour_of_plan(const struct wg_figure *figure, int row) {
    if (plan_value(figure, row, IS_WINNER) > 0)
        return WG_VERMILION;
    if (plan_value(figure, row, IS_OWN) > 0)
        return WG_BLACK;
    return plan_value(figure, row, ODDS) >= figure->number[WANTED] ? WG_SKY : WG_WHITE;
}

static void draw_plan_dot(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes, int row,
                          int column) {
    const double x = money_to_x(figure, axes, plan_value(figure, row, MONEY));
    const double y = wg_axes_y(axes, plan_value(figure, row, column));
    const bool is_marked = plan_value(figure, row, IS_WINNER) > 0 || plan_value(figure, row, IS_OWN) > 0;
    const double radius = is_marked ? DOT + 2 : DOT;
    if (column == ODDS)
        wg_canvas_stroke(canvas, x, wg_axes_y(axes, plan_value(figure, row, ODDS_LOW)), x,
                         wg_axes_y(axes, plan_value(figure, row, ODDS_HIGH)), WG_TEXT_COLOUR, 2, WG_SOLID);
    wg_canvas_dot(canvas, x, y, radius, WG_BLACK);
    wg_canvas_dot(canvas, x, y, radius - 2, colour_of_plan(figure, row));
}

/* Names a marked plan beside its dot, on the side that has more room. */
static void name_dot(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes, int row,
                     int column, const char *name) {
    const struct wg_text_style style = {WG_FONT_LABEL, true, WG_TEXT_COLOUR};
    const double x = money_to_x(figure, axes, plan_value(figure, row, MONEY));
    const double y = wg_axes_y(axes, plan_value(figure, row, column));
    const bool to_right = x < (axes->left + axes->right) / 2;
    const double baseline = fmin(fmax(y + 36, axes->top + 30), axes->bottom - 10);
    const double width = wg_canvas_text_width(canvas, &style, name), from = to_right ? x + 16 : x - 16 - width;
    wg_canvas_box(canvas, from - 4, baseline - 19, from + width + 4, baseline + 6, WG_WHITE);
    wg_canvas_text(canvas, from, baseline, WG_LEFT, &style, name);
}

static void draw_plans(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes,
                       int column) {
    for (int marked = 0; marked < 2; marked++)
        for (int row = 0; row < figure->table.n_rows; row++) {
            const bool is_marked = plan_value(figure, row, IS_WINNER) > 0 || plan_value(figure, row, IS_OWN) > 0;
            if (is_marked == (marked == 1) && !isnan(plan_value(figure, row, MONEY)))
                draw_plan_dot(canvas, figure, axes, row, column);
        }
    for (int row = 0; row < figure->table.n_rows; row++) {
        const bool is_winner = plan_value(figure, row, IS_WINNER) > 0, is_own = plan_value(figure, row, IS_OWN) > 0;
        if ((is_winner || is_own) && !isnan(plan_value(figure, row, MONEY)))
            name_dot(canvas, figure, axes, row, column,
                     is_winner && is_own ? "yours: keep it"
                     : is_own            ? "yours"
                                         : "the cheapest");
    }
}

static void draw_cheapest_chart(struct wg_canvas *canvas, const struct wg_figure *figure) {
    const struct wg_text_style bold = {WG_FONT_TICK, true, WG_TEXT_COLOUR};
    const double top = wg_figure_draw_text(canvas, figure) + 34, bottom = wg_figure_free_to(canvas) - 2 * TICK - 14;
    const double middle = top + 0.55 * (bottom - top);
    struct wg_axes odds = wg_figure_axes(canvas, figure, top, middle - BETWEEN / 2, 0, 1);
    struct wg_axes harvest =
        wg_figure_axes(canvas, figure, middle + BETWEEN / 2, bottom, 0, wg_axes_round_up(figure->number[MOST_HARVEST]));
    const double y = wg_axes_y(&odds, figure->number[WANTED]);
    wg_axes_values(canvas, &odds, &(struct wg_axis_scale){"%", 100, 0}, NULL);
    draw_money_axis(canvas, figure, &odds, false);
    wg_canvas_text(canvas, odds.left + 8, odds.top - 10, WG_LEFT, &bold, "years in which it does what was asked");
    wg_canvas_stroke(canvas, odds.left, y, odds.right, y, WG_VERMILION, 3, WG_DASHED);
    draw_plans(canvas, figure, &odds, ODDS);
    if (wg_canvas_is_narrow(canvas))
        wg_axes_values(canvas, &harvest, &(struct wg_axis_scale){"kg", 1, 0}, NULL);
    else
        wg_axes_masses(canvas, &harvest);
    draw_money_axis(canvas, figure, &harvest, true);
    wg_canvas_text(canvas, harvest.left + 8, harvest.top - 10, WG_LEFT, &bold, "taken out, on average");
    draw_plans(canvas, figure, &harvest, HARVEST);
}

/* ---- numbers ---- */

static int fill_plans(struct wg_figure *figure, const struct wg_cheapest *c, struct wg_error *err) {
    static const struct {
        const char *name, *unit;
    } column[N_COLUMNS] = {{"money", ""},       {"does what was asked", "1"}, {"low", "1"}, {"high", "1"},
                           {"taken out", "kg"}, {"the cheapest", ""},         {"yours", ""}};
    const struct wg_search_answer *const answer = c->answer;
    int code = wg_table_begin(&figure->table, "plan", answer->n_judged, err);
    for (int i = 0; i < N_COLUMNS && code >= 0; i++)
        code = wg_table_add(&figure->table, column[i].name, column[i].unit, err);
    for (int i = 0; i < answer->n_judged && code >= 0; i++) {
        const struct wg_search_judged *const plan = &answer->judged[i];
        const double value[N_COLUMNS] = {plan->money.mean,        plan->all.share,    plan->all.interval.low,
                                         plan->all.interval.high, plan->harvest.mean, i == answer->winner,
                                         i == answer->own};
        (void)snprintf(figure->table.row[i], WG_TABLE_NAME, "%.127s", c->words[i]);
        for (int k = 0; k < N_COLUMNS; k++)
            figure->table.column[k].value[i] = value[k];
        figure->number[LEAST_MONEY] = fmin(figure->number[LEAST_MONEY], plan->money.mean);
        figure->number[MOST_MONEY] = fmax(figure->number[MOST_MONEY], plan->money.mean);
        figure->number[MOST_HARVEST] = fmax(figure->number[MOST_HARVEST], plan->harvest.mean);
    }
    return code < 0 ? code : 0;
}

static void describe_plans(struct wg_figure *figure, const struct wg_cheapest *c) {
    const struct wg_search_answer *const answer = c->answer;
    char money[WG_CHEAPEST_TEXT] = "", headline[WG_CHEAPEST_TEXT];
    wg_cheapest_headline(c, headline);
    if (answer->winner >= 0) {
        wg_cheapest_money(c, &answer->judged[answer->winner], true, money);
        (void)snprintf(figure->title, sizeof figure->title,
                       "The cheapest plan that does what was asked costs %.40s: %.300s", money,
                       c->words[answer->winner]);
    } else {
        (void)snprintf(figure->title, sizeof figure->title, "%.400s", headline);
    }
    (void)snprintf(figure->note, sizeof figure->note,
                   "Each dot is a plan, judged on years that had no part in the choice; the bar is its 95 %% interval. "
                   "Dashed: what was asked for. Blue: often enough; hollow: not.");
    for (int g = 0; g < c->question->n_goals; g++)
        figure->number[WANTED] = fmax(figure->number[WANTED], c->question->chance[g]);
    (void)snprintf(figure->part[0].more, sizeof figure->part[0].more, "%.40s", c->base->plan.currency);
    (void)snprintf(figure->part[0].brief, sizeof figure->part[0].brief, "what a plan costs%s",
                   wg_cheapest_is_of_a_year(c) ? " in a year" : "");
}

int wg_cheapest_figure(struct wg_figures *figures, const struct wg_run_facts *in, const struct wg_cheapest *cheapest,
                       struct wg_error *err) {
    struct wg_figure *const figure = wg_figures_add_of(figures, in, in->title, 365, "cheapest", err);
    if (figure == NULL)
        return WG_ERR_MEMORY;
    const int code = fill_plans(figure, cheapest, err);
    if (code < 0)
        return code;
    describe_plans(figure, cheapest);
    figure->narrow_height = 760;
    figure->draw = draw_cheapest_chart;
    return 0;
}
