/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Prints which uncertain numbers of the animal move a plan's answer, and what would narrow it, as text and as JSON.
 */
#include "answers/sensitivity_text.h"

#include "report/goals_report.h"
#include "report/warning_lists.h"
#include "text/sensitivity_words.h"
#include <wintergrub/version.h>

#include <ctype.h>
#include <math.h>
#include <string.h>

#define SHOWN_MEMBERS 4 /* of a group, with meaning and source */
#define MOSTLY_LUCK 0.5 /* of the variance of the animals' means (judgement) */

/* ---- text ---- */

void wg_sensitivity_question(const struct wg_sensitivity *matters, char out[WG_SENTENCE_SIZE]) {
    char mean[WG_SHOWN_SIZE], range[WG_SHOWN_SIZE], studied[WG_SHOWN_SIZE];
    wg_show_studied(matters, studied);
    wg_show_answer(matters, matters->shares.mean, mean);
    wg_show_answers(matters, matters->before.answer, range);
    if (wg_is_above_luck(&matters->shares.between))
        (void)snprintf(out, WG_SENTENCE_SIZE,
                       "What matters for %s? Over %d plausible animals it is %.40s on average and %.80s for 90 of 100 "
                       "animals.",
                       studied, matters->n_animals, mean, range);
    else
        (void)snprintf(out, WG_SENTENCE_SIZE,
                       "Nothing matters here beyond luck: %s is %.40s on average, and the %d plausible animals do not "
                       "differ in it by more than chance would make them.",
                       studied, mean, matters->n_animals);
}

static void put_unknown(const struct wg_unknown *unknown, FILE *to) {
    char range[WG_SHOWN_SIZE], line[WG_SENTENCE_SIZE];
    const struct wg_parameter *const p = unknown->parameter;
    wg_show_unknown(unknown, range);
    (void)snprintf(line, sizeof line, "    %c%s, %s: more of it %s the answer. [%s; %s]",
                   toupper((unsigned char)p->text[0]), p->text + 1, range, unknown->trend > 0 ? "raises" : "lowers",
                   p->name, p->source);
    wg_show_lines(to, 6, line);
}

/* Prints the group that begins with unknown `first`. Returns where the next begins. */
static int put_unknown_group(const struct wg_sensitivity *matters, int first, FILE *to) {
    const int group = matters->unknown[first].group;
    char share[WG_SHOWN_SIZE], names[WG_SENTENCE_SIZE] = "    and ";
    int next = first, more = 0;
    while (next < matters->n_unknowns && matters->unknown[next].group == group)
        next++;
    wg_show_estimate(&matters->shares.share[group], share);
    (void)fprintf(to, "%2d. %s%s\n", group + 1, share,
                  next - first > 1 ? ", of numbers that findings tie together:" : "");
    for (int i = first; i < next; i++)
        if (i < first + SHOWN_MEMBERS)
            put_unknown(&matters->unknown[i], to);
        else {
            const size_t used = strlen(names);
            (void)snprintf(names + used, sizeof names - used, "%s%s", more++ > 0 ? ", " : "",
                           matters->unknown[i].parameter->name);
        }
    if (more > 0)
        wg_show_lines(to, 6, names);
    return next;
}

void wg_sensitivity_rest(const struct wg_sensitivity *matters, char out[WG_SENTENCE_SIZE]) {
    const int shown = wg_count_above_luck(matters);
    double most = 0;
    for (int g = 0; g < matters->shares.n_groups; g++)
        if (!wg_is_above_luck(&matters->shares.share[g]))
            most = fmax(most, fmin(matters->shares.share[g].range.high, 1));
    (void)snprintf(out, WG_SENTENCE_SIZE,
                   "0, within luck: each of the %s%d numbers in which the animals differ; at most %.0f %%.",
                   shown > 0 ? "other " : "", matters->n_unknowns - shown, 100 * most);
}

void wg_sensitivity_together(const struct wg_sensitivity *matters, char out[WG_SENTENCE_SIZE]) {
    char together[WG_SHOWN_SIZE];
    wg_show_estimate(&matters->shares.together, together);
    if (wg_count_above_luck(matters) == 0)
        (void)snprintf(out, WG_SENTENCE_SIZE, "No single number explains any of it.");
    else
        (void)snprintf(out, WG_SENTENCE_SIZE,
                       "Together these explain %s. The other %.0f %% no single number explains: numbers that act "
                       "together, and many with a small effect.",
                       together, 100 * fmin(1, fmax(0, 1 - matters->shares.together.value)));
}

void wg_sensitivity_luck(const struct wg_sensitivity *matters, char out[WG_SENTENCE_SIZE]) {
    const double luck = matters->shares.luck / (matters->shares.luck + matters->shares.between.value);
    char n[WG_SHOWN_SIZE];
    wg_show_whole(matters->replicates, n);
    (void)snprintf(out, WG_SENTENCE_SIZE,
                   "%s years, %lld of each animal: luck is %.0f %% of the variance of its mean.%s", n,
                   (long long)(matters->replicates / matters->n_animals), 100 * luck,
                   luck > MOSTLY_LUCK ? " More years (--at-most) tell smaller effects from luck." : "");
}

static void print_sentence(const struct wg_sensitivity *matters,
                           void (*word)(const struct wg_sensitivity *matters, char out[WG_SENTENCE_SIZE]), int indent,
                           FILE *to) {
    char line[WG_SENTENCE_SIZE];
    word(matters, line);
    wg_show_lines(to, indent, line);
}

static void print_shares(const struct wg_sensitivity *matters, FILE *to) {
    const int shown = wg_count_above_luck(matters);
    wg_show_lines(to, 0,
                  "Share of the variance between animals that a number explains, luck taken out (95 % interval), "
                  "and whether more of it raises or lowers the answer:");
    for (int i = 0; i < shown;)
        i = put_unknown_group(matters, i, to);
    print_sentence(matters, wg_sensitivity_rest, 2, to);
    print_sentence(matters, wg_sensitivity_together, 2, to);
    print_sentence(matters, wg_sensitivity_luck, 2, to);
    wg_show_lines(to, 2, "All numbers with their sources: --json, or -o FILE.h5 and report FILE.h5.");
}

void wg_sensitivity_measure(const struct wg_sensitivity *matters, char out[WG_SENTENCE_SIZE]) {
    char range[WG_SHOWN_SIZE];
    wg_show_answers(matters, matters->before.answer, range);
    (void)snprintf(out, WG_SENTENCE_SIZE, "What could you measure? %s %s for 90 of 100 animals%s",
                   wg_is_chance(matters) ? "The chance is" : "The crawl-off is", range,
                   matters->n_steps > 0 ? "; these, one after the other, would narrow it on average to:"
                                        : ", and no measurement of those tried would narrow it beyond luck.");
}

void wg_sensitivity_step(const struct wg_sensitivity *matters, int i, char out[WG_SENTENCE_SIZE]) {
    char gain[WG_GAIN_SIZE];
    wg_show_gain(matters, &matters->step[i].gain, gain);
    (void)snprintf(out, WG_SENTENCE_SIZE, "%2d. %s: %.250s.", i + 1,
                   matters->measurement[matters->step[i].measurement].measurement->text, gain);
}

static void print_measurements(const struct wg_sensitivity *matters, FILE *to) {
    char line[WG_SENTENCE_SIZE];
    print_sentence(matters, wg_sensitivity_measure, 0, to);
    for (int i = 0; i < matters->n_steps; i++) {
        wg_sensitivity_step(matters, i, line);
        wg_show_lines(to, 4, line);
    }
}

void wg_sensitivity_print(const struct wg_scenario *scenario, const struct wg_sensitivity *matters, FILE *to) {
    const struct wg_plan *const plan = &scenario->plan;
    print_sentence(matters, wg_sensitivity_question, 0, to);
    if (wg_is_above_luck(&matters->shares.between)) {
        print_shares(matters, to);
        print_measurements(matters, to);
    }
    wg_notes_print_cautions(&plan, 1, to);
}

/* ---- JSON ---- */

static void put_estimate(struct wg_json *json, const char *key, const struct wg_estimate *estimate) {
    wg_json_object(json, key);
    wg_goals_json_put_chance(json, estimate->value, estimate->range);
    wg_json_flag(json, "within_luck", !wg_is_above_luck(estimate));
    wg_json_close(json);
}

static void put_json_unknown(struct wg_json *json, const struct wg_sensitivity *matters, int i) {
    const struct wg_unknown *const unknown = &matters->unknown[i];
    wg_json_object(json, NULL);
    wg_json_text(json, "name", unknown->parameter->name);
    wg_json_text(json, "meaning", unknown->parameter->text);
    wg_json_text(json, "unit", unknown->parameter->unit);
    wg_json_text(json, "source", unknown->parameter->source);
    wg_json_real(json, "low", unknown->low);
    wg_json_real(json, "high", unknown->high);
    wg_json_real(json, "trend", unknown->trend);
    wg_json_whole(json, "group", unknown->group);
    put_estimate(json, "share_of_group", &matters->shares.share[unknown->group]);
    wg_json_close(json);
}

static void put_json_gain(struct wg_json *json, const struct wg_gain *gain) {
    put_estimate(json, "removes", &gain->share);
    wg_json_real(json, "sd", gain->sd);
    wg_json_real(json, "low", gain->answer.low);
    wg_json_real(json, "high", gain->answer.high);
}

static void put_json_measurements(struct wg_json *json, const struct wg_sensitivity *matters) {
    wg_json_list(json, "measurements");
    for (int i = 0; i < matters->n_measurements; i++) {
        const struct wg_measurement_gain *const m = &matters->measurement[i];
        wg_json_object(json, NULL);
        wg_json_text(json, "name", m->measurement->name);
        wg_json_text(json, "what_to_do", m->measurement->text);
        wg_json_text(json, "error", m->measurement->source);
        put_json_gain(json, &m->gain);
        wg_json_close(json);
    }
    wg_json_close(json);
    wg_json_list(json, "measure");
    for (int i = 0; i < matters->n_steps; i++) {
        wg_json_object(json, NULL);
        wg_json_text(json, "name", matters->measurement[matters->step[i].measurement].measurement->name);
        put_json_gain(json, &matters->step[i].gain);
        wg_json_close(json);
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
    wg_json_whole(json, "animals", matters->n_animals);
    wg_json_whole(json, "replicates", matters->replicates);
    wg_json_real(json, "mean", matters->shares.mean);
    wg_json_real(json, "low", matters->before.answer.low);
    wg_json_real(json, "high", matters->before.answer.high);
    put_estimate(json, "variance_between_animals", &matters->shares.between);
    wg_json_real(json, "variance_of_luck", matters->shares.luck);
    put_estimate(json, "together", &matters->shares.together);
    wg_json_list(json, "unknowns");
    for (int i = 0; i < matters->n_unknowns; i++)
        put_json_unknown(json, matters, i);
    wg_json_close(json);
    put_json_measurements(json, matters);
    wg_notes_put_cautions(json, &scenario->plan);
    return wg_json_print(json, to, err);
}

/* ---- one sentence ---- */

#define NAMED 3 /* unknowns in the one sentence of the file */

void wg_sensitivity_describe(const struct wg_sensitivity *matters, char out[WG_SENTENCE_SIZE]) {
    char studied[WG_SHOWN_SIZE], share[WG_SHOWN_SIZE];
    int named = 0;
    wg_show_studied(matters, studied);
    (void)snprintf(out, WG_SENTENCE_SIZE, "What matters for %s, by share of the variance between animals:", studied);
    for (int i = 0; i < matters->n_unknowns && named < NAMED; i++) {
        const struct wg_estimate *const estimate = &matters->shares.share[matters->unknown[i].group];
        const size_t used = strlen(out);
        if (!wg_is_above_luck(estimate))
            break;
        if (i > 0 && matters->unknown[i].group == matters->unknown[i - 1].group)
            continue;
        wg_show_estimate(estimate, share);
        (void)snprintf(out + used, WG_SENTENCE_SIZE - used, "%s %s %s", named++ > 0 ? "," : "",
                       matters->unknown[i].parameter->name, share);
    }
    if (named == 0)
        (void)snprintf(out, WG_SENTENCE_SIZE, "No single number matters for %s beyond luck.", studied);
}
