/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Prints what a log tells: the animal, the notes outside their range, today, the weeks to come, the season.
 */
#include "answers/fit_text.h"

#include "report/forecast_facts.h"
#include "report/warning_lists.h"
#include "text/outcome_label.h"
#include <wintergrub/version.h>

#include <math.h>
#include <string.h>

/* ---- tables ---- */

static int widest_cell(const struct wg_fit_table *table, int column) {
    int widest = 0;
    for (int i = 0; i < table->n; i++) {
        const int columns = wg_show_columns(table->row[i].cell[column]);
        widest = columns > widest ? columns : widest;
    }
    return widest;
}

/* Prints a table; one without rows not at all. */
static int print_table(const struct wg_fit_output *fitting, enum wg_fit_table_kind kind, FILE *to,
                       struct wg_error *err) {
    struct wg_fit_table table;
    const int code = wg_fit_table_make(&table, kind, fitting, err);
    const int name = 2 + widest_cell(&table, 0), one = widest_cell(&table, 1);
    for (int i = 0; i < table.n && table.n > 1 && code == 0; i++) {
        const struct wg_fit_row *const row = &table.row[i];
        const int indent = i == 0 ? 0 : 2, pad = row->cell[2][0] != '\0' ? one - wg_show_columns(row->cell[1]) : 0;
        (void)fprintf(to, "%*s%s%*s %s%*s%s%s\n", indent, "", row->cell[0],
                      name - indent - wg_show_columns(row->cell[0]), "", row->cell[1], pad, "",
                      row->cell[2][0] != '\0' ? " " : "", row->cell[2]);
    }
    wg_fit_table_free(&table);
    return code;
}

/* ---- the log ---- */

static void print_log_fit(const struct wg_fit_output *fitting, FILE *to) {
    const struct wg_keeper_log *const log = fitting->log;
    int worst[WG_FIT_WORST];
    const int off = wg_fit_worst_notes(fitting, worst), inside = log->n - off;
    if (wg_fit_has_answer(fitting->fit))
        (void)fprintf(to, "Notes inside the expected 90 %% range: %d of %d.%s\n", inside, log->n,
                      off > 0 ? " Outside it:" : "");
    for (int k = 0; k < off && k < WG_FIT_WORST; k++) {
        char note[WG_SENTENCE_SIZE], line[WG_SENTENCE_SIZE + 2];
        wg_fit_show_note(fitting, worst[k], note);
        (void)snprintf(line, sizeof line, "  %s", note);
        wg_show_lines(to, 4, line);
    }
    if (off > WG_FIT_WORST)
        (void)fprintf(to, "  ... and %d more\n", off - WG_FIT_WORST);
}

/* Names the notes from which totals count. */
static void print_log_starts(const struct wg_keeper_log *log, FILE *to) {
    char date[24], line[WG_SENTENCE_SIZE];
    for (int k = 0; k < WG_N_LOG_KINDS; k++) {
        const struct wg_log_entry *const note = &log->opening[k];
        if (note->line == 0)
            continue;
        wg_day_format_long(note->day, date);
        (void)snprintf(
            line, sizeof line,
            "Line %d, %s, only starts the count of %s: the log does not say how many days it covers (a column "
            "\"days\" would).",
            note->line, date, wg_log_kind_name(note->kind));
        wg_show_lines(to, 2, line);
    }
}

int wg_fit_output_print(const struct wg_fit_output *fitting, FILE *to, struct wg_error *err) {
    static const enum wg_fit_table_kind after[] = {WG_FIT_TABLE_TODAY, WG_FIT_TABLE_FEED, WG_FIT_TABLE_WEEKS,
                                                   WG_FIT_TABLE_SEASON};
    const bool has_answer = wg_fit_has_answer(fitting->fit);
    const struct wg_plan *const plan = &fitting->scenario->plan;
    char line[WG_SENTENCE_SIZE];
    (void)fprintf(to, "%d note%s, compared with the plan\n", fitting->log->n, fitting->log->n == 1 ? "" : "s");
    print_log_starts(fitting->log, to);
    wg_fit_show_agreement(fitting, line);
    wg_show_lines(to, 2, line);
    int code = has_answer ? print_table(fitting, WG_FIT_TABLE_ANIMAL, to, err) : 0;
    if (code == 0)
        print_log_fit(fitting, to);
    for (size_t i = 0; i < sizeof after / sizeof *after && code == 0 && has_answer; i++)
        code = print_table(fitting, after[i], to, err);
    wg_fit_spring_words(fitting, line);
    if (has_answer && line[0] != '\0')
        wg_show_lines(to, 2, line);
    if (code == 0) {
        wg_notes_print_warnings(fitting->warnings, "the plan without the log", to);
        wg_notes_print_cautions(&plan, 1, to);
    }
    return code;
}

/* ---- JSON ---- */

static const double quantile[] = {0.05, 0.25, 0.5, 0.75, 0.95};
static const char *const quantile_name[] = {"q05", "q25", "q50", "q75", "q95"};

static void put_json_quantiles(struct wg_json *json, const char *key, const double values[5]) {
    wg_json_object(json, key);
    for (int q = 0; q < 5; q++)
        wg_json_real(json, quantile_name[q], values[q]);
    wg_json_close(json);
}

static void put_json_learnt(struct wg_json *json, const struct wg_fit *fit, enum wg_learnt learnt) {
    wg_json_object(json, NULL);
    wg_json_text(json, "name", wg_learnt_name(learnt));
    wg_json_text(json, "unit", wg_learnt_unit(learnt));
    for (int b = 0; b < (wg_fit_has_answer(fit) ? 2 : 1); b++) {
        double values[5];
        for (int q = 0; q < 5; q++)
            values[q] = wg_fit_learnt(fit, learnt, b == 0, quantile[q]);
        put_json_quantiles(json, b == 0 ? "before" : "after", values);
    }
    wg_json_close(json);
}

static void put_json_now(struct wg_json *json, const struct wg_fit_output *fitting, int i) {
    const struct wg_now *const now = &fitting->fit->today;
    char date[WG_SHOWN_SIZE];
    double values[5];
    wg_json_object(json, NULL);
    wg_json_text(json, "name", wg_now_name(now, i));
    if (wg_now_has_bin(now->quantity[i].kind))
        wg_json_text(json, "bin", fitting->scenario->plan.bins[now->quantity[i].index].name);
    if (wg_now_has_week(now->quantity[i].kind)) {
        (void)wg_show_iso_date(now->today, 1 + 7 * now->quantity[i].index, date);
        wg_json_text(json, "week_from", date);
    }
    wg_json_text(json, "unit", wg_now_is_mass(now->quantity[i].kind) ? "kg" : "1");
    for (int q = 0; q < 5; q++)
        values[q] = wg_fit_now(fitting->fit, i, false, quantile[q]);
    put_json_quantiles(json, "after", values);
    wg_json_close(json);
}

/* Lists nothing without an answer. */
static void put_json_today(struct wg_json *json, const struct wg_fit_output *fitting) {
    char date[WG_SHOWN_SIZE];
    (void)wg_show_iso_date(fitting->fit->today.today, 0, date);
    wg_json_text(json, "today", date);
    wg_json_list(json, "now");
    for (int i = 0; i < fitting->fit->today.n && wg_fit_has_answer(fitting->fit); i++)
        put_json_now(json, fitting, i);
    wg_json_close(json);
}

static void put_json_note(struct wg_json *json, const struct wg_fit_output *fitting, int i) {
    const struct wg_log_entry *const note = &fitting->log->note[i];
    struct wg_interval range;
    char date[WG_SHOWN_SIZE];
    const bool before = !wg_fit_has_answer(fitting->fit);
    const bool explained = wg_fit_explains(fitting->fit, fitting->log->note, i, before, &range);
    (void)wg_show_iso_date(note->day, 0, date);
    wg_json_object(json, NULL);
    wg_json_whole(json, "line", note->line);
    wg_json_text(json, "date", date);
    (void)wg_show_iso_date(note->since, 0, date);
    wg_json_text(json, "since", date);
    wg_json_text(json, "what", wg_log_kind_name(note->kind));
    wg_json_real(json, "value", note->value);
    wg_json_real(json, note->kind == WG_LOG_ADULTS ? "chance_of_yes" : "low", range.low);
    if (note->kind != WG_LOG_ADULTS)
        wg_json_real(json, "high", range.high);
    wg_json_flag(json, "explained", explained);
    wg_json_real(json, "standard_deviations_off", fitting->fit->misfit[i]);
    wg_json_close(json);
}

static void put_json_openings(struct wg_json *json, const struct wg_keeper_log *log) {
    wg_json_list(json, "opening_notes");
    for (int k = 0; k < WG_N_LOG_KINDS; k++) {
        char date[WG_SHOWN_SIZE];
        if (log->opening[k].line == 0)
            continue;
        (void)wg_show_iso_date(log->opening[k].day, 0, date);
        wg_json_object(json, NULL);
        wg_json_whole(json, "line", log->opening[k].line);
        wg_json_text(json, "date", date);
        wg_json_text(json, "what", wg_log_kind_name((enum wg_log_kind)k));
        wg_json_close(json);
    }
    wg_json_close(json);
}

static void put_json_outcome(struct wg_json *json, const struct wg_fit *fit, int i) {
    wg_json_object(json, wg_diary_outcomes()[i].name);
    wg_json_text(json, "unit", wg_diary_outcomes()[i].unit);
    wg_json_text(json, "others_count_as",
                 wg_diary_outcomes()[i].missing == WG_MISSING_LATER ? "later than all" : "left out");
    for (int b = 0; b < (wg_fit_has_answer(fit) ? 2 : 1); b++) {
        wg_json_object(json, b == 0 ? "before" : "after");
        wg_json_real(json, "share_happened", wg_fit_happened(fit, i, b == 0));
        for (int q = 0; q < 5; q++)
            wg_json_real(json, quantile_name[q], wg_fit_outcome(fit, i, b == 0, quantile[q]));
        wg_json_close(json);
    }
    wg_json_close(json);
}

int wg_fit_output_print_json(const struct wg_fit_output *fitting, FILE *to, struct wg_error *err) {
    const struct wg_fit *const fit = fitting->fit;
    struct wg_json *const json = wg_json_new();
    wg_json_text(json, "wintergrub", WG_VERSION);
    wg_json_text(json, "scenario", fitting->scenario->path);
    wg_json_text(json, "log", fitting->log_path);
    wg_json_seed(json, fitting->scenario->plan.seed);
    wg_json_text(json, "draws_file", fitting->draws_path);
    wg_json_whole(json, "animals", fit->drawn);
    wg_json_whole(json, "animals_that_agree", fit->agree);
    wg_json_whole(json, "futures", fit->lived);
    wg_json_whole(json, "futures_that_agree", fit->after.n);
    wg_json_flag(json, "enough", wg_fit_has_answer(fit));
    wg_json_whole(json, "replicates", fit->replicates);
    wg_json_list(json, "learnt");
    for (int i = 0; i < WG_N_LEARNT; i++)
        put_json_learnt(json, fit, (enum wg_learnt)i);
    wg_json_close(json);
    wg_json_list(json, "notes");
    for (int i = 0; i < fitting->log->n; i++)
        put_json_note(json, fitting, i);
    wg_json_close(json);
    put_json_openings(json, fitting->log);
    put_json_today(json, fitting);
    wg_json_object(json, "survival");
    wg_json_real(json, "before", wg_fit_share_above(fit, WG_OUTCOME_survived, true, 0.5));
    if (wg_fit_has_answer(fit))
        wg_json_real(json, "after", wg_fit_share_above(fit, WG_OUTCOME_survived, false, 0.5));
    wg_json_close(json);
    wg_json_object(json, "outcomes");
    for (int i = 0; i < fit->n_outcomes; i++)
        put_json_outcome(json, fit, fit->outcome[i]);
    wg_json_close(json);
    wg_notes_put_warnings(json, fitting->warnings, NULL);
    wg_notes_put_cautions(json, &fitting->scenario->plan);
    return wg_json_print(json, to, err);
}
