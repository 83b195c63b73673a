/*
 * Prints a ranking of the animal's unknowns by their effect on a plan's answer, as text and as JSON.
 */
#include "report/sensitivity_text.h"

#include "report/goals_report.h"
#include "report/warning_lists.h"
#include "text/outcome_label.h"
#include <wintergrub/version.h>

#include <math.h>
#include <string.h>

#define SHOWN_OTHERS 6
#define MOSTLY_LUCK 0.5 /* judgement */

/* ---- text ---- */

static void show_answer(const struct wg_sensitivity *matters, double value, char out[WG_SHOWN_SIZE]) {
    if (matters->outcome == WG_SENSITIVITY_SURVIVAL)
        (void)snprintf(out, WG_SHOWN_SIZE, "%.0f %%", 100 * value);
    else
        wg_show_mass(value, out);
}

/* "the chance to be alive at the end", "all crawl-off" */
static void show_studied(const struct wg_sensitivity *matters, char out[WG_SHOWN_SIZE]) {
    const struct wg_outcome_label *const label = wg_outcome_label(wg_sensitivity_answer(matters));
    (void)snprintf(out, WG_SHOWN_SIZE, "%s%s", label->kind == WG_VALUE_SHARE ? "the chance to be " : "", label->phrase);
}

static void print_sensitivity_heading(const struct wg_sensitivity *matters, FILE *to) {
    char base[WG_SHOWN_SIZE], spread[WG_SHOWN_SIZE], mean[WG_SHOWN_SIZE], line[WG_SENTENCE_SIZE];
    char studied[WG_SHOWN_SIZE];
    show_studied(matters, studied);
    show_answer(matters, matters->base, base);
    show_answer(matters, matters->mean, mean);
    show_answer(matters, matters->sd, spread);
    (void)snprintf(
        line, sizeof line,
        "What matters for %s? With the scenario's numbers it is %.40s. Over all plausible values of the unknowns "
        "below it is %.40s on average, with a standard deviation of %.40s.",
        studied, base, mean, spread);
    wg_show_lines(to, 0, line);
}

/* Names the direction of the effect, "mixed" if it is not clear. */
static const char *direction(const struct wg_unknown *unknown) {
    return unknown->share.slope > 0.1 ? "up" : unknown->share.slope < -0.1 ? "down" : "mixed";
}

/* Clamps an estimate to 0..1, in which a share lies; JSON has the raw estimate. */
static double share_of(double estimate) {
    return fmin(1, fmax(0, estimate));
}

static void put_unknown(const struct wg_unknown *unknown, int rank, FILE *to) {
    char alone[16], with[16], range[24], other[48] = "", line[WG_SENTENCE_SIZE];
    wg_goals_text_chance(share_of(unknown->share.first), alone);
    wg_goals_text_chance(share_of(unknown->share.total), with);
    wg_goals_text_interval(
        (struct wg_interval){share_of(unknown->share.total_range.low), share_of(unknown->share.total_range.high)},
        range);
    (void)fprintf(to, "%2d. %-27s %6s %7s (%s), %s\n", rank, unknown->parameter->name, alone, with, range,
                  direction(unknown));
    const bool pure = strcmp(unknown->parameter->unit, "1") == 0;
    /* Fahrenheit for temperatures; no ounces, because these masses are of one egg or larva */
    if (strcmp(unknown->parameter->unit, "degC") == 0)
        (void)snprintf(other, sizeof other, " (%.3g to %.3g degF)",
                       wg_units_convert(unknown->low, "degC", "degF", true),
                       wg_units_convert(unknown->high, "degC", "degF", true));
    (void)snprintf(line, sizeof line, "    %s: %.4g to %.4g%s%s%s", unknown->parameter->text, unknown->low,
                   unknown->high, pure ? "" : " ", pure ? "" : unknown->parameter->unit, other);
    wg_show_lines(to, 4, line);
}

static void print_minor_unknowns(const struct wg_sensitivity *matters, FILE *to) {
    char line[WG_SENTENCE_SIZE] = "Smaller effects: ";
    int n = 0;
    for (int i = matters->n_kept; i < matters->n_unknowns && n < SHOWN_OTHERS; i++)
        if (matters->unknown[i].effect.mean_size > 0) {
            const size_t used = strlen(line);
            (void)snprintf(line + used, sizeof line - used, "%s%s", n++ > 0 ? ", " : "",
                           matters->unknown[i].parameter->name);
        }
    int none = 0;
    for (int i = 0; i < matters->n_unknowns; i++)
        none += !(matters->unknown[i].effect.mean_size > 0);
    const size_t used = strlen(line);
    (void)snprintf(line + used, sizeof line - used, "%s%d of %d unknowns have no effect here.",
                   n > 0 ? " ...; " : "none; ", none, matters->n_unknowns);
    wg_show_lines(to, 2, line);
}

static void print_sensitivity_notes(const struct wg_sensitivity *matters, FILE *to) {
    char noise[16], n[WG_SHOWN_SIZE], line[WG_SENTENCE_SIZE];
    wg_goals_text_chance(share_of(matters->noise_share), noise);
    wg_show_whole(matters->replicates, n);
    (void)snprintf(
        line, sizeof line,
        "The columns show the share of that spread each unknown explains alone, and together with others (95 %% "
        "range), and whether more of it moves the answer up or down. About %s of the spread is chance left at "
        "%lld replicate%s a point; smaller shares mean nothing. %s replicates in total.",
        noise, (long long)matters->per_point, matters->per_point == 1 ? "" : "s", n);
    wg_show_lines(to, 2, line);
    if (matters->noise_share > MOSTLY_LUCK)
        wg_show_lines(to, 2,
                      "Warning: that is too much chance to rank anything; allow more replicates with --at-most.");
}

static void print_ranking(const struct wg_sensitivity *matters, FILE *to) {
    if (matters->n_kept == 0 || !(matters->sd > 0)) {
        char base[WG_SHOWN_SIZE], studied[WG_SHOWN_SIZE];
        show_studied(matters, studied);
        show_answer(matters, matters->base, base);
        (void)fprintf(to, "Nothing matters here: %s is %s whatever the unknowns are.\n", studied, base);
        return;
    }
    print_sensitivity_heading(matters, to);
    (void)fprintf(to, "    %-27s %6s %7s\n", "", "alone", "with others");
    for (int i = 0; i < matters->n_kept; i++)
        put_unknown(&matters->unknown[i], i + 1, to);
    print_minor_unknowns(matters, to);
    print_sensitivity_notes(matters, to);
}

void wg_sensitivity_print(const struct wg_scenario *scenario, const struct wg_sensitivity *matters, FILE *to) {
    const struct wg_plan *const plan = &scenario->plan;
    print_ranking(matters, to);
    wg_notes_print_cautions(&plan, 1, to);
}

/* ---- JSON ---- */

static void put_share(struct wg_json *json, const char *key, double share, struct wg_interval range) {
    wg_json_object(json, key);
    wg_goals_json_put_chance(json, share, range);
    wg_json_close(json);
}

static void put_json_unknown(struct wg_json *json, const struct wg_unknown *unknown) {
    wg_json_object(json, NULL);
    wg_json_text(json, "name", unknown->parameter->name);
    wg_json_text(json, "meaning", unknown->parameter->text);
    wg_json_text(json, "unit", unknown->parameter->unit);
    wg_json_real(json, "value", unknown->value);
    wg_json_real(json, "low", unknown->low);
    wg_json_real(json, "high", unknown->high);
    wg_json_object(json, "effect");
    wg_json_real(json, "mean", unknown->effect.mean);
    wg_json_real(json, "mean_size", unknown->effect.mean_size);
    wg_json_real(json, "sd", unknown->effect.sd);
    wg_json_close(json);
    if (unknown->kept) {
        put_share(json, "first", unknown->share.first, unknown->share.first_range);
        put_share(json, "total", unknown->share.total, unknown->share.total_range);
        wg_json_real(json, "slope", unknown->share.slope);
    }
    wg_json_close(json);
}

int wg_sensitivity_print_json(const struct wg_scenario *scenario, const struct wg_sensitivity *matters, FILE *to,
                              struct wg_error *err) {
    struct wg_json *const json = wg_json_new();
    wg_json_text(json, "wintergrub", WG_VERSION);
    wg_json_text(json, "scenario", scenario->path);
    wg_json_seed(json, scenario->plan.seed);
    wg_json_text(json, "answer", wg_diary_outcomes()[wg_sensitivity_answer(matters)].name);
    wg_json_text(json, "unit", wg_diary_outcomes()[wg_sensitivity_answer(matters)].unit);
    wg_json_real(json, "base", matters->base);
    wg_json_real(json, "mean", matters->mean);
    wg_json_real(json, "sd", matters->sd);
    wg_json_real(json, "noise_share", matters->noise_share);
    wg_json_whole(json, "replicates", matters->replicates);
    wg_json_whole(json, "replicates_per_point", matters->per_point);
    wg_json_list(json, "unknowns");
    for (int i = 0; i < matters->n_unknowns; i++)
        put_json_unknown(json, &matters->unknown[i]);
    wg_json_close(json);
    wg_notes_put_cautions(json, &scenario->plan);
    return wg_json_print(json, to, err);
}

/* ---- one sentence ---- */

#define NAMED 3 /* unknowns in the one sentence of the file */

void wg_sensitivity_describe(const struct wg_sensitivity *matters, char out[WG_SENTENCE_SIZE]) {
    char studied[WG_SHOWN_SIZE];
    show_studied(matters, studied);
    if (matters->n_kept == 0 || !(matters->sd > 0)) {
        (void)snprintf(out, WG_SENTENCE_SIZE, "Nothing matters for %s.", studied);
        return;
    }
    (void)snprintf(out, WG_SENTENCE_SIZE, "What matters for %s, by share of its spread:", studied);
    for (int i = 0; i < matters->n_kept && i < NAMED; i++) {
        char share[16];
        const size_t used = strlen(out);
        wg_goals_text_chance(fmax(0, matters->unknown[i].share.total), share);
        (void)snprintf(out + used, WG_SENTENCE_SIZE - used, "%s %s (%s)", i > 0 ? "," : "",
                       matters->unknown[i].parameter->name, share);
    }
}
