/*
 * Searches for the smallest value that meets the goals: a coarse grid, then bisection.
 *
 * Each value is a sure yes, a sure no, or undecided. The search bisects the bracket between the sure no and the sure yes;
 * around undecided values it closes in from both sides; once the bracket is narrow enough, the undecided value nearest to
 * a verdict gets more replicates. Verdicts come from confidence sequences, so the order of the work causes no bias.
 *
 * Goals may conflict (survival, and cost): a goal whose probability falls along the search limits it from above, the
 * others from below; the search continues between the last value that fails a rising goal and the first that fails a
 * falling one. Once those two cross, no value meets all goals, and the answer says so. If one goal's probability rises and
 * then falls, the search reports only the best value tried.
 */
#include "analysis/size.h"

#include "base/elementary.h"

#include <math.h>
#include <string.h>

struct search {
    const struct wg_size_question *question;
    struct wg_size *size; /* during the search, points are in search order */
    struct wg_error *err;
    bool falls[WG_MAX_GOALS]; /* the goal's probability falls along the search, to a value that is not a sure yes */
    bool rises[WG_MAX_GOALS];
};

/* ---- values ---- */

/* The search goes upwards along this coordinate. */
static double search_coordinate(const struct wg_size_question *q, double value) {
    const double x = q->geometric ? wg_log(value) : value;
    return q->largest ? -x : x;
}

static double coordinate_value(const struct wg_size_question *q, double x) {
    const double plain = q->largest ? -x : x, value = q->geometric ? wg_exp(plain) : plain;
    const double rounded = q->step > 0 ? q->step * round(value / q->step) : value;
    return fmin(q->high, fmax(q->low, rounded));
}

/* ---- one value ---- */

/* The error probability of one goal at one value: an equal share of the whole (Bonferroni). */
static double error_of(const struct wg_size_question *q) {
    return (1 - q->confidence) / (WG_SIZE_MAX_POINTS * q->n_goals);
}

struct wg_interval wg_size_interval(const struct wg_size_question *q, const struct wg_size_point *point, int goal) {
    wg_assert(goal >= 0 && goal < q->n_goals);
    return wg_sequence_interval(point->hits[goal], point->n, q->wanted[goal], error_of(q));
}

static enum wg_verdict judge_point(const struct wg_size_question *q, const struct wg_size_point *point) {
    enum wg_verdict all = WG_YES;
    for (int g = 0; g < q->n_goals; g++) {
        const enum wg_verdict one = wg_sequence_verdict(point->hits[g], point->n, q->wanted[g], error_of(q));
        if (one == WG_NO)
            return WG_NO;
        if (one == WG_UNDECIDED)
            all = WG_UNDECIDED;
    }
    return all;
}

/* Adds up to n replicates at a value, within the budget. */
static int add_replicates(struct search *search, struct wg_size_point *point, int64_t n) {
    const struct wg_size_question *const q = search->question;
    if (n > q->most - search->size->replicates)
        n = q->most - search->size->replicates;
    if (n <= 0)
        return 0;
    const int code = q->trial(q->self, point->value, point->n, n, point->hits, search->err);
    if (code != 0)
        return code;
    point->n += n;
    search->size->replicates += n;
    point->verdict = judge_point(q, point);
    return 0;
}

/* Adds replicates at a value until its verdict is sure, it has `cap` of them, or the budget is used up. */
static int refine_point(struct search *search, struct wg_size_point *point, int64_t cap) {
    const struct wg_size_question *const q = search->question;
    int code = 0;
    while (code == 0 && point->verdict == WG_UNDECIDED && point->n < cap && search->size->replicates < q->most) {
        const int64_t n = point->n / 2 > q->batch ? point->n / 2 : q->batch;
        code = add_replicates(search, point, n < cap - point->n ? n : cap - point->n);
    }
    return code;
}

/* Tries a new value; does nothing for a value tried before or when all points are used. */
static int try_value(struct search *search, double value, int64_t cap) {
    struct wg_size *const size = search->size;
    int at = 0;
    while (at < size->n_points &&
           search_coordinate(search->question, size->point[at].value) < search_coordinate(search->question, value))
        at++;
    if (size->n_points == WG_SIZE_MAX_POINTS || (at < size->n_points && !(size->point[at].value != value)))
        return 0;
    memmove(&size->point[at + 1], &size->point[at], (size_t)(size->n_points - at) * sizeof size->point[0]);
    size->point[at] = (struct wg_size_point){.value = value, .verdict = WG_UNDECIDED};
    size->n_points++;
    return refine_point(search, &size->point[at], cap);
}

/* ---- the state of the search ---- */

static enum wg_verdict goal_verdict(const struct wg_size_question *q, const struct wg_size_point *point, int goal) {
    return wg_sequence_verdict(point->hits[goal], point->n, q->wanted[goal], error_of(q));
}

/*
 * The bracket: the last point before `yes` that surely fails a goal that does not fall (-1: none); the first sure yes; the
 * first point that surely fails a falling goal (n_points: none).
 */
struct bracket {
    int no, yes, stop;
};

static bool fails_goal(const struct search *search, int i, bool falling) {
    for (int g = 0; g < search->question->n_goals; g++)
        if (search->falls[g] == falling && goal_verdict(search->question, &search->size->point[i], g) == WG_NO)
            return true;
    return false;
}

static struct bracket bracket_of(const struct search *search) {
    const struct wg_size *const size = search->size;
    struct bracket b = {-1, 0, 0};
    while (b.yes < size->n_points && size->point[b.yes].verdict != WG_YES)
        b.yes++;
    while (b.stop < size->n_points && !fails_goal(search, b.stop, true))
        b.stop++;
    for (int i = 0; i < b.yes; i++)
        if (fails_goal(search, i, false))
            b.no = i;
    return b;
}

/* True if two neighbours are within the tolerance, or have no value in between. */
static bool close_enough(const struct wg_size_question *q, double a, double b, double part) {
    const double width = fabs(b - a), tolerance = fmax(q->within_share * fmax(fabs(a), fabs(b)), q->within);
    const double middle = coordinate_value(q, (search_coordinate(q, a) + search_coordinate(q, b)) / 2);
    return width <= part * tolerance * (1 + 1e-9) || !(middle != a) || !(middle != b);
}

/* True if a goal's probability is surely lower at b than at a. */
static bool is_goal_lower(const struct wg_size_question *q, const struct wg_size_point *a,
                          const struct wg_size_point *b, int goal) {
    return wg_size_interval(q, b, goal).high < wg_size_interval(q, a, goal).low;
}

/* Finds whether a goal's probability falls or rises; a sure yes does not count. */
static void find_goal_direction(struct search *search, int goal) {
    const struct wg_size_question *const q = search->question;
    struct wg_size *const size = search->size;
    search->falls[goal] = search->rises[goal] = false;
    for (int j = 1; j < size->n_points; j++)
        for (int i = 0; i < j; i++) {
            const struct wg_size_point *const a = &size->point[i], *const b = &size->point[j];
            if (goal_verdict(q, b, goal) != WG_YES && is_goal_lower(q, a, b, goal)) {
                size->falls_from = search->falls[goal] ? size->falls_from : a->value;
                size->falls_to = search->falls[goal] ? size->falls_to : b->value;
                size->falls_goal = goal;
                search->falls[goal] = true;
            }
            search->rises[goal] |= goal_verdict(q, a, goal) != WG_YES && is_goal_lower(q, b, a, goal);
        }
}

/* Returns false if a goal both falls and rises. */
static bool check_monotone(struct search *search) {
    bool monotone = true;
    for (int g = 0; g < search->question->n_goals; g++) {
        find_goal_direction(search, g);
        monotone &= !(search->falls[g] && search->rises[g]);
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

static int best_point(const struct wg_size_question *q, const struct wg_size *size) {
    int best = 0;
    for (int i = 1; i < size->n_points; i++)
        if (worst_goal_margin(q, &size->point[i]) > worst_goal_margin(q, &size->point[best]))
            best = i;
    return best;
}

/* ---- the steps ---- */

static double midpoint_value(const struct wg_size_question *q, const struct wg_size_point *a,
                             const struct wg_size_point *b) {
    return coordinate_value(q, (search_coordinate(q, a->value) + search_coordinate(q, b->value)) / 2);
}

static int scan_grid(struct search *search, int64_t cap) {
    const struct wg_size_question *const q = search->question;
    const double a = search_coordinate(q, q->largest ? q->high : q->low),
                 b = search_coordinate(q, q->largest ? q->low : q->high);
    int code = 0;
    for (int i = 0; i < q->grid && code == 0; i++)
        code = try_value(search, coordinate_value(q, a + (b - a) * i / (q->grid - 1)), cap);
    return code;
}

/* Returns the undecided point in the bracket nearest to a verdict, by its worst goal; -1: none. */
static int most_decided_point(const struct search *search, struct bracket b) {
    const struct wg_size_question *const q = search->question;
    int nearest = -1;
    double most_decided = -1;
    for (int i = b.no + 1; i < b.yes; i++) {
        const struct wg_size_point *const point = &search->size->point[i];
        if (point->verdict != WG_UNDECIDED)
            continue;
        double margin = (double)INFINITY;
        for (int g = 0; g < q->n_goals; g++)
            margin = fmin(margin, fabs((double)point->hits[g] / (double)point->n - q->wanted[g]));
        if (margin > most_decided) {
            most_decided = margin;
            nearest = i;
        }
    }
    return nearest;
}

/* Adds replicates at an undecided point. */
static int refine_open_point(struct search *search, struct bracket b, int64_t *cap, bool *done) {
    struct wg_size *const size = search->size;
    const int nearest = most_decided_point(search, b);
    *done = nearest < 0;
    if (*done)
        return 0;
    if (size->point[nearest].n >= *cap)
        *cap = 2 * size->point[nearest].n;
    return refine_point(search, &size->point[nearest], *cap);
}

/* Returns the share of hits minus the wanted probability, of the worst goal. */
static double wanted_margin(const struct wg_size_question *q, const struct wg_size_point *point) {
    double worst = (double)INFINITY;
    for (int g = 0; g < q->n_goals; g++)
        worst = fmin(worst, (double)point->hits[g] / (double)point->n - q->wanted[g]);
    return worst;
}

/*
 * Without a sure yes, and with a falling goal that ends the search at b.stop: bisects the wider gap beside the undecided
 * value with the best shares.
 */
static int step_in_window(struct search *search, struct bracket b, int64_t *cap, bool *done) {
    const struct wg_size_question *const q = search->question;
    const struct wg_size_point *const point = search->size->point;
    int best = b.no + 1;
    for (int i = b.no + 2; i < b.stop; i++)
        if (wanted_margin(q, &point[i]) > wanted_margin(q, &point[best]))
            best = i;
    *done = b.no >= b.stop || b.stop == 0;
    if (*done || search->size->n_points == WG_SIZE_MAX_POINTS)
        return *done ? 0 : refine_open_point(search, (struct bracket){b.no, b.stop, b.stop}, cap, done);
    int from = best > 0 ? best - 1 : best, to = best;
    if (best < b.stop &&
        (best == 0 || fabs(search_coordinate(q, point[best + 1].value) - search_coordinate(q, point[best].value)) >
                          fabs(search_coordinate(q, point[best].value) - search_coordinate(q, point[from].value)))) {
        from = best;
        to = best + 1;
    }
    if (!close_enough(q, point[from].value, point[to].value, best < b.stop ? 0.5 : 1))
        return try_value(search, midpoint_value(q, &point[from], &point[to]), *cap);
    return refine_open_point(search, (struct bracket){b.no, b.stop, b.stop}, cap, done);
}

/* True if the failure of the last value implies that all values fail. */
static bool is_failure_conclusive(const struct search *search) {
    const struct wg_size *const size = search->size;
    const int last = size->n_points - 1;
    bool all_fail = true, rises = false;
    for (int i = 0; i <= last; i++)
        all_fail &= size->point[i].verdict == WG_NO;
    for (int g = 0; g < search->question->n_goals; g++)
        rises |= search->rises[g] && goal_verdict(search->question, &size->point[last], g) == WG_NO;
    return all_fail || rises;
}

/* Takes one step; sets *done if none is left. */
static int advance_search(struct search *search, int64_t *cap, bool *done) {
    const struct wg_size_question *const q = search->question;
    struct wg_size *const size = search->size;
    const struct bracket b = bracket_of(search);
    *done = size->replicates >= q->most;
    if (*done)
        return 0;
    if (b.yes == size->n_points && b.stop < size->n_points)
        return step_in_window(search, b, cap, done);
    if (b.no == size->n_points - 1) {
        *done = is_failure_conclusive(search);
        return *done ? 0 : refine_open_point(search, (struct bracket){-1, size->n_points, size->n_points}, cap, done);
    }
    const bool open = b.yes - b.no > 1, capacity = size->n_points < WG_SIZE_MAX_POINTS;
    const double part = open ? 0.5 : 1; /* half the width for each side of the undecided points */
    if (capacity && b.no >= 0 && !close_enough(q, size->point[b.no].value, size->point[b.no + 1].value, part))
        if (open || b.yes < size->n_points)
            return try_value(search, midpoint_value(q, &size->point[b.no], &size->point[b.no + 1]), *cap);
    if (capacity && open && b.yes < size->n_points &&
        !close_enough(q, size->point[b.yes - 1].value, size->point[b.yes].value, part))
        return try_value(search, midpoint_value(q, &size->point[b.yes - 1], &size->point[b.yes]), *cap);
    return refine_open_point(search, b, cap, done);
}

/* Gives every value the same number of replicates, for a fair comparison. */
static int equalise_counts(struct search *search, int64_t n) {
    int code = 0;
    for (int i = 0; i < search->size->n_points && code == 0; i++)
        code = add_replicates(search, &search->size->point[i], n - search->size->point[i].n);
    return code;
}

/* For a response that is not monotone: tries the midpoints on both sides of the best value too. */
static int refine_best(struct search *search, int64_t cap) {
    struct wg_size *const size = search->size;
    int code = equalise_counts(search, cap);
    const int best = best_point(search->question, size);
    const struct wg_size_point point = size->point[best];
    if (best + 1 < size->n_points && code == 0)
        code = try_value(search, midpoint_value(search->question, &point, &size->point[best + 1]), cap);
    if (best > 0 && code == 0)
        code = try_value(search, midpoint_value(search->question, &point, &size->point[best - 1]), cap);
    return code == 0 ? equalise_counts(search, cap) : code;
}

/* ---- the answer ---- */

static enum wg_size_outcome outcome_of(const struct search *search, struct bracket b) {
    const struct wg_size_question *const q = search->question;
    const struct wg_size *const size = search->size;
    const int n = size->n_points;
    if (b.yes == 0)
        return WG_SIZE_ALREADY;
    if (b.yes == n &&
        ((b.stop < n && (b.stop <= b.no || b.stop == 0)) || (b.no == n - 1 && is_failure_conclusive(search))))
        return WG_SIZE_IMPOSSIBLE;
    if (b.yes == n || b.no < 0)
        return WG_SIZE_UNDECIDED;
    return close_enough(q, size->point[b.no].value, size->point[b.yes].value, 1) ? WG_SIZE_FOUND : WG_SIZE_UNDECIDED;
}

/* Interpolates linearly where the shares cross the wanted probabilities. */
static double interpolate_crossing(const struct wg_size_question *q, const struct wg_size *size, struct bracket b) {
    for (int i = b.no; i >= 0 && i < b.yes && b.yes < size->n_points; i++) {
        const double here = wanted_margin(q, &size->point[i]), next = wanted_margin(q, &size->point[i + 1]);
        const double x = search_coordinate(q, size->point[i].value),
                     x_next = search_coordinate(q, size->point[i + 1].value);
        if (here < 0 && next >= 0)
            return coordinate_value(q, x + (x_next - x) * -here / (next - here));
    }
    return (double)NAN;
}

/* Records which goal falls at which value, if one ends the search. */
static void set_fall(struct search *search, int stop) {
    struct wg_size *const size = search->size;
    for (int g = 0; g < search->question->n_goals && stop < size->n_points; g++)
        for (int i = 0; i < stop && search->falls[g]; i++)
            if (goal_verdict(search->question, &size->point[stop], g) == WG_NO &&
                is_goal_lower(search->question, &size->point[i], &size->point[stop], g)) {
                size->falls_goal = g;
                size->falls_from = size->point[i].value;
                size->falls_to = size->point[stop].value;
                return;
            }
}

static void set_outcome(struct search *search, bool monotone) {
    const struct wg_size_question *const q = search->question;
    struct wg_size *const size = search->size;
    const struct bracket b = bracket_of(search);
    size->outcome = monotone ? outcome_of(search, b) : WG_SIZE_NOT_MONOTONE;
    size->enough = monotone && b.yes < size->n_points ? size->point[b.yes].value : (double)NAN;
    size->too_little = monotone && b.no >= 0 ? size->point[b.no].value : (double)NAN;
    size->about = monotone ? interpolate_crossing(q, size, b) : (double)NAN;
    size->best = best_point(q, size);
    if (monotone)
        set_fall(search, b.stop);
    if (!q->largest)
        return;
    for (int i = 0, j = size->n_points - 1; i < j; i++, j--) {
        const struct wg_size_point swap = size->point[i];
        size->point[i] = size->point[j];
        size->point[j] = swap;
    }
    size->best = size->n_points - 1 - size->best;
}

static void check_question(const struct wg_size_question *q) {
    wg_assert(q->n_goals >= 1 && q->n_goals <= WG_MAX_GOALS && q->low < q->high && q->grid >= 3 && q->grid <= 8);
    wg_assert((!q->geometric || q->low > 0) && q->batch > 0 && q->most > 0);
    wg_assert(q->confidence > 0 && q->confidence < 1);
}

int wg_size_search(const struct wg_size_question *q, struct wg_size *size, struct wg_error *err) {
    check_question(q);
    *size = (struct wg_size){.falls_from = (double)NAN, .falls_to = (double)NAN, .about = (double)NAN};
    struct search search = {.question = q, .size = size, .err = err};
    int64_t cap = q->most / 20 > q->batch ? q->most / 20 : q->batch;
    int code = scan_grid(&search, cap);
    bool done = false, monotone = code != 0 || check_monotone(&search);
    while (code == 0 && monotone && !done) {
        code = advance_search(&search, &cap, &done);
        monotone = code != 0 || check_monotone(&search);
    }
    if (code == 0 && !monotone)
        code = refine_best(&search, cap);
    if (code == 0)
        set_outcome(&search, monotone);
    return code;
}
