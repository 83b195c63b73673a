/*
 * Words the answer of `size`. States certain values as certain; names both bounds if the smallest sufficient value lies
 * between two, and marks an estimate as one.
 */
#include "results/size_sentences.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

struct both_units_text {
    char text[2 * WG_VARY_SHOWN_SIZE];
};

static struct both_units_text show_both_units(const struct wg_vary *vary, double value) {
    struct both_units_text s;
    wg_vary_show_both(vary, value, s.text);
    return s;
}

const char *wg_size_outcome_name(enum wg_size_outcome outcome) {
    static const char *const name[] = {[WG_SIZE_FOUND] = "found",
                                       [WG_SIZE_ALREADY] = "enough at the end of the range",
                                       [WG_SIZE_IMPOSSIBLE] = "impossible",
                                       [WG_SIZE_UNDECIDED] = "cannot tell",
                                       [WG_SIZE_NOT_MONOTONE] = "not monotone"};
    return name[outcome];
}

double wg_size_share(const struct wg_size_point *point, int goal) {
    return point->n > 0 ? (double)point->hits[goal] / (double)point->n : (double)NAN;
}

int wg_size_hardest_goal(const struct wg_size_question *question, const struct wg_size_point *point) {
    int worst = 0;
    for (int g = 1; g < question->n_goals; g++)
        if (wg_size_share(point, g) - question->wanted[g] < wg_size_share(point, worst) - question->wanted[worst])
            worst = g;
    return worst;
}

int wg_size_find(const struct wg_size *size, double value) {
    for (int i = 0; i < size->n_points; i++)
        if (fabs(size->point[i].value - value) <= 1e-12 * fabs(value))
            return i;
    return -1;
}

/* Shows the share of the hardest goal at the best value, as "97.2 %". */
static void best_chance(const struct wg_size_question *question, const struct wg_size *size, char out[16]) {
    double worst = 2;
    for (int g = 0; g < question->n_goals; g++)
        worst = fmin(worst, wg_size_share(&size->point[size->best], g));
    (void)snprintf(out, 16, "%.3g %%", 100 * worst);
}

static void describe_undecided(const struct wg_vary *vary, const struct wg_size_question *question,
                               const struct wg_size *size, char out[WG_SIZE_TEXT]) {
    const double far = question->largest ? question->low : question->high;
    const double near = question->largest ? question->high : question->low;
    const char *const which = question->largest ? "largest" : "smallest";
    char about[2 * WG_VARY_SHOWN_SIZE + 32] = "";
    if (!isnan(size->about))
        (void)snprintf(about, sizeof about, ", probably near %.140s", show_both_units(vary, size->about).text);
    if (!isnan(size->enough) && !isnan(size->too_little))
        (void)snprintf(out, WG_SIZE_TEXT,
                       "%.150s is enough, %.150s is not. The %s that is enough lies between them%s; more replicates "
                       "(--at-most) would narrow it down.",
                       show_both_units(vary, size->enough).text, show_both_units(vary, size->too_little).text, which,
                       about);
    else if (!isnan(size->enough))
        (void)snprintf(out, WG_SIZE_TEXT,
                       "%s is enough; these replicates cannot tell whether %s is (--at-most allows more).",
                       show_both_units(vary, size->enough).text, show_both_units(vary, near).text);
    else if (!isnan(size->falls_to) && !isnan(size->too_little))
        (void)snprintf(out, WG_SIZE_TEXT,
                       "%s is not enough, and goal %d is clearly met less often at %s than at %s; these replicates "
                       "cannot tell about the values between (--at-most allows more).",
                       show_both_units(vary, size->too_little).text, size->falls_goal + 1,
                       show_both_units(vary, size->falls_to).text, show_both_units(vary, size->falls_from).text);
    else if (!isnan(size->too_little))
        (void)snprintf(
            out, WG_SIZE_TEXT,
            "%s is not enough; these replicates cannot tell about values from there to %s (--at-most allows more).",
            show_both_units(vary, size->too_little).text, show_both_units(vary, far).text);
    else
        (void)snprintf(
            out, WG_SIZE_TEXT,
            "Cannot tell: no value is clearly enough or clearly not enough (--at-most allows more replicates).");
}

/* Names the goal that bounds the search from the other side. */
static void append_fall(const struct wg_vary *vary, const struct wg_size *size, char out[WG_SIZE_TEXT]) {
    const size_t used = strlen(out);
    if (!isnan(size->falls_to) && !isnan(size->enough))
        (void)snprintf(out + used, WG_SIZE_TEXT - used,
                       " But do not go too far: goal %d is clearly met less often at %s than at %s.",
                       size->falls_goal + 1, show_both_units(vary, size->falls_to).text,
                       show_both_units(vary, size->falls_from).text);
}

static void describe_impossible(const struct wg_vary *vary, const struct wg_size_question *question,
                                const struct wg_size *size, char out[WG_SIZE_TEXT]) {
    char chance[16], why[4 * WG_VARY_SHOWN_SIZE + 64] = "";
    best_chance(question, size, chance);
    if (!isnan(size->falls_to) && !isnan(size->too_little))
        (void)snprintf(why, sizeof why, ": goal %d is already missed at %.140s, and %.140s is still too little",
                       size->falls_goal + 1, show_both_units(vary, size->falls_to).text,
                       show_both_units(vary, size->too_little).text);
    (void)snprintf(out, WG_SIZE_TEXT, "No value from %s to %s is enough%s; the best chance was %s, at %s.",
                   show_both_units(vary, question->low).text, show_both_units(vary, question->high).text, why, chance,
                   show_both_units(vary, size->point[size->best].value).text);
}

static void describe_not_monotone(const struct wg_vary *vary, const struct wg_size_question *question,
                                  const struct wg_size *size, char out[WG_SIZE_TEXT]) {
    const struct wg_size_point *const best = &size->point[size->best];
    const char *const verdict = best->verdict == WG_YES  ? "which is enough"
                                : best->verdict == WG_NO ? "which is not enough"
                                                         : "which may or may not be enough";
    char chance[16];
    best_chance(question, size, chance);
    (void)snprintf(
        out, WG_SIZE_TEXT,
        "More is not always better here: goal %d is clearly met more often and then less often, at %s than at %s, so "
        "there may be several turning points. The best of those tried is %s (%s), %s.",
        size->falls_goal + 1, show_both_units(vary, size->falls_to).text, show_both_units(vary, size->falls_from).text,
        show_both_units(vary, best->value).text, chance, verdict);
}

void wg_size_text(const struct wg_vary *vary, const struct wg_size_question *question, const struct wg_size *size,
                  char out[WG_SIZE_TEXT]) {
    switch (size->outcome) {
    case WG_SIZE_FOUND:
        (void)snprintf(out, WG_SIZE_TEXT, "%s is enough, %s is not.", show_both_units(vary, size->enough).text,
                       show_both_units(vary, size->too_little).text);
        break;
    case WG_SIZE_ALREADY:
        (void)snprintf(out, WG_SIZE_TEXT, "%s is enough, and nothing %s was tried (see --between).",
                       show_both_units(vary, size->enough).text, question->largest ? "larger" : "smaller");
        break;
    case WG_SIZE_IMPOSSIBLE:
        describe_impossible(vary, question, size, out);
        return;
    case WG_SIZE_UNDECIDED:
        describe_undecided(vary, question, size, out);
        break;
    case WG_SIZE_NOT_MONOTONE:
        describe_not_monotone(vary, question, size, out);
        return;
    }
    append_fall(vary, size, out);
}
