/*
 * Prints which uncertain numbers of the animal move a plan's answer, and what would narrow it, as text and as JSON.
 */
#include "report/sensitivity_text.h"

#include "report/goals_report.h"
#include "report/warning_lists.h"
#include "text/outcome_label.h"
#include <wintergrub/version.h>

#include <math.h>
#include <string.h>

#define SHOWN_MEMBERS 4 /* of a group, with meaning and source */
#define MOSTLY_LUCK 0.5 /* of the variance of the animals' means (judgement) */

/* ---- text ---- */

static bool is_chance(const struct wg_sensitivity *matters) {
    return matters->outcome == WG_SENSITIVITY_SURVIVAL;
}

static void show_answer(const struct wg_sensitivity *matters, double value, char out[WG_SHOWN_SIZE]) {
    if (is_chance(matters))
        wg_goals_text_chance(value, out);
    else
        wg_show_mass(value, out);
}

static void show_answers(const struct wg_sensitivity *matters, struct wg_interval range, char out[WG_SHOWN_SIZE]) {
    if (is_chance(matters))
        wg_goals_text_interval(range, out);
    else
        wg_show_mass_range(range.low, range.high, out);
}

/* "7.1 in place of 12 points", "1 kg (2.2 lb) in place of 1.2 kg (2.65 lb)" */
static void show_spreads(const struct wg_sensitivity *matters, double sd, char out[2 * WG_SHOWN_SIZE]) {
    char after[WG_SHOWN_SIZE], before[WG_SHOWN_SIZE];
    wg_show_mass(sd, after);
    wg_show_mass(matters->before.sd, before);
    if (is_chance(matters))
        (void)snprintf(out, 2 * WG_SHOWN_SIZE, "%.2g in place of %.2g points", 100 * sd, 100 * matters->before.sd);
    else
        (void)snprintf(out, 2 * WG_SHOWN_SIZE, "%.60s in place of %.60s", after, before);
}

/* "the chance to be alive at the end", "all crawl-off" */
static void show_studied(const struct wg_sensitivity *matters, char out[WG_SHOWN_SIZE]) {
    const struct wg_outcome_label *const label = wg_outcome_label(wg_sensitivity_answer(matters));
    (void)snprintf(out, WG_SHOWN_SIZE, "%s%s", label->kind == WG_VALUE_SHARE ? "the chance to be " : "", label->phrase);
}

/* Clamps to 0..1, in which a share lies, and rounds to whole per cent, below 1 to tenths; JSON has the raw estimates. */
static double percent_of(double share) {
    const double percent = 100 * fmin(1, fmax(0, share));
    return percent < 1 ? ceil(10 * percent) / 10 : round(percent);
}

/* "61 % (50 to 71 %)", "3 % (0.4 to 8 %)" */
static void show_estimate(const struct wg_estimate *estimate, char out[WG_SHOWN_SIZE]) {
    const double high = percent_of(estimate->range.high);
    if (wg_is_above_luck(estimate))
        (void)snprintf(out, WG_SHOWN_SIZE, "%.3g %% (%.2g to %.3g %%)", percent_of(estimate->value),
                       percent_of(estimate->range.low), high);
    else
        (void)snprintf(out, WG_SHOWN_SIZE, "0, within luck (at most %.3g %%)", high);
}

static void print_sensitivity_heading(const struct wg_sensitivity *matters, FILE *to) {
    char mean[WG_SHOWN_SIZE], range[WG_SHOWN_SIZE], studied[WG_SHOWN_SIZE], line[WG_SENTENCE_SIZE];
    show_studied(matters, studied);
    show_answer(matters, matters->shares.mean, mean);
    show_answers(matters, matters->before.answer, range);
    (void)snprintf(line, sizeof line,
                   "What matters for %s? Over %d plausible animals it is %.40s on average and %.80s for 90 of 100 "
                   "animals. Share of the variance between animals that a number explains, luck taken out (95 %% "
                   "interval), and whether more of it moves the answer up or down:",
                   studied, matters->n_animals, mean, range);
    wg_show_lines(to, 0, line);
}

static const char *direction(const struct wg_unknown *unknown) {
    return unknown->trend > 0 ? "up" : "down";
}

static void put_unknown(const struct wg_unknown *unknown, FILE *to) {
    char other[48] = "", line[WG_SENTENCE_SIZE];
    const struct wg_parameter *const p = unknown->parameter;
    const bool pure = strcmp(p->unit, "1") == 0;
    /* Fahrenheit for temperatures; no ounces, because these masses are of one egg or larva */
    if (strcmp(p->unit, "degC") == 0)
        (void)snprintf(other, sizeof other, " (%.3g to %.3g degF)",
                       wg_units_convert(unknown->low, "degC", "degF", true),
                       wg_units_convert(unknown->high, "degC", "degF", true));
    (void)snprintf(line, sizeof line, "    %s, %s: %s, %.3g to %.3g%s%s%s [%s]", p->name, direction(unknown), p->text,
                   unknown->low, unknown->high, pure ? "" : " ", pure ? "" : p->unit, other, p->source);
    wg_show_lines(to, 6, line);
}

/* Prints the group that begins with unknown `first`. Returns where the next begins. */
static int put_unknown_group(const struct wg_sensitivity *matters, int first, FILE *to) {
    const int group = matters->unknown[first].group;
    char share[WG_SHOWN_SIZE], names[WG_SENTENCE_SIZE] = "    and ";
    int next = first, more = 0;
    while (next < matters->n_unknowns && matters->unknown[next].group == group)
        next++;
    show_estimate(&matters->shares.share[group], share);
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

static void print_rest(const struct wg_sensitivity *matters, int shown, FILE *to) {
    char line[WG_SENTENCE_SIZE], together[WG_SHOWN_SIZE];
    double most = 0;
    for (int g = 0; g < matters->shares.n_groups; g++)
        if (!wg_is_above_luck(&matters->shares.share[g]))
            most = fmax(most, fmin(matters->shares.share[g].range.high, 1));
    (void)snprintf(
        line, sizeof line,
        "0, within luck: each of the %s%d numbers in which the animals differ; at most %.0f %%. --json and the "
        "file list them with their sources.",
        shown > 0 ? "other " : "", matters->n_unknowns - shown, 100 * most);
    wg_show_lines(to, 2, line);
    if (shown == 0)
        return;
    const double left = fmin(1, fmax(0, 1 - matters->shares.together.value));
    show_estimate(&matters->shares.together, together);
    (void)snprintf(line, sizeof line,
                   "Together these explain %s. The other %.0f %% no single number explains: numbers that act together, "
                   "and many with a small effect.",
                   together, 100 * left);
    wg_show_lines(to, 2, line);
}

static void print_sensitivity_notes(const struct wg_sensitivity *matters, FILE *to) {
    const double luck = matters->shares.luck / (matters->shares.luck + matters->shares.between.value);
    char n[WG_SHOWN_SIZE], line[WG_SENTENCE_SIZE];
    wg_show_whole(matters->replicates, n);
    (void)snprintf(line, sizeof line, "%s years, %lld of each animal: luck is %.0f %% of the variance of its mean.%s",
                   n, (long long)(matters->replicates / matters->n_animals), 100 * luck,
                   luck > MOSTLY_LUCK ? " More years (--at-most) tell smaller effects from luck." : "");
    wg_show_lines(to, 2, line);
}

static void print_shares(const struct wg_sensitivity *matters, FILE *to) {
    int i = 0;
    while (i < matters->n_unknowns && wg_is_above_luck(&matters->shares.share[matters->unknown[i].group]))
        i = put_unknown_group(matters, i, to);
    print_rest(matters, i, to);
    print_sensitivity_notes(matters, to);
}

/* ": 80 to 99 % (standard deviation 7 points in place of 12)" */
static void show_gain(const struct wg_sensitivity *matters, const struct wg_gain *gain, char out[4 * WG_SHOWN_SIZE]) {
    char range[WG_SHOWN_SIZE], sd[2 * WG_SHOWN_SIZE];
    show_answers(matters, gain->answer, range);
    show_spreads(matters, gain->sd, sd);
    (void)snprintf(out, 4 * WG_SHOWN_SIZE, "%s (standard deviation %s)", range, sd);
}

static void print_measurements(const struct wg_sensitivity *matters, FILE *to) {
    char line[WG_SENTENCE_SIZE + 4 * WG_SHOWN_SIZE], gain[4 * WG_SHOWN_SIZE], range[WG_SHOWN_SIZE];
    show_answers(matters, matters->before.answer, range);
    (void)snprintf(line, sizeof line, "What could you measure? %s %s for 90 of 100 animals%s",
                   is_chance(matters) ? "The chance is" : "The crawl-off is", range,
                   matters->n_together > 0 ? "; each of these would narrow it, on average, to:"
                                           : ", and no single measurement of those tried would narrow it beyond luck.");
    wg_show_lines(to, 0, line);
    for (int i = 0; i < matters->n_together; i++) {
        const struct wg_measurement_gain *const m = &matters->measurement[matters->together_of[i]];
        show_gain(matters, &m->gain, gain);
        (void)snprintf(line, sizeof line, "%2d. %s: %s.", i + 1, m->measurement->text, gain);
        wg_show_lines(to, 4, line);
    }
    if (matters->n_together > 1) {
        show_gain(matters, &matters->together, gain);
        (void)snprintf(line, sizeof line, "%s: %s.", matters->n_together > 2 ? "All three" : "Both", gain);
        wg_show_lines(to, 4, line);
    }
}

static void print_nothing(const struct wg_sensitivity *matters, FILE *to) {
    char mean[WG_SHOWN_SIZE], studied[WG_SHOWN_SIZE], line[WG_SENTENCE_SIZE];
    show_studied(matters, studied);
    show_answer(matters, matters->shares.mean, mean);
    (void)snprintf(
        line, sizeof line,
        "Nothing matters here beyond luck: %s is %.40s on average, and the %d plausible animals do not differ "
        "in it by more than chance would make them.",
        studied, mean, matters->n_animals);
    wg_show_lines(to, 0, line);
}

void wg_sensitivity_print(const struct wg_scenario *scenario, const struct wg_sensitivity *matters, FILE *to) {
    const struct wg_plan *const plan = &scenario->plan;
    if (wg_is_above_luck(&matters->shares.between)) {
        print_sensitivity_heading(matters, to);
        print_shares(matters, to);
        print_measurements(matters, to);
    } else {
        print_nothing(matters, to);
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
    wg_json_object(json, "measured_together");
    wg_json_list(json, "names");
    for (int i = 0; i < matters->n_together; i++)
        wg_json_text(json, NULL, matters->measurement[matters->together_of[i]].measurement->name);
    wg_json_close(json);
    put_json_gain(json, &matters->together);
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
    show_studied(matters, studied);
    (void)snprintf(out, WG_SENTENCE_SIZE, "What matters for %s, by share of the variance between animals:", studied);
    for (int i = 0; i < matters->n_unknowns && named < NAMED; i++) {
        const struct wg_estimate *const estimate = &matters->shares.share[matters->unknown[i].group];
        const size_t used = strlen(out);
        if (!wg_is_above_luck(estimate))
            break;
        if (i > 0 && matters->unknown[i].group == matters->unknown[i - 1].group)
            continue;
        show_estimate(estimate, share);
        (void)snprintf(out + used, WG_SENTENCE_SIZE - used, "%s %s %s", named++ > 0 ? "," : "",
                       matters->unknown[i].parameter->name, share);
    }
    if (named == 0)
        (void)snprintf(out, WG_SENTENCE_SIZE, "No single number matters for %s beyond luck.", studied);
}
