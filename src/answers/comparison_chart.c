/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Draws compared setups as rows of dots: for each outcome a panel with its own scale, a dot at the mean over the same
 * weather, and a line over the range.
 */
#include "answers/comparison.h"
#include "base/utf8.h"
#include "text/verdict_sentences.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* table: a row for each setup, N_MARKS columns for each panel. part[setup]: its name, and below it what to beware of;
 * part[PANELS + p]: the heading of panel p; number[0]: height of a name on a phone. */
enum { MEAN, LOW, HIGH, N_MARKS };
enum { PANELS = WG_COMPARE_MAX, MAX_PANELS = 6 };
/* part[PANELS + p].number[0]: what panel p shows. */
enum panel_of { OF_ALIVE, OF_AMOUNT, OF_PRICE_OF_KG, OF_BALANCE, OF_ABOVE_ZERO };

#define SIDE 40.0
#define NAMES_WIDE 310.0 /* width of the names */
#define FILL 0.8         /* of a row's height is filled by letters and dots */
#define TALL_ROW 52.0    /* a value fits above its dot */
#define NAMES_NARROW 30.0
#define VALUE 64.0 /* room for a value, right-aligned before its dots */
#define GAP 14.0
#define HEAD 58.0       /* two lines over a panel */
#define FOOT 34.0       /* the scale below it */
#define WIDE_SCALE 72.0 /* has room for a 0 beside its maximum */
#define DOT 6.0
#define BELOW_VALUE 14.0 /* from the middle of a tall row to its dots */
#define LINE 21.0        /* of a name */
#define ROW_NARROW 30.0  /* of a panel on a phone */
#define KEY_NARROW 62.0  /* of a name there, and of one that needs two lines */
#define KEY_TALL 84.0
#define LONG_NAME 48 /* bytes */
#define RARELY 0.1   /* alive so seldom: a warning colour (judgement, as in the verdict) */
#define MOSTLY 0.9   /* and so often: a good one (judgement) */

static int n_panels_of(const struct wg_figure *figure) {
    return figure->table.n_columns / N_MARKS;
}

static double mark_of(const struct wg_figure *figure, int panel, int mark, int row) {
    return figure->table.column[N_MARKS * panel + mark].value[row];
}

/* A phone shows all letters smaller. */
static double label_size(const struct wg_canvas *canvas) {
    return wg_canvas_is_narrow(canvas) ? WG_FONT_TICK : WG_FONT_MIN_LABEL;
}

/* ---- a panel ---- */

struct dot_panel {
    int number;
    enum panel_of of;
    double left, right; /* of its dots */
    bool has_tall_rows;
    double row_height;
    double top, bottom;
    double min, max; /* of the scale, which holds 0 */
};

/* Sets what a panel shows and its scale: one of shares ends at 100, only one of balances goes below 0. */
static struct dot_panel scaled_panel(const struct wg_figure *figure, int number) {
    struct dot_panel panel = {.number = number, .of = (enum panel_of)figure->part[PANELS + number].number[0]};
    double low = 0, high = 0;
    for (int row = 0; row < figure->table.n_rows; row++) {
        low = fmin(low, fmin(mark_of(figure, number, LOW, row), mark_of(figure, number, MEAN, row)));
        high = fmax(high, fmax(mark_of(figure, number, HIGH, row), mark_of(figure, number, MEAN, row)));
    }
    if (panel.of == OF_BALANCE && low < 0)
        panel.min = -wg_axes_round_up(-low);
    panel.max = panel.of == OF_ALIVE || panel.of == OF_ABOVE_ZERO ? 100
                : high > 0 || panel.min >= 0                      ? wg_axes_round_up(high)
                                                                  : 0;
    return panel;
}

static double value_at(const struct dot_panel *panel, double value) {
    return panel->left + (panel->right - panel->left) * (value - panel->min) / (panel->max - panel->min);
}

/* Draws 0 between losses and gains; its number only where those of the ends leave room. */
static void draw_zero(struct wg_canvas *canvas, const struct dot_panel *panel, const struct wg_text_style *tick) {
    const double x = value_at(panel, 0), room = fmin(x - panel->left, panel->right - x);
    wg_canvas_stroke(canvas, x, panel->top, x, panel->bottom, wg_tint(WG_SMALL_TEXT_COLOUR, 0.5), 1.5, WG_SOLID);
    if (room > 0.5 * WIDE_SCALE)
        wg_canvas_text(canvas, x, panel->bottom + 20, WG_CENTRE, tick, "0");
}

static void draw_scale(struct wg_canvas *canvas, const struct dot_panel *panel) {
    const struct wg_text_style tick = {label_size(canvas), false, WG_SMALL_TEXT_COLOUR};
    for (int i = 0; i <= 2; i++) {
        char text[WG_LABEL_SIZE];
        const double value = panel->min + (panel->max - panel->min) * i / 2, x = value_at(panel, value);
        wg_canvas_stroke(canvas, x, panel->top, x, panel->bottom, WG_GRID, 1, WG_SOLID);
        wg_label_tick(value, text);
        if (i == 2 || (i == 0 && panel->right - panel->left > WIDE_SCALE))
            wg_canvas_text(canvas, x, panel->bottom + 20, i == 0 ? WG_LEFT : WG_RIGHT, &tick, text);
    }
    if (panel->min < 0)
        draw_zero(canvas, panel, &tick);
}

/* Survival has the colour of what it means for the colony, never a good one near 0. */
static struct wg_colour colour_of(const struct wg_figure *figure, const struct dot_panel *panel, int row) {
    const double alive = mark_of(figure, 0, MEAN, row) / 100;
    if (panel->of == OF_BALANCE && mark_of(figure, panel->number, MEAN, row) < 0)
        return WG_VERMILION;
    if (panel->of != OF_ALIVE || alive >= MOSTLY)
        return WG_BLUE;
    return alive <= RARELY ? WG_VERMILION : WG_ORANGE;
}

/* Writes the mean above its dot, or before all dots if rows are low. */
static void draw_value(struct wg_canvas *canvas, const struct wg_figure *figure, const struct dot_panel *panel, int row,
                       double y) {
    const struct wg_text_style style = {fmin(WG_FONT_TICK, FILL * panel->row_height), true, WG_TEXT_COLOUR};
    const double mean = mark_of(figure, panel->number, MEAN, row);
    char text[WG_LABEL_SIZE];
    if (panel->of == OF_ALIVE || panel->of == OF_ABOVE_ZERO)
        wg_show_share(mean / 100, text);
    else if (panel->of == OF_PRICE_OF_KG)
        wg_show_price_of_kg(mean, "", text); /* the panel names the currency */
    else
        wg_show_number(mean, text);
    const double half = wg_canvas_text_width(canvas, &style, text) / 2;
    if (!panel->has_tall_rows)
        wg_canvas_text(canvas, panel->left - 10, y + 0.37 * style.size, WG_RIGHT, &style, text);
    else if (isnan(mean))
        wg_canvas_text(canvas, panel->left, y, WG_LEFT, &style, text);
    else
        wg_canvas_text(canvas, fmin(fmax(value_at(panel, mean), panel->left + half - DOT), panel->right - half + DOT),
                       y - 4, WG_CENTRE, &style, text);
}

static void draw_mark(struct wg_canvas *canvas, const struct wg_figure *figure, const struct dot_panel *panel, int row,
                      double y) {
    const double mean = mark_of(figure, panel->number, MEAN, row), low = mark_of(figure, panel->number, LOW, row),
                 high = mark_of(figure, panel->number, HIGH, row);
    const struct wg_colour colour = colour_of(figure, panel, row);
    draw_value(canvas, figure, panel, row, y);
    if (isnan(mean))
        return;
    y += panel->has_tall_rows ? BELOW_VALUE : 0;
    if (!isnan(low))
        wg_canvas_stroke(canvas, value_at(panel, low), y, value_at(panel, high), y, wg_tint(colour, 0.5), 6, WG_SOLID);
    const double radius = fmin(DOT, FILL * panel->row_height / 2 - 1.5);
    wg_canvas_dot(canvas, value_at(panel, mean), y, radius + 1.5, WG_WHITE);
    wg_canvas_dot(canvas, value_at(panel, mean), y, radius, colour);
}

static void draw_panel_heading(struct wg_canvas *canvas, const struct wg_figure *figure,
                               const struct dot_panel *panel) {
    const struct wg_text_style style = {label_size(canvas), true, WG_TEXT_COLOUR},
                               unit = {label_size(canvas), false, WG_SMALL_TEXT_COLOUR};
    const struct wg_figure_part *const part = &figure->part[PANELS + panel->number];
    const double x = panel->left - (panel->has_tall_rows ? DOT : VALUE - DOT);
    wg_canvas_text(canvas, x, panel->top - 32, WG_LEFT, &style, part->label);
    wg_canvas_text(canvas, x, panel->top - 11, WG_LEFT, &unit, part->more);
}

/* ---- a screen: setups down, outcomes across ---- */

/* Draws a name on one line, with its note beside it if there is room. */
static void draw_name_on_line(struct wg_canvas *canvas, const struct wg_figure_part *part, double x, double y,
                              double width, double height) {
    const struct wg_text_style name = {fmin(WG_FONT_MIN_LABEL, FILL * height), true, WG_TEXT_COLOUR},
                               note = {fmin(WG_FONT_FOOT, FILL * height), false, WG_WARNING_TEXT_COLOUR};
    const double taken = wg_canvas_text_width(canvas, &name, part->label) + 10;
    wg_canvas_name(canvas, x, y, width, &name, part->label);
    if (taken + wg_canvas_text_width(canvas, &note, part->brief) <= width)
        wg_canvas_text(canvas, x + taken, y, WG_LEFT, &note, part->brief);
}

#define LINE_SHARE 1.3 /* of a font's size from line to line, as a paragraph has it */
#define FULL_LINE 0.88 /* of a line's width is filled on average, because words are not broken */

/* Returns the largest size at which a name fits into a space, with its number of lines; the smallest if none does. */
static struct wg_text_style fit_name(struct wg_canvas *canvas, const char *name, double width, double height,
                                     int *lines) {
    const double least = wg_canvas_is_narrow(canvas) ? WG_FONT_MIN_LABEL : WG_FONT_MIN_FOOT;
    struct wg_text_style style = {WG_FONT_MIN_LABEL, true, WG_TEXT_COLOUR};
    for (;; style.size--) {
        const int room = (int)fmax(1, floor(height / (LINE_SHARE * style.size)));
        const double taken = wg_canvas_text_width(canvas, &style, name);
        *lines = taken <= width ? 1 : (int)ceil(taken / (FULL_LINE * width));
        if (*lines <= room || style.size <= least) {
            *lines = *lines <= room ? *lines : room;
            return style;
        }
    }
}

/* Cuts the middle of a name, where names often agree, until it fits into so many lines. */
static void cut_middle(struct wg_canvas *canvas, const struct wg_text_style *style, double width, int lines,
                       char name[160]) {
    size_t head = strlen(name) / 2, tail = head;
    char cut[160 + 4];
    (void)snprintf(cut, sizeof cut, "%s", name);
    while (head > 0 && wg_canvas_text_width(canvas, style, cut) > FULL_LINE * width * lines) {
        do
            head--;
        while (head > 0 && !wg_utf8_starts(name[head]));
        do
            tail++;
        while (name[tail] != '\0' && !wg_utf8_starts(name[tail]));
        (void)snprintf(cut, sizeof cut, "%.*s...%s", (int)head, name, name + tail);
    }
    (void)snprintf(name, 160, "%.159s", cut);
}

/* Draws a name whole, in as many lines as a row has, smaller if they do not suffice; its note below; both around y. */
static void draw_setup_name(struct wg_canvas *canvas, const struct wg_figure_part *part, double x, double y,
                            double width, double height) {
    const struct wg_text_style note = {wg_canvas_is_narrow(canvas) ? WG_FONT_MIN_LABEL : WG_FONT_FOOT, false,
                                       WG_WARNING_TEXT_COLOUR};
    const int notes = part->more[0] == '\0' ? 0 : wg_canvas_text_width(canvas, &note, part->more) <= width ? 1 : 2;
    const double below = notes * LINE_SHARE * note.size;
    char name[160];
    int lines;
    if (height - below < LINE) {
        draw_name_on_line(canvas, part, x, y + fmin(6, 0.3 * height), width, height);
        return;
    }
    const struct wg_text_style style = fit_name(canvas, part->label, width, height - below - 4, &lines);
    const double first = y + 0.8 * style.size - (lines * LINE_SHARE * style.size + below) / 2;
    (void)snprintf(name, sizeof name, "%s", part->label);
    if (lines > 1)
        cut_middle(canvas, &style, width, lines, name);
    const double next = wg_canvas_paragraph(canvas, x, first, width, lines, &style, name);
    (void)wg_canvas_paragraph(canvas, x, next + fmax(0, note.size - style.size), width, notes, &note, part->more);
}

static void draw_rows(struct wg_canvas *canvas, const struct wg_figure *figure, double top, double bottom) {
    const int n = figure->table.n_rows, n_panels = n_panels_of(figure);
    const double width = wg_canvas_sheet(canvas)->width, each = (width - 2 * SIDE - NAMES_WIDE) / n_panels,
                 height = (bottom - top) / n;
    for (int p = 0; p < n_panels; p++) {
        const double left = SIDE + NAMES_WIDE + p * each;
        struct dot_panel panel = scaled_panel(figure, p);
        panel.left = left + (height >= TALL_ROW ? 2 * DOT : VALUE);
        panel.right = left + each - 2 * GAP;
        panel.has_tall_rows = height >= TALL_ROW;
        panel.row_height = height;
        panel.top = top;
        panel.bottom = bottom;
        draw_scale(canvas, &panel);
        draw_panel_heading(canvas, figure, &panel);
        for (int row = 0; row < n; row++)
            draw_mark(canvas, figure, &panel, row, top + height * (row + 0.5));
    }
    for (int row = 0; row < n; row++) {
        wg_canvas_stroke(canvas, SIDE, top + height * row, width - SIDE, top + height * row, WG_GRID, 1, WG_SOLID);
        draw_setup_name(canvas, &figure->part[row], SIDE, top + height * (row + 0.5), NAMES_WIDE - 10, height);
    }
}

/* ---- a phone: names first, then a panel for each outcome ---- */

static void draw_on_phone(struct wg_canvas *canvas, const struct wg_figure *figure, double top) {
    const struct wg_text_style letter = {label_size(canvas), true, WG_TEXT_COLOUR};
    const int n = figure->table.n_rows;
    double y = top;
    const double key = figure->number[0];
    for (int row = 0; row < n; row++, y += key)
        draw_setup_name(canvas, &figure->part[row], GAP, y + key / 2, WG_PHONE_W - 2 * GAP, key);
    for (int p = 0; p < n_panels_of(figure); p++) {
        const double from = y + HEAD, to = from + n * ROW_NARROW;
        struct dot_panel panel = scaled_panel(figure, p);
        panel.left = GAP + NAMES_NARROW + VALUE;
        panel.right = WG_PHONE_W - 2 * GAP;
        panel.row_height = ROW_NARROW;
        panel.top = from;
        panel.bottom = to;
        draw_scale(canvas, &panel);
        draw_panel_heading(canvas, figure, &panel);
        for (int row = 0; row < n; row++) {
            const double middle = from + ROW_NARROW * (row + 0.5);
            wg_canvas_text(canvas, GAP, middle + 6, WG_LEFT, &letter, wg_setup_letter(row));
            draw_mark(canvas, figure, &panel, row, middle);
        }
        y = to + FOOT;
    }
}

static void draw_comparison(struct wg_canvas *canvas, const struct wg_figure *figure) {
    const double top = wg_figure_draw_text(canvas, figure);
    if (wg_canvas_is_narrow(canvas))
        draw_on_phone(canvas, figure, top);
    else
        draw_rows(canvas, figure, top + HEAD, wg_figure_free_to(canvas) - FOOT);
}

/* ---- numbers ---- */

/*
 * The outcomes to draw: alive, harvest, weeks, energy, cost, price of a kg; with accounts cost, balance and odds of a gain, as
 * in the table. Those that mean nothing here are left out.
 */
struct shown_outcome {
    const char *label, *unit, *column;
    enum panel_of of;
    enum wg_compared compared;
    double scale;
};

static int list_outcomes(const struct wg_choice *choice, struct shown_outcome out[MAX_PANELS]) {
    const bool is_crawl_off = choice->harvest == WG_COMPARED_total_crawl_off_mass, pays = choice->has_accounts,
               costs = choice->has_energy && choice->is_priced;
    const struct shown_outcome all[] = {
        {"alive", "of 100", "alive at the end, of 100", OF_ALIVE, WG_COMPARED_survived, 100},
        {is_crawl_off ? "crawl-off" : "harvest", "kg", is_crawl_off ? "crawl-off" : "harvest", OF_AMOUNT,
         choice->harvest, 1},
        {"no crawl-off", "weeks", "weeks without crawl-off", OF_AMOUNT, WG_COMPARED_weeks_without_harvest, 1},
        {"energy", "kWh", "energy", OF_AMOUNT, WG_COMPARED_total_heater_energy, 1},
        {"cost", "of energy", "cost of energy", OF_AMOUNT, WG_COMPARED_total_heater_cost, 1},
        {"energy cost", "of each kg", "energy cost of each kg", OF_PRICE_OF_KG, WG_N_COMPARED, 1},
        {"balance", "all prices", "balance", OF_BALANCE, WG_COMPARED_balance, 1},
        {"above 0", "of 100", "ends above zero, of 100", OF_ABOVE_ZERO, WG_N_COMPARED, 100},
    };
    const bool is_shown[] = {true,  true,           true, choice->has_energy && !(pays && costs),
                             costs, costs && !pays, pays, pays};
    int n = 0;
    for (size_t i = 0; i < sizeof all / sizeof *all; i++)
        if (is_shown[i])
            out[n++] = all[i];
    return n;
}

static void fill_marks(const struct wg_choice_setup *setup, const struct shown_outcome *outcome,
                       double marks[N_MARKS]) {
    const struct wg_interval *const alive = &setup->survival.interval, *const price = &setup->per_kg.interval;
    const enum wg_compared compared = outcome->compared;
    if (outcome->of == OF_ABOVE_ZERO) {
        marks[MEAN] = marks[LOW] = marks[HIGH] = setup->above_zero;
    } else if (outcome->of == OF_PRICE_OF_KG) {
        const bool is_free = setup->per_kg.why == WG_EXTRA_FREE;
        marks[MEAN] = is_free ? 0 : setup->per_kg.per_kg;
        marks[LOW] = price->low;
        marks[HIGH] = price->high;
    } else if (compared == WG_COMPARED_survived) {
        marks[MEAN] = setup->survival.mean;
        marks[LOW] = alive->low;
        marks[HIGH] = alive->high;
    } else {
        marks[MEAN] = setup->number[compared].mean;
        marks[LOW] = setup->number[compared].q05;
        marks[HIGH] = setup->number[compared].q95;
    }
}

static int add_panel(struct wg_figure *figure, const struct wg_choice *choice, const struct shown_outcome *outcome,
                     struct wg_error *err) {
    static const char *const mark[N_MARKS] = {"mean", "low", "high"};
    const int panel = n_panels_of(figure);
    struct wg_figure_part *const part = &figure->part[PANELS + panel];
    int code = 0;
    (void)snprintf(part->label, sizeof part->label, "%s", outcome->label);
    (void)snprintf(part->more, sizeof part->more, "%s", outcome->unit);
    part->number[0] = outcome->of;
    for (int m = 0; m < N_MARKS && code >= 0; m++) {
        char name[WG_TABLE_NAME];
        (void)snprintf(name, sizeof name, "%s, %s", outcome->column, mark[m]);
        code = wg_table_add(&figure->table, name,
                            outcome->compared == choice->harvest || outcome->compared == WG_COMPARED_total_heater_energy
                                ? outcome->unit
                                : "",
                            err);
    }
    for (int i = 0; i < choice->n && code >= 0; i++) {
        double marks[N_MARKS];
        fill_marks(&choice->setup[i], outcome, marks);
        for (int m = 0; m < N_MARKS; m++)
            figure->table.column[N_MARKS * panel + m].value[i] = outcome->scale * marks[m];
    }
    return code < 0 ? code : 0;
}

/* ---- names ---- */

static int count_warnings_of(const struct wg_comparison_data *data, int setup) {
    int n = 0;
    for (int i = 0; i < data->warned.n && data->warned.setup != NULL; i++)
        n += data->warned.setup[i][0] == 'A' + setup;
    return n;
}

static void name_setup(struct wg_figure *figure, const struct wg_comparison_data *data, const struct wg_choice *choice,
                       const struct wg_verdict_facts *facts, int row) {
    struct wg_figure_part *const part = &figure->part[row];
    const int warnings = count_warnings_of(data, row);
    size_t used = 0;
    (void)snprintf(part->label, sizeof part->label, "%c  %.150s", 'A' + row,
                   facts->name[row] + wg_names_shared(data->n, facts->name));
    (void)snprintf(figure->table.row[row], sizeof figure->table.row[row], "%c %.120s", 'A' + row, facts->name[row]);
    for (int i = 0; i < choice->n_valleys; i++)
        if (choice->valley[i].setup == row)
            used = (size_t)snprintf(part->more, sizeof part->more, "more energy, less often alive than %c",
                                    'A' + choice->valley[i].better);
    if (used > 0)
        (void)snprintf(part->brief, sizeof part->brief, "%c is safer", part->more[used - 1]);
    else if (warnings > 0)
        (void)snprintf(part->brief, sizeof part->brief, "%d warning%s", warnings, warnings == 1 ? "" : "s");
    if (warnings > 0)
        (void)snprintf(part->more + used, sizeof part->more - used, "%s%d warning%s", used > 0 ? "; " : "", warnings,
                       warnings == 1 ? "" : "s");
}

static int title_comparison(struct wg_figure *figure, const struct wg_comparison_data *data,
                            const struct wg_verdict_facts *facts, struct wg_error *err) {
    struct wg_bytes title = {0};
    const bool is_priced = facts->choice->has_energy && facts->choice->is_priced && !facts->choice->has_accounts;
    char futures[WG_LABEL_SIZE];
    wg_verdict_title(facts, &title);
    const int code = wg_bytes_failed(&title, err);
    if (code == 0)
        (void)snprintf(figure->title, sizeof figure->title, "%s", title.data);
    wg_bytes_free(&title);
    wg_label_futures(data->in.replicates, data->n_days, futures);
    (void)snprintf(figure->note, sizeof figure->note,
                   "Dot and number: mean of %s, with the same weather for each setup. Line: range of 9 in 10, for "
                   "alive%s the 95 %% interval.",
                   futures, is_priced ? " and the cost of a kg" : "");
    return code;
}

static int add_setups(struct wg_figures *figures, const struct wg_comparison_data *data, const struct wg_choice *choice,
                      const struct wg_verdict_facts *facts, struct wg_error *err) {
    struct shown_outcome outcome[MAX_PANELS];
    const int n = list_outcomes(choice, outcome);
    struct wg_figure *const figure =
        wg_figures_add_of(figures, &data->in, "Setups compared", data->n_days, "comparison", err);
    if (figure == NULL)
        return WG_ERR_MEMORY;
    int code = wg_table_begin(&figure->table, "setup", data->n, err);
    for (int p = 0; p < n && code == 0; p++)
        code = add_panel(figure, choice, &outcome[p], err);
    if (code < 0)
        return code;
    figure->n_parts = data->n;
    figure->number[0] = KEY_NARROW;
    for (int row = 0; row < data->n; row++) {
        name_setup(figure, data, choice, facts, row);
        if (strlen(figure->part[row].label) > LONG_NAME)
            figure->number[0] = KEY_TALL;
    }
    figure->narrow_height = 30 + figure->number[0] * data->n + n * (HEAD + FOOT + ROW_NARROW * data->n);
    figure->draw = draw_comparison;
    return title_comparison(figure, data, facts, err);
}

int wg_comparison_figures(struct wg_figures *figures, const struct wg_comparison_data *data,
                          const struct wg_choice *choice, struct wg_error *err) {
    const struct wg_verdict_facts facts = wg_comparison_data_facts(data, choice);
    const int code = wg_comparison_grid(figures, data, choice, &facts, err);
    return code == 0 ? add_setups(figures, data, choice, &facts, err) : code;
}
