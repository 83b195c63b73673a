/*
 * Draws harvest (y) against energy cost (x) of compared setups: medians over the same weather, with 90 % intervals.
 */
#include "base/stats.h"
#include "figures/figure.h"
#include "text/outcome_label.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define RIGHT 730.0
#define NAMES 815.0 /* x of the names */
#define NAME_GAP 58.0
#define NAME_LINE 22.0 /* a second line of a name */
#define TWO_LINES 1.7  /* text widths that surely fit into two wrapped lines */
#define SAMPLE 46.0    /* width of a colour sample, with the gap to its name */
#define LETTER 28.0    /* diameter of a letter's circle */
#define DOT 6.0
#define LONG_NAME 34 /* characters that fit beside the frame in the small font */

/* table: a row for each setup, five columns of harvest, five of cost; number[0], number[1]: axis maxima;
 * number[2]: 1 if energy replaces the cost */

static double cost_to_x(const struct wg_figure *figure, const struct wg_axes *axes, double cost) {
    return axes->left + 20 + (axes->right - axes->left - 20) * cost / figure->number[1];
}

static void draw_costs(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes) {
    const struct wg_text_style tick = {WG_FONT_TICK, false, WG_TEXT_COLOUR},
                               unit = {WG_FONT_TICK, true, WG_TEXT_COLOUR};
    const double step = wg_axes_step(figure->number[1], axes->right - axes->left, 100);
    for (int i = 0; i * step <= figure->number[1] * 1.0001; i++) {
        char text[WG_LABEL_SIZE];
        const double x = cost_to_x(figure, axes, i * step);
        wg_canvas_stroke(canvas, x, axes->top, x, axes->bottom, WG_GRID, 1, WG_SOLID);
        wg_label_tick(i * step, text);
        wg_canvas_text(canvas, x, axes->bottom + 26, WG_CENTRE, &tick, text);
    }
    wg_canvas_text(canvas, (axes->left + axes->right) / 2, axes->bottom + 52, WG_CENTRE, &unit,
                   figure->number[2] > 0 ? "energy bought, kWh" : "cost of energy, in the currency of the plans");
}

static double value_of(const struct wg_figure *figure, int first, enum wg_band band, int row) {
    return wg_bands_of(&figure->table, first, band)[row];
}

struct chart_point {
    double x, y;
};

/* Draws the cross of a setup; returns the position of its dot. */
static struct chart_point draw_setup(struct wg_canvas *canvas, const struct wg_figure *figure,
                                     const struct wg_axes *axes, int row) {
    double x[WG_N_BANDS], y[WG_N_BANDS];
    for (int band = 0; band < WG_N_BANDS; band++) {
        y[band] = wg_axes_y(axes, value_of(figure, 0, (enum wg_band)band, row));
        x[band] = cost_to_x(figure, axes, value_of(figure, WG_N_BANDS, (enum wg_band)band, row));
    }
    wg_canvas_stroke(canvas, x[WG_Q50], y[WG_Q05], x[WG_Q50], y[WG_Q95], figure->part[row].colour, 4, WG_SOLID);
    wg_canvas_stroke(canvas, x[WG_Q05], y[WG_Q50], x[WG_Q95], y[WG_Q50], figure->part[row].colour, 4, WG_SOLID);
    wg_canvas_dot(canvas, x[WG_Q50], y[WG_Q50], DOT, WG_BLACK);
    return (struct chart_point){x[WG_Q50], y[WG_Q50]};
}

static bool is_position_free(const struct wg_axes *axes, struct chart_point position, int n,
                             const struct chart_point *dot, int n_letters, const struct chart_point *letter) {
    if (position.x < axes->left + LETTER / 2 || position.x > axes->right - LETTER / 2 ||
        position.y > axes->bottom - LETTER / 2)
        return false;
    for (int i = 0; i < n; i++)
        if (hypot(position.x - dot[i].x, position.y - dot[i].y) < LETTER / 2 + DOT + 3)
            return false;
    for (int i = 0; i < n_letters; i++)
        if (hypot(position.x - letter[i].x, position.y - letter[i].y) < LETTER + 3)
            return false;
    return true;
}

/* Finds a position near dot i that covers no dot and no placed letter: searches circles around it, upper right first. */
static struct chart_point find_letter_position(const struct wg_axes *axes, int n, const struct chart_point *dot, int i,
                                               const struct chart_point *letter) {
    static const struct chart_point direction[] = {{0.7, -0.7}, {-0.7, -0.7}, {1, 0},     {0, -1},
                                                   {-1, 0},     {0.7, 0.7},   {-0.7, 0.7}};
    for (double distance = 1.4 * LETTER; distance < 8 * LETTER; distance += LETTER / 2)
        for (size_t k = 0; k < sizeof direction / sizeof *direction; k++) {
            const struct chart_point position = {dot[i].x + distance * direction[k].x,
                                                 dot[i].y + distance * direction[k].y};
            if (is_position_free(axes, position, n, dot, i, letter))
                return position;
        }
    return (struct chart_point){dot[i].x + LETTER, dot[i].y - LETTER};
}

/* Draws all leader lines first, so that none crosses a letter. */
static void draw_letters(struct wg_canvas *canvas, const struct wg_axes *axes, int n, const struct chart_point *dot) {
    const struct wg_text_style style = {WG_FONT_TICK, true, WG_WHITE};
    struct chart_point letter[WG_COMPARE_MAX];
    for (int i = 0; i < n; i++) {
        letter[i] = find_letter_position(axes, n, dot, i, letter);
        wg_canvas_stroke(canvas, dot[i].x, dot[i].y, letter[i].x, letter[i].y, WG_BLACK, 1.5, WG_SOLID);
    }
    for (int i = 0; i < n; i++) {
        const char text[] = {(char)('A' + i), '\0'};
        wg_canvas_dot(canvas, letter[i].x, letter[i].y, LETTER / 2, WG_BLACK);
        wg_canvas_text(canvas, letter[i].x, letter[i].y + 7, WG_CENTRE, &style, text);
    }
}

static void draw_name(struct wg_canvas *canvas, const struct wg_figure_part *part, double y) {
    const struct wg_text_style name = {WG_FONT_MIN_LABEL, true, WG_TEXT_COLOUR},
                               more = {WG_FONT_MIN_LABEL, false, WG_TEXT_COLOUR};
    const double from = NAMES + SAMPLE, width = wg_canvas_sheet(canvas)->width - 8 - from;
    wg_canvas_stroke(canvas, NAMES, y, from - 6, y, part->colour, 4, WG_SOLID);
    double below = y + 7 + NAME_LINE;
    if (wg_canvas_text_width(canvas, &name, part->label) <= TWO_LINES * width)
        below = wg_canvas_paragraph(canvas, from, y + 7, width, 2, &name, part->label);
    else
        wg_canvas_name(canvas, from, y + 7, width, &name, part->label);
    (void)wg_canvas_paragraph(canvas, from, below, width, 1, &more, part->more);
}

static void draw_setup_names(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes) {
    const int n = figure->table.n_rows;
    const bool in_two_lines = n * (NAME_GAP + NAME_LINE) < axes->bottom - axes->top; /* wraps names if there is space */
    double y[WG_COMPARE_MAX];
    for (int row = 0; row < n; row++)
        y[row] = wg_axes_y(axes, value_of(figure, 0, WG_Q50, row)) - 0.01 * (n - row);
    wg_axes_spread(n, y, NAME_GAP + (in_two_lines ? NAME_LINE : 0), axes->top, axes->bottom - 10);
    for (int row = 0; row < n; row++)
        if (in_two_lines)
            draw_name(canvas, &figure->part[row], y[row]);
        else
            wg_figure_label(canvas, &figure->part[row], NAMES, y[row], false);
}

static void draw_comparison(struct wg_canvas *canvas, const struct wg_figure *figure) {
    const bool is_narrow = wg_canvas_is_narrow(canvas);
    const double end = wg_figure_free_to(canvas) - (is_narrow ? NAME_GAP * figure->table.n_rows + 8 : 0);
    const double top = wg_figure_draw_text(canvas, figure) + 32, bottom = end - 62;
    struct wg_axes axes = wg_figure_axes(canvas, figure, top, bottom, 0, figure->number[0]);
    axes.right = is_narrow ? WG_PHONE_W - 76 : RIGHT;
    wg_axes_masses(canvas, &axes);
    draw_costs(canvas, figure, &axes);
    struct chart_point dot[WG_COMPARE_MAX];
    for (int row = 0; row < figure->table.n_rows; row++)
        dot[row] = draw_setup(canvas, figure, &axes, row);
    draw_letters(canvas, &axes, figure->table.n_rows, dot);
    if (!is_narrow)
        draw_setup_names(canvas, figure, &axes);
    for (int row = 0; row < figure->table.n_rows && is_narrow; row++)
        wg_figure_label(canvas, &figure->part[row], 14, end + 20 + NAME_GAP * row, false);
}

/* ---- numbers ---- */

/* Transposes [setup][replicate] to [replicate][setup], for wg_bands_add(); *max: the largest. NULL: no memory. */
static double *transpose(const struct wg_comparison_data *data, const double *values, double *max) {
    double *const transposed = calloc((size_t)data->n * (size_t)data->in.replicates, sizeof *transposed);
    *max = 0;
    for (int i = 0; i < data->n && transposed != NULL; i++)
        for (int64_t k = 0; k < data->in.replicates; k++) {
            transposed[k * data->n + i] = values[i * data->in.replicates + k];
            *max = fmax(*max, values[i * data->in.replicates + k]);
        }
    return transposed;
}

/* A cost is NaN if part of the energy has no price. */
static bool is_all_known(const struct wg_comparison_data *data, const double *values) {
    for (int64_t i = 0; i < data->n * data->in.replicates; i++)
        if (isnan(values[i]))
            return false;
    return true;
}

/* Adds the first of two outcomes if it is known and not 0 everywhere, else the second. Returns its index, 0 or 1. */
static int add_known_outcome(struct wg_figure *figure, struct wg_comparison_data *data,
                             const enum wg_outcome_number outcome[2], struct wg_error *err) {
    for (int i = 0;; i++) {
        const struct wg_outcome *const known = &wg_diary_outcomes()[outcome[i]];
        double *values, *transposed, max;
        int code = wg_comparison_data_outcome(data, outcome[i], &values, err);
        if (code < 0)
            return code;
        transposed = transpose(data, values, &max);
        const bool is_known = is_all_known(data, values);
        free(values);
        if (transposed == NULL)
            return wg_no_memory(err, NULL);
        const int is_taken = (max > 0 && is_known) || i == 1;
        code =
            is_taken ? wg_bands_add(&figure->table, known->name, known->unit, transposed, data->in.replicates, err) : 0;
        free(transposed);
        if (code < 0 || is_taken)
            return code < 0 ? code : i;
    }
}

static double axis_maximum(const struct wg_figure *figure, int first) {
    double max = 0;
    for (int row = 0; row < figure->table.n_rows; row++)
        max = fmax(max, value_of(figure, first, WG_Q95, row));
    return wg_axes_round_up(max);
}

/* True if any name is too long without its first `skipped` bytes. */
static bool is_any_long(const struct wg_comparison_data *data, size_t skipped) {
    for (int row = 0; row < data->n; row++)
        if (strlen(wg_comparison_data_name(data, row)) > skipped + LONG_NAME)
            return true;
    return false;
}

/* Returns the length of a prefix that all titles share, such as "Crow Lane, ", up to a comma; if names would be truncated,
 * up to any word. */
static size_t shared_prefix_length(const struct wg_comparison_data *data) {
    const char *const first = wg_comparison_data_name(data, 0);
    size_t n = 0, shared = 0, words = 0;
    for (;; n++) {
        for (int row = 0; row < data->n; row++)
            if (first[n] == '\0' || wg_comparison_data_name(data, row)[n] != first[n] ||
                wg_comparison_data_name(data, row)[n + 1] == '\0')
                return is_any_long(data, shared) ? words : shared;
        if (n > 0 && first[n] == ' ')
            words = n + 1;
        if (n > 0 && first[n] == ' ' && first[n - 1] == ',')
            shared = n + 1;
    }
}

static void name_setup(struct wg_figure *figure, const struct wg_comparison_data *data, int row) {
    static const struct wg_colour colours[WG_COMPARE_MAX] = {{0, 114 / 255.0, 178 / 255.0, 1},
                                                             {213 / 255.0, 94 / 255.0, 0, 1},
                                                             {0, 158 / 255.0, 115 / 255.0, 1},
                                                             {204 / 255.0, 121 / 255.0, 167 / 255.0, 1},
                                                             {230 / 255.0, 159 / 255.0, 0, 1},
                                                             {86 / 255.0, 180 / 255.0, 233 / 255.0, 1},
                                                             {0.2, 0.2, 0.2, 1},
                                                             {0.55, 0.55, 0.55, 1}};
    struct wg_figure_part *const part = &figure->part[row];
    const char *const title = wg_comparison_data_name(data, row);
    char mass[WG_LABEL_SIZE], cost[WG_LABEL_SIZE];
    part->colour = colours[row];
    (void)snprintf(part->label, sizeof part->label, "%c %.150s", 'A' + row, title + shared_prefix_length(data));
    wg_show_mass(value_of(figure, 0, WG_Q50, row), mass);
    wg_show_number(value_of(figure, WG_N_BANDS, WG_Q50, row), cost);
    (void)snprintf(part->more, sizeof part->more, "%.40s for %.24s%s", mass, cost, figure->number[2] > 0 ? " kWh" : "");
    (void)snprintf(figure->table.row[row], sizeof figure->table.row[row], "%c %.120s", 'A' + row, title);
}

static bool are_all_equal(const struct wg_figure *figure) {
    for (int row = 1; row < figure->table.n_rows; row++)
        if (value_of(figure, 0, WG_Q50, row) != value_of(figure, 0, WG_Q50, 0))
            return false;
    return true;
}

static void describe_comparison(struct wg_figure *figure, const struct wg_comparison_data *data,
                                enum wg_outcome_number harvest) {
    const bool is_crawl_off = harvest == WG_OUTCOME_total_crawl_off_mass;
    const int best = wg_table_peak(&figure->table, WG_Q50);
    const double cost = value_of(figure, WG_N_BANDS, WG_Q50, best);
    char mass[WG_LABEL_SIZE], futures[WG_LABEL_SIZE], spent[WG_LABEL_SIZE],
        heat[WG_LABEL_SIZE + 32] = ", with no energy bought";
    wg_show_mass(value_of(figure, 0, WG_Q50, best), mass);
    wg_label_futures(data->in.replicates, data->n_days, futures);
    wg_show_number(cost, spent);
    if (cost > 0)
        (void)snprintf(heat, sizeof heat, figure->number[2] > 0 ? ", with %s kWh bought" : ", with energy for %s",
                       spent);
    if (value_of(figure, 0, WG_Q50, best) > 0 && are_all_equal(figure))
        (void)snprintf(figure->title, sizeof figure->title, "All setups have the same median: %s", mass);
    else if (value_of(figure, 0, WG_Q50, best) > 0)
        (void)snprintf(figure->title, sizeof figure->title, "Most %s: %c (%.160s), median %s%s",
                       harvest == WG_OUTCOME_total_harvest_mass ? "harvest" : "crawl-off", 'A' + best,
                       wg_comparison_data_name(data, best) + shared_prefix_length(data), mass, heat);
    else
        (void)snprintf(figure->title, sizeof figure->title, "No setup has any %s in half of the %s",
                       is_crawl_off ? "crawl-off" : "harvest", wg_label_noun(data->n_days));
    (void)snprintf(
        figure->note, sizeof figure->note,
        "%s over the period against %s. Dot: median of %s, with the same weather for each setup. Lines: 9 in 10.",
        is_crawl_off ? "Crawl-off" : "Weight taken out", figure->number[2] > 0 ? "energy bought" : "energy cost",
        futures);
}

int wg_figures_compare(struct wg_figures *figures, struct wg_comparison_data *data, struct wg_error *err) {
    static const enum wg_outcome_number harvest[] = {WG_OUTCOME_total_harvest_mass, WG_OUTCOME_total_crawl_off_mass};
    static const enum wg_outcome_number cost[] = {WG_OUTCOME_total_heater_cost, WG_OUTCOME_total_heater_energy};
    struct wg_figure *const figure =
        wg_figures_add_of(figures, &data->in, "Setups compared", data->n_days, "comparison", err);
    if (figure == NULL)
        return WG_ERR_MEMORY;
    int code = wg_table_begin(&figure->table, "setup", data->n, err);
    const int which = code == 0 ? add_known_outcome(figure, data, harvest, err) : code;
    code = which >= 0 ? add_known_outcome(figure, data, cost, err) : which;
    if (code < 0)
        return code;
    figure->number[0] = axis_maximum(figure, 0);
    figure->number[1] = axis_maximum(figure, WG_N_BANDS);
    figure->number[2] = code;
    figure->n_parts = data->n;
    for (int row = 0; row < data->n; row++)
        name_setup(figure, data, row);
    describe_comparison(figure, data, harvest[which]);
    figure->narrow_height = 540 + NAME_GAP * data->n;
    figure->draw = draw_comparison;
    return 0;
}
