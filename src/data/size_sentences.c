/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Words the answer of `size`: the number as an estimate with its interval, what is surely enough or not as certain.
 */
#include "data/size_sentences.h"

#include <ctype.h>
#include <math.h>
#include <stdarg.h>
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

static struct both_units_text show_in_one_unit(const struct wg_vary *vary, double value) {
    struct both_units_text s;
    wg_vary_show_plain(vary, value, s.text);
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

/* ---- rounded numbers ---- */

/* Returns the step to which a number with this interval is rounded: the power of ten next below half its width. */
static double rounding_step(const struct wg_vary *vary, const struct wg_size_number *number) {
    const double half = (number->high - number->low) / 2;
    const double reach = isnan(half) ? fabs(number->about) / 10 : half;
    const double step = reach > 0 ? pow(10, floor(log10(reach))) : 0;
    return fmax(step, vary->step);
}

/* Rounds to a step: downwards below 0, upwards above it, to the nearest for 0. */
static double round_to(double value, double step, int direction) {
    if (!(step > 0) || isnan(value))
        return value;
    const double steps = value / step;
    return step * (direction < 0 ? floor(steps + 1e-9) : direction > 0 ? ceil(steps - 1e-9) : round(steps));
}

double wg_size_recommended(const struct wg_vary *vary, const struct wg_size *size) {
    const double about = round_to(size->number.about, rounding_step(vary, &size->number), 0);
    const double known = isnan(about) ? size->enough : fmin(size->high, fmax(size->low, about));
    return isnan(known) ? size->point[size->best].value : known;
}

void wg_size_show_bound(const struct wg_vary *vary, double value, bool is_rounded_up,
                        char out[2 * WG_VARY_SHOWN_SIZE]) {
    const double size = fabs(value), figures = vary->step > 0 ? 2 : 3;
    out[0] = '\0';
    if (isnan(value))
        return;
    const double step = size > 0 && !vary->is_date ? pow(10, floor(log10(size)) + 1 - figures) : 0;
    wg_vary_show_both(vary, step > vary->step ? round_to(value, step, is_rounded_up ? 1 : -1) : value, out);
}

const char *wg_size_enough_word(const struct wg_size_question *question, const struct wg_size *size,
                                const struct wg_size_point *point) {
    const bool is_beyond =
        !isnan(size->enough) && (question->largest ? point->value < size->enough : point->value > size->enough);
    return point->verdict != WG_UNDECIDED ? wg_verdict_name(point->verdict) : is_beyond ? "beyond" : "open";
}

/* ---- the headline ---- */

/* Adds a sentence to a text; cut at its end. */
__attribute__((format(printf, 2, 3))) static void add(char out[WG_SIZE_TEXT], const char *format, ...) {
    const size_t used = strlen(out);
    va_list args;
    va_start(args, format);
    (void)vsnprintf(out + used, WG_SIZE_TEXT - used, format, args);
    va_end(args);
}

static void add_rounded_number(const struct wg_vary *vary, const struct wg_size_number *number,
                               char out[WG_SIZE_TEXT]) {
    const double step = rounding_step(vary, number);
    const double low = round_to(number->low, step, -1), high = round_to(number->high, step, 1);
    add(out, "about %s", show_both_units(vary, round_to(number->about, step, 0)).text);
    if (!isnan(low) && !isnan(high))
        add(out, " (%s to %s)", show_in_one_unit(vary, low).text, show_in_one_unit(vary, high).text);
    else if (!isnan(high))
        add(out, " (at most %s)", show_in_one_unit(vary, high).text);
    else if (!isnan(low))
        add(out, " (at least %s)", show_in_one_unit(vary, low).text);
}

static void add_unknown(const struct wg_vary *vary, const struct wg_size_question *question, const struct wg_size *size,
                        char out[WG_SIZE_TEXT]) {
    const double far = question->largest ? size->low : size->high, near = question->largest ? size->high : size->low;
    if (!isnan(size->enough) && !isnan(size->too_little))
        add(out, "between %s, which is not enough, and %s, which is", show_both_units(vary, size->too_little).text,
            show_both_units(vary, size->enough).text);
    else if (!isnan(size->enough))
        add(out, "%s is enough; whether %s is, these replicates cannot tell", show_both_units(vary, size->enough).text,
            show_both_units(vary, near).text);
    else if (!isnan(size->too_little) && isnan(size->falls_to))
        add(out, "%s is not enough; about values from there to %s these replicates cannot tell",
            show_both_units(vary, size->too_little).text, show_both_units(vary, far).text);
    else
        add(out, "these replicates cannot tell");
}

void wg_size_headline(const struct wg_vary *vary, const struct wg_size_question *question, const struct wg_size *size,
                      char out[WG_SIZE_TEXT]) {
    out[0] = '\0';
    add(out, "%s: ", vary->subject);
    out[0] = (char)toupper((unsigned char)out[0]);
    switch (size->outcome) {
    case WG_SIZE_FOUND:
    case WG_SIZE_UNDECIDED:
        if (isnan(size->number.about))
            add_unknown(vary, question, size, out);
        else
            add_rounded_number(vary, &size->number, out);
        break;
    case WG_SIZE_ALREADY:
        add(out, "%s is enough, and nothing %s was tried (see --between)", show_both_units(vary, size->enough).text,
            question->largest ? "larger" : "smaller");
        break;
    case WG_SIZE_IMPOSSIBLE:
        add(out, "no value from %s to %s is enough", show_both_units(vary, size->low).text,
            show_both_units(vary, size->high).text);
        break;
    case WG_SIZE_NOT_MONOTONE:
        add(out, "%s is the best of those tried, but more is not always better",
            show_both_units(vary, size->point[size->best].value).text);
        break;
    }
}

/* ---- the rest ---- */

/* Rounds to the step, or to one figure what would otherwise be 0. */
static double round_half(const struct wg_vary *vary, double value, double step) {
    const bool is_lost = value != 0 && fabs(value) < step / 2;
    const double finer = is_lost ? fmax(vary->step, pow(10, floor(log10(fabs(value))))) : step;
    return round_to(value, finer, 0);
}

/* "Over the luckier half of plausible animals about 12,000, over the harder half about 30,000." */
static void add_animal_halves(const struct wg_vary *vary, const struct wg_size *size, char out[WG_SIZE_TEXT]) {
    const double step = rounding_step(vary, &size->number);
    char luckier[2 * WG_VARY_SHOWN_SIZE + 16] = "less than was tried",
                                          harder[2 * WG_VARY_SHOWN_SIZE + 16] = "more than was tried";
    if (isnan(size->number.luckier) && isnan(size->number.harder))
        return;
    if (fabs(size->number.luckier - size->number.harder) < step / 2) {
        add(out, " Over the luckier and over the harder half of plausible animals it is about the same.");
        return;
    }
    if (!isnan(size->number.luckier))
        (void)snprintf(luckier, sizeof luckier, "about %s",
                       show_both_units(vary, round_half(vary, size->number.luckier, step)).text);
    if (!isnan(size->number.harder))
        (void)snprintf(harder, sizeof harder, "about %s",
                       show_both_units(vary, round_half(vary, size->number.harder, step)).text);
    add(out, " Over the luckier half of plausible animals %s, over the harder half %s.", luckier, harder);
}

/* Returns the value at which one goal alone is met; NaN outside the range or for one that limits the search. */
static double number_of_goal(const struct wg_size_question *question, const struct wg_size *size, int goal) {
    const struct wg_size_curve *const curve = &size->curve[goal];
    const double value = question->geometric ? exp(curve->crossing) : curve->crossing;
    const bool is_rising = (curve->slope > 0) != question->largest;
    return is_rising && value >= size->low && value <= size->high ? value : (double)NAN;
}

/* With several goals: which decides, and what the others would need. */
static void add_reason(const struct wg_vary *vary, const struct wg_size_question *question, const struct wg_size *size,
                       char out[WG_SIZE_TEXT]) {
    if (question->n_goals < 2 || isnan(size->number.about))
        return;
    add(out, " Goal %d decides", size->number.goal + 1);
    for (int g = 0; g < question->n_goals; g++) {
        const double alone = number_of_goal(question, size, g);
        if (g == size->number.goal || isnan(alone))
            continue;
        const struct wg_size_number only = {.about = alone, .low = (double)NAN, .high = (double)NAN};
        add(out, "; goal %d alone needs about %s", g + 1,
            show_both_units(vary, round_to(alone, rounding_step(vary, &only), 0)).text);
    }
    add(out, ".");
}

static void add_bracket(const struct wg_vary *vary, const struct wg_size_question *question, const struct wg_size *size,
                        char out[WG_SIZE_TEXT]) {
    char enough[2 * WG_VARY_SHOWN_SIZE], too_little[2 * WG_VARY_SHOWN_SIZE];
    if (isnan(size->number.about))
        return;
    wg_size_show_bound(vary, size->enough, !question->largest, enough);
    wg_size_show_bound(vary, size->too_little, question->largest, too_little);
    if (!isnan(size->enough) && !isnan(size->too_little))
        add(out, " Surely enough is %s, surely not %s.", enough, too_little);
    else if (!isnan(size->enough))
        add(out, " Surely enough is %s.", enough);
    else if (!isnan(size->too_little))
        add(out, " Surely not enough is %s.", too_little);
}

static void add_lacks(const struct wg_size *size, char out[WG_SIZE_TEXT]) {
    if (!isnan(size->number.about) && !size->number.fits)
        add(out, " The chances tried do not follow a smooth curve, so the number has no interval.");
    if (size->outcome == WG_SIZE_UNDECIDED)
        add(out, " More replicates (--at-most) would narrow it down.");
}

/* Returns the smallest value tried that is surely enough, NaN without one. */
static double least_enough(const struct wg_size *size) {
    for (int i = 0; i < size->n_points; i++)
        if (size->point[i].verdict == WG_YES)
            return size->point[i].value;
    return (double)NAN;
}

/* Names the goal that bounds the search from the other side. */
static void add_fall(const struct wg_vary *vary, const struct wg_size *size, char out[WG_SIZE_TEXT]) {
    if (!isnan(size->falls_to) && !isnan(size->enough))
        add(out, " But do not go too far: goal %d is clearly met less often at %s than at %s.", size->falls_goal + 1,
            show_both_units(vary, size->falls_to).text, show_both_units(vary, size->falls_from).text);
}

static void add_impossible(const struct wg_vary *vary, const struct wg_size_question *question,
                           const struct wg_size *size, char out[WG_SIZE_TEXT]) {
    char chance[16];
    best_chance(question, size, chance);
    if (!isnan(size->falls_to) && !isnan(size->too_little))
        add(out, " Goal %d is already missed at %s, and %s is still too little.", size->falls_goal + 1,
            show_both_units(vary, size->falls_to).text, show_both_units(vary, size->too_little).text);
    add(out, " The best chance was %s, at %s.", chance, show_both_units(vary, size->point[size->best].value).text);
}

static void add_not_monotone(const struct wg_vary *vary, const struct wg_size_question *question,
                             const struct wg_size *size, char out[WG_SIZE_TEXT]) {
    const enum wg_verdict verdict = size->point[size->best].verdict;
    char chance[16];
    best_chance(question, size, chance);
    add(out, " Its chance was %s, which %s. Goal %d is surely met less often at %s than at %s.", chance,
        verdict == WG_YES  ? "is enough"
        : verdict == WG_NO ? "is not enough"
                           : "may or may not be enough",
        size->falls_goal + 1, show_both_units(vary, size->falls_to).text, show_both_units(vary, size->falls_from).text);
    if (!isnan(least_enough(size)))
        add(out, " The smallest tried that is surely enough is %s.", show_both_units(vary, least_enough(size)).text);
}

static void add_range(const struct wg_vary *vary, const struct wg_size *size, char out[WG_SIZE_TEXT]) {
    add(out, " Searched from %s to %s (--between sets the range).", show_in_one_unit(vary, size->low).text,
        show_in_one_unit(vary, size->high).text);
}

void wg_size_text(const struct wg_vary *vary, const struct wg_size_question *question, const struct wg_size *size,
                  char out[WG_SIZE_TEXT]) {
    wg_size_headline(vary, question, size, out);
    add(out, ".");
    if (size->outcome == WG_SIZE_IMPOSSIBLE) {
        add_impossible(vary, question, size, out);
    } else if (size->outcome == WG_SIZE_NOT_MONOTONE) {
        add_not_monotone(vary, question, size, out);
    } else {
        add_animal_halves(vary, size, out);
        add_reason(vary, question, size, out);
        add_bracket(vary, question, size, out);
        add_fall(vary, size, out);
        add_lacks(size, out);
    }
    add_range(vary, size, out);
}
