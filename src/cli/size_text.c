/*
 * How much is enough? The chances seen at each value, and one sentence.
 */
#include "cli/forecast.h"
#include "cli/show.h"
#include "cli/size.h"

#include <math.h>
#include <string.h>
#include <wintergrub/goal_text.h>
#include <wintergrub/version.h>

#define COLUMNS_OF_GOALS 3 /* as many as fit into 80 columns */
#define SENTENCE 640

struct shown {
    char text[WG_VARY_SHOWN];
};

static struct shown show(const struct wg_sizing *sizing, double value) {
    struct shown s;
    wg_vary_show(sizing->vary, value, s.text);
    return s;
}

static double share_of(const struct wg_size_point *point, int goal) {
    return point->n > 0 ? (double)point->hits[goal] / (double)point->n : (double)NAN;
}

/* ---- the curve ---- */

static void put_goals(const struct wg_sizing *sizing, FILE *to) {
    const struct wg_plan *const plan = &sizing->scenario->plan;
    char text[WG_GOAL_SENTENCE], wanted[16], line[WG_GOAL_SENTENCE + 64];
    for (int i = 0; i < plan->n_goals; i++) {
        wg_goal_text(&plan->goal[i], text);
        wg_decide_share(plan->goal[i].chance, wanted);
        (void)snprintf(line, sizeof line, "Goal %d: %s, with a chance of %s", i + 1, text, wanted);
        wg_show_lines(to, 8, line);
    }
}

static void put_point(const struct wg_sizing *sizing, const struct wg_size_point *point, FILE *to) {
    char n[WG_SHOWN], share[16], range[24], cell[48];
    wg_show_whole(point->n, n);
    (void)fprintf(to, "%-16s %7s", show(sizing, point->value).text, n);
    for (int g = 0; g < sizing->question->n_goals && g < COLUMNS_OF_GOALS; g++) {
        wg_decide_share(share_of(point, g), share);
        wg_decide_range(wg_size_interval(sizing->question, point, g), range);
        (void)snprintf(cell, sizeof cell, "%s (%s)", share, range);
        (void)fprintf(to, "  %-*s", sizing->question->n_goals > 2 ? 22 : 24, cell);
    }
    (void)fprintf(to, "%s\n",
                  sizing->question->n_goals > 2      ? ""
                  : point->verdict == WG_CANNOT_TELL ? "open"
                                                     : wg_verdict_name(point->verdict));
}

static void put_curve(const struct wg_sizing *sizing, FILE *to) {
    (void)fprintf(to, "%-16s %7s", "value", "tried");
    for (int g = 0; g < sizing->question->n_goals && g < COLUMNS_OF_GOALS; g++)
        (void)fprintf(to, "  goal %d%-*s", g + 1, sizing->question->n_goals > 2 ? 16 : 18, "");
    (void)fprintf(to, "%s\n", sizing->question->n_goals > 2 ? "" : "enough");
    for (int i = 0; i < sizing->size->n_points; i++)
        put_point(sizing, &sizing->size->point[i], to);
}

/* ---- the answer ---- */

/* "97 %" of the worst goal at the best value. */
static void best_chance(const struct wg_sizing *sizing, char out[16]) {
    const struct wg_size_point *const best = &sizing->size->point[sizing->size->best];
    double worst = 2;
    for (int g = 0; g < sizing->question->n_goals; g++)
        worst = fmin(worst, share_of(best, g));
    wg_decide_share(worst, out);
}

static void answer_cannot_tell(const struct wg_sizing *sizing, char out[SENTENCE]) {
    const struct wg_size *const size = sizing->size;
    const bool largest = sizing->question->largest;
    const double far = largest ? sizing->question->low : sizing->question->high;
    const double near = largest ? sizing->question->high : sizing->question->low;
    char about[WG_VARY_SHOWN + 16] = "";
    if (!isnan(size->about))
        (void)snprintf(about, sizeof about, "About %s: ", show(sizing, size->about).text);
    if (!isnan(size->enough) && !isnan(size->too_little))
        (void)snprintf(out, SENTENCE, "%s%s is enough, %s is not; between them these replicates cannot tell.", about,
                       show(sizing, size->enough).text, show(sizing, size->too_little).text);
    else if (!isnan(size->enough))
        (void)snprintf(out, SENTENCE, "%s is enough; whether %s is, these replicates cannot tell.",
                       show(sizing, size->enough).text, show(sizing, near).text);
    else if (!isnan(size->too_little))
        (void)snprintf(out, SENTENCE, "%s is not enough; from there to %s these replicates cannot tell.",
                       show(sizing, size->too_little).text, show(sizing, far).text);
    else
        (void)snprintf(out, SENTENCE, "Cannot tell: not one value is surely enough or surely not.");
}

static void answer_not_monotone(const struct wg_sizing *sizing, char out[SENTENCE]) {
    const struct wg_size *const size = sizing->size;
    const struct wg_size_point *const best = &size->point[size->best];
    const char *const verdict = best->verdict == WG_YES  ? "which is enough"
                                : best->verdict == WG_NO ? "which is not enough"
                                                         : "of which it cannot be told whether it is enough";
    char chance[16];
    best_chance(sizing, chance);
    (void)snprintf(
        out, SENTENCE,
        "There is no such value to look for: goal %d is surely met less often at %s than at %s. The best of those "
        "tried is %s (%s), %s.",
        size->falls_goal + 1, show(sizing, size->falls_to).text, show(sizing, size->falls_from).text,
        show(sizing, best->value).text, chance, verdict);
}

static void answer(const struct wg_sizing *sizing, char out[SENTENCE]) {
    const struct wg_size *const size = sizing->size;
    const bool largest = sizing->question->largest;
    char chance[16];
    switch (size->outcome) {
    case WG_SIZE_FOUND:
        (void)snprintf(out, SENTENCE, "%s is enough, %s is not.", show(sizing, size->enough).text,
                       show(sizing, size->too_little).text);
        return;
    case WG_SIZE_ALREADY:
        (void)snprintf(out, SENTENCE, "%s is enough, and nothing %s was tried (see --between).",
                       show(sizing, size->enough).text, largest ? "larger" : "smaller");
        return;
    case WG_SIZE_IMPOSSIBLE:
        best_chance(sizing, chance);
        (void)snprintf(out, SENTENCE, "No value from %s to %s is enough; the best chance was %s, at %s.",
                       show(sizing, sizing->question->low).text, show(sizing, sizing->question->high).text, chance,
                       show(sizing, size->point[size->best].value).text);
        return;
    case WG_SIZE_CANNOT_TELL:
        answer_cannot_tell(sizing, out);
        return;
    case WG_SIZE_NOT_MONOTONE:
        answer_not_monotone(sizing, out);
        return;
    }
}

void wg_sizing_print(const struct wg_sizing *sizing, FILE *to) {
    char text[SENTENCE], line[SENTENCE + 32], n[WG_SHOWN];
    (void)snprintf(line, sizeof line, "The %s %s that meets %s (the file says %s)",
                   sizing->question->largest ? "largest" : "smallest", sizing->vary->path,
                   sizing->question->n_goals > 1 ? "all goals" : "the goal", show(sizing, sizing->vary->value).text);
    wg_show_lines(to, 2, line);
    put_goals(sizing, to);
    put_curve(sizing, to);
    answer(sizing, text);
    wg_show_lines(to, 2, text);
    wg_show_whole(sizing->size->replicates, n);
    (void)snprintf(line, sizeof line,
                   "All of this holds at once with a confidence of %.0f %%. %s replicates, the same %s at every value.",
                   100 * sizing->question->confidence, n, wg_forecast_noun(&sizing->scenario->plan));
    wg_show_lines(to, 2, line);
}

/* ---- JSON ---- */

static void put_value(struct wg_json *json, const char *key, const struct wg_sizing *sizing, double value) {
    if (isnan(value))
        wg_json_text(json, key, NULL);
    else if (sizing->vary->is_date)
        wg_json_text(json, key, show(sizing, value).text);
    else
        wg_json_real(json, key, value);
}

static void put_vary(struct wg_json *json, const struct wg_sizing *sizing) {
    wg_json_object(json, "vary");
    wg_json_text(json, "key", sizing->vary->path);
    put_value(json, "value", sizing, sizing->vary->value);
    wg_json_text(json, "unit", sizing->vary->unit[0] == ' ' ? sizing->vary->unit + 1 : sizing->vary->unit);
    put_value(json, "low", sizing, sizing->question->low);
    put_value(json, "high", sizing, sizing->question->high);
    wg_json_text(json, "looked_for", sizing->question->largest ? "largest" : "smallest");
    wg_json_close(json);
}

static void put_json_point(struct wg_json *json, const struct wg_sizing *sizing, const struct wg_size_point *point) {
    wg_json_object(json, NULL);
    put_value(json, "value", sizing, point->value);
    wg_json_whole(json, "replicates", point->n);
    wg_json_text(json, "enough", wg_verdict_name(point->verdict));
    wg_json_list(json, "goals");
    for (int g = 0; g < sizing->question->n_goals; g++) {
        wg_json_object(json, NULL);
        wg_json_whole(json, "met", point->hits[g]);
        wg_decide_put_range(json, share_of(point, g), wg_size_interval(sizing->question, point, g));
        wg_json_close(json);
    }
    wg_json_close(json);
    wg_json_close(json);
}

static void put_answer(struct wg_json *json, const struct wg_sizing *sizing) {
    static const char *const outcome[] = {[WG_SIZE_FOUND] = "found",
                                          [WG_SIZE_ALREADY] = "enough at the end of the range",
                                          [WG_SIZE_IMPOSSIBLE] = "impossible",
                                          [WG_SIZE_CANNOT_TELL] = "cannot tell",
                                          [WG_SIZE_NOT_MONOTONE] = "not monotone"};
    const struct wg_size *const size = sizing->size;
    char text[SENTENCE];
    answer(sizing, text);
    wg_json_text(json, "outcome", outcome[size->outcome]);
    put_value(json, "enough", sizing, size->enough);
    put_value(json, "too_little", sizing, size->too_little);
    put_value(json, "about", sizing, size->about);
    put_value(json, "best", sizing, size->point[size->best].value);
    put_value(json, "falls_from", sizing, size->falls_from);
    put_value(json, "falls_to", sizing, size->falls_to);
    wg_json_text(json, "text", text);
    wg_json_real(json, "confidence", sizing->question->confidence);
    wg_json_whole(json, "replicates", size->replicates);
}

int wg_sizing_print_json(const struct wg_sizing *sizing, FILE *to, struct wg_error *err) {
    const struct wg_plan *const plan = &sizing->scenario->plan;
    struct wg_json *const json = wg_json_new();
    wg_json_text(json, "wintergrub", WG_VERSION);
    wg_json_text(json, "scenario", sizing->scenario->path);
    put_vary(json, sizing);
    wg_json_list(json, "goals");
    for (int i = 0; i < plan->n_goals; i++) {
        wg_json_object(json, NULL);
        wg_decide_put_goal(json, &plan->goal[i]);
        wg_json_close(json);
    }
    wg_json_close(json);
    put_answer(json, sizing);
    wg_json_list(json, "curve");
    for (int i = 0; i < sizing->size->n_points; i++)
        put_json_point(json, sizing, &sizing->size->point[i]);
    wg_json_close(json);
    return wg_json_print(json, to, err);
}
