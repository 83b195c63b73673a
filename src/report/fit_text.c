/*
 * Prints what a log tells: the animal's numbers, the notes outside their range, the rest of the year.
 */
#include "report/fit_text.h"

#include "report/forecast_facts.h"
#include "report/goals_report.h"
#include "report/warning_lists.h"
#include "text/outcome_label.h"
#include <wintergrub/version.h>

#include <math.h>
#include <stdlib.h>

#define WORST 6

/* ---- the animal ---- */

static void print_parameter_updates(const struct wg_fit *fit, FILE *to) {
    (void)fprintf(to, "%-28s %-22s %s\n", "Animal's numbers, times", "before the log", "after it (middle, 90 %)");
    for (int i = 0; i < WG_N_FIT_PARAMETERS; i++) {
        const enum wg_fit_parameter f = (enum wg_fit_parameter)i;
        const double sigma = wg_fit_parameter_prior_sigma(f);
        char before[32];
        (void)snprintf(before, sizeof before, "%.2f to %.2f", fmin(exp(-1.645 * sigma), fit->most[i]),
                       fmin(exp(1.645 * sigma), fit->most[i]));
        (void)fprintf(to, "  %-26s %-22s %.2f (%.2f to %.2f)\n", wg_fit_parameter_name(f), before,
                      wg_fit_quantile(fit, f, 0.5), wg_fit_quantile(fit, f, 0.05), wg_fit_quantile(fit, f, 0.95));
    }
}

/* ---- the log ---- */

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
    case WG_LOG_ADULTS:
    case WG_N_LOG_KINDS:
        break;
    }
    (void)snprintf(out, WG_SHOWN_SIZE, "%s", value > 0 ? "yes" : "no");
}

static void print_log_entry(const struct wg_log_entry *note, struct wg_interval range, FILE *to) {
    char date[24], value[WG_SHOWN_SIZE], low[WG_SHOWN_SIZE], high[WG_SHOWN_SIZE], line[WG_SENTENCE_SIZE];
    wg_day_format_long(note->day, date);
    show_note(note, note->value, value);
    show_note(note, range.low, low);
    show_note(note, range.high, high);
    if (note->kind == WG_LOG_ADULTS)
        (void)snprintf(line, sizeof line, "  line %d, %s, adults: %s, which had a chance of %.0f %%", note->line, date,
                       value, 100 * (note->value > 0 ? range.low : 1 - range.low));
    else
        (void)snprintf(line, sizeof line, "  line %d, %s, %s: %.40s, expected %.40s to %.40s", note->line, date,
                       wg_log_kind_name(note->kind), value, low, high);
    wg_show_lines(to, 4, line);
}

static void print_log_fit(const struct wg_fit_output *fitting, FILE *to) {
    const struct wg_keeper_log *const log = fitting->log;
    int explained = 0, shown = 0;
    struct wg_interval range;
    for (int i = 0; i < log->n; i++)
        explained += wg_fit_explains(fitting->fit, log->note, i, &range);
    (void)fprintf(to, "%d of the %d note%s lie%s inside the expected 90 %% range.%s\n", explained, log->n,
                  log->n == 1 ? "" : "s", explained == 1 || log->n == 1 ? "s" : "",
                  explained < log->n ? " Outside it:" : "");
    for (int i = 0; i < log->n; i++) {
        if (wg_fit_explains(fitting->fit, log->note, i, &range))
            continue;
        if (shown++ < WORST)
            print_log_entry(&log->note[i], range, to);
    }
    if (shown > WORST)
        (void)fprintf(to, "  ... and %d more\n", shown - WORST);
}

/* ---- the year ---- */

static void print_survival_update(const struct wg_fit *fit, FILE *to) {
    char before[16], after[16];
    wg_goals_text_chance(wg_fit_share_above(fit, WG_OUTCOME_survived, true, 0.5), before);
    wg_goals_text_chance(wg_fit_share_above(fit, WG_OUTCOME_survived, false, 0.5), after);
    (void)fprintf(to, "  %-26s %-22s %s\n", wg_outcome_label(WG_OUTCOME_survived)->phrase, before, after);
}

/* Prints a line in kilograms and one in pounds. */
static void print_mass_update(const struct wg_fit *fit, enum wg_outcome_number outcome, FILE *to) {
    const struct {
        const char *unit;
        double kg;
    } shown[] = {{" kg", 1}, {" lb", WG_KG_PER_LB}};
    for (size_t u = 0; u < sizeof shown / sizeof *shown; u++) {
        char range[2][WG_SHOWN_SIZE];
        for (int b = 0; b < 2; b++)
            wg_show_range(wg_fit_outcome(fit, outcome, b == 0, 0.05) / shown[u].kg,
                          wg_fit_outcome(fit, outcome, b == 0, 0.95) / shown[u].kg, shown[u].unit, range[b]);
        (void)fprintf(to, "  %-26s %-22s %s\n", u == 0 ? wg_outcome_label(outcome)->phrase : "", range[0], range[1]);
    }
}

/* "13 Oct 2026 (97 %)": the median date and how often it happened. */
static void show_when(const struct wg_fit *fit, int32_t first_day, enum wg_outcome_number outcome, bool before,
                      char out[2 * WG_SHOWN_SIZE]) {
    char date[WG_SHOWN_SIZE], share[16];
    wg_goals_text_chance(wg_fit_happened(fit, outcome, before), share);
    wg_show_date(first_day, wg_fit_outcome(fit, outcome, before, 0.5),
                 wg_fit_happened(fit, outcome, before) > 0 ? "not by the end" : "none", date);
    (void)snprintf(out, 2 * WG_SHOWN_SIZE, "%s (%s)", date, share);
}

static void print_date_update(const struct wg_fit_output *fitting, FILE *to) {
    static const enum wg_outcome_number row[] = {WG_OUTCOME_first_adult_day, WG_OUTCOME_first_crawl_off_day,
                                                 WG_OUTCOME_spring_emergence_50};
    const struct wg_plan *const plan = &fitting->scenario->plan;
    (void)fprintf(to, "%-28s %-22s %s\n", "Middle date (how often)", "before the log", "after it");
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        char before[2 * WG_SHOWN_SIZE], after[2 * WG_SHOWN_SIZE];
        if (!wg_outcome_is_shown(row[i], plan))
            continue;
        show_when(fitting->fit, plan->first_day, row[i], true, before);
        show_when(fitting->fit, plan->first_day, row[i], false, after);
        (void)fprintf(to, "  %-26s %-22s %s\n", wg_outcome_label(row[i])->phrase, before, after);
    }
}

static void put_warning(const struct wg_fit *fit, FILE *to) {
    char line[WG_SENTENCE_SIZE];
    (void)snprintf(line, sizeof line, "Effective draws: %.0f of %lld (%lld replicates in total).", fit->effective,
                   (long long)fit->n, (long long)fit->replicates);
    wg_show_lines(to, 2, line);
    if (fit->effective < WG_FIT_DEGENERATE)
        wg_show_lines(
            to, 2,
            "Warning: that is too few. Hardly any simulated year agrees with the log, so take these numbers as "
            "a hint only. Look for a mistake in the log or the plan, or use more --draws.");
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
    const struct wg_fit *const fit = fitting->fit;
    (void)err;
    (void)fprintf(to, "%d note%s, compared with the plan\n", fitting->log->n, fitting->log->n == 1 ? "" : "s");
    print_log_starts(fitting->log, to);
    print_parameter_updates(fit, to);
    print_log_fit(fitting, to);
    (void)fprintf(to, "%-28s %-22s %s\n", "The whole period", "before the log", "after it (90 %)");
    print_survival_update(fit, to);
    print_mass_update(fit, WG_OUTCOME_total_crawl_off_mass, to);
    if (wg_outcome_is_shown(WG_OUTCOME_total_harvest_mass, &fitting->scenario->plan))
        print_mass_update(fit, WG_OUTCOME_total_harvest_mass, to);
    print_date_update(fitting, to);
    put_warning(fit, to);
    const struct wg_plan *const plan = &fitting->scenario->plan;
    wg_notes_print_cautions(&plan, 1, to);
    return 0;
}

/* ---- JSON ---- */

static const double quantile[] = {0.05, 0.25, 0.5, 0.75, 0.95};
static const char *const quantile_name[] = {"q05", "q25", "q50", "q75", "q95"};

static void put_factor_json(struct wg_json *json, const struct wg_fit *fit, enum wg_fit_parameter f) {
    wg_json_object(json, NULL);
    wg_json_text(json, "name", wg_fit_parameter_name(f));
    wg_json_real(json, "prior_sigma_of_log", wg_fit_parameter_prior_sigma(f));
    for (int q = 0; q < 5; q++)
        wg_json_real(json, quantile_name[q], wg_fit_quantile(fit, f, quantile[q]));
    wg_json_close(json);
}

static void put_json_note(struct wg_json *json, const struct wg_fit_output *fitting, int i) {
    const struct wg_log_entry *const note = &fitting->log->note[i];
    struct wg_interval range;
    char date[WG_SHOWN_SIZE];
    const bool explained = wg_fit_explains(fitting->fit, fitting->log->note, i, &range);
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
    for (int b = 0; b < 2; b++) {
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
    wg_json_whole(json, "draws", fit->n);
    wg_json_real(json, "effective_draws", fit->effective);
    wg_json_flag(json, "enough", fit->effective >= WG_FIT_DEGENERATE);
    wg_json_whole(json, "replicates", fit->replicates);
    wg_json_list(json, "factors");
    for (int i = 0; i < WG_N_FIT_PARAMETERS; i++)
        put_factor_json(json, fit, (enum wg_fit_parameter)i);
    wg_json_close(json);
    wg_json_list(json, "notes");
    for (int i = 0; i < fitting->log->n; i++)
        put_json_note(json, fitting, i);
    wg_json_close(json);
    put_json_openings(json, fitting->log);
    wg_json_object(json, "survival");
    wg_json_real(json, "before", wg_fit_share_above(fit, WG_OUTCOME_survived, true, 0.5));
    wg_json_real(json, "after", wg_fit_share_above(fit, WG_OUTCOME_survived, false, 0.5));
    wg_json_close(json);
    wg_json_object(json, "outcomes");
    for (int i = 0; i < fit->n_outcomes; i++)
        put_json_outcome(json, fit, i);
    wg_json_close(json);
    wg_notes_put_cautions(json, &fitting->scenario->plan);
    return wg_json_print(json, to, err);
}
