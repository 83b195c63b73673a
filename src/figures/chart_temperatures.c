/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Draws the temperatures of air, ground and bins and the heating energy, a figure for each place: medians and 90 %
 * intervals of daily means over replicates.
 */
#include "base/stats.h"
#include "figures/figure.h"
#include "text/warning_sentences.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define HEAT 92.0 /* height of the energy frame */
#define GAP 48.0
#define LABEL_GAP 50.0
#define RIGHT 1020.0
#define MAX_BINS 3    /* per figure: more lines are hard to distinguish */
#define SAME_AIR 0.05 /* degC: indoors and outdoors then share one line */
#define RARE 20       /* fewer replicates have no such quantile */
#define ALIKE 0.5     /* degC: bins that never differ more share one line (judgement: less than a line's width) */

/* part[].low: the median over replicates of the coldest day, drawn as a dot; the line of daily medians is never as cold.
 * part[].number[0]: the median number of days too cold to grow; number[1]: bins that share the line; number[2]: the
 * temperature below which the coldest day is in one of RARE replicates.
 * number[0], number[1]: axis limits; number[2]: largest heater energy, 0 if none; number[3]: its column; number[4]: the first
 * bin's part; number[5]: 1 if bins share a line */

static void draw_labels(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes) {
    double y[WG_FIGURE_MAX_PARTS];
    const int last = figure->table.n_rows - 1;
    for (int i = 0; i < figure->n_parts; i++)
        y[i] = wg_axes_y(axes, figure->table.column[figure->part[i].column + WG_Q50].value[last]) - 0.01 * i;
    wg_axes_spread(figure->n_parts, y, LABEL_GAP, axes->top, axes->bottom - 14);
    for (int i = 0; i < figure->n_parts; i++)
        wg_figure_label(canvas, &figure->part[i], axes->right + 52, y[i], false);
}

/* Draws the dot of the coldest day, which title and label mention. */
static void draw_low(struct wg_canvas *canvas, const struct wg_axes *axes, const struct wg_figure_part *part) {
    const double x = wg_axes_x(axes, part->low_day), y = wg_axes_y(axes, part->low);
    wg_canvas_dot(canvas, x, y, 8, WG_BLACK);
    wg_canvas_dot(canvas, x, y, 6, part->colour);
}

static double right_edge(const struct wg_canvas *canvas) {
    return wg_canvas_is_narrow(canvas) ? WG_PHONE_W - 64 : RIGHT;
}

static void draw_heat(struct wg_canvas *canvas, const struct wg_figure *figure, double top, double bottom) {
    const struct wg_text_style name = {WG_FONT_LABEL, true, WG_TEXT_COLOUR},
                               more = {WG_FONT_FOOT + 3, false, WG_TEXT_COLOUR};
    const struct wg_figure_part part = {.colour = WG_VERMILION, .column = (int)figure->number[3]};
    struct wg_axes axes = wg_figure_axes(canvas, figure, top, bottom, 0, wg_axes_round_up(figure->number[2]));
    axes.right = right_edge(canvas);
    wg_axes_dates(canvas, &axes, true);
    wg_axes_values(canvas, &axes, &(struct wg_axis_scale){"", 1, 0}, NULL);
    wg_figure_bands(canvas, figure, &axes, &part, false);
    if (wg_canvas_is_narrow(canvas)) {
        wg_canvas_text(canvas, axes.left, top - 14, WG_LEFT, &name, "heat bought, kWh a day");
        return;
    }
    wg_canvas_text(canvas, axes.right + 12, (top + bottom) / 2, WG_LEFT, &name, "heat bought");
    wg_canvas_text(canvas, axes.right + 12, (top + bottom) / 2 + 24, WG_LEFT, &more, "kWh a day");
}

/* Bins have bands, without bins the ground; more bands would hide each other. */
static int first_banded(const struct wg_figure *figure) {
    return (int)fmin(figure->number[4], figure->n_parts - 1);
}

static void draw_temperatures(struct wg_canvas *canvas, const struct wg_figure *figure) {
    const bool has_heat = figure->number[2] > 0, is_narrow = wg_canvas_is_narrow(canvas);
    const double names = is_narrow ? figure->n_parts * WG_KEY_LINE + 10 : 0;
    const double top = wg_figure_draw_text(canvas, figure) + names + 30, end = wg_figure_free_to(canvas) - 58;
    const double bottom = has_heat ? end - HEAT - GAP : end;
    struct wg_axes axes = wg_figure_axes(canvas, figure, top, bottom, figure->number[0], figure->number[1]);
    axes.right = right_edge(canvas);
    wg_axes_dates(canvas, &axes, !has_heat);
    wg_figure_temperature_axes(canvas, &axes);
    for (int i = 0; i < figure->n_parts; i++)
        if (i >= first_banded(figure))
            wg_figure_bands(canvas, figure, &axes, &figure->part[i], true);
        else
            wg_figure_median(canvas, figure, &axes, &figure->part[i]);
    wg_figure_cold_lines(canvas, &axes, figure);
    for (int i = 0; i < figure->n_parts; i++)
        draw_low(canvas, &axes, &figure->part[i]);
    if (is_narrow)
        wg_figure_key(canvas, figure, 1, top - names - 14, false);
    else
        draw_labels(canvas, figure, &axes);
    if (has_heat)
        draw_heat(canvas, figure, end - HEAT, end);
}

/* ---- numbers ---- */

struct coldest_day {
    double temperature;
    int day;
};

static int by_coldness(const void *left, const void *right) {
    const struct coldest_day *const a = left, *const b = right;
    return a->temperature != b->temperature ? (a->temperature > b->temperature) - (a->temperature < b->temperature)
                                            : a->day - b->day;
}

/*
 * Finds medians over replicates: of the coldest day's temperature and of the days too cold to grow. The date is that of
 * the replicate in the middle: a median of dates in several winters could be in summer. False: no memory.
 */
static bool find_low(const struct wg_result_series *series, struct wg_figure_part *part) {
    const size_t n = (size_t)series->replicates;
    struct coldest_day *const coldest = calloc(n, sizeof *coldest);
    double *const too_cold = calloc(n, sizeof *too_cold);
    for (size_t i = 0; i < n && coldest != NULL && too_cold != NULL; i++) {
        const double *const value = series->value + (int64_t)i * series->n_days;
        coldest[i].temperature = value[0];
        for (int day = 0; day < series->n_days; day++) {
            if (value[day] < coldest[i].temperature)
                coldest[i] = (struct coldest_day){value[day], day};
            too_cold[i] += value[day] < WG_TOO_COLD_TO_GROW;
        }
    }
    const bool has_memory = coldest != NULL && too_cold != NULL;
    if (has_memory) {
        qsort(coldest, n, sizeof *coldest, by_coldness);
        wg_sort(too_cold, n);
        part->low = (coldest[(n - 1) / 2].temperature + coldest[n / 2].temperature) / 2;
        part->low_day = coldest[(n - 1) / 2].day;
        part->number[0] = wg_quantile_sorted(too_cold, n, 0.5);
        part->number[2] = coldest[n / RARE].temperature;
    }
    free(coldest);
    free(too_cold);
    return has_memory;
}

static int add_line(struct wg_figure *figure, struct wg_result_data *data, const char *series_name, int column,
                    const struct wg_figure_part *part_style, struct wg_error *err) {
    struct wg_result_series series;
    struct wg_figure_part found = *part_style;
    int code = wg_result_data_read(data, series_name, column, &series, err);
    if (code == 0) {
        code = find_low(&series, &found)
                   ? wg_bands_add(&figure->table, part_style->label, "degC", series.value, series.replicates, err)
                   : wg_no_memory(err, NULL);
    }
    wg_result_series_free(&series);
    if (code < 0)
        return code;
    struct wg_figure_part *const part = &figure->part[figure->n_parts++];
    *part = found;
    part->column = code;
    figure->number[0] = fmin(figure->number[0], part->low);
    char coldest[WG_LABEL_SIZE];
    wg_label_temperature(part->low, coldest);
    (void)snprintf(part->more, sizeof part->more, "low %.60s", coldest);
    for (int row = 0; row < figure->table.n_rows; row++) {
        figure->number[0] = fmin(figure->number[0], figure->table.column[code + WG_Q05].value[row]);
        figure->number[1] = fmax(figure->number[1], figure->table.column[code + WG_Q95].value[row]);
    }
    return 0;
}

static bool is_outdoors(const struct wg_figure *figure) {
    const double *const a = figure->table.column[figure->part[0].column + WG_Q50].value;
    const double *const b = figure->table.column[figure->part[1].column + WG_Q50].value;
    for (int row = 0; row < figure->table.n_rows; row++)
        if (fabs(a[row] - b[row]) > SAME_AIR)
            return false;
    return true;
}

/* Removes the last line and its columns. */
static void drop_line(struct wg_figure *figure) {
    figure->n_parts--;
    for (int i = 0; i < WG_N_BANDS; i++)
        free(figure->table.column[--figure->table.n_columns].value);
}

static int add_air(struct wg_figure *figure, struct wg_result_data *data, int place, struct wg_error *err) {
    const struct wg_figure_part outdoors = {.label = "outdoors", .colour = WG_RGB(110, 110, 110), .pattern = WG_DOTTED};
    const struct wg_figure_part air = {.label = "air", .colour = WG_SKY, .pattern = WG_DASHED};
    int code = add_line(figure, data, "air_temperature", place, &air, err);
    if (code == 0)
        code = add_line(figure, data, "outdoor_temperature", -1, &outdoors, err);
    if (code == 0 && is_outdoors(figure))
        drop_line(figure);
    return code;
}

/* Returns the length of the prefix or suffix, in whole words, that all bin names of the place share. */
static size_t shared_affix_length(const struct wg_result_data *data, int place, const char *name, bool at_end) {
    const size_t length = strlen(name);
    size_t words = 0;
    for (size_t n = 1; n < length; n++) {
        for (int bin = 0; bin < data->n_bins; bin++) {
            const size_t its_length = strlen(data->bin[bin]);
            if (data->bin_place[bin] != place)
                continue;
            if (n >= its_length ||
                (at_end ? data->bin[bin][its_length - n] != name[length - n] : data->bin[bin][n - 1] != name[n - 1]))
                return words;
        }
        if (name[at_end ? length - n : n - 1] == ' ')
            words = n;
    }
    return words;
}

/* Abbreviates a name to "barrel … three" if all bins have names like "barrel number one by the fence"; "" if no word is
 * shared. */
static void abridge_bin_name(const struct wg_result_data *data, int place, int bin, size_t size, char *out) {
    const char *const name = data->bin[bin];
    const size_t head = shared_affix_length(data, place, name, false),
                 tail = shared_affix_length(data, place, name, true), length = strlen(name);
    out[0] = '\0';
    if (head + tail == 0 || head + tail >= length)
        return;
    const int first = head > 0 ? (int)strcspn(name, " ") : 0, own = (int)(length - head - tail);
    (void)snprintf(out, size, "%.*s%s%.*s", first < 60 ? first : 0, name,
                   head > (size_t)first + 1 ? " … "
                   : head > 0               ? " "
                                            : "",
                   own < 80 ? own : 80, name + head);
}

/* True if medians and bands of two lines never differ by more than ALIKE. */
static bool are_alike_lines(const struct wg_figure *figure, const struct wg_figure_part *a,
                            const struct wg_figure_part *b) {
    for (int band = 0; band < WG_N_BANDS; band++) {
        const double *const one = wg_bands_of(&figure->table, a->column, (enum wg_band)band),
                            *const other = wg_bands_of(&figure->table, b->column, (enum wg_band)band);
        for (int row = 0; row < figure->table.n_rows; row++)
            if (fabs(one[row] - other[row]) > ALIKE)
                return false;
    }
    return true;
}

/* Takes the last line away if an earlier bin's line shows the same; its numbers stay in the table. */
static bool merge_alike(struct wg_figure *figure, int first_bin) {
    const struct wg_figure_part *const last = &figure->part[figure->n_parts - 1];
    for (int i = first_bin; i < figure->n_parts - 1; i++)
        if (are_alike_lines(figure, &figure->part[i], last)) {
            figure->part[i].number[1]++;
            figure->number[5] = 1;
            figure->n_parts--;
            return true;
        }
    return false;
}

/* "barrel … one (+2)"; the note explains it. */
static void name_alike(struct wg_figure *figure, int first_bin) {
    for (int i = first_bin; i < figure->n_parts; i++) {
        struct wg_figure_part *const part = &figure->part[i];
        char more[16];
        if (part->number[1] == 0)
            continue;
        (void)snprintf(more, sizeof more, " (+%.0f)", part->number[1]);
        strncat(part->label, more, sizeof part->label - strlen(part->label) - 1);
        if (part->brief[0] != '\0')
            strncat(part->brief, more, sizeof part->brief - strlen(part->brief) - 1);
    }
}

/* Adds as many bins of the place as fit, from number `from`; *next: the first of the next figure, -1: none. */
static int add_bins(struct wg_figure *figure, struct wg_result_data *data, int place, int from, int *next,
                    struct wg_error *err) {
    static const struct wg_figure_part bin_styles[MAX_BINS + 1] = {
        {.colour = {0, 114 / 255.0, 178 / 255.0, 1}, .pattern = WG_SOLID},
        {.colour = {0, 158 / 255.0, 115 / 255.0, 1}, .pattern = WG_LONG_DASHED},
        {.colour = {0, 0, 0, 1}, .pattern = WG_SOLID}};
    const int first_bin = figure->n_parts;
    int code = 0;
    *next = -1;
    for (int bin = from; bin < data->n_bins && code == 0; bin++) {
        const int n = figure->n_parts - first_bin;
        if (data->bin_place[bin] != place)
            continue;
        if (figure->table.n_columns + 2 * WG_N_BANDS > WG_TABLE_MAX_COLUMNS) { /* the heat needs the last ones */
            *next = bin;
            break;
        }
        struct wg_figure_part part_style = bin_styles[n];
        (void)snprintf(part_style.label, sizeof part_style.label, "%.150s", data->bin[bin]);
        abridge_bin_name(data, place, bin, sizeof part_style.brief, part_style.brief);
        code = add_line(figure, data, "bin_temperature", bin, &part_style, err);
        if (code == 0 && !merge_alike(figure, first_bin) && n == MAX_BINS) {
            drop_line(figure); /* it begins the next figure */
            *next = bin;
            break;
        }
    }
    return code;
}

static int add_heat_bands(struct wg_figure *figure, struct wg_result_data *data, int place, struct wg_error *err) {
    struct wg_result_series series;
    double max = 0;
    int code = wg_result_data_read(data, "heater_energy", place, &series, err);
    for (int64_t i = 0; code == 0 && i < series.replicates * series.n_days; i++)
        max = fmax(max, series.value[i]);
    if (code == 0 && max > 0)
        code = wg_bands_add(&figure->table, "heat bought", "kW h", series.value, series.replicates, err);
    wg_result_series_free(&series);
    if (code < 0 || max == 0)
        return code;
    figure->number[3] = code;
    for (int row = 0; row < figure->table.n_rows; row++)
        figure->number[2] = fmax(figure->number[2], figure->table.column[code + WG_Q95].value[row]);
    return 0;
}

/* Returns the bin with most days too cold to grow; without bins the ground, which is the last part. */
static const struct wg_figure_part *find_coldest_part(const struct wg_figure *figure) {
    const struct wg_figure_part *coldest = &figure->part[figure->n_parts - 1];
    for (int i = first_banded(figure); i < figure->n_parts; i++)
        if (figure->part[i].number[0] > coldest->number[0])
            coldest = &figure->part[i];
    return coldest;
}

static void describe_temperatures(struct wg_figure *figure, const struct wg_result_data *data, int place) {
    const struct wg_figure_part *const part = find_coldest_part(figure);
    const char *const one = wg_replicates_noun(data->n_days, 1);
    char low[WG_LABEL_SIZE], rare[WG_LABEL_SIZE], median[WG_LABEL_SIZE], cold[96],
        extreme[WG_LABEL_SIZE + 40] = "", middle[32] = "";
    wg_label_median(data->in.replicates, data->n_days, median);
    wg_label_temperature(part->low, low);
    wg_label_temperature(part->number[2], rare);
    if (part->number[0] < 0.5)
        (void)snprintf(cold, sizeof cold, "never too cold to grow");
    else
        (void)snprintf(cold, sizeof cold, "too cold to grow on %.0f of %d days", part->number[0], data->n_days);
    if (data->in.replicates > 1)
        (void)snprintf(middle, sizeof middle, "in the middle %s ", one);
    if (data->in.replicates >= RARE)
        (void)snprintf(extreme, sizeof extreme, ", in one %s of %d %.60s or less", one, RARE, rare);
    (void)snprintf(figure->title, sizeof figure->title, "%.120s: %s%.160s is %s and its coldest day has %s%s",
                   data->place[place], middle, part->label, cold, low, extreme);
    if (figure->title[0] >= 'a' && figure->title[0] <= 'z')
        figure->title[0] = (char)(figure->title[0] - 'a' + 'A');
    (void)snprintf(figure->note, sizeof figure->note, "Daily means. Line: %s. %s%s%s", median,
                   data->in.replicates > 1 ? "Band of the bins: 9 in 10. Dot: the median of the coldest days."
                                           : "Dot: the coldest day.",
                   figure->number[5] > 0 ? " (+1): another bin is as warm, to half a degree." : "",
                   figure->number[2] > 0 ? " Below: energy bought for the heater and mats of this place." : "");
}

static int add_place_figure(struct wg_figures *figures, struct wg_result_data *data, int place, int from, int *next,
                            struct wg_error *err) {
    const struct wg_figure_part ground = {.label = "ground", .colour = WG_VERMILION, .pattern = WG_DASH_DOT};
    char name[40];
    (void)snprintf(name, sizeof name, from == 0 ? "temperatures-%d" : "temperatures-%d-%d", place + 1, from + 1);
    struct wg_figure *const figure = wg_figures_add(figures, data, name, err);
    if (figure == NULL)
        return WG_ERR_MEMORY;
    figure->number[0] = HUGE_VAL;
    figure->number[1] = -HUGE_VAL;
    int code = wg_table_begin_dates(&figure->table, data->first_day, 1, data->n_days, err);
    if (code == 0)
        code = add_air(figure, data, place, err);
    if (code == 0)
        code = add_line(figure, data, "ground_temperature", place, &ground, err);
    figure->number[4] = figure->n_parts;
    if (code == 0)
        code = add_bins(figure, data, place, from, next, err);
    if (code == 0)
        code = add_heat_bands(figure, data, place, err);
    if (code < 0)
        return code;
    describe_temperatures(figure, data, place);
    name_alike(figure, (int)figure->number[4]);
    figure->number[0] = floor(figure->number[0] / 5) * 5;
    figure->number[1] = floor(figure->number[1] / 5) * 5 + 5;
    figure->narrow_height = 740;
    figure->draw = draw_temperatures;
    return 0;
}

int wg_chart_temperatures(struct wg_figures *figures, struct wg_result_data *data, struct wg_error *err) {
    int code = 0;
    for (int place = 0; place < data->n_places && code == 0; place++)
        for (int from = 0; from >= 0 && code == 0;)
            code = add_place_figure(figures, data, place, from, &from, err);
    return code;
}
