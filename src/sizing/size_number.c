/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Fits the curves of the goals and turns them into the number that meets all goals, with its interval.
 *
 * Of the goals that rise, the one with the farthest crossing decides. The upper end of the interval is the farthest of the
 * goals' upper ends, the lower end the farthest of their lower ends: the first misses only if that of the deciding goal
 * does; the second may miss by each goal, so its error is shared among them.
 */
#include "sizing/size_state.h"

#include "base/elementary.h"

#include <math.h>
#include <stdlib.h>

#define STEEPEST                                                                                                       \
    1e4 /* a curve this steep is a step: it rises from 1 % to 99 % within a two-thousandth of the tolerance */
#define FLATTEST 0.02 /* and one this flat by less than 1 % over the range */

/* ---- values ---- */

double wg_size_coordinate(const struct wg_size_question *q, double value) {
    const double x = q->geometric ? wg_log(value) : value;
    return q->largest ? -x : x;
}

double wg_size_value(const struct wg_size_question *q, double x) {
    const double plain = q->largest ? -x : x;
    return q->geometric ? wg_exp(plain) : plain;
}

double wg_size_start(const struct wg_size_state *state) {
    const struct wg_size *const size = state->size;
    return wg_size_coordinate(state->question, state->question->largest ? size->high : size->low);
}

double wg_size_end(const struct wg_size_state *state) {
    const struct wg_size *const size = state->size;
    return wg_size_coordinate(state->question, state->question->largest ? size->low : size->high);
}

double wg_size_tolerance(const struct wg_size_question *q, double x) {
    const double value = wg_size_value(q, x), width = fmax(q->within_share * fabs(value), q->within);
    return q->geometric ? wg_log1p(width / value) : width;
}

/* ---- curves ---- */

/* Copies the trials of a goal, mirrored if it falls. */
static void copy_values(const struct wg_size_state *state, int g, bool falls, struct wg_curve_value *value) {
    const int n = state->size->n_points;
    for (int i = 0; i < n; i++) {
        const struct wg_size_point *const point = &state->size->point[falls ? n - 1 - i : i];
        const double x = wg_size_coordinate(state->question, point->value);
        value[i] = (struct wg_curve_value){falls ? -x : x, (double)point->n, (double)point->hits[g]};
    }
}

/* Returns the covariance of share and coordinate, weighted by trials; below 0 for a goal that falls. */
static double trend_of(const struct wg_curve_value *value, int n) {
    double trials = 0, hits = 0, x = 0, both = 0;
    for (int i = 0; i < n; i++) {
        trials += value[i].n;
        hits += value[i].hits;
        x += value[i].n * value[i].x;
        both += value[i].hits * value[i].x;
    }
    return both - hits * x / trials;
}

static void fit_goal(struct wg_size_state *state, int g) {
    const struct wg_size_question *const q = state->question;
    struct wg_size_goal *const goal = &state->goal[g];
    const double start = wg_size_start(state), end = wg_size_end(state), span = end - start;
    copy_values(state, g, false, goal->value);
    goal->falls = trend_of(goal->value, state->size->n_points) < 0;
    copy_values(state, g, goal->falls, goal->value);
    const double from = goal->falls ? -end : start, to = goal->falls ? -start : end;
    goal->limits = (struct wg_curve_limits){from - span, to + span, FLATTEST / span,
                                            STEEPEST / fmin(wg_size_tolerance(q, start), wg_size_tolerance(q, end))};
    wg_curve_fit(&goal->curve, goal->value, state->size->n_points, q->wanted[g], &goal->limits);
}

double wg_size_crossing(const struct wg_size_state *state, int goal) {
    const struct wg_size_goal *const it = &state->goal[goal];
    return it->falls ? -it->curve.crossing : it->curve.crossing;
}

void wg_size_fit(struct wg_size_state *state) {
    state->deciding = -1;
    for (int g = 0; g < state->question->n_goals; g++) {
        fit_goal(state, g);
        if (!state->goal[g].falls &&
            (state->deciding < 0 || wg_size_crossing(state, g) > wg_size_crossing(state, state->deciding)))
            state->deciding = g;
    }
}

double wg_size_limit(const struct wg_size_state *state) {
    double limit = (double)INFINITY;
    for (int g = 0; g < state->question->n_goals; g++)
        if (state->goal[g].falls)
            limit = fmin(limit, wg_size_crossing(state, g));
    return limit;
}

/* ---- the interval ---- */

static int number_of_rising(const struct wg_size_state *state) {
    int n = 0;
    for (int g = 0; g < state->question->n_goals; g++)
        n += !state->goal[g].falls;
    return n;
}

/* Returns the farthest ends over the goals that rise; effect[g] multiplies the variance. */
static struct wg_interval interval_over_goals(const struct wg_size_state *state, const double effect[WG_MAX_GOALS]) {
    const double error = (1 - state->question->confidence) / 2;
    const double z_low = wg_normal_quantile_above(error / fmax(1, number_of_rising(state))),
                 z_high = wg_normal_quantile_above(error);
    struct wg_interval all = {-(double)INFINITY, -(double)INFINITY};
    for (int g = 0; g < state->question->n_goals; g++) {
        const struct wg_size_goal *const goal = &state->goal[g];
        if (goal->falls)
            continue;
        const struct wg_interval one = wg_curve_interval(&goal->curve, goal->value, &goal->limits,
                                                         z_low * z_low * effect[g], z_high * z_high * effect[g]);
        all.low = fmax(all.low, one.low);
        all.high = fmax(all.high, one.high);
    }
    return all;
}

struct wg_interval wg_size_plain_interval(const struct wg_size_state *state) {
    double effect[WG_MAX_GOALS];
    for (int g = 0; g < WG_MAX_GOALS; g++)
        effect[g] = 1;
    return interval_over_goals(state, effect);
}

static int find_design_effect(const struct wg_size_state *state, int g, double *effect) {
    const struct wg_size_goal *const goal = &state->goal[g];
    const int n = state->size->n_points;
    double mirrored[WG_SIZE_MAX_POINTS];
    struct wg_size_influence of = {.goal = g, .n_points = n, .point = state->size->point};
    of.variance = wg_curve_influence(&goal->curve, goal->value, n, mirrored);
    for (int i = 0; i < n; i++) {
        of.influence[i] = mirrored[goal->falls ? n - 1 - i : i];
        of.chance[i] = wg_curve_chance(&goal->curve, goal->value[goal->falls ? n - 1 - i : i].x);
    }
    return wg_size_trials_design_effect(&state->trials, state->question, &of, effect, state->err);
}

/* ---- animals ---- */

/* Sets the spread of the intercepts of animals; NaN if there is one animal. The values of a falling goal are mirrored. */
static int find_animal_spread(const struct wg_size_state *state, int g, double *spread) {
    const struct wg_size_goal *const goal = &state->goal[g];
    const int n = state->size->n_points;
    struct wg_curve_animal *animal;
    int n_animals;
    *spread = (double)NAN;
    const int code =
        wg_size_trials_by_animal(&state->trials, state->question, state->size, g, &animal, &n_animals, state->err);
    for (int a = 0; a < n_animals && goal->falls; a++) {
        const struct wg_curve_animal plain = animal[a];
        for (int i = 0; i < n; i++) {
            animal[a].n[i] = plain.n[n - 1 - i];
            animal[a].hits[i] = plain.hits[n - 1 - i];
        }
    }
    if (code == 0 && n_animals > 0)
        *spread = wg_curve_spread(&goal->curve, goal->value, animal, n_animals);
    free(animal);
    return code;
}

/* Returns the farthest crossing over the goals that rise, for half of the animals; NaN if there is one animal. */
static double crossing_of_half(const struct wg_size_state *state, bool is_luckier) {
    double farthest = (double)NAN;
    for (int g = 0; g < state->question->n_goals; g++)
        if (!state->goal[g].falls)
            farthest = fmax(farthest,
                            wg_curve_crossing_of_half(&state->goal[g].curve, state->size->curve[g].spread, is_luckier));
    return farthest;
}

/* ---- the answer ---- */

double wg_size_curve_chance(const struct wg_size_curve *curve, double wanted, double x) {
    const double z = wg_normal_quantile_above(1 - wanted / curve->top) + curve->slope * (x - curve->crossing);
    return curve->top * wg_normal_cdf(z);
}

static void fill_curve(struct wg_size_state *state, int g) {
    const struct wg_size_goal *const goal = &state->goal[g];
    const double along = (goal->falls ? -1 : 1) * (state->question->largest ? -1 : 1);
    const double first = wg_size_value(state->question, (goal->falls ? -1 : 1) * goal->value[goal->curve.first].x);
    const double last = wg_size_value(state->question, (goal->falls ? -1 : 1) * goal->value[goal->curve.last].x);
    state->size->curve[g].from = fmin(first, last);
    state->size->curve[g].to = fmax(first, last);
    state->size->curve[g].crossing = along * goal->curve.crossing;
    state->size->curve[g].slope = along * goal->curve.slope;
    state->size->curve[g].top = goal->curve.top;
    state->size->curve[g].fit = goal->curve.fit;
}

/* Returns the value at a coordinate; NaN farther outside the range than so many tolerances. */
static double value_in_range(const struct wg_size_state *state, double x, double tolerances) {
    const struct wg_size_question *const q = state->question;
    const double start = wg_size_start(state), end = wg_size_end(state);
    const bool is_in =
        x >= start - tolerances * wg_size_tolerance(q, start) && x <= end + tolerances * wg_size_tolerance(q, end);
    return is_in ? wg_size_value(q, x) : (double)NAN;
}

static void fill_number(struct wg_size_state *state, const double effect[WG_MAX_GOALS]) {
    struct wg_size_number *const number = &state->size->number;
    const struct wg_size_goal *const goal = &state->goal[state->deciding];
    const struct wg_interval interval = interval_over_goals(state, effect);
    const double low = value_in_range(state, interval.low, 1), high = value_in_range(state, interval.high, 1);
    number->goal = state->deciding;
    number->fits = goal->curve.fit >= WG_CURVE_MISFIT;
    const double isotonic = wg_isotonic_crossing(goal->value, state->size->n_points, goal->curve.wanted);
    number->about = value_in_range(state, number->fits ? goal->curve.crossing : isotonic, 0);
    if (!number->fits || isnan(number->about))
        return;
    number->low = state->question->largest ? high : low;
    number->high = state->question->largest ? low : high;
    number->luckier = value_in_range(state, crossing_of_half(state, true), 0);
    number->harder = value_in_range(state, crossing_of_half(state, false), 0);
}

int wg_size_number_fill(struct wg_size_state *state) {
    const double none = (double)NAN;
    double effect[WG_MAX_GOALS] = {0};
    int code = 0;
    state->size->number = (struct wg_size_number){none, none, none, none, none, .goal = 0};
    for (int g = 0; g < state->question->n_goals && code == 0; g++) {
        fill_curve(state, g);
        code = find_design_effect(state, g, &effect[g]);
        if (code == 0)
            code = find_animal_spread(state, g, &state->size->curve[g].spread);
    }
    if (code == 0 && state->deciding >= 0)
        fill_number(state, effect);
    return code;
}
