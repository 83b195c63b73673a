/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Draws the first winter of the period: who is asleep and who is awake, how cold it is, and the share of years alive.
 */
#include "base/calendar.h"
#include "base/stats.h"
#include "figures/figure.h"
#include "text/units.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define RIGHT 1020.0         /* labels are right of the ticks of degF */
#define NAMES 52.0           /* from the frame to the names */
#define LOG_SCALE_FROM 300.0 /* as in the figure of the stages */
#define CORE_DAYS 30         /* of its three coldest months: less is no winter (judgement) */
#define SAME_TEMPERATURE 1.0 /* degC: a place that varies less is a laboratory (judgement) */
#define MAX_WINTERS 10       /* later ones are not listed */

/* part[0]: dormant, part[1]: awake, then the temperatures; number[]: as named here */
enum { TOP_COUNT, COLDEST, WARMEST, ALIVE };
enum { WORDS = WG_FIGURE_MAX_PARTS - 1 }; /* part[WORDS]: the words for the share of years */

/* ---- drawing ---- */

static struct wg_axes winter_frame(const struct wg_canvas *canvas, const struct wg_figure *figure, double top,
                                   double bottom, double low, double high) {
    struct wg_axes axes = wg_figure_axes(canvas, figure, top, bottom, low, high);
    axes.right = wg_canvas_is_narrow(canvas) ? WG_PHONE_W - 64 : RIGHT;
    return axes;
}

/* Names parts from..to-1 above the frame, or at its right: near their lines, or from the top if `is_list`. */
static void name_parts(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes, int from,
                       int to, bool is_list) {
    double y[WG_FIGURE_MAX_PARTS];
    const int n = to - from, last = figure->table.n_rows - 1;
    for (int i = 0; i < n; i++)
        y[i] = is_list ? axes->top + 14 + 60 * i
                       : wg_axes_y(axes, wg_bands_of(&figure->table, figure->part[from + i].column, WG_Q50)[last]);
    if (!is_list)
        wg_axes_spread(n, y, 50, axes->top + 8, axes->bottom - 14);
    for (int i = 0; i < n; i++)
        if (wg_canvas_is_narrow(canvas))
            wg_figure_heading(canvas, &figure->part[from + i], 14, axes->right, axes->top - 18 - WG_KEY_LINE * (n - i),
                              false);
        else
            wg_figure_label(canvas, &figure->part[from + i], axes->right + NAMES, y[i], false);
}

static void draw_sleepers(struct wg_canvas *canvas, const struct wg_figure *figure, double top, double bottom) {
    struct wg_axes axes = winter_frame(canvas, figure, top, bottom, 0, figure->number[TOP_COUNT]);
    axes.is_log = axes.high >= LOG_SCALE_FROM;
    wg_axes_dates(canvas, &axes, false);
    wg_axes_values(canvas, &axes, &(struct wg_axis_scale){"", 1, 0}, NULL);
    for (int i = 1; i >= 0; i--)
        wg_figure_bands(canvas, figure, &axes, &figure->part[i], true);
    name_parts(canvas, figure, &axes, 0, 2, true);
}

static void draw_cold(struct wg_canvas *canvas, const struct wg_figure *figure, double top, double bottom) {
    const struct wg_axes axes =
        winter_frame(canvas, figure, top, bottom, figure->number[COLDEST], figure->number[WARMEST]);
    wg_axes_dates(canvas, &axes, false);
    wg_figure_temperature_axes(canvas, &axes);
    for (int i = 2; i < figure->n_parts; i++)
        if (i < figure->n_parts - 1)
            wg_figure_bands(canvas, figure, &axes, &figure->part[i], true);
        else
            wg_figure_median(canvas, figure, &axes, &figure->part[i]); /* the ground: overlapping bands turn grey */
    wg_figure_cold_lines(canvas, &axes, figure);
    name_parts(canvas, figure, &axes, 2, figure->n_parts, false);
}

static void draw_years_alive(struct wg_canvas *canvas, const struct wg_figure *figure, double top, double bottom) {
    const struct wg_text_style name = {WG_FONT_LABEL, true, WG_TEXT_COLOUR};
    const struct wg_axes axes = winter_frame(canvas, figure, top, bottom, 0, 100);
    const int n = figure->table.n_rows;
    double *const x = wg_canvas_scratch(canvas, 3 * (size_t)n), *const y = x + n, *const low = y + n;
    if (x == NULL)
        return;
    wg_axes_dates(canvas, &axes, true);
    wg_axes_values(canvas, &axes, &(struct wg_axis_scale){"", 1, 0}, NULL);
    wg_axes_xs(&axes, n, 1, x);
    wg_axes_ys(&axes, n, figure->table.column[(int)figure->number[ALIVE]].value, y);
    for (int i = 0; i < n; i++)
        low[i] = axes.bottom;
    wg_canvas_area(canvas, n, x, low, y, wg_tint(WG_GREEN, 0.4));
    wg_canvas_line(canvas, n, x, y, WG_BLACK, 2.5, WG_SOLID);
    free(x);
    if (wg_canvas_is_narrow(canvas))
        wg_canvas_text(canvas, 14, top - 18, WG_LEFT, &name, figure->part[WORDS].label);
    else
        (void)wg_canvas_paragraph(canvas, axes.right + NAMES, (top + bottom) / 2 - 6, 160, 2, &name,
                                  figure->part[WORDS].label);
}

static void draw_winter(struct wg_canvas *canvas, const struct wg_figure *figure) {
    const bool is_narrow = wg_canvas_is_narrow(canvas);
    const double from = wg_figure_draw_text(canvas, figure), end = wg_figure_free_to(canvas) - 58;
    const double over_counts = is_narrow ? 2 * WG_KEY_LINE + 24 : 8,
                 over_cold = is_narrow ? (figure->n_parts - 2) * WG_KEY_LINE + 56 : 42,
                 over_alive = is_narrow ? 54 : 26;
    const double height = end - from - over_counts - over_cold - over_alive;
    const double a = from + over_counts, b = a + 0.42 * height + over_cold, c = b + 0.38 * height + over_alive;
    draw_sleepers(canvas, figure, a, a + 0.42 * height);
    draw_cold(canvas, figure, b, b + 0.38 * height);
    draw_years_alive(canvas, figure, c, end);
}

/* ---- when ---- */

struct winter {
    int from, n;                          /* the first winter: its first day of the period, and its days */
    int n_winters, last_day[MAX_WINTERS]; /* of each winter */
    bool is_cut;                          /* the period ends within the first winter */
    int64_t replicates;                   /* that are read */
    double *at_end;                       /* [replicate][winter]: alive on its last day */
    double *dormant, *awake, *other;      /* [replicate][day of the winter]; other: a temperature */
};

/* Computes the mean over replicates of a day's value. */
static double mean_of_day(const struct wg_result_series *series, int day) {
    struct wg_sum sum = {0};
    for (int64_t i = 0; i < series->replicates; i++)
        wg_sum_add(&sum, series->value[i * series->n_days + day]);
    return wg_sum_total(&sum) / (double)series->replicates;
}

static int month_of(const struct wg_result_data *data, int day) {
    return wg_date_from_day(data->first_day + day).month;
}

/* True if May to October are the colder half of the year, or the only one that the period has. */
static bool is_southern(const struct wg_result_data *data, const struct wg_result_series *outdoors) {
    double sum[2] = {0, 0};
    int n[2] = {0, 0};
    for (int day = 0; day < data->n_days; day++) {
        const int month = month_of(data, day), half = month >= 5 && month <= 10;
        sum[half] += mean_of_day(outdoors, day);
        n[half]++;
    }
    return n[0] == 0 || (n[1] > 0 && sum[1] / n[1] < sum[0] / n[0]);
}

/* Adds a winter that ends before day `end` if it has enough of the cold months, and a day too cold to grow. */
static void add_winter(struct winter *winter, int from, int end, int core_days, bool is_cold) {
    if (core_days < CORE_DAYS || !is_cold || winter->n_winters == MAX_WINTERS)
        return;
    if (winter->n_winters == 0) {
        winter->from = from;
        winter->n = end - from;
    }
    winter->last_day[winter->n_winters++] = end - 1;
}

/* Finds the winters of the period: October to May, in the south April to November. */
static void find_winters(struct winter *winter, const struct wg_result_data *data,
                         const struct wg_result_series *outdoors) {
    const int shift = is_southern(data, outdoors) ? 6 : 0;
    int from = -1, core_days = 0;
    bool is_cold = false;
    for (int day = 0; day <= data->n_days; day++) {
        const int season_month = (month_of(data, day) + 11 + shift) % 12 + 1,
                  month = day < data->n_days ? season_month : 9;
        if (month > 5 && month < 10) {
            if (from >= 0)
                add_winter(winter, from, day, core_days, is_cold);
            if (winter->n_winters == 1 && day == data->n_days)
                winter->is_cut = winter->last_day[0] == day - 1 && (season_month <= 5 || season_month >= 10);
            from = -1;
            continue;
        }
        if (from < 0) {
            from = day;
            core_days = 0;
            is_cold = false;
        }
        core_days += month == 12 || month <= 2;
        is_cold = is_cold || mean_of_day(outdoors, day) < WG_TOO_COLD_TO_GROW;
    }
}

static int find_winter_weather(struct winter *winter, struct wg_result_data *data, struct wg_error *err) {
    struct wg_result_series outdoors;
    const int code = wg_result_data_read(data, "outdoor_temperature", -1, &outdoors, err);
    winter->replicates = outdoors.replicates;
    if (code == 0)
        find_winters(winter, data, &outdoors);
    wg_result_series_free(&outdoors);
    return code;
}

/* ---- numbers ---- */

/* Combines a series in the winter with the values in `to`: '+' adds, '<' keeps the smaller, '>' the larger. */
static void combine_winter(const struct winter *winter, const struct wg_result_series *series, char how, double *to) {
    for (int64_t i = 0; i < winter->replicates; i++)
        for (int day = 0; day < winter->n; day++) {
            const double value = series->value[i * series->n_days + winter->from + day];
            double *const cell = &to[i * winter->n + day];
            *cell = how == '+' ? *cell + value : how == '<' ? fmin(*cell, value) : fmax(*cell, value);
        }
}

static int read_winter(const struct winter *winter, struct wg_result_data *data, const char *name, int column, char how,
                       double *to, struct wg_error *err) {
    struct wg_result_series series;
    const int code = wg_result_data_read(data, name, column, &series, err);
    if (code == 0)
        combine_winter(winter, &series, how, to);
    wg_result_series_free(&series);
    return code;
}

static void fill_all(const struct winter *winter, double *values, double with) {
    for (int64_t i = 0; i < winter->replicates * winter->n; i++)
        values[i] = with;
}

/* Reads the extreme over columns from..to-1 of a series. */
static int read_extreme(const struct winter *winter, struct wg_result_data *data, const char *name, int n_columns,
                        char how, double *to, struct wg_error *err) {
    int code = 0;
    fill_all(winter, to, how == '<' ? HUGE_VAL : -HUGE_VAL);
    for (int column = 0; column < n_columns && code == 0; column++)
        code = read_winter(winter, data, name, column, how, to, err);
    return code;
}

/* True if no place ever feels the weather: the air of each stays the same, and warm. */
static int is_indoors(struct winter *winter, struct wg_result_data *data, struct wg_error *err) {
    for (int place = 0; place < data->n_places; place++) {
        double low = HUGE_VAL, high = -HUGE_VAL;
        fill_all(winter, winter->other, 0);
        const int code = read_winter(winter, data, "air_temperature", place, '+', winter->other, err);
        if (code < 0)
            return code;
        for (int64_t i = 0; i < winter->replicates * winter->n; i++) {
            low = fmin(low, winter->other[i]);
            high = fmax(high, winter->other[i]);
        }
        if (high - low > SAME_TEMPERATURE || low < WG_TOO_COLD_TO_GROW)
            return 0;
    }
    return 1;
}

static int read_counts(struct winter *winter, struct wg_result_data *data, struct wg_error *err) {
    int code = 0;
    for (int stage = 0; stage < WG_N_STAGES && code == 0; stage++) {
        struct wg_result_series series;
        code = wg_result_data_read(data, "count", stage, &series, err);
        if (code == 0)
            combine_winter(winter, &series, '+', stage == WG_DORMANT ? winter->dormant : winter->awake);
        for (int64_t i = 0; i < winter->replicates && code == 0; i++)
            for (int w = 0; w < winter->n_winters; w++)
                winter->at_end[i * MAX_WINTERS + w] += series.value[i * series.n_days + winter->last_day[w]];
        wg_result_series_free(&series);
    }
    return code;
}

/* Adds a part with its bands. Returns it; NULL without memory. */
static struct wg_figure_part *add_part(struct wg_figure *figure, const struct winter *winter,
                                       const struct wg_figure_part *style, const char *unit, const double *values,
                                       struct wg_error *err) {
    const int column = wg_bands_add(&figure->table, style->label, unit, values, winter->replicates, err);
    if (column < 0)
        return NULL;
    struct wg_figure_part *const part = &figure->part[figure->n_parts++];
    *part = *style;
    part->column = column;
    return part;
}

/* Each replicate's peak in the winter and its day: medians. False: no memory. */
static bool find_peak(const struct winter *winter, const double *values, double *peak, double *day) {
    const size_t n = (size_t)winter->replicates;
    double *const most = calloc(2 * n, sizeof *most), *const on = most + n;
    if (most == NULL)
        return false;
    for (size_t i = 0; i < n; i++)
        for (int d = 0; d < winter->n; d++)
            if (values[i * (size_t)winter->n + (size_t)d] > most[i]) {
                most[i] = values[i * (size_t)winter->n + (size_t)d];
                on[i] = d;
            }
    wg_sort(most, n);
    wg_sort(on, n);
    *peak = wg_quantile_sorted(most, n, 0.5);
    *day = wg_quantile_sorted(on, n, 0.5);
    free(most);
    return true;
}

static int add_count(struct wg_figure *figure, const struct winter *winter, const struct wg_figure_part *style,
                     const double *values, struct wg_error *err) {
    char number[WG_LABEL_SIZE];
    struct wg_figure_part *const part = add_part(figure, winter, style, "1", values, err);
    if (part == NULL)
        return WG_ERR_MEMORY;
    if (!find_peak(winter, values, &part->low, &part->low_day))
        return wg_no_memory(err, NULL);
    wg_show_number(part->low, number);
    (void)snprintf(part->more, sizeof part->more, "peak %.40s", number);
    for (int day = 0; day < winter->n; day++)
        figure->number[TOP_COUNT] =
            fmax(figure->number[TOP_COUNT], wg_bands_of(&figure->table, part->column, WG_Q95)[day]);
    return 0;
}

static int add_counts(struct wg_figure *figure, const struct winter *winter, struct wg_error *err) {
    const struct wg_figure_part asleep = {.label = "dormant",
                                          .colour = wg_stage_colour(WG_DORMANT),
                                          .pattern = WG_SOLID},
                                awake = {.label = "awake", .colour = WG_ORANGE, .pattern = WG_LONG_DASHED};
    figure->number[TOP_COUNT] = 1;
    const int code = add_count(figure, winter, &asleep, winter->dormant, err);
    return code == 0 ? add_count(figure, winter, &awake, winter->awake, err) : code;
}

static int add_temperature(struct wg_figure *figure, const struct winter *winter, const struct wg_figure_part *style,
                           struct wg_error *err) {
    struct wg_figure_part *const part = add_part(figure, winter, style, "degC", winter->other, err);
    if (part == NULL)
        return WG_ERR_MEMORY;
    for (int day = 0; day < winter->n; day++) {
        figure->number[COLDEST] = fmin(figure->number[COLDEST], wg_bands_of(&figure->table, part->column, WG_Q05)[day]);
        figure->number[WARMEST] = fmax(figure->number[WARMEST], wg_bands_of(&figure->table, part->column, WG_Q95)[day]);
    }
    return 0;
}

/* One bin has its name; of several the coldest and the warmest of each day are shown, and the coldest ground. */
static int add_temperatures(struct wg_figure *figure, struct winter *winter, struct wg_result_data *data,
                            struct wg_error *err) {
    struct wg_figure_part bin = {.label = "coldest bin", .colour = WG_BLUE, .pattern = WG_SOLID};
    const struct wg_figure_part warm = {.label = "warmest bin", .colour = WG_ORANGE, .pattern = WG_LONG_DASHED};
    struct wg_figure_part ground = {.label = "coldest ground", .colour = WG_VERMILION, .pattern = WG_DASH_DOT};
    if (data->n_bins == 1)
        (void)snprintf(bin.label, sizeof bin.label, "%.100s", data->bin[0]);
    if (data->n_places == 1)
        (void)snprintf(ground.label, sizeof ground.label, "ground");
    figure->number[COLDEST] = 0;
    figure->number[WARMEST] = WG_TOO_COLD_TO_GROW;
    int code = read_extreme(winter, data, "bin_temperature", data->n_bins, '<', winter->other, err);
    if (code == 0 && data->n_bins > 0)
        code = add_temperature(figure, winter, &bin, err);
    if (code == 0 && data->n_bins > 1)
        code = read_extreme(winter, data, "bin_temperature", data->n_bins, '>', winter->other, err);
    if (code == 0 && data->n_bins > 1)
        code = add_temperature(figure, winter, &warm, err);
    if (code == 0)
        code = read_extreme(winter, data, "ground_temperature", data->n_places, '<', winter->other, err);
    if (code == 0)
        code = add_temperature(figure, winter, &ground, err);
    figure->number[COLDEST] = floor((figure->number[COLDEST] - 1) / 5) * 5;
    figure->number[WARMEST] = ceil(figure->number[WARMEST] / 5) * 5;
    return code;
}

static int add_years_alive(struct wg_figure *figure, const struct winter *winter, struct wg_error *err) {
    const int column = wg_table_add(&figure->table, "alive", "%", err);
    if (column < 0)
        return column;
    for (int day = 0; day < winter->n; day++) {
        int64_t alive = 0;
        for (int64_t i = 0; i < winter->replicates; i++)
            alive += winter->dormant[i * winter->n + day] + winter->awake[i * winter->n + day] > 0;
        figure->table.column[column].value[day] = 100.0 * (double)alive / (double)winter->replicates;
    }
    figure->number[ALIVE] = column;
    return 0;
}

/* ---- words ---- */

/* Returns the number of replicates that are alive on the last day of a winter. */
static long long count_survivors(const struct winter *winter, int which) {
    long long alive = 0;
    for (int64_t i = 0; i < winter->replicates; i++)
        alive += winter->at_end[i * MAX_WINTERS + which] > 0;
    return alive;
}

/* " At the ends of the later winters: 50, 48." */
static void word_later_winters(const struct winter *winter, size_t size, char *out) {
    size_t used = 0;
    out[0] = '\0';
    for (int w = 1; w < winter->n_winters && used + 12 < size; w++)
        used +=
            (size_t)snprintf(out + used, size - used, "%s%lld",
                             w == 1 ? " Alive at the ends of the later winters in " : ", ", count_survivors(winter, w));
    if (used > 0)
        (void)snprintf(out + used, size - used, ".");
}

static void describe_winter(struct wg_figure *figure, const struct winter *winter, const struct wg_result_data *data) {
    const long long alive = count_survivors(winter, 0);
    const char *const noun = wg_label_noun(data->n_days);
    const struct wg_figure_part *const asleep = &figure->part[0];
    char end[WG_LABEL_SIZE], on[WG_LABEL_SIZE], peak[WG_LABEL_SIZE], of[WG_LABEL_SIZE + 32],
        most[3 * WG_LABEL_SIZE] = "";
    char median[WG_LABEL_SIZE], later[160], when[WG_LABEL_SIZE + 48];
    wg_label_date(data->first_day, winter->from + winter->n - 1, end);
    wg_label_date(data->first_day, winter->from + asleep->low_day, on);
    wg_show_number(asleep->low, peak);
    wg_label_median(winter->replicates, data->n_days, median);
    word_later_winters(winter, sizeof later, later);
    (void)snprintf(figure->part[WORDS].label, sizeof figure->part[WORDS].label, "alive, %% of %s", noun);
    (void)snprintf(of, sizeof of, "%lld of %lld %s", alive, (long long)winter->replicates, noun);
    if (asleep->low >= 1)
        (void)snprintf(most, sizeof most, "; dormant: %s at the peak, about %s", peak, on);
    if (winter->is_cut)
        (void)snprintf(when, sizeof when, "On %s, before the winter is over,", end);
    else
        (void)snprintf(when, sizeof when, "After the winter, on %s,", end);
    if (winter->replicates == 1)
        (void)snprintf(figure->title, sizeof figure->title, "%s the colony is %s%s", when, alive > 0 ? "alive" : "dead",
                       most);
    else
        (void)snprintf(figure->title, sizeof figure->title, "%s the colony is alive in %s%s", when, of, most);
    (void)snprintf(figure->note, sizeof figure->note,
                   "Dormant: prepupae asleep for the winter. Awake: all others, with eggs. Line: %s.%s%s", median,
                   winter->replicates > 1 ? " Band: 9 in 10." : "", later);
}

/* ---- the figure ---- */

static int fill_winter(struct wg_figure *figure, struct winter *winter, struct wg_result_data *data,
                       struct wg_error *err) {
    figure->first_day += winter->from;
    figure->n_days = winter->n;
    int code = wg_table_begin_dates(&figure->table, figure->first_day, 1, winter->n, err);
    if (code == 0)
        code = read_counts(winter, data, err);
    if (code == 0)
        code = add_counts(figure, winter, err);
    if (code == 0)
        code = add_temperatures(figure, winter, data, err);
    if (code == 0)
        code = add_years_alive(figure, winter, err);
    if (code < 0)
        return code;
    describe_winter(figure, winter, data);
    figure->narrow_height = 880;
    figure->wide_height = 660;
    figure->draw = draw_winter;
    return 0;
}

int wg_chart_winter(struct wg_figures *figures, struct wg_result_data *data, struct wg_error *err) {
    struct winter winter = {0};
    int code = find_winter_weather(&winter, data, err);
    if (code < 0 || winter.n_winters == 0)
        return code;
    const size_t n = (size_t)winter.replicates * (size_t)winter.n;
    winter.dormant = calloc(3 * n + MAX_WINTERS * (size_t)winter.replicates, sizeof *winter.dormant);
    if (winter.dormant == NULL)
        return wg_no_memory(err, NULL);
    winter.awake = winter.dormant + n;
    winter.other = winter.awake + n;
    winter.at_end = winter.other + n;
    code = is_indoors(&winter, data, err);
    if (code == 0) {
        struct wg_figure *const figure = wg_figures_add(figures, data, "winter", err);
        code = figure != NULL ? fill_winter(figure, &winter, data, err) : WG_ERR_MEMORY;
    }
    free(winter.dormant);
    return code < 0 ? code : 0;
}
