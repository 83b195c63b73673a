/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Draws setups that differ in two numbers as grids: a panel for survival, harvest and cost, a cell for each pair of values,
 * with its number. A darker cell has more; a black frame marks the best and what cannot be told from it.
 */
#include "answers/comparison.h"
#include "text/verdict_sentences.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* table: a row for each setup; for each panel its value, and 1 if it is framed; of a grid of `size` one panel, with 1 for
 * the plan as it is, and a column with 1 for what is enough. number[ROWS], number[COLUMNS]: of the grid.
 * part[panel]: its heading and colour; part[ROW_NAMES + i], part[COLUMN_NAMES + i]: the values. part[SUBJECTS]: their names. */
enum { ROWS, COLUMNS, GOALS }; /* GOALS: 1 for a grid of `size`, whose panel is that of the goals */
enum { CELL_VALUE, FRAMED, PER_PANEL, ENOUGH = PER_PANEL };
enum { MAX_PANELS = 3, ROW_NAMES = MAX_PANELS, COLUMN_NAMES = ROW_NAMES + WG_COMPARE_MAX, SUBJECTS = 60 };

#define SIDE 40.0
#define NARROW_SIDE 14.0
#define ROW_NAME 104.0 /* width of the values at the left */
#define HEADING 30.0
#define COLUMN_NAME 30.0
#define GAP 26.0
#define FRAME 4.0
#define CONTOUR 5.0
#define PALEST 0.06 /* share of a colour at 0 and at the maximum */
#define DARKEST 0.95

static int n_grids(const struct wg_figure *figure) {
    return figure->table.n_columns / PER_PANEL;
}

static double grid_value(const struct wg_figure *figure, int panel, int what, int setup) {
    return figure->table.column[PER_PANEL * panel + what].value[setup];
}

static double grid_maximum(const struct wg_figure *figure, int panel) {
    double max = panel == 0 ? 100 : 0;
    for (int setup = 0; setup < figure->table.n_rows; setup++)
        max = fmax(max, grid_value(figure, panel, CELL_VALUE, setup));
    return max;
}

/* ---- drawing ---- */

struct grid_frame {
    double left, right, top, bottom; /* of the cells */
};

static double linear(double channel) {
    return channel <= 0.04045 ? channel / 12.92 : pow((channel + 0.055) / 1.055, 2.4);
}

/* Returns black or white, whichever contrasts more: 4.5 to 1 or better on any colour (WCAG 2.1, relative luminance). */
static struct wg_colour text_colour_on(struct wg_colour ground) {
    const double luminance = 0.2126 * linear(ground.red) + 0.7152 * linear(ground.green) + 0.0722 * linear(ground.blue);
    return luminance > 0.179 ? WG_BLACK : WG_WHITE;
}

static void draw_plan_frame(struct wg_canvas *canvas, double x0, double y0, double x1, double y1,
                            struct wg_colour colour) {
    wg_canvas_stroke(canvas, x0, y0, x1, y0, colour, 2, WG_SOLID);
    wg_canvas_stroke(canvas, x1, y0, x1, y1, colour, 2, WG_SOLID);
    wg_canvas_stroke(canvas, x1, y1, x0, y1, colour, 2, WG_SOLID);
    wg_canvas_stroke(canvas, x0, y1, x0, y0, colour, 2, WG_SOLID);
}

static void draw_grid_cell(struct wg_canvas *canvas, const struct wg_figure *figure, const struct grid_frame *frame,
                           int panel, int setup) {
    const int n_rows = (int)figure->number[ROWS], n_columns = (int)figure->number[COLUMNS];
    const double width = (frame->right - frame->left) / n_columns, height = (frame->bottom - frame->top) / n_rows;
    const double x = frame->left + width * (setup % n_columns), y = frame->top + height * (setup / n_columns);
    const double value = grid_value(figure, panel, CELL_VALUE, setup), max = grid_maximum(figure, panel);
    const double share = max > 0 && !isnan(value) ? PALEST + (DARKEST - PALEST) * value / max : PALEST;
    char text[WG_LABEL_SIZE];
    const struct wg_colour ground = wg_tint(figure->part[panel].colour, share);
    const struct wg_text_style large = {WG_FONT_TICK, true, text_colour_on(ground)};
    const bool is_marked = grid_value(figure, panel, FRAMED, setup) > 0, has_goals = figure->number[GOALS] > 0;
    if (is_marked && !has_goals)
        wg_canvas_box(canvas, x + 1, y + 1, x + width - 1, y + height - 1, WG_BLACK);
    wg_canvas_box(canvas, x + FRAME, y + FRAME, x + width - FRAME, y + height - FRAME, ground);
    if (panel == 0)
        wg_show_share(value / 100, text);
    else
        wg_show_number(value, text);
    const struct wg_text_style style = wg_canvas_fit_text(canvas, large, WG_FONT_MIN_FOOT, width - 12, 1, text);
    wg_canvas_text(canvas, x + width / 2, y + height / 2 + 7, WG_CENTRE, &style, text);
    if (is_marked && has_goals)
        draw_plan_frame(canvas, x + 2 * FRAME, y + 2 * FRAME, x + width - 2 * FRAME, y + height - 2 * FRAME,
                        text_colour_on(ground));
}

static bool is_grid_enough(const struct wg_figure *figure, int row, int column) {
    return figure->table.column[ENOUGH].value[row * (int)figure->number[COLUMNS] + column] > 0;
}

/* Draws a line between what is enough and what is not. */
static void draw_contour(struct wg_canvas *canvas, const struct wg_figure *figure, const struct grid_frame *frame) {
    const int n_rows = (int)figure->number[ROWS], n_columns = (int)figure->number[COLUMNS];
    const double width = (frame->right - frame->left) / n_columns, height = (frame->bottom - frame->top) / n_rows;
    for (int r = 0; r < n_rows; r++)
        for (int c = 0; c < n_columns; c++) {
            const double x = frame->left + width * c, y = frame->top + height * r;
            if (c + 1 < n_columns && is_grid_enough(figure, r, c) != is_grid_enough(figure, r, c + 1))
                wg_canvas_stroke(canvas, x + width, y, x + width, y + height, WG_BLACK, CONTOUR, WG_SOLID);
            if (r + 1 < n_rows && is_grid_enough(figure, r, c) != is_grid_enough(figure, r + 1, c))
                wg_canvas_stroke(canvas, x, y + height, x + width, y + height, WG_BLACK, CONTOUR, WG_SOLID);
        }
}

/* Writes the values beside the rows and above the columns. */
static void draw_grid_names(struct wg_canvas *canvas, const struct wg_figure *figure, const struct grid_frame *frame) {
    const struct wg_text_style large = {WG_FONT_MIN_LABEL, false, WG_TEXT_COLOUR};
    const int n_rows = (int)figure->number[ROWS], n_columns = (int)figure->number[COLUMNS];
    const double width = (frame->right - frame->left) / n_columns, height = (frame->bottom - frame->top) / n_rows;
    for (int i = 0; i < n_rows; i++) {
        const char *const name = figure->part[ROW_NAMES + i].label;
        const struct wg_text_style style = wg_canvas_fit_text(canvas, large, WG_FONT_MIN_FOOT, ROW_NAME - 10, 1, name);
        wg_canvas_text(canvas, frame->left - 8, frame->top + height * (i + 0.5) + 6, WG_RIGHT, &style, name);
    }
    for (int i = 0; i < n_columns; i++) {
        const char *const name = figure->part[COLUMN_NAMES + i].label;
        const struct wg_text_style style = wg_canvas_fit_text(canvas, large, WG_FONT_MIN_FOOT, width - 6, 1, name);
        wg_canvas_text(canvas, frame->left + width * (i + 0.5), frame->top - 8, WG_CENTRE, &style, name);
    }
}

static void draw_grid(struct wg_canvas *canvas, const struct wg_figure *figure, const struct grid_frame *frame,
                      int panel) {
    const struct wg_text_style heading = {WG_FONT_TICK, true, WG_TEXT_COLOUR};
    wg_canvas_text(canvas, frame->left, frame->top - COLUMN_NAME - 8, WG_LEFT, &heading, figure->part[panel].label);
    draw_grid_names(canvas, figure, frame);
    for (int setup = 0; setup < figure->table.n_rows; setup++)
        draw_grid_cell(canvas, figure, frame, panel, setup);
    if (figure->number[GOALS] > 0)
        draw_contour(canvas, figure, frame);
}

/* Says what stands at the left and above. */
static double draw_subjects(struct wg_canvas *canvas, const struct wg_figure *figure, double x, double y,
                            double width) {
    const struct wg_text_style style = {WG_FONT_MIN_LABEL, false, WG_TEXT_COLOUR};
    return wg_canvas_paragraph(canvas, x, y, width, 2, &style, figure->part[SUBJECTS].label);
}

static void draw_grids(struct wg_canvas *canvas, const struct wg_figure *figure) {
    const bool is_narrow = wg_canvas_is_narrow(canvas);
    const int n = n_grids(figure);
    const double side = is_narrow ? NARROW_SIDE : SIDE, width = wg_canvas_sheet(canvas)->width - 2 * side;
    const double top = draw_subjects(canvas, figure, side, wg_figure_draw_text(canvas, figure) + 26, width);
    const double bottom = wg_figure_free_to(canvas) - 12;
    const double across = is_narrow ? width : width / n, down = is_narrow ? (bottom - top) / n : bottom - top;
    for (int panel = 0; panel < n; panel++) {
        const double x = side + (is_narrow ? 0 : panel * across), y = top + (is_narrow ? panel * down : 0);
        const struct grid_frame frame = {x + ROW_NAME, x + across - (is_narrow ? 0 : GAP), y + HEADING + COLUMN_NAME,
                                         y + down - (is_narrow ? GAP : 0)};
        draw_grid(canvas, figure, &frame, panel);
    }
}

/* ---- numbers ---- */

static bool is_among(const int *setups, int n, int setup) {
    for (int i = 0; i < n; i++)
        if (setups[i] == setup)
            return true;
    return false;
}

/* Adds a panel; `framed` says what a frame means. */
static int add_grid(struct wg_figure *figure, const char *label, const char *unit, const char *framed,
                    struct wg_colour colour, struct wg_error *err) {
    const int panel = n_grids(figure);
    (void)snprintf(figure->part[panel].label, sizeof figure->part[panel].label, "%s%s%s", label,
                   unit[0] != '\0' ? ", " : "", unit);
    figure->part[panel].colour = colour;
    const int code = wg_table_add(&figure->table, label, unit, err);
    return code < 0 ? code : wg_table_add(&figure->table, framed, "1", err);
}

static int add_grids(struct wg_figure *figure, const struct wg_choice *choice, struct wg_error *err) {
    static const char best[] = "best, or not to be told from it";
    const bool is_crawl_off = choice->harvest == WG_COMPARED_total_crawl_off_mass;
    int code = add_grid(figure, "Alive at the end", "of 100", best, WG_BLUE, err);
    if (code >= 0)
        code = add_grid(figure, is_crawl_off ? "Crawl-off" : "Harvest", "kg", best, WG_RGB(0, 110, 80), err);
    if (code >= 0 && choice->has_energy)
        code = add_grid(figure, choice->is_priced ? "Cost of energy" : "Energy", choice->is_priced ? "" : "kWh", best,
                        WG_RGB(180, 75, 0), err);
    if (code < 0)
        return code;
    for (int i = 0; i < choice->n; i++) {
        const struct wg_choice_setup *const setup = &choice->setup[i];
        figure->table.column[0].value[i] = 100 * setup->survival.mean;
        figure->table.column[1].value[i] = is_among(choice->by_survival, choice->n_longest, i);
        figure->table.column[2].value[i] = setup->number[choice->harvest].mean;
        figure->table.column[3].value[i] = is_among(choice->by_harvest, choice->n_largest, i);
        if (choice->has_energy)
            figure->table.column[4].value[i] = setup->number[choice->cost].mean;
    }
    return 0;
}

/* The panel of a grid of `size`. */
static int add_goals_panel(struct wg_figure *figure, const struct wg_grid_odds *odds, struct wg_error *err) {
    int code = add_grid(figure, "All goals met", "of 100", "the plan as it is", WG_BLUE, err);
    if (code >= 0)
        code = wg_table_add(&figure->table, "enough for every goal", "1", err);
    for (int i = 0; i < odds->n && code >= 0; i++) {
        figure->table.column[CELL_VALUE].value[i] = 100 * odds->met[i];
        figure->table.column[FRAMED].value[i] = odds->own == i;
        figure->table.column[ENOUGH].value[i] = odds->is_enough[i];
    }
    figure->number[GOALS] = 1;
    return code < 0 ? code : 0;
}

/* ---- words ---- */

static void name_values(struct wg_figure *figure, const struct wg_varied *varied) {
    struct wg_figure_part *const part = figure->part;
    figure->number[ROWS] = varied->n_values[0];
    figure->number[COLUMNS] = varied->n_values[1];
    for (int i = 0; i < varied->n_values[0]; i++)
        (void)snprintf(part[ROW_NAMES + i].label, sizeof part->label, "%s", varied->value[0][i]);
    for (int i = 0; i < varied->n_values[1]; i++)
        (void)snprintf(part[COLUMN_NAMES + i].label, sizeof part->label, "%s", varied->value[1][i]);
    (void)snprintf(part[SUBJECTS].label, sizeof part->label, "Down: %.70s. Across: %.70s.", varied->subject[0],
                   varied->subject[1]);
}

static void describe_grid(struct wg_figure *figure, const struct wg_comparison_data *data,
                          const struct wg_choice *choice, const struct wg_verdict_facts *facts) {
    const int most = choice->by_harvest[0], rarest = choice->by_survival[choice->n - 1];
    char mass[WG_LABEL_SIZE], share[WG_LABEL_SIZE], futures[WG_LABEL_SIZE];
    wg_show_mass(choice->setup[most].number[choice->harvest].mean, mass);
    wg_show_share(choice->setup[rarest].survival.mean, share);
    wg_label_futures(data->in.replicates, data->n_days, futures);
    (void)snprintf(figure->title, sizeof figure->title,
                   "Most %s at %.120s: %s; alive least often at %.120s: in %s of 100 %s",
                   choice->harvest == WG_COMPARED_total_crawl_off_mass ? "crawl-off" : "harvest", facts->name[most],
                   mass, facts->name[rarest], share, wg_label_noun(data->n_days));
    (void)snprintf(figure->note, sizeof figure->note,
                   "Means of %s, with the same weather for each cell. Black frame: the best, and what cannot be told "
                   "from it.",
                   futures);
}

static void describe_goals_grid(struct wg_figure *figure, const struct wg_comparison_data *data,
                                const struct wg_verdict_facts *facts) {
    const struct wg_grid_odds *const odds = &data->varied.odds;
    int best = 0, n_best = 0, n_enough = 0;
    char share[WG_LABEL_SIZE], futures[WG_LABEL_SIZE], with[160];
    for (int i = 0; i < odds->n; i++)
        best = odds->met[i] > odds->met[best] ? i : best;
    for (int i = 0; i < odds->n; i++) {
        n_best += !(odds->met[i] < odds->met[best]);
        n_enough += odds->is_enough[i];
    }
    (void)snprintf(with, sizeof with, "%.120s", facts->name[best]);
    if (n_best > 1)
        (void)snprintf(with, sizeof with, "%d of the pairs", n_best);
    wg_show_share(odds->met[best], share);
    wg_label_futures(data->in.replicates, data->n_days, futures);
    (void)snprintf(figure->title, sizeof figure->title,
                   "All goals are met most often with %s: in %s of 100 %s; %d of %d pairs %s enough", with, share,
                   wg_label_noun(data->n_days), n_enough, odds->n, n_enough == 1 ? "is" : "are");
    (void)snprintf(
        figure->note, sizeof figure->note,
        "Shares of %s, with the same weather for each cell. Black line: between what is enough for every goal "
        "and what is not, by the estimate.%s",
        futures, odds->own >= 0 ? " Frame: the plan as it is." : "");
}

int wg_comparison_grid(struct wg_figures *figures, const struct wg_comparison_data *data,
                       const struct wg_choice *choice, const struct wg_verdict_facts *facts, struct wg_error *err) {
    if (data->varied.n < 2)
        return 0;
    struct wg_figure *const figure =
        wg_figures_add_of(figures, &data->in, data->varied.title, data->n_days, "grid", err);
    if (figure == NULL)
        return WG_ERR_MEMORY;
    int code = wg_table_begin(&figure->table, "setup", data->n, err);
    const bool has_goals = data->varied.odds.n > 0;
    if (code == 0)
        code = has_goals ? add_goals_panel(figure, &data->varied.odds, err) : add_grids(figure, choice, err);
    if (code < 0)
        return code;
    for (int i = 0; i < data->n; i++)
        (void)snprintf(figure->table.row[i], sizeof figure->table.row[i], "%c %.120s", 'A' + i, facts->name[i]);
    name_values(figure, &data->varied);
    if (has_goals)
        describe_goals_grid(figure, data, facts);
    else
        describe_grid(figure, data, choice, facts);
    figure->narrow_height = 60 + n_grids(figure) * (HEADING + COLUMN_NAME + GAP + 56 * data->varied.n_values[0]);
    figure->draw = draw_grids;
    return 0;
}
