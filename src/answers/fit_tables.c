/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Words what `fit` found: the animal, today, the weeks to come, the season, the notes that lie off.
 */
#include "answers/fit_text.h"

#include "report/goals_report.h"
#include "text/outcome_label.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- rows ---- */

static void add_row(struct wg_fit_table *table, const char *name, const char *one, const char *other) {
    if (table->n == table->capacity) {
        const int capacity = table->capacity == 0 ? 16 : 2 * table->capacity;
        struct wg_fit_row *const rows = realloc(table->row, (size_t)capacity * sizeof *rows);
        table->failed = table->failed || rows == NULL;
        if (rows == NULL)
            return;
        table->row = rows;
        table->capacity = capacity;
    }
    struct wg_fit_row *const row = &table->row[table->n++];
    (void)snprintf(row->cell[0], WG_FIT_CELL, "%s", name);
    (void)snprintf(row->cell[1], WG_FIT_CELL, "%s", one);
    (void)snprintf(row->cell[2], WG_FIT_CELL, "%s", other);
}

/* Adds a quantity of today: its middle and its 90 % range. */
static void add_quantity_row(struct wg_fit_table *table, const struct wg_fit *fit, const char *name, int quantity) {
    char middle[WG_SHOWN_SIZE], range[WG_SHOWN_SIZE];
    if (quantity < 0)
        return;
    const double low = wg_fit_now(fit, quantity, false, 0.05), high = wg_fit_now(fit, quantity, false, 0.95),
                 half = wg_fit_now(fit, quantity, false, 0.5);
    const int digits = wg_range_digits(low, high);
    if (wg_now_is_mass(fit->today.quantity[quantity].kind)) {
        wg_show_rounded_mass(half, half, digits, middle);
        wg_show_rounded_mass(low, high, digits, range);
    } else {
        wg_show_rounded(round(half), digits, middle);
        wg_show_rounded_range(round(low), round(high), digits, "", range);
    }
    add_row(table, name, middle, range);
}

/* ---- the animal ---- */

/* "21.3 (18 to 24.5)" */
static void show_learnt(const struct wg_fit *fit, enum wg_learnt learnt, bool before, char out[WG_FIT_CELL]) {
    const double factor = learnt == WG_LEARNT_DEATHS || learnt == WG_LEARNT_COLD ? 100 : 1;
    const double low = factor * wg_fit_learnt(fit, learnt, before, 0.05),
                 high = factor * wg_fit_learnt(fit, learnt, before, 0.95);
    const int digits = wg_range_digits(low, high);
    char middle[WG_SHOWN_SIZE], range[WG_SHOWN_SIZE];
    wg_show_rounded(factor * wg_fit_learnt(fit, learnt, before, 0.5), digits, middle);
    wg_show_rounded_range(low, high, digits, "", range);
    (void)snprintf(out, WG_FIT_CELL, "%.90s (%.90s)", middle, range);
}

static void add_animal(struct wg_fit_table *table, const struct wg_fit_output *fitting) {
    static const char *const name[WG_N_LEARNT] = {
        [WG_LEARNT_LARVAL_DAYS] = "larval days at 27 °C",    [WG_LEARNT_GRUB_MASS] = "full-grown grub, g",
        [WG_LEARNT_DEATHS] = "die from egg to fly, %",       [WG_LEARNT_EGGS_PER_FLY] = "eggs per fly that emerges",
        [WG_LEARNT_DORMANCY_HEAT] = "winter sleep, °C days", [WG_LEARNT_COLD] = "alive, 28 d at 2 °C, %",
    };
    const bool is_middle = fitting->scenario->plan.animals == WG_ANIMALS_MIDDLE;
    add_row(table, "The animal", is_middle ? "animals like the plan's" : "plausible animals",
            "this colony's (middle, 90 %)");
    for (int i = 0; i < WG_N_LEARNT; i++) {
        char before[WG_FIT_CELL], after[WG_FIT_CELL];
        show_learnt(fitting->fit, (enum wg_learnt)i, true, before);
        show_learnt(fitting->fit, (enum wg_learnt)i, false, after);
        add_row(table, name[i], before, after);
    }
}

/* ---- today ---- */

static void add_today(struct wg_fit_table *table, const struct wg_fit_output *fitting) {
    const struct wg_now *const now = &fitting->fit->today;
    const struct wg_plan *const plan = &fitting->scenario->plan;
    char date[24], text[WG_FIT_CELL];
    wg_day_format_long(now->today, date);
    (void)snprintf(text, sizeof text, "On %s", date);
    add_row(table, text, "middle", "90 % range");
    for (int b = 0; b < plan->n_bins; b++) {
        (void)snprintf(text, sizeof text, "larvae in %s", plan->bins[b].name);
        add_quantity_row(table, fitting->fit, text, wg_now_find(now, WG_NOW_LARVAE, b));
        (void)snprintf(text, sizeof text, "their weight");
        add_quantity_row(table, fitting->fit, text, wg_now_find(now, WG_NOW_MASS, b));
    }
    for (int i = 0; i < WG_N_NOW_STAGES; i++)
        if (i != WG_NOW_ALL_LARVAE)
            add_quantity_row(table, fitting->fit, wg_now_name(now, i), wg_now_find(now, WG_NOW_STAGE, i));
}

/* ---- feed ---- */

static double planned_feed(const struct wg_plan *plan, int bin, int32_t today) {
    double kg = 0;
    for (int i = 0; i < plan->n_actions; i++)
        for (int32_t day = today + 1; day <= today + 7; day++)
            if (plan->actions[i].kind == WG_ACTION_FEED && !plan->actions[i].as.feed.as_eaten &&
                plan->actions[i].bin == bin && wg_action_is_due(&plan->actions[i], day))
                kg += plan->actions[i].as.feed.wet_kg;
    return kg;
}

static void add_feed_rows(struct wg_fit_table *table, const struct wg_fit_output *fitting) {
    const struct wg_now *const now = &fitting->fit->today;
    const struct wg_plan *const plan = &fitting->scenario->plan;
    add_row(table, "Fresh feed, next seven days", "middle", "90 % range");
    for (int b = 0; b < plan->n_bins; b++) {
        char planned[WG_SHOWN_SIZE], text[WG_FIT_CELL];
        if (wg_now_find(now, WG_NOW_WANTED, b) < 0)
            continue;
        (void)snprintf(text, sizeof text, "larvae in %s can eat", plan->bins[b].name);
        add_quantity_row(table, fitting->fit, text, wg_now_find(now, WG_NOW_WANTED, b));
        (void)snprintf(text, sizeof text, "to give, as some is left");
        add_quantity_row(table, fitting->fit, text, wg_now_find(now, WG_NOW_TO_FEED, b));
        wg_show_mass(planned_feed(plan, b, now->today), planned);
        if (wg_plan_feeds_as_eaten(plan, b, now->today + 1, now->today + 7))
            (void)snprintf(planned, sizeof planned, "as eaten");
        add_row(table, "the plan gives", planned, "");
    }
}

/* ---- weeks ---- */

static void add_weeks(struct wg_fit_table *table, const struct wg_fit_output *fitting) {
    const struct wg_now *const now = &fitting->fit->today;
    add_row(table, "The next weeks", "middle", "90 % range");
    for (int flies = 0; flies < 2; flies++)
        for (int w = 0; w < now->n_weeks; w++) {
            char date[WG_SHOWN_SIZE], text[WG_FIT_CELL];
            wg_show_date(now->today, 1 + 7 * w, "", date);
            date[strlen(date) - strlen(" 2026")] = '\0'; /* the year is in the line on today */
            (void)snprintf(text, sizeof text, "%s, week of %s", flies ? "new flies" : "crawl-off", date);
            add_quantity_row(table, fitting->fit, text, wg_now_find(now, flies ? WG_NOW_FLIES : WG_NOW_CRAWL_OFF, w));
        }
    add_quantity_row(table, fitting->fit, wg_now_name(now, wg_now_find(now, WG_NOW_REST_CRAWL, 0)),
                     wg_now_find(now, WG_NOW_REST_CRAWL, 0));
}

/* ---- the season ---- */

/* Adds a line in kilograms and one in pounds. */
static void add_mass_rows(struct wg_fit_table *table, const struct wg_fit *fit, enum wg_outcome_number outcome) {
    for (int u = 0; u < 2; u++) {
        const double kg = u == 0 ? 1 : WG_KG_PER_LB;
        char range[2][WG_SHOWN_SIZE];
        for (int b = 0; b < 2; b++) {
            const double low = wg_fit_outcome(fit, (int)outcome, b == 0, 0.05) / kg,
                         high = wg_fit_outcome(fit, (int)outcome, b == 0, 0.95) / kg;
            wg_show_rounded_range(low, high, wg_range_digits(low, high), u == 0 ? " kg" : " lb", range[b]);
        }
        add_row(table, u == 0 ? wg_outcome_label(outcome)->phrase : "", range[0], range[1]);
    }
}

/* "13 Oct 2026 (97 %)": the median date and how often it happened. */
static void show_when(const struct wg_fit *fit, int32_t first_day, enum wg_outcome_number outcome, bool before,
                      char out[WG_FIT_CELL]) {
    char date[WG_SHOWN_SIZE], share[16];
    wg_goals_text_chance(wg_fit_happened(fit, (int)outcome, before), share);
    wg_show_date(first_day, wg_fit_outcome(fit, (int)outcome, before, 0.5),
                 wg_fit_happened(fit, (int)outcome, before) > 0 ? "not by the end" : "none", date);
    (void)snprintf(out, WG_FIT_CELL, "%.90s (%s)", date, share);
}

static void add_date_rows(struct wg_fit_table *table, const struct wg_fit_output *fitting) {
    static const enum wg_outcome_number row[] = {WG_OUTCOME_first_adult_day, WG_OUTCOME_first_batch_50,
                                                 WG_OUTCOME_spring_emergence_50};
    const struct wg_plan *const plan = &fitting->scenario->plan;
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        char before[WG_FIT_CELL], after[WG_FIT_CELL];
        if (!wg_outcome_is_shown(row[i], plan))
            continue;
        show_when(fitting->fit, plan->first_day, row[i], true, before);
        show_when(fitting->fit, plan->first_day, row[i], false, after);
        add_row(table, wg_outcome_label(row[i])->phrase, before, after);
    }
}

void wg_fit_spring_words(const struct wg_fit_output *fitting, char out[WG_SENTENCE_SIZE]) {
    const struct wg_plan *const plan = &fitting->scenario->plan;
    out[0] = '\0';
    if (wg_outcome_is_shown(WG_OUTCOME_spring_emergence_50, plan))
        (void)snprintf(out, WG_SENTENCE_SIZE,
                       "Spring flies have a date in the %s in which they emerge, but not all winter long; the "
                       "percentage is the share of these.",
                       wg_forecast_noun(plan));
}

static void add_season(struct wg_fit_table *table, const struct wg_fit_output *fitting) {
    const struct wg_fit *const fit = fitting->fit;
    char before[16], after[16];
    add_row(table, "The whole period", "before the log", "after it (90 %; date: middle)");
    wg_goals_text_chance(wg_fit_share_above(fit, WG_OUTCOME_survived, true, 0.5), before);
    wg_goals_text_chance(wg_fit_share_above(fit, WG_OUTCOME_survived, false, 0.5), after);
    add_row(table, wg_outcome_label(WG_OUTCOME_survived)->phrase, before, after);
    add_mass_rows(table, fit, WG_OUTCOME_total_crawl_off_mass);
    if (wg_outcome_is_shown(WG_OUTCOME_total_harvest_mass, &fitting->scenario->plan))
        add_mass_rows(table, fit, WG_OUTCOME_total_harvest_mass);
    add_date_rows(table, fitting);
}

int wg_fit_table_make(struct wg_fit_table *table, enum wg_fit_table_kind kind, const struct wg_fit_output *fitting,
                      struct wg_error *err) {
    static void (*const add[WG_FIT_N_TABLES])(struct wg_fit_table *, const struct wg_fit_output *) = {
        [WG_FIT_TABLE_ANIMAL] = add_animal, [WG_FIT_TABLE_TODAY] = add_today,   [WG_FIT_TABLE_FEED] = add_feed_rows,
        [WG_FIT_TABLE_WEEKS] = add_weeks,   [WG_FIT_TABLE_SEASON] = add_season,
    };
    *table = (struct wg_fit_table){.n = 0};
    wg_assert(wg_fit_has_answer(fitting->fit));
    add[kind](table, fitting);
    return table->failed ? wg_no_memory(err, NULL) : 0;
}

void wg_fit_table_free(struct wg_fit_table *table) {
    free(table->row);
    *table = (struct wg_fit_table){.n = 0};
}

/* ---- the log ---- */

void wg_fit_show_agreement(const struct wg_fit_output *fitting, char out[WG_SENTENCE_SIZE]) {
    const struct wg_fit *const fit = fitting->fit;
    char lived[WG_SHOWN_SIZE], kept[WG_SHOWN_SIZE], futures[2 * WG_SHOWN_SIZE + 80] = "";
    wg_show_whole(fit->lived, lived);
    wg_show_whole(fit->after.n, kept);
    if (fit->after.n < fit->lived)
        (void)snprintf(futures, sizeof futures, " Of %s futures lived, %s have flies as noted; only these are shown.",
                       lived, kept);
    if (wg_fit_has_answer(fit))
        (void)snprintf(out, WG_SENTENCE_SIZE, "After fitting, %lld of %lld animals agree with the log.%s",
                       (long long)fit->agree, (long long)fit->drawn, futures);
    else
        (void)snprintf(
            out, WG_SENTENCE_SIZE,
            "The log and the plan do not agree: even after fitting, only %lld of %lld animals come near the log, "
            "and a range needs %d. Look for a mistake in the notes below, or for something that the plan does "
            "not say: other feed, a starter, larvae taken out.",
            (long long)fit->agree, (long long)fit->drawn, WG_FIT_FEWEST);
}

/* Lists the worst of the notes outside their range, or of all notes. Returns how many there are. */
static int list_worst(const struct wg_fit_output *fitting, bool of_all, int worst[WG_FIT_WORST]) {
    const struct wg_fit *const fit = fitting->fit;
    struct wg_interval range;
    int n = 0;
    for (int i = 0; i < fitting->log->n; i++) {
        if (!of_all && wg_fit_explains(fit, fitting->log->note, i, !wg_fit_has_answer(fit), &range))
            continue;
        int at = n < WG_FIT_WORST ? n : WG_FIT_WORST;
        for (; at > 0 && fabs(fit->misfit[worst[at - 1]]) < fabs(fit->misfit[i]); at--)
            if (at < WG_FIT_WORST)
                worst[at] = worst[at - 1];
        if (at < WG_FIT_WORST)
            worst[at] = i;
        n++;
    }
    return n;
}

/* Notes may be possible one by one and yet not together. */
int wg_fit_worst_notes(const struct wg_fit_output *fitting, int worst[WG_FIT_WORST]) {
    const int n = list_worst(fitting, false, worst);
    return n > 0 || wg_fit_has_answer(fitting->fit) ? n : list_worst(fitting, true, worst);
}

static void show_note(const struct wg_log_entry *note, double value, char out[WG_SHOWN_SIZE]) {
    switch (note->kind) {
    case WG_LOG_CRAWL_OFF:
    case WG_LOG_TAKEN:
        wg_show_mass(value, out);
        return;
    case WG_LOG_EGGS_TRAPPED:
        wg_show_number(value, out);
        return;
    case WG_LOG_BIN_TEMPERATURE:
        wg_show_temperature(value, out);
        return;
    case WG_LOG_JAR:
        (void)snprintf(out, WG_SHOWN_SIZE, "%.0f %%", 100 * fmin(value, 1));
        return;
    case WG_LOG_ADULTS:
    case WG_N_LOG_KINDS:
        break;
    }
    (void)snprintf(out, WG_SHOWN_SIZE, "%s", value > 0 ? "yes" : "no");
}

void wg_fit_show_note(const struct wg_fit_output *fitting, int i, char out[WG_SENTENCE_SIZE]) {
    const struct wg_log_entry *const note = &fitting->log->note[i];
    const bool before = !wg_fit_has_answer(fitting->fit);
    struct wg_interval range;
    char date[24], value[WG_SHOWN_SIZE], low[WG_SHOWN_SIZE], high[WG_SHOWN_SIZE];
    (void)wg_fit_explains(fitting->fit, fitting->log->note, i, before, &range);
    wg_day_format_long(note->day, date);
    show_note(note, note->value, value);
    show_note(note, range.low, low);
    show_note(note, range.high, high);
    if (note->kind == WG_LOG_ADULTS)
        (void)snprintf(out, WG_SENTENCE_SIZE, "line %d, %s, adults: %s, which had a chance of %.0f %%%s", note->line,
                       date, value, 100 * (note->value > 0 ? range.low : 1 - range.low),
                       before ? " before the log" : "");
    else
        (void)snprintf(out, WG_SENTENCE_SIZE, "line %d, %s, %s: %.40s, expected %.40s to %.40s%s", note->line, date,
                       wg_log_kind_name(note->kind), value, low, high, before ? " before the log" : "");
}
