/*
 * When do the flies come out in spring? The share of the overwintered that have
 * emerged by each day, in those replicates that had a spring, as the outcomes
 * spring_emergence_10, _50, _90 count it.
 */
#include "figures/figure.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <wintergrub/calendar.h>
#include <wintergrub/stats.h>

#define AROUND 10 /* days before the first and after the last fly, so that the curve's feet are seen */

static void draw(struct wg_canvas *canvas, const struct wg_figure *figure) {
    const double top = wg_figure_words(canvas, figure) + 30, bottom = wg_figure_free_to(canvas) - 58;
    struct wg_axes axes = wg_figure_axes(canvas, figure, top, bottom, 0, 100);
    axes.right = wg_canvas_sheet(canvas)->width - (wg_canvas_is_narrow(canvas) ? 14 : 60);
    wg_axes_dates(canvas, &axes, true);
    wg_axes_values(canvas, &axes, &(struct wg_side){"%", 1, 0}, NULL);
    wg_figure_bands(canvas, figure, &axes, &figure->part[0], false);
}

/* ---- numbers ---- */

struct spring {
    double *half_out; /* outcome spring_emergence_50, [replicate] */
    int from, to;     /* the season's first and last day of the period */
    struct wg_result_series flies;
    double *share; /* per cent emerged, [replicate][day of the season] */
    int64_t with;  /* replicates that had a spring */
};

/* Spring opens on 1 February, in the south on 1 August, and lasts six months (181 days at most 184): whichever of the two
 * came last before its middle. */
static int find_season(struct spring *spring, const struct wg_result_data *data) {
    double first = HUGE_VAL;
    for (int64_t i = 0; i < data->replicates; i++)
        if (!isnan(spring->half_out[i])) {
            first = fmin(first, spring->half_out[i]);
            spring->with++;
        }
    if (spring->with == 0)
        return 0;
    const struct wg_date day = wg_date_from_day(data->first_day + (int32_t)first);
    struct wg_date opens = {day.year, day.month >= 8 ? 8 : 2, 1};
    if (day.month == 1)
        opens = (struct wg_date){day.year - 1, 8, 1};
    struct wg_date closes = {opens.year, 7, 31};
    if (opens.month == 8)
        closes = (struct wg_date){opens.year + 1, 1, 31};
    spring->from = wg_day_from_date(opens) - data->first_day;
    spring->to = wg_day_from_date(closes) - data->first_day;
    return spring->from >= 0 && spring->to < data->n_days;
}

static int read_flies(struct spring *spring, struct wg_result_data *data, struct wg_error *err) {
    int code = 0;
    for (int place = 0; place < data->n_places && code == 0; place++) {
        struct wg_result_series series;
        code = wg_result_data_read(data, "spring_flies", place, &series, err);
        if (code == 0 && place == 0) {
            spring->flies = series;
            continue;
        }
        for (int64_t i = 0; code == 0 && i < series.replicates * series.n_days; i++)
            spring->flies.value[i] += series.value[i];
        wg_result_series_free(&series);
    }
    return code;
}

/* Of one replicate, into share; NaN where there was no spring. */
static void add_up(const struct spring *spring, int64_t i, double *share) {
    const int n = spring->to - spring->from + 1;
    const double *const flies = spring->flies.value + i * spring->flies.n_days + spring->from;
    double total = 0, so_far = 0;
    for (int d = 0; d < n; d++)
        total += flies[d];
    for (int d = 0; d < n; d++) {
        so_far += flies[d];
        share[d] = isnan(spring->half_out[i]) || total == 0 ? (double)NAN : 100 * so_far / total;
    }
}

static int read_spring(struct spring *spring, struct wg_result_data *data, struct wg_error *err) {
    int code = read_flies(spring, data, err);
    if (code < 0)
        return code;
    const int64_t n = spring->to - spring->from + 1;
    spring->share = calloc((size_t)(spring->flies.replicates * n), sizeof *spring->share);
    if (spring->share == NULL)
        return wg_fail(err, WG_ERR_MEMORY, NULL, "There is not enough memory for the spring.");
    for (int64_t i = 0; i < spring->flies.replicates; i++)
        add_up(spring, i, spring->share + i * n);
    return 0;
}

/* Leaves the days on which something happens, in at least one of a hundred flies of nine replicates in ten. */
static void trim(struct wg_figure *figure) {
    struct wg_table *const table = &figure->table;
    int from = 0, to = table->n_rows - 1;
    while (from < to && !(table->column[WG_Q95].value[from] > 0.5))
        from++;
    while (to > from && !(table->column[WG_Q05].value[to] < 99.5))
        to--;
    from = from > AROUND ? from - AROUND : 0;
    to = to + AROUND < table->n_rows ? to + AROUND : table->n_rows - 1;
    table->n_rows = figure->n_days = to - from + 1;
    figure->first_day += from;
    memmove(table->row, table->row + from, (size_t)table->n_rows * sizeof *table->row);
    for (int c = 0; c < table->n_columns; c++)
        memmove(table->column[c].value, table->column[c].value + from,
                (size_t)table->n_rows * sizeof *table->column[c].value);
}

static void say(struct wg_figure *figure, const struct spring *spring, const struct wg_result_data *data) {
    const char *const noun = wg_label_noun(data->n_days);
    const bool in_all = spring->with == data->replicates;
    char middle[WG_LABEL], range[WG_LABEL], futures[WG_LABEL], none[128] = "", nine[160] = "";
    double *const sorted = spring->half_out;
    wg_sort(sorted, (size_t)data->replicates); /* NaN last */
    wg_label_date(data->first_day, wg_quantile_sorted(sorted, (size_t)spring->with, 0.5), middle);
    wg_label_dates(data->first_day, wg_quantile_sorted(sorted, (size_t)spring->with, 0.05),
                   wg_quantile_sorted(sorted, (size_t)spring->with, 0.95), range);
    wg_label_futures(data->replicates, data->n_days, futures);
    if (!in_all)
        (void)snprintf(none, sizeof none, "; no spring flies in %lld of %lld %s",
                       (long long)(data->replicates - spring->with), (long long)data->replicates, noun);
    if (spring->with > 1)
        (void)snprintf(nine, sizeof nine, " (%s in nine %s of ten)", range, noun);
    (void)snprintf(figure->title, sizeof figure->title, "Half of the spring flies are out by%s %s%s%s",
                   spring->with > 1 ? " about" : "", middle, nine, none);
    (void)snprintf(figure->note, sizeof figure->note,
                   "Share of the overwintered that have emerged, in the %lld of %s that had spring flies. Line: "
                   "median.%s",
                   (long long)spring->with, futures,
                   spring->with > 1 ? " Dark band: half of them. Light band: nine in ten." : "");
}

static int add_figure(struct wg_figures *figures, struct spring *spring, struct wg_result_data *data,
                      struct wg_error *err) {
    int code = read_spring(spring, data, err);
    struct wg_figure *const figure = code == 0 ? wg_figures_add(figures, data, "spring", err) : NULL;
    if (figure == NULL)
        return code < 0 ? code : WG_ERR_MEMORY;
    figure->first_day += spring->from;
    code = wg_table_begin_dates(&figure->table, figure->first_day, 1, spring->to - spring->from + 1, err);
    if (code == 0)
        code = wg_bands_add(&figure->table, "emerged", "%", spring->share, spring->flies.replicates, err);
    if (code < 0)
        return code;
    figure->part[0] = (struct wg_part){.colour = wg_stage_colour(WG_FEMALE)};
    figure->n_parts = 1;
    trim(figure);
    say(figure, spring, data);
    figure->tall = 560;
    figure->draw = draw;
    return 0;
}

int wg_chart_spring(struct wg_figures *figures, struct wg_result_data *data, struct wg_error *err) {
    struct spring spring = {0};
    int code = wg_result_data_outcome(data, "spring_emergence_50", &spring.half_out, err);
    if (code == 0 && find_season(&spring, data))
        code = add_figure(figures, &spring, data, err);
    free(spring.half_out);
    free(spring.share);
    wg_result_series_free(&spring.flies);
    return code;
}
