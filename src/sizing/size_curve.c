/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Fits the curve of `size`: maximum likelihood, profile interval, goodness of fit, influence of each trial, spread
 * between animals.
 */
#include "sizing/size_curve.h"

#include "base/elementary.h"
#include "base/error.h"

#include <math.h>

#define GOLDEN 0.6180339887498949
#define TOP_ASKED 2.71     /* twice the gain in log-likelihood: 5 % at the boundary (Self & Liang 1987, JASA 82:605) */
#define LOWEST_TOP 0.02    /* of the way from the wanted probability to 1; nearer the crossing means nothing */
#define LEAST_VALUES 4     /* that a fit keeps */
#define SCAN 10            /* crossings tried before the golden section */
#define SECTIONS 22        /* of the crossing: to 1e-5 of the range */
#define COARSE_SECTIONS 18 /* of the slope: to 2e-4 */
#define TOP_SECTIONS 12    /* of the upper limit: to 0.3 % of its range */
#define WINDOW 1.5         /* judgement: a probit is trusted so many of its standard deviations around the crossing */

/* ---- the likelihood ---- */

static double normal_quantile(double p) {
    return wg_normal_quantile_above(1 - p);
}

static double log_normal_cdf(double z) {
    return wg_log_erfc(-z * 0.70710678118654752440) - 0.69314718055994530942;
}

/* Returns ln p and sets *log_other to ln (1 - p), for p = top Phi(z); in the tails without loss of figures. */
static double log_chance(double top, double z, double *log_other) {
    if (fabs(z) < 4) {
        const double p = top * wg_normal_cdf(z);
        *log_other = wg_log1p(-p);
        return wg_log(p);
    }
    const double log_p = log_normal_cdf(z) + (top < 1 ? wg_log(top) : 0);
    *log_other = top < 1 ? wg_log1p(-top * wg_normal_cdf(z)) : log_normal_cdf(-z);
    return log_p;
}

double wg_curve_chance(const struct wg_curve *curve, double x) {
    return curve->top * wg_normal_cdf(curve->quantile + curve->slope * (x - curve->crossing));
}

static double log_likelihood_of(const struct wg_curve *curve, const struct wg_curve_value *value) {
    double sum = 0;
    for (int i = curve->first; i <= curve->last; i++) {
        double log_miss;
        const double log_hit =
            log_chance(curve->top, curve->quantile + curve->slope * (value[i].x - curve->crossing), &log_miss);
        sum += (value[i].hits > 0 ? value[i].hits * log_hit : 0) +
               (value[i].n > value[i].hits ? (value[i].n - value[i].hits) * log_miss : 0);
    }
    return sum;
}

/* ---- the maximum ---- */

struct fit {
    struct wg_curve curve; /* the point at which the likelihood is computed */
    const struct wg_curve_value *value;
    const struct wg_curve_limits *limits;
    bool has_top; /* its upper limit is free, else 1 */
};

/* Returns the curve that f finds at a place. */
static struct wg_curve curve_found(double (*f)(struct fit *fit, double at), struct fit *fit, double at) {
    (void)f(fit, at);
    return fit->curve;
}

/* Maximises f over low..high, and sets the curve of the fit to that found there. */
static void maximise(double (*f)(struct fit *fit, double at), struct fit *fit, double low, double high, int n) {
    double a = high - GOLDEN * (high - low), b = low + GOLDEN * (high - low);
    struct wg_curve at_a = curve_found(f, fit, a), at_b = curve_found(f, fit, b);
    for (int i = 0; i < n; i++) {
        if (at_a.log_likelihood < at_b.log_likelihood) {
            low = a;
            a = b;
            at_a = at_b;
            b = low + GOLDEN * (high - low);
            at_b = curve_found(f, fit, b);
        } else {
            high = b;
            b = a;
            at_b = at_a;
            a = high - GOLDEN * (high - low);
            at_a = curve_found(f, fit, a);
        }
    }
    fit->curve = at_a.log_likelihood < at_b.log_likelihood ? at_b : at_a;
}

static double at_log_slope(struct fit *fit, double log_slope) {
    fit->curve.slope = wg_exp(log_slope);
    return fit->curve.log_likelihood = log_likelihood_of(&fit->curve, fit->value);
}

/* `share` of the way from the wanted probability to 1. */
static double at_top(struct fit *fit, double share) {
    fit->curve.top = fit->curve.wanted + (1 - fit->curve.wanted) * share;
    fit->curve.quantile = normal_quantile(fit->curve.wanted / fit->curve.top);
    maximise(at_log_slope, fit, wg_log(fit->limits->flattest), wg_log(fit->limits->steepest), COARSE_SECTIONS);
    return fit->curve.log_likelihood;
}

/* The profile likelihood of the crossing. */
static double at_crossing(struct fit *fit, double crossing) {
    fit->curve.crossing = crossing;
    if (!fit->has_top)
        return at_top(fit, 1);
    maximise(at_top, fit, LOWEST_TOP, 1, TOP_SECTIONS);
    return fit->curve.log_likelihood;
}

static void fit_crossing(struct fit *fit) {
    const double from = fit->limits->from, step = (fit->limits->to - from) / SCAN;
    double best = from, most = -(double)INFINITY;
    for (int i = 0; i <= SCAN; i++) {
        const double here = at_crossing(fit, from + step * i);
        if (here > most) {
            most = here;
            best = from + step * i;
        }
    }
    maximise(at_crossing, fit, fmax(from, best - step), fmin(fit->limits->to, best + step), SECTIONS);
}

/* ---- isotonic regression ---- */

/* A run of values with one pooled share. */
struct level {
    double n, hits, first, last; /* coordinates */
};

/* Pools adjacent values whose shares fall (Ayer et al. 1955, Ann. Math. Stat. 26:641). Returns the number of levels. */
static int pool_adjacent(const struct wg_curve_value *value, int first, int last, struct level *level) {
    int n = 0;
    for (int i = first; i <= last; i++) {
        level[n++] = (struct level){value[i].n, value[i].hits, value[i].x, value[i].x};
        while (n > 1 && level[n - 2].hits * level[n - 1].n >= level[n - 1].hits * level[n - 2].n) {
            n--;
            level[n - 1].n += level[n].n;
            level[n - 1].hits += level[n].hits;
            level[n - 1].last = level[n].last;
        }
    }
    return n;
}

double wg_isotonic_crossing(const struct wg_curve_value *value, int n, double wanted) {
    struct level level[WG_CURVE_MAX_VALUES];
    wg_assert(n >= 1 && n <= WG_CURVE_MAX_VALUES);
    const int levels = pool_adjacent(value, 0, n - 1, level);
    for (int i = 1; i < levels; i++) {
        const double before = level[i - 1].hits / level[i - 1].n - wanted, here = level[i].hits / level[i].n - wanted;
        if (before < 0 && here >= 0)
            return level[i - 1].last + (level[i].first - level[i - 1].last) * -before / (here - before);
    }
    return (double)NAN;
}

/* ---- goodness of fit ---- */

static double isotonic_log_likelihood(const struct wg_curve *curve, const struct wg_curve_value *value) {
    struct level level[WG_CURVE_MAX_VALUES];
    const int levels = pool_adjacent(value, curve->first, curve->last, level);
    double sum = 0;
    for (int i = 0; i < levels; i++) {
        const double misses = level[i].n - level[i].hits;
        sum += level[i].hits > 0 ? level[i].hits * wg_log(level[i].hits / level[i].n) : 0;
        sum += misses > 0 ? misses * wg_log(misses / level[i].n) : 0;
    }
    return sum;
}

/* Returns the upper tail of chi-squared (Wilson & Hilferty 1931, PNAS 17:684: to 0.001 where it matters here). */
static double chi_squared_above(double x, double freedom) {
    const double spread = 2 / (9 * freedom);
    return wg_normal_cdf((1 - spread - wg_pow(fmax(x, 0) / freedom, 1.0 / 3)) / sqrt(spread));
}

/*
 * Compares the curve with isotonic regression, the best of all monotone curves, by the likelihood ratio. Chi-squared with
 * as many degrees of freedom as values with at least one expected hit and miss exceed the parameters: too many for pooled
 * values, so that the test errs towards the curve.
 */
static double goodness_of_fit(const struct wg_curve *curve, const struct wg_curve_value *value) {
    int informative = 0;
    for (int i = curve->first; i <= curve->last; i++) {
        const double p = wg_curve_chance(curve, value[i].x);
        informative += value[i].n * p >= 1 && value[i].n * (1 - p) >= 1;
    }
    const int freedom = informative - (curve->top < 1 ? 3 : 2);
    const double ratio = 2 * (isotonic_log_likelihood(curve, value) - curve->log_likelihood);
    return chi_squared_above(ratio, freedom > 1 ? freedom : 1);
}

/* The gain by an upper limit is at most that by isotonic regression, which is quick. */
static void fit_top_if_asked(struct fit *fit) {
    fit->has_top = false;
    struct fit with_top = *fit;
    fit_crossing(fit);
    const double likelihood = fit->curve.log_likelihood;
    if (2 * (isotonic_log_likelihood(&fit->curve, fit->value) - likelihood) <= TOP_ASKED)
        return;
    with_top.has_top = true;
    fit_crossing(&with_top);
    if (2 * (with_top.curve.log_likelihood - likelihood) > TOP_ASKED)
        *fit = with_top;
}

/* Leaves out the value farthest from the crossing, but not the last one on its side. Returns false if none is left. */
static bool leave_out_farthest(struct wg_curve *curve, const struct wg_curve_value *value) {
    int below = 0, above = 0;
    for (int i = curve->first; i <= curve->last; i++)
        *(value[i].x < curve->crossing ? &below : &above) += 1;
    const bool is_below = curve->crossing - value[curve->first].x > value[curve->last].x - curve->crossing;
    if (below + above <= LEAST_VALUES || (below < 2 && above < 2))
        return false;
    if (above < 2 || (is_below && below > 1))
        curve->first++;
    else
        curve->last--;
    return true;
}

/* Leaves out values far below the crossing, if enough are left and on both sides. */
static bool narrow_window(struct fit *fit) {
    int first = fit->curve.first;
    while (first < fit->curve.last && fit->value[first].x < fit->curve.crossing - WINDOW / fit->curve.slope)
        first++;
    if (first == fit->curve.first || fit->curve.last - first + 1 < LEAST_VALUES ||
        fit->value[first].x > fit->curve.crossing)
        return false;
    fit->curve.first = first;
    return true;
}

void wg_curve_fit(struct wg_curve *curve, const struct wg_curve_value *value, int n, double wanted,
                  const struct wg_curve_limits *limits) {
    wg_assert(n >= 1 && n <= WG_CURVE_MAX_VALUES && wanted > 0 && wanted < 1 && limits->from < limits->to);
    struct fit fit = {.curve = {.wanted = wanted, .last = n - 1}, .value = value, .limits = limits};
    fit_top_if_asked(&fit);
    if (narrow_window(&fit))
        fit_top_if_asked(&fit);
    while ((fit.curve.fit = goodness_of_fit(&fit.curve, value)) < WG_CURVE_MISFIT &&
           leave_out_farthest(&fit.curve, value))
        fit_top_if_asked(&fit);
    *curve = fit.curve;
}

/* ---- the interval ---- */

/* Bisects for the crossing between the best and an end at which the profile falls to a level. */
static double profile_end(struct fit *fit, double best, double end, double level) {
    if (at_crossing(fit, end) > level)
        return end < best ? -(double)INFINITY : (double)INFINITY;
    double inside = best, outside = end;
    for (int i = 0; i < SECTIONS; i++) {
        const double middle = (inside + outside) / 2;
        *(at_crossing(fit, middle) > level ? &inside : &outside) = middle;
    }
    return outside;
}

/* Returns the interval with the values tried around the crossing, if no trial lies within so many standard deviations. */
static struct wg_interval span_gap(const struct wg_curve *curve, const struct wg_curve_value *value,
                                   struct wg_interval interval) {
    for (int i = curve->first + 1; i <= curve->last; i++)
        if (value[i - 1].x <= curve->crossing && curve->crossing <= value[i].x &&
            curve->slope * (value[i].x - value[i - 1].x) > WINDOW)
            return (struct wg_interval){fmin(interval.low, value[i - 1].x), fmax(interval.high, value[i].x)};
    return interval;
}

struct wg_interval wg_curve_interval(const struct wg_curve *curve, const struct wg_curve_value *value,
                                     const struct wg_curve_limits *limits, double below, double above) {
    struct fit fit = {.curve = *curve, .value = value, .limits = limits, .has_top = curve->top < 1};
    const double best = curve->crossing, most = curve->log_likelihood;
    const struct wg_interval interval = {profile_end(&fit, best, limits->from, most - below / 2),
                                         profile_end(&fit, best, limits->to, most - above / 2)};
    return span_gap(curve, value, interval);
}

/* ---- influence ---- */

static double normal_density(double z) {
    return 0.39894228040143267794 * wg_exp(-z * z / 2);
}

/* Sets the derivatives of the probability at x by crossing, slope and top. Returns the variance of one trial. */
static double curve_gradient(const struct wg_curve *curve, double x, double gradient[3]) {
    const double z = curve->quantile + curve->slope * (x - curve->crossing), density = curve->top * normal_density(z);
    const double p = curve->top * wg_normal_cdf(z);
    gradient[0] = -curve->slope * density;
    gradient[1] = (x - curve->crossing) * density;
    gradient[2] =
        wg_normal_cdf(z) - density * curve->wanted / (curve->top * curve->top * normal_density(curve->quantile));
    return fmax(p * (1 - p), 1e-12);
}

/* Solves m v = (1, 0, 0) for a symmetric positive matrix of n rows by elimination. Returns false if it is singular. */
static bool solve_first(double m[3][3], int n, double v[3]) {
    double right[3] = {1, 0, 0};
    for (int i = n - 1; i > 0; i--) /* upwards, since only the first right side is not 0 */
        for (int j = 0; j < i; j++) {
            if (!(m[i][i] > 0))
                return false;
            const double factor = m[j][i] / m[i][i];
            for (int k = 0; k <= i; k++)
                m[j][k] -= factor * m[i][k];
            right[j] -= factor * right[i];
        }
    if (!(m[0][0] > 0))
        return false;
    for (int i = 0; i < n; i++) {
        double sum = right[i];
        for (int k = 0; k < i; k++)
            sum -= m[i][k] * v[k];
        v[i] = sum / m[i][i];
    }
    return true;
}

double wg_curve_influence(const struct wg_curve *curve, const struct wg_curve_value *value, int n,
                          double influence[WG_CURVE_MAX_VALUES]) {
    const int parameters = curve->top < 1 ? 3 : 2;
    double information[3][3] = {{0}}, first[3] = {0};
    for (int i = curve->first; i <= curve->last; i++) {
        double gradient[3];
        const double variance = curve_gradient(curve, value[i].x, gradient);
        for (int a = 0; a < parameters; a++)
            for (int b = 0; b < parameters; b++)
                information[a][b] += value[i].n * gradient[a] * gradient[b] / variance;
    }
    for (int i = 0; i < n; i++)
        influence[i] = 0;
    if (!solve_first(information, parameters, first))
        return (double)INFINITY;
    for (int i = curve->first; i <= curve->last; i++) {
        double gradient[3];
        const double variance = curve_gradient(curve, value[i].x, gradient);
        for (int a = 0; a < parameters; a++)
            influence[i] += first[a] * gradient[a] / variance;
    }
    return first[0];
}

/* ---- animals ---- */

#define NODES 41         /* of the standard normal intercept, -4 .. 4: the trapezoidal rule */
#define LARGEST_SPREAD 4 /* judgement: then half of the animals never and half always meet the goal */

#define HALF_NODES 32 /* of the intercepts of half of the animals, 0 .. HALF_REACH standard deviations */
#define HALF_REACH 8.0

struct animals_fit {
    const struct wg_curve *curve;
    const struct wg_curve_value *value;
    const struct wg_curve_animal *animal;
    int n_animals;
    double hit[WG_CURVE_MAX_VALUES][NODES], miss[WG_CURVE_MAX_VALUES][NODES]; /* logs of the probabilities */
};

static double intercept_of(int i) {
    return 8.0 * i / (NODES - 1) - 4;
}

static double log_likelihood_of_animal(const struct animals_fit *s, const struct wg_curve_animal *animal) {
    double log_term[NODES], top = -(double)INFINITY, sum = 0;
    for (int q = 0; q < NODES; q++) {
        log_term[q] = -intercept_of(q) * intercept_of(q) / 2;
        for (int i = s->curve->first; i <= s->curve->last; i++)
            if (animal->n[i] > 0)
                log_term[q] += animal->hits[i] * s->hit[i][q] + (animal->n[i] - animal->hits[i]) * s->miss[i][q];
        top = fmax(top, log_term[q]);
    }
    for (int q = 0; q < NODES; q++)
        sum += wg_exp(log_term[q] - top);
    return top + wg_log(sum);
}

/* Returns the log-likelihood of all animals, but for a constant. */
static double at_spread(struct animals_fit *s, double sigma) {
    const double widen = sqrt(1 + sigma * sigma);
    double sum = 0;
    for (int i = s->curve->first; i <= s->curve->last; i++)
        for (int q = 0; q < NODES; q++) {
            const double z = s->curve->quantile + s->curve->slope * (s->value[i].x - s->curve->crossing);
            s->hit[i][q] = log_chance(s->curve->top, widen * z + sigma * intercept_of(q), &s->miss[i][q]);
        }
    for (int a = 0; a < s->n_animals; a++)
        sum += log_likelihood_of_animal(s, &s->animal[a]);
    return sum;
}

double wg_curve_spread(const struct wg_curve *curve, const struct wg_curve_value *value,
                       const struct wg_curve_animal *animal, int n_animals) {
    struct animals_fit s = {.curve = curve, .value = value, .animal = animal, .n_animals = n_animals};
    double low = 0, high = LARGEST_SPREAD;
    for (int i = 0; i < COARSE_SECTIONS; i++) {
        const double a = high - GOLDEN * (high - low), b = low + GOLDEN * (high - low);
        const bool is_beyond = at_spread(&s, a) < at_spread(&s, b);
        *(is_beyond ? &low : &high) = is_beyond ? a : b;
    }
    return (low + high) / 2;
}

/* Returns the mean over half of the animals at a distance from the crossing: Gauss-Legendre over the intercepts. */
static double chance_of_half(const struct wg_curve *curve, double spread, double side, double distance) {
    double at[HALF_NODES], weight[HALF_NODES], sum = 0;
    const double z = sqrt(1 + spread * spread) * (curve->quantile + curve->slope * distance);
    wg_gauss_legendre(HALF_NODES, at, weight);
    for (int i = 0; i < HALF_NODES; i++) {
        const double u = HALF_REACH * at[i];
        sum += 2 * HALF_REACH * weight[i] * normal_density(u) * wg_normal_cdf(z + side * spread * u);
    }
    return curve->top * sum;
}

double wg_curve_crossing_of_half(const struct wg_curve *curve, double spread, bool is_luckier) {
    const double side = is_luckier ? 1 : -1;
    double low = -HALF_REACH / curve->slope, high = HALF_REACH / curve->slope;
    for (int i = 0; i < SECTIONS; i++) {
        const double middle = (low + high) / 2;
        *(chance_of_half(curve, spread, side, middle) < curve->wanted ? &low : &high) = middle;
    }
    return isnan(spread) ? spread : curve->crossing + (low + high) / 2;
}
