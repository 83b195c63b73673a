/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Searches for the smallest value that meets the goals: a coarse scan, then trials on both sides of the place where the
 * curve of the goal that needs most, fitted to all trials so far, crosses the wanted probability.
 *
 * Goals may conflict (survival, and cost): a goal whose probability falls along the search limits it from above, the
 * others from below. If no value is left between them, the search looks for one that surely fails both sides, and
 * the answer says so. If one goal's probability surely rises and then falls, the search reports only the best value tried.
 */
#include "sizing/size.h"

#include "base/elementary.h"
#include "sizing/size_state.h"

#include <math.h>
#include <string.h>

/* Judgement: trials lie so many standard deviations of the curve to each side of the crossing, at first and once its
 * interval is narrower than twice the tolerance: the nearer, the less the shape of the curve matters. */
#define ASIDE 0.6
#define ASIDE_LATER 0.35
#define SAME_PLACE 0.12 /* a value tried that is nearer to the place wanted, on the same scale, is used again */
#define NEAR 1.5        /* values that count as near the crossing, on the same scale */
#define NEAR_ROWS 8     /* judgement: least rows near the crossing, so that the interval rests on more than a few */
#define CLOSING_ROWS 16 /* judgement: most rows to make each end of the bracket sure */
#define BEST_ROWS 8     /* judgement: rows of each value where the response is not monotone */

/* ---- one value ---- */

/* Returns the value at a coordinate that can be tried: in the range, a multiple of the step. */
static double coordinate_value(const struct wg_size_state *state, double x) {
    const double value = wg_size_value(state->question, x), step = state->question->step;
    const double rounded = step > 0 ? step * round(value / step) : value;
    return fmin(state->size->high, fmax(state->size->low, rounded));
}

static double point_coordinate(const struct wg_size_state *state, int i) {
    return wg_size_coordinate(state->question, state->size->point[i].value);
}

/* Returns the rows until the verdict of a value holds for all animals. */
static int rows_of_pass(const struct wg_size_question *q) {
    return q->cell != NULL && q->cell(q->self, 0).animal >= 0 ? WG_SIZE_PASS : 1;
}

static bool is_whole_pass(const struct wg_size_question *q, const struct wg_size_point *point) {
    return point->n % ((int64_t)rows_of_pass(q) * WG_SIZE_ROW) == 0;
}

/* The error probability of one goal at one value: an equal share of the whole (Bonferroni). */
static double error_of(const struct wg_size_question *q) {
    return (1 - q->confidence) / (WG_SIZE_MAX_POINTS * q->n_goals);
}

struct wg_interval wg_size_interval(const struct wg_size_question *q, const struct wg_size_point *point, int goal) {
    wg_assert(goal >= 0 && goal < q->n_goals);
    return wg_sequence_interval(point->hits[goal], point->n, q->wanted[goal], error_of(q));
}

static enum wg_verdict goal_verdict(const struct wg_size_question *q, const struct wg_size_point *point, int goal) {
    if (!is_whole_pass(q, point))
        return WG_UNDECIDED;
    return wg_sequence_verdict(point->hits[goal], point->n, q->wanted[goal], error_of(q));
}

static enum wg_verdict judge_point(const struct wg_size_question *q, const struct wg_size_point *point) {
    enum wg_verdict all = WG_YES;
    for (int g = 0; g < q->n_goals; g++) {
        const enum wg_verdict one = goal_verdict(q, point, g);
        if (one == WG_NO)
            return WG_NO;
        if (one == WG_UNDECIDED)
            all = WG_UNDECIDED;
    }
    return all;
}

static bool is_budget_left(const struct wg_size_state *state) {
    return state->question->most - state->size->replicates >= WG_SIZE_ROW;
}

/* Adds rows at a point, as far as the budget allows. */
static int add_rows(struct wg_size_state *state, int at, int64_t rows) {
    struct wg_size_point *const point = &state->size->point[at];
    int code = 0;
    for (int64_t i = 0; i < rows && code == 0 && is_budget_left(state); i++) {
        code = wg_size_trials_add(&state->trials, state->question, point, state->err);
        state->size->replicates += code == 0 ? WG_SIZE_ROW : 0;
    }
    point->verdict = judge_point(state->question, point);
    return code;
}

/* Adds at least so many rows, and completes the pass. */
static int add_passes(struct wg_size_state *state, int at, int64_t rows) {
    const int64_t have = state->size->point[at].n / WG_SIZE_ROW, pass = rows_of_pass(state->question);
    return add_rows(state, at, (have + rows + pass - 1) / pass * pass - have);
}

/* Adds passes until the verdict is sure or the point has `most` rows. */
static int refine_point(struct wg_size_state *state, int at, int64_t most) {
    const struct wg_size_point *const point = &state->size->point[at];
    int code = 0;
    while (code == 0 && point->verdict == WG_UNDECIDED && point->n < most * WG_SIZE_ROW && is_budget_left(state))
        code = add_passes(state, at, 1);
    return code;
}

/* Returns the point at a value: a new one if there is room, else the nearest. */
static int point_at(struct wg_size_state *state, double value) {
    struct wg_size *const size = state->size;
    const double x = wg_size_coordinate(state->question, value);
    int at = 0;
    while (at < size->n_points && point_coordinate(state, at) < x)
        at++;
    if (at < size->n_points && !(size->point[at].value != value))
        return at;
    if (size->n_points == WG_SIZE_MAX_POINTS)
        return at == size->n_points || (at > 0 && x - point_coordinate(state, at - 1) < point_coordinate(state, at) - x)
                   ? at - 1
                   : at;
    memmove(&size->point[at + 1], &size->point[at], (size_t)(size->n_points - at) * sizeof size->point[0]);
    size->point[at] = (struct wg_size_point){.value = value, .verdict = WG_UNDECIDED};
    size->n_points++;
    return at;
}

/* ---- the sure bracket ---- */

/*
 * The bracket: the last point before `yes` that surely fails a goal that does not fall (-1: none); the first sure yes; the
 * first point that surely fails a falling goal (n_points: none).
 */
struct bracket {
    int no, yes, stop;
};

static bool fails_goal(const struct wg_size_state *state, int i, bool falling) {
    for (int g = 0; g < state->question->n_goals; g++)
        if (state->falls[g] == falling && goal_verdict(state->question, &state->size->point[i], g) == WG_NO)
            return true;
    return false;
}

static struct bracket bracket_of(const struct wg_size_state *state) {
    const struct wg_size *const size = state->size;
    struct bracket b = {-1, 0, 0};
    while (b.yes < size->n_points && size->point[b.yes].verdict != WG_YES)
        b.yes++;
    while (b.stop < size->n_points && !fails_goal(state, b.stop, true))
        b.stop++;
    for (int i = 0; i < b.yes; i++)
        if (fails_goal(state, i, false))
            b.no = i;
    return b;
}

/* True if the sure bracket is within the tolerance, or has no value in between. */
static bool is_bracket_narrow(const struct wg_size_state *state, struct bracket b) {
    if (b.no < 0 || b.yes == state->size->n_points)
        return false;
    const double no = state->size->point[b.no].value, yes = state->size->point[b.yes].value;
    const double a = point_coordinate(state, b.no), c = point_coordinate(state, b.yes);
    const double middle = coordinate_value(state, (a + c) / 2);
    return fabs(c - a) <= wg_size_tolerance(state->question, a) * (1 + 1e-9) || !(middle != no) || !(middle != yes);
}

/* True if a goal's probability is surely lower at b than at a. Both have whole passes, or the same animals. */
static bool is_goal_lower(const struct wg_size_question *q, const struct wg_size_point *a,
                          const struct wg_size_point *b, int goal) {
    const bool is_fair = (is_whole_pass(q, a) && is_whole_pass(q, b)) || a->n == b->n;
    return is_fair && wg_size_interval(q, b, goal).high < wg_size_interval(q, a, goal).low;
}

/* Finds whether a goal's probability falls or rises; a sure yes does not count. */
static void find_goal_direction(struct wg_size_state *state, int goal) {
    const struct wg_size_question *const q = state->question;
    struct wg_size *const size = state->size;
    state->falls[goal] = state->rises[goal] = false;
    for (int j = 1; j < size->n_points; j++)
        for (int i = 0; i < j; i++) {
            const struct wg_size_point *const a = &size->point[i], *const b = &size->point[j];
            if (goal_verdict(q, b, goal) != WG_YES && is_goal_lower(q, a, b, goal)) {
                size->falls_from = state->falls[goal] ? size->falls_from : a->value;
                size->falls_to = state->falls[goal] ? size->falls_to : b->value;
                size->falls_goal = goal;
                state->falls[goal] = true;
            }
            state->rises[goal] |= goal_verdict(q, a, goal) != WG_YES && is_goal_lower(q, b, a, goal);
        }
}

/* Returns false if a goal both falls and rises. */
static bool check_monotone(struct wg_size_state *state) {
    bool monotone = true;
    for (int g = 0; g < state->question->n_goals; g++) {
        find_goal_direction(state, g);
        monotone &= !(state->falls[g] && state->rises[g]);
    }
    return monotone;
}

/* Returns the lower limit minus the wanted probability, of the worst goal. */
static double worst_goal_margin(const struct wg_size_question *q, const struct wg_size_point *point) {
    double worst = (double)INFINITY;
    for (int g = 0; g < q->n_goals; g++)
        worst = fmin(worst, wg_size_interval(q, point, g).low - q->wanted[g]);
    return worst;
}

/* Returns how far a value is from the plan's own, as a ratio or a difference. */
static double distance_from_own(const struct wg_size_question *q, double value) {
    return q->geometric ? fmax(value / q->own, q->own / value) : fabs(value - q->own);
}

/* Returns the point with the best probabilities; of several the nearest to the plan's own value. */
static int best_point(const struct wg_size_question *q, const struct wg_size *size) {
    int best = 0;
    for (int i = 1; i < size->n_points; i++) {
        const double margin = worst_goal_margin(q, &size->point[i]), most = worst_goal_margin(q, &size->point[best]);
        const bool is_nearer =
            distance_from_own(q, size->point[i].value) < distance_from_own(q, size->point[best].value);
        if (margin > most || (margin == most && is_nearer))
            best = i;
    }
    return best;
}

/* True if a goal is missed for all that the trials of a point say, also those of a part of the animals. */
static bool looks_failing(const struct wg_size_question *q, const struct wg_size_point *point) {
    bool fails = false;
    for (int g = 0; g < q->n_goals; g++)
        fails |= wg_size_interval(q, point, g).high < q->wanted[g];
    return fails;
}

/* True if the failure of the last value implies that all values fail: those before it look so too, or the goal rises. */
static bool is_failure_conclusive(const struct wg_size_state *state) {
    const struct wg_size *const size = state->size;
    const int last = size->n_points - 1;
    bool all_fail = true, rises = false;
    for (int i = 0; i <= last; i++)
        all_fail &= looks_failing(state->question, &size->point[i]);
    for (int g = 0; g < state->question->n_goals; g++)
        rises |= state->rises[g] && goal_verdict(state->question, &size->point[last], g) == WG_NO;
    return all_fail || rises;
}

/* True if no value can meet all goals, each being monotone. */
static bool is_impossible(const struct wg_size_state *state, struct bracket b) {
    const int n = state->size->n_points;
    return b.yes == n &&
           ((b.stop < n && (b.stop <= b.no || b.stop == 0)) || (b.no == n - 1 && is_failure_conclusive(state)));
}

/* ---- the steps ---- */

static int scan_range(struct wg_size_state *state) {
    const double a = wg_size_start(state), b = wg_size_end(state);
    int code = 0;
    for (int i = 0; i < state->question->grid && code == 0; i++) {
        const int at = point_at(state, coordinate_value(state, a + (b - a) * i / (state->question->grid - 1)));
        code = state->size->point[at].n == 0 ? add_rows(state, at, 1) : 0;
    }
    return code;
}

/* Moves an end of the range outwards. Returns the point there, or -1 if it may not move. */
static int widen_range(struct wg_size_state *state, bool is_start) {
    const struct wg_size_question *const q = state->question;
    int *const moved = is_start ? &state->starts_moved : &state->ends_moved;
    if (*moved == (is_start ? q->n_starts : q->n_ends) || state->size->n_points == WG_SIZE_MAX_POINTS)
        return -1;
    const double value = (is_start ? q->starts : q->ends)[(*moved)++];
    *(is_start != q->largest ? &state->size->low : &state->size->high) = value;
    return point_at(state, value);
}

/* Places for the next trials, as coordinates. */
struct places {
    int n;
    double x[2];
};

/* To both sides of the crossing x; where the interval says even less than that, to its thirds. */
static struct places places_around(const struct wg_size_state *state, double x, struct wg_interval interval) {
    const double slope = state->goal[state->deciding].curve.slope, third = (interval.high - interval.low) / 3;
    const double tolerance = wg_size_tolerance(state->question, x);
    const double far = interval.high - interval.low > 4 * tolerance ? ASIDE : ASIDE_LATER;
    const double aside = fmax(far / slope, tolerance / 4);
    if (isfinite(third) && third > aside)
        return (struct places){2, {interval.low + third, interval.high - third}};
    return (struct places){2, {x - aside, x + aside}};
}

/* Around the crossing; at an end of the range if it lies beyond; between goals that exclude each other. */
static struct places next_places(const struct wg_size_state *state, struct wg_interval interval) {
    const double start = wg_size_start(state), end = wg_size_end(state), limit = wg_size_limit(state);
    const double x = state->deciding >= 0 ? wg_size_crossing(state, state->deciding) : start;
    if (x <= start && limit > start)
        return (struct places){1, {start}};
    if (limit <= x)
        return (struct places){1, {fmin(end, fmax(start, (limit + x) / 2))}};
    if (x >= end)
        return (struct places){1, {end}};
    struct places places = places_around(state, x, interval);
    places.x[0] = fmax(start, places.x[0]);
    places.x[1] = fmin(fmin(end, places.x[1]), (x + limit) / 2);
    return places;
}

/* Returns the slope of the curve that decides. */
static double scale_of(const struct wg_size_state *state) {
    return state->deciding >= 0 ? state->goal[state->deciding].curve.slope : 1;
}

/* Returns the point for a place: one that was tried close by, on the same side of the crossing, or a new one. */
static int point_for(struct wg_size_state *state, double x) {
    const double scale = scale_of(state),
                 crossing = state->deciding >= 0 ? wg_size_crossing(state, state->deciding) : x;
    int nearest = -1;
    for (int i = 0; i < state->size->n_points; i++) {
        const double apart = fabs(point_coordinate(state, i) - x);
        const bool is_same_side = (point_coordinate(state, i) - crossing) * (x - crossing) > 0;
        if (apart * scale < SAME_PLACE && is_same_side &&
            (nearest < 0 || apart < fabs(point_coordinate(state, nearest) - x)))
            nearest = i;
    }
    return nearest >= 0 ? nearest : point_at(state, coordinate_value(state, x));
}

/* Returns how far the interval reaches from the crossing, in tolerances; infinity if an end is not known. */
static double relative_width(const struct wg_size_state *state, struct wg_interval interval) {
    if (state->deciding < 0)
        return (double)INFINITY;
    const double x = wg_size_crossing(state, state->deciding);
    return fmax(x - interval.low, interval.high - x) / wg_size_tolerance(state->question, x);
}

/* Returns the rows near the crossing; 0 if they are not on both sides of it. */
static int64_t rows_near(const struct wg_size_state *state) {
    const double x = wg_size_crossing(state, state->deciding), scale = scale_of(state);
    int64_t rows = 0;
    bool below = x <= wg_size_start(state), above = x >= wg_size_end(state);
    for (int i = 0; i < state->size->n_points; i++) {
        const double apart = point_coordinate(state, i) - x;
        if (fabs(apart) * scale <= NEAR || fabs(apart) <= wg_size_tolerance(state->question, x)) {
            rows += state->size->point[i].n / WG_SIZE_ROW;
            below |= apart <= 0;
            above |= apart >= 0;
        }
    }
    return below && above ? rows : 0;
}

/* True if the interval is narrow and the crossing inside the range. */
static bool is_number_known(const struct wg_size_state *state, double width) {
    if (!(width <= 1) || rows_near(state) < NEAR_ROWS || state->goal[state->deciding].curve.fit < WG_CURVE_MISFIT)
        return false;
    const double x = wg_size_crossing(state, state->deciding);
    return x >= wg_size_start(state) && x <= wg_size_end(state) && x < wg_size_limit(state);
}

/* Returns how many more rows the interval needs; infinity while that is a guess. */
static double rows_needed(const struct wg_size_state *state, double width) {
    const double near = state->deciding >= 0 ? (double)rows_near(state) : 0;
    return isfinite(width) && near > 0 ? near * fmax(0, width * width - 1) : (double)INFINITY;
}

/* Returns the rows for each of n places: half of what is needed, but at most a quarter of all so far. */
static int64_t next_rows(const struct wg_size_state *state, double width, int n) {
    const double rows = (double)(state->size->replicates / WG_SIZE_ROW);
    return (int64_t)ceil(fmin(fmax(rows_needed(state, width) / 2, 1), rows / 4) / n);
}

static void tell_expected(const struct wg_size_state *state, double width) {
    const struct wg_size_question *const q = state->question;
    const double rows = rows_needed(state, width);
    if (q->expect != NULL && isfinite(rows))
        q->expect(q->self, (int64_t)fmin((double)q->most, (double)state->size->replicates + rows * WG_SIZE_ROW));
}

/* Tries the next places. */
static int add_trials(struct wg_size_state *state, struct wg_interval interval) {
    const struct places places = next_places(state, interval);
    const int64_t rows = next_rows(state, relative_width(state, interval), places.n);
    int code = 0;
    for (int i = 0; i < places.n && code == 0; i++)
        code = add_passes(state, point_for(state, places.x[i]), rows);
    return code;
}

/* If the last value fails but that proves nothing yet, makes a value sure that is not; returns false if all are. */
static bool refine_open_point(struct wg_size_state *state, int *code) {
    for (int i = 0; i < state->size->n_points; i++)
        if (state->size->point[i].verdict == WG_UNDECIDED) {
            *code = add_passes(state, i, 1);
            return true;
        }
    return false;
}

/* Takes one step; sets *done if none is left. */
static int advance_search(struct wg_size_state *state, bool *done) {
    const struct bracket b = bracket_of(state);
    int code = 0;
    wg_size_fit(state);
    const bool is_before = state->deciding < 0 || wg_size_crossing(state, state->deciding) <= wg_size_start(state);
    const struct wg_interval interval = wg_size_plain_interval(state);
    const double width = relative_width(state, interval);
    tell_expected(state, width);
    const bool impossible = is_impossible(state, b);
    const bool is_start = is_before || b.yes == 0, is_end = impossible && b.stop == state->size->n_points;
    *done = !is_budget_left(state) || impossible || is_bracket_narrow(state, b) || is_number_known(state, width);
    if (is_budget_left(state) && ((!*done && is_start) || is_end)) {
        const int at = widen_range(state, !is_end);
        *done = *done && at < 0;
        if (at >= 0)
            return add_rows(state, at, 1);
    }
    *done |= b.yes == 0;
    if (*done || (b.no == state->size->n_points - 1 && refine_open_point(state, &code)))
        return code;
    return add_trials(state, interval);
}

/*
 * Estimates the rows that a verdict on a goal at a point takes: the logarithm of 1/error over the Kullback-Leibler
 * divergence, and a quarter more for the mixture.
 */
static double rows_to_verdict(const struct wg_size_state *state, int at, int goal) {
    const struct wg_size_point *const point = &state->size->point[at];
    const double wanted = state->question->wanted[goal];
    const double share = ((double)point->hits[goal] + 0.5) / ((double)point->n + 1);
    const double divergence = share * wg_log(share / wanted) + (1 - share) * wg_log((1 - share) / (1 - wanted));
    return -1.25 * wg_log(error_of(state->question)) / divergence / WG_SIZE_ROW;
}

/* Returns the rows until a point is surely enough, or surely not. */
static double rows_until_sure(const struct wg_size_state *state, int at, bool is_enough) {
    double most = 0, least = (double)INFINITY;
    for (int g = 0; g < state->question->n_goals; g++) {
        const double rows = rows_to_verdict(state, at, g);
        most = fmax(most, rows);
        least = fmin(least, rows);
    }
    return is_enough ? most : least;
}

/* Makes the value nearest to the interval sure for which few rows will do, from a point outwards. */
static int close_bracket_side(struct wg_size_state *state, int at, int outwards) {
    int code = 0;
    for (; at >= 0 && at < state->size->n_points && code == 0; at += outwards) {
        if (rows_until_sure(state, at, outwards > 0) <= CLOSING_ROWS)
            code = refine_point(state, at, CLOSING_ROWS);
        if (state->size->point[at].verdict == (outwards > 0 ? WG_YES : WG_NO))
            break;
    }
    return code;
}

/* Makes values on both sides of the interval sure, for the bracket. */
static int close_bracket(struct wg_size_state *state) {
    const struct wg_interval interval = wg_size_plain_interval(state);
    const int n = state->size->n_points;
    int below = n - 1, above = 0;
    while (below >= 0 && !(point_coordinate(state, below) < interval.low))
        below--;
    while (above < n && !(point_coordinate(state, above) > interval.high))
        above++;
    const int code = close_bracket_side(state, below, -1);
    return code == 0 ? close_bracket_side(state, above, 1) : code;
}

/* For a response that is not monotone: tries the midpoints on both sides of the best value, all with as many rows. */
static int refine_best(struct wg_size_state *state) {
    struct wg_size *const size = state->size;
    const int best = best_point(state->question, size);
    const double x = point_coordinate(state, best);
    const double before = best > 0 ? (x + point_coordinate(state, best - 1)) / 2 : x;
    const double after = best + 1 < size->n_points ? (x + point_coordinate(state, best + 1)) / 2 : x;
    (void)point_at(state, coordinate_value(state, before));
    (void)point_at(state, coordinate_value(state, after));
    int code = 0;
    for (int i = 0; i < size->n_points && code == 0; i++)
        code = add_rows(state, i, BEST_ROWS - size->point[i].n / WG_SIZE_ROW);
    return code;
}

/* ---- the answer ---- */

static enum wg_size_outcome outcome_of(const struct wg_size_state *state, struct bracket b) {
    if (b.yes == 0)
        return WG_SIZE_ALREADY;
    if (is_impossible(state, b))
        return WG_SIZE_IMPOSSIBLE;
    const bool is_known =
        state->size->number.fits && is_number_known(state, relative_width(state, wg_size_plain_interval(state)));
    return is_known || is_bracket_narrow(state, b) ? WG_SIZE_FOUND : WG_SIZE_UNDECIDED;
}

/* Records which goal falls at which value, if one ends the search. */
static void set_fall(struct wg_size_state *state, int stop) {
    struct wg_size *const size = state->size;
    for (int g = 0; g < state->question->n_goals && stop < size->n_points; g++)
        for (int i = 0; i < stop && state->falls[g]; i++)
            if (goal_verdict(state->question, &size->point[stop], g) == WG_NO &&
                is_goal_lower(state->question, &size->point[i], &size->point[stop], g)) {
                size->falls_goal = g;
                size->falls_from = size->point[i].value;
                size->falls_to = size->point[stop].value;
                return;
            }
}

/* Drops points without replicates, for which the budget did not suffice, and puts the others in ascending order. */
static void order_points(struct wg_size_state *state) {
    struct wg_size *const size = state->size;
    struct wg_size_point point[WG_SIZE_MAX_POINTS];
    int n = 0;
    for (int i = 0; i < size->n_points; i++)
        if (size->point[i].n > 0)
            point[n++] = size->point[i];
    for (int i = 0; i < n; i++)
        size->point[i] = point[state->question->largest ? n - 1 - i : i];
    size->n_points = n;
}

static void forget_number(struct wg_size *size) {
    const double none = (double)NAN;
    size->number = (struct wg_size_number){none, none, none, none, none, .goal = size->number.goal};
}

static int set_outcome(struct wg_size_state *state, bool monotone) {
    struct wg_size *const size = state->size;
    wg_size_fit(state);
    const int code = wg_size_number_fill(state);
    const struct bracket b = bracket_of(state);
    size->outcome = monotone ? outcome_of(state, b) : WG_SIZE_NOT_MONOTONE;
    size->enough = monotone && b.yes < size->n_points ? size->point[b.yes].value : (double)NAN;
    size->too_little = monotone && b.no >= 0 ? size->point[b.no].value : (double)NAN;
    if (size->outcome != WG_SIZE_FOUND && size->outcome != WG_SIZE_UNDECIDED)
        forget_number(size);
    if (monotone)
        set_fall(state, b.stop);
    order_points(state);
    size->best = best_point(state->question, size);
    return code;
}

static void check_question(const struct wg_size_question *q) {
    wg_assert(q->n_goals >= 1 && q->n_goals <= WG_MAX_GOALS && q->low < q->high && q->grid >= 3 && q->grid <= 8);
    wg_assert((!q->geometric || q->low > 0) && q->most >= (int64_t)q->grid * WG_SIZE_ROW);
    wg_assert(q->confidence > 0 && q->confidence < 1 && (q->within > 0 || q->within_share > 0));
}

int wg_size_search(const struct wg_size_question *q, struct wg_size *size, struct wg_error *err) {
    check_question(q);
    *size = (struct wg_size){.low = q->low, .high = q->high, .falls_from = (double)NAN, .falls_to = (double)NAN};
    struct wg_size_state state = {.question = q, .size = size, .err = err};
    int code = scan_range(&state);
    bool done = false, monotone = code != 0 || check_monotone(&state);
    while (code == 0 && monotone && !done) {
        code = advance_search(&state, &done);
        monotone = code != 0 || check_monotone(&state);
    }
    if (code == 0 && monotone)
        code = close_bracket(&state);
    monotone = code != 0 || (monotone && check_monotone(&state));
    if (code == 0 && !monotone)
        code = refine_best(&state);
    if (code == 0)
        code = set_outcome(&state, monotone);
    wg_size_trials_free(&state.trials);
    return code;
}
