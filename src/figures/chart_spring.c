/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Draws the spring emergence: the share of the overwintered flies that have emerged by each day, in the replicates with a
 * spring, as the outcomes spring_emergence_10, _50, _90 count it.
 */
#include "base/calendar.h"
#include "base/stats.h"
#include "colony/diary.h"
#include "data/spring_words.h"
#include "figures/figure.h"
#include "plan/plan.h"
#include "text/warning_sentences.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define MARGIN_DAYS 10 /* days before the first and after the last fly, to show the ends of the curve */

static void draw_spring(struct wg_canvas *canvas, const struct wg_figure *figure) {
    const double top = wg_figure_draw_text(canvas, figure) + 30, bottom = wg_figure_free_to(canvas) - 58;
    struct wg_axes axes = wg_figure_axes(canvas, figure, top, bottom, 0, 100);
    axes.right = wg_canvas_sheet(canvas)->width - (wg_canvas_is_narrow(canvas) ? 14 : 60);
    wg_axes_dates(canvas, &axes, true);
    wg_axes_values(canvas, &axes, &(struct wg_axis_scale){"%", 1, 0}, NULL);
    wg_figure_bands(canvas, figure, &axes, &figure->part[0], false);
}

/* ---- numbers ---- */

struct spring {
    double *median_day; /* outcome spring_emergence_50, [replicate] */
    int from, to;       /* the season's first and last day of the period */
    struct wg_result_series flies;
    bool *has_flies; /* overwintered flies emerge in this replicate, [replicate read] */
    double *share;   /* percent emerged, [replicate][day of the season] */
    int64_t with;    /* replicates with a spring */
    bool is_cut;     /* the period ends before the season */
};

/* Finds the season of the outcomes; the month of emergence shows the hemisphere. */
static bool find_season(struct spring *spring, const struct wg_result_data *data) {
    double first = HUGE_VAL;
    for (int64_t i = 0; i < data->in.replicates; i++)
        if (!isnan(spring->median_day[i])) {
            first = fmin(first, spring->median_day[i]);
            spring->with++;
        }
    if (spring->with == 0)
        return false;
    const int month = wg_date_from_day(data->first_day + (int32_t)first).month;
    const struct wg_spring season =
        wg_spring_within(data->first_day, data->first_day + data->n_days - 1, month >= 8 || month == 1);
    spring->from = season.from - data->first_day;
    spring->to = season.to - data->first_day;
    spring->is_cut = season.seen == WG_SPRING_CUT;
    return season.seen >= WG_SPRING_CUT;
}

/* Adds a place's flies in the replicates in which it had a spring; a heated shed beside a yard has none. */
static void add_spring_place(struct spring *spring, const struct wg_result_series *flies,
                             const struct wg_result_series *emerged) {
    const int before = spring->from > WG_SPRING_BEFORE ? spring->from - WG_SPRING_BEFORE : 0;
    for (int64_t i = 0; i < flies->replicates; i++) {
        const double *const here = flies->value + i * flies->n_days, *const all = emerged->value + i * flies->n_days;
        double *const sum = spring->flies.value + i * flies->n_days;
        double winter = 0, total = 0;
        for (int d = before; d < spring->from; d++)
            winter += all[d];
        for (int d = spring->from; d <= spring->to; d++)
            total += here[d];
        spring->has_flies[i] = spring->has_flies[i] || total > 0;
        for (int d = 0; d < flies->n_days && wg_diary_is_spring((int64_t)winter, (int64_t)total); d++)
            sum[d] += here[d];
    }
}

static int read_spring_place(struct spring *spring, struct wg_result_data *data, int place, struct wg_error *err) {
    struct wg_result_series flies = {0}, emerged = {0};
    int code = wg_result_data_read(data, "spring_flies", place, &flies, err);
    if (code == 0)
        code = wg_result_data_read(data, "adults_emerged", place, &emerged, err);
    if (code == 0)
        add_spring_place(spring, &flies, &emerged);
    wg_result_series_free(&flies);
    wg_result_series_free(&emerged);
    return code;
}

static int read_spring_flies(struct spring *spring, struct wg_result_data *data, struct wg_error *err) {
    int code = wg_result_data_read(data, "spring_flies", 0, &spring->flies, err);
    if (code < 0)
        return code;
    memset(spring->flies.value, 0,
           (size_t)spring->flies.replicates * (size_t)spring->flies.n_days * sizeof *spring->flies.value);
    spring->has_flies = calloc((size_t)spring->flies.replicates, sizeof *spring->has_flies);
    if (spring->has_flies == NULL)
        return wg_no_memory(err, NULL);
    for (int place = 0; place < data->n_places && code == 0; place++)
        code = read_spring_place(spring, data, place, err);
    return code;
}

/* Computes the cumulative share of one replicate; NaN without a spring. */
static void cumulate_share(const struct spring *spring, int64_t i, double *share) {
    const int n = spring->to - spring->from + 1;
    const double *const flies = spring->flies.value + i * spring->flies.n_days + spring->from;
    double total = 0, so_far = 0;
    for (int d = 0; d < n; d++)
        total += flies[d];
    for (int d = 0; d < n; d++) {
        so_far += flies[d];
        share[d] = isnan(spring->median_day[i]) || total == 0 ? (double)NAN : 100 * so_far / total;
    }
}

static int read_spring(struct spring *spring, struct wg_result_data *data, struct wg_error *err) {
    int code = read_spring_flies(spring, data, err);
    if (code < 0)
        return code;
    const int64_t n = spring->to - spring->from + 1;
    spring->share = calloc((size_t)(spring->flies.replicates * n), sizeof *spring->share);
    if (spring->share == NULL)
        return wg_no_memory(err, NULL);
    for (int64_t i = 0; i < spring->flies.replicates; i++)
        cumulate_share(spring, i, spring->share + i * n);
    return 0;
}

/* Trims the days before and after the emergence, with a margin. */
static void trim_quiet_days(struct wg_figure *figure) {
    struct wg_table *const table = &figure->table;
    int from = 0, to = table->n_rows - 1;
    while (from < to && !(table->column[WG_Q95].value[from] > 0.5))
        from++;
    while (to > from && !(table->column[WG_Q05].value[to] < 99.5))
        to--;
    from = from > MARGIN_DAYS ? from - MARGIN_DAYS : 0;
    to = to + MARGIN_DAYS < table->n_rows ? to + MARGIN_DAYS : table->n_rows - 1;
    table->n_rows = figure->n_days = to - from + 1;
    figure->first_day += from;
    memmove(table->row, table->row + from, (size_t)table->n_rows * sizeof *table->row);
    for (int c = 0; c < table->n_columns; c++)
        memmove(table->column[c].value, table->column[c].value + from,
                (size_t)table->n_rows * sizeof *table->column[c].value);
}

/* Returns in how many replicates flies emerge all winter; -1 if not all could be read. */
static int64_t count_all_winter(const struct spring *spring, const struct wg_result_data *data) {
    int64_t n = 0;
    for (int64_t i = 0; i < spring->flies.replicates; i++)
        n += spring->has_flies[i] && isnan(spring->median_day[i]);
    return spring->flies.replicates == data->in.replicates ? n : -1;
}

static void describe_spring(struct wg_figure *figure, const struct spring *spring, const struct wg_result_data *data) {
    const char *const noun = wg_label_noun(data->n_days);
    char middle[WG_LABEL_SIZE], range[WG_LABEL_SIZE], futures[WG_LABEL_SIZE], undated[WG_SPRING_TEXT], nine[160] = "";
    const struct wg_spring_counts counts = {data->in.replicates, spring->with, count_all_winter(spring, data)};
    char end[WG_LABEL_SIZE], cut[WG_LABEL_SIZE + 48] = "";
    double *const sorted = spring->median_day;
    wg_sort(sorted, (size_t)data->in.replicates); /* NaN last */
    wg_label_date(data->first_day, wg_quantile_sorted(sorted, (size_t)spring->with, 0.5), middle);
    wg_label_dates(data->first_day, wg_quantile_sorted(sorted, (size_t)spring->with, 0.05),
                   wg_quantile_sorted(sorted, (size_t)spring->with, 0.95), range);
    wg_label_futures(data->in.replicates, data->n_days, futures);
    wg_spring_words(&counts, wg_replicates_noun(data->n_days, counts.all), undated);
    if (spring->with > 1)
        (void)snprintf(nine, sizeof nine, " (%s in 9 %s in 10)", range, noun);
    wg_label_date(data->first_day, spring->to, end);
    (void)snprintf(cut, sizeof cut, " Counted until %s%s.", end, spring->is_cut ? ", where the period ends" : "");
    (void)snprintf(figure->title, sizeof figure->title, "Half of the spring flies are out by%s %s%s%s%s",
                   spring->with > 1 ? " about" : "", middle, nine, undated[0] != '\0' ? "; " : "", undated);
    (void)snprintf(
        figure->note, sizeof figure->note,
        "Share of the overwintered flies that have emerged, in the %lld of %s whose spring flies have a date. Line: "
        "median.%s%s",
        (long long)spring->with, futures,
        spring->with > 1 ? " Dark band: the middle half of them. Light band: 9 in 10." : "", cut);
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
    figure->part[0] = (struct wg_figure_part){.colour = wg_stage_colour(WG_FEMALE)};
    figure->n_parts = 1;
    trim_quiet_days(figure);
    describe_spring(figure, spring, data);
    figure->narrow_height = 560;
    figure->draw = draw_spring;
    return 0;
}

int wg_chart_spring(struct wg_figures *figures, struct wg_result_data *data, struct wg_error *err) {
    struct spring spring = {0};
    int code = wg_result_data_outcome(data, WG_OUTCOME_spring_emergence_50, &spring.median_day, err);
    if (code == 0 && find_season(&spring, data))
        code = add_figure(figures, &spring, data, err);
    free(spring.median_day);
    free(spring.share);
    free(spring.has_flies);
    wg_result_series_free(&spring.flies);
    return code;
}
