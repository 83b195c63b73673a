/*
 * How many generations live at the same time? A ridge for each, past the egg,
 * and below the effective number, exp(-sum p ln p) (Hill 1973, Ecology 54:427,
 * order 1): 2 when two are equally many, less when one is rare.
 */
#include "figures/figure.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <wintergrub/stats.h>

#define MOST_RIDGES 14
#define LEAST_PEAK 0.5 /* judgement: a generation that never has half an individual in the mean is not shown */
#define BELOW 96.0     /* height of the effective number's frame */
#define GAP 34.0
#define NARROW_GAP 58.0  /* with the name of the frame below */
#define PEAK_WIDTH 118.0 /* of the numbers right of a narrow frame */
#define RISE 1.7         /* a ridge's height in distances between ridges: they overlap, as they should */

/* table: columns 0..n_parts-1 the generations, the last one the effective number; number[0]: its largest */

static void draw_ridge(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes, int i,
                       double base, double height) {
    const int n = figure->table.n_rows;
    const double *const value = figure->table.column[i].value;
    const double most = value[wg_table_peak(&figure->table, i)];
    double *const room = wg_canvas_room(canvas, 3 * (size_t)n);
    if (room == NULL)
        return;
    double *const x = room, *const low = room + n, *const high = low + n;
    wg_axes_xs(axes, n, 1, x);
    for (int row = 0; row < n; row++) {
        low[row] = base;
        high[row] = base - height * value[row] / most;
    }
    wg_canvas_area(canvas, n, x, low, high, wg_veil(figure->part[i].colour, 0.85));
    wg_canvas_line(canvas, n, x, high, WG_WORDS, 1.6, WG_SOLID);
    free(room);
}

static void draw_ridges(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes) {
    const struct wg_lettering name = {WG_SIZE_TICK, true, WG_WORDS}, peak = {WG_SIZE_TICK, false, WG_WORDS};
    const double apart = (axes->bottom - axes->top) / (figure->n_parts + RISE - 1);
    const bool is_narrow = wg_canvas_is_narrow(canvas);
    char most[96];
    wg_axes_dates(canvas, axes, false);
    for (int i = 0; i < figure->n_parts; i++) {
        const double base = axes->top + apart * (RISE + i);
        draw_ridge(canvas, figure, axes, i, base, apart * RISE);
        wg_canvas_text(canvas, axes->left - 9, base, WG_RIGHT, &name, figure->part[i].label);
        (void)snprintf(most, sizeof most, is_narrow ? "%.80s" : "at most %.80s", figure->part[i].more);
        wg_canvas_text(canvas, axes->right + 12, base, WG_LEFT, &peak, most);
    }
}

static void draw_effective(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes) {
    const struct wg_lettering name = {WG_SIZE_LABEL, true, WG_WORDS};
    const int n = figure->table.n_rows, column = figure->table.n_columns - 1;
    double *const room = wg_canvas_room(canvas, 2 * (size_t)n);
    wg_axes_dates(canvas, axes, true);
    wg_axes_values(canvas, axes, &(struct wg_side){"", 1, 0}, NULL);
    if (room != NULL) {
        wg_axes_xs(axes, n, 1, room);
        wg_axes_ys(axes, n, figure->table.column[column].value, room + n);
        wg_canvas_line(canvas, n, room, room + n, WG_BLUE, 3.5, WG_SOLID);
    }
    free(room);
    if (wg_canvas_is_narrow(canvas)) {
        wg_canvas_text(canvas, axes->left, axes->top - 12, WG_LEFT, &name, "effective number");
        return;
    }
    wg_canvas_text(canvas, axes->right + 12, (axes->top + axes->bottom) / 2 - 4, WG_LEFT, &name, "effective");
    wg_canvas_text(canvas, axes->right + 12, (axes->top + axes->bottom) / 2 + 22, WG_LEFT, &name, "number");
}

static void draw(struct wg_canvas *canvas, const struct wg_figure *figure) {
    const double top = wg_figure_words(canvas, figure), bottom = wg_figure_free_to(canvas) - 58;
    const double gap = wg_canvas_is_narrow(canvas) ? NARROW_GAP : GAP;
    struct wg_axes ridges = wg_figure_axes(canvas, figure, top, bottom - BELOW - gap, 0, 1);
    struct wg_axes below = wg_figure_axes(canvas, figure, bottom - BELOW, bottom, 1, figure->number[0]);
    if (wg_canvas_is_narrow(canvas))
        ridges.right = below.right = WG_PHONE_W - PEAK_WIDTH;
    draw_ridges(canvas, figure, &ridges);
    draw_effective(canvas, figure, &below);
}

/* ---- numbers ---- */

static double alive(const struct wg_result_data *data, const double *mean, int day, int generation) {
    double n = 0;
    for (int stage = WG_EGG + 1; stage < WG_N_STAGES; stage++)
        n += mean[((int64_t)day * WG_N_STAGES + stage) * data->n_generations + generation];
    return n;
}

static double effective(const struct wg_result_data *data, const double *mean, int day) {
    double all = 0, entropy = 0;
    for (int g = 0; g < data->n_generations; g++)
        all += alive(data, mean, day, g);
    for (int g = 0; g < data->n_generations && all > 0; g++) {
        const double share = alive(data, mean, day, g) / all;
        entropy -= share > 0 ? share * log(share) : 0;
    }
    return all > 0 ? exp(entropy) : (double)NAN;
}

static double peak_of(const struct wg_result_data *data, const double *mean, int generation) {
    double most = 0;
    for (int day = 0; day < data->n_days; day++)
        most = fmax(most, alive(data, mean, day, generation));
    return most;
}

static int add_generation(struct wg_figure *figure, const struct wg_result_data *data, const double *mean,
                          int generation, struct wg_error *err) {
    char name[WG_TABLE_NAME], shown[WG_LABEL];
    (void)snprintf(name, sizeof name, "generation %d mean", generation);
    const int column = wg_table_add(&figure->table, name, "1", err);
    if (column < 0)
        return column;
    for (int day = 0; day < data->n_days; day++)
        figure->table.column[column].value[day] = alive(data, mean, day, generation);
    static const int cycle[] = {WG_LARVA, WG_FEMALE, WG_MALE, WG_DORMANT, WG_PUPA, WG_PREPUPA};
    struct wg_part *const part = &figure->part[figure->n_parts++];
    part->colour = wg_stage_colour(cycle[(figure->n_parts - 1) % 6]);
    (void)snprintf(part->label, sizeof part->label, generation == 0 ? "starter" : "%d", generation);
    wg_show_number(peak_of(data, mean, generation), shown);
    (void)snprintf(part->more, sizeof part->more, "%.40s", shown);
    return 0;
}

static int add_effective(struct wg_figure *figure, const struct wg_result_data *data, const double *mean,
                         struct wg_error *err) {
    const int column = wg_table_add(&figure->table, "effective number of generations", "1", err);
    for (int day = 0; day < data->n_days && column >= 0; day++)
        figure->table.column[column].value[day] = effective(data, mean, day);
    return column;
}

static int count_those_that_matter(const struct wg_result_data *data, const double *mean) {
    int n = 0;
    for (int g = 0; g < data->n_generations; g++)
        n += peak_of(data, mean, g) >= LEAST_PEAK;
    return n;
}

static int one_in(int n) {
    return (n + MOST_RIDGES - 1) / MOST_RIDGES;
}

/* Those that matter; of too many every second, third, ..., so that the ridges go on to the last day. */
static int add_all(struct wg_figure *figure, const struct wg_result_data *data, const double *mean, int n,
                   struct wg_error *err) {
    int code = 0;
    for (int g = 0, i = 0; g < data->n_generations && code >= 0; g++)
        if (peak_of(data, mean, g) >= LEAST_PEAK && i++ % one_in(n) == 0)
            code = add_generation(figure, data, mean, g, err);
    return code < 0 ? code : add_effective(figure, data, mean, err);
}

static int say(struct wg_figure *figure, struct wg_result_data *data, int n, struct wg_error *err) {
    double *overlap;
    const int code = wg_result_data_outcome(data, "overlap", &overlap, err);
    if (code < 0)
        return code;
    wg_sort(overlap, (size_t)data->replicates); /* NaN last */
    size_t with = 0;
    while (with < (size_t)data->replicates && !isnan(overlap[with]))
        with++;
    const double within = wg_quantile_sorted(overlap, with, 0.5);
    free(overlap);
    const int column = figure->table.n_columns - 1, peak = wg_table_peak(&figure->table, column);
    const double most = figure->table.column[column].value[peak];
    const bool differ = data->replicates > 1 && most >= 1.05;
    char date[WG_LABEL], number[WG_LABEL], of[WG_LABEL + 16] = "One alone", cut[96] = "";
    wg_show_whole(data->replicates, number);
    if (data->replicates > 1)
        (void)snprintf(of, sizeof of, "Mean of all %.40s", number);
    wg_label_date(data->first_day, peak, date);
    (void)snprintf(figure->title, sizeof figure->title,
                   within < 1.05 || isnan(within)
                       ? "Generations hardly overlap: mostly one lives at a time"
                       : "Generations overlap: %.1f live at the same time, on average, in one of the %s",
                   within, wg_label_noun(data->n_days));
    if (one_in(n) > 1)
        (void)snprintf(cut, sizeof cut, " One ridge in %d of %d is shown.%s", one_in(n), n,
                       n == data->n_generations ? " After the last number they begin at 0 again." : "");
    (void)snprintf(figure->note, sizeof figure->note,
                   "%.60s, eggs left out; each ridge has its own height, the number at its right. Below: "
                   "the effective number in %s, at most %.1f (%.40s)%s.%s",
                   of, data->replicates > 1 ? "that mean" : "it", most, date,
                   differ ? ": more than in one of them, for they differ in timing" : "", cut);
    figure->number[0] = fmax(2, ceil(most));
    return 0;
}

int wg_chart_generations(struct wg_figures *figures, struct wg_result_data *data, struct wg_error *err) {
    double *mean = NULL;
    int code = wg_result_data_generations(data, &mean, err);
    if (code < 0)
        return code;
    const int n = count_those_that_matter(data, mean);
    struct wg_figure *const figure = wg_figures_add(figures, data, "generations", err);
    code = figure == NULL ? WG_ERR_MEMORY : wg_table_begin_dates(&figure->table, data->first_day, 1, data->n_days, err);
    if (code == 0)
        code = add_all(figure, data, mean, n, err);
    free(mean);
    if (code < 0)
        return code;
    if (n == 0) {
        wg_figures_drop(figures);
        return 0;
    }
    figure->tall = 760;
    figure->draw = draw;
    return say(figure, data, n, err);
}
