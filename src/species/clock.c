/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * How fast does a stage develop, and what share of a cohort leaves it in a step?
 *
 *     rate   r(T) = a T (T - t0) (tm - T)^(1/m)      Briere et al. 1999, Environ. Entomol. 28:22
 *     exits  1 - S(x + dx)/S(x) = -expm1(ln S(x + dx) - ln S(x))
 *
 * ln S is tabled as cubic Hermite polynomials from exact values and slopes (minus the
 * hazard in x); slopes are limited so that the curve never rises (Fritsch & Carlson
 * 1980, SIAM J. Numer. Anal. 17:238). The exact curves are in survival_curve.c.
 */
#include "species/clock.h"

#include "base/elementary.h"
#include "species/survival_curve.h"

#include <math.h>
#include <stdlib.h>

/* The table ends at six times the mean, or 16 standard deviations past it: survival beyond is negligible. */
static const double max_table_x = 6.0;
static const double deviations_past_mean = 16.0;

/* Tolerance between nodes: ten times tighter than the header promises. */
static const double table_tolerance = 1e-10;
static const int max_cells = 1 << 20;

static const double min_spread = 0.02, max_spread = 0.6;
static const double min_sigma = 0.05, max_sigma = 1.5;

double wg_rate_per_day(const struct wg_rate *rate, double temp_c) {
    if (!(temp_c > rate->t0_c && temp_c < rate->tm_c)) {
        return 0.0;
    }
    const double below_tm = rate->tm_c - temp_c;
    const double decline = rate->m == 2.0 ? sqrt(below_tm) : wg_pow(below_tm, 1.0 / rate->m);
    return fmax(0.0, rate->a * temp_c * (temp_c - rate->t0_c) * decline);
}

double wg_stage_days(const struct wg_species *species, enum wg_clock_stage stage, double temp_c) {
    const double rate = wg_rate_per_day(&species->rate[stage], temp_c);
    return rate > 0.0 ? 1.0 / rate : HUGE_VAL;
}

/* The constants of a gamma clock; zero for a lognormal one. */
static struct wg_gamma gamma_of(const struct wg_clock *clock) {
    return clock->lognormal ? (struct wg_gamma){0} : wg_gamma_of(clock->a);
}

static struct wg_curve_point exact_log_survival(const struct wg_clock *clock, const struct wg_gamma *gamma, double x) {
    return clock->lognormal ? wg_lognormal_point(clock->b, x) : wg_gamma_at(gamma, x);
}

/* Values and slopes from which the polynomials are made. */
struct nodes {
    int n;
    double step;           /* of x */
    double *log_s, *slope; /* slopes times the step */
};

static void nodes_free(struct nodes *nodes) {
    free(nodes->log_s);
    free(nodes->slope);
    *nodes = (struct nodes){0};
}

static int nodes_new(struct nodes *nodes, double top, int cells, struct wg_error *err) {
    nodes->n = cells + 2; /* one node past the top, so that rounding cannot reach outside */
    nodes->step = top / (double)cells;
    nodes->log_s = calloc((size_t)nodes->n, sizeof *nodes->log_s);
    nodes->slope = calloc((size_t)nodes->n, sizeof *nodes->slope);
    if (nodes->log_s == NULL || nodes->slope == NULL)
        return wg_no_memory(err, NULL);
    return 0;
}

static void fill_clock_nodes(struct nodes *nodes, const struct wg_clock *clock, const struct wg_gamma *gamma) {
    for (int i = 0; i < nodes->n; i++) {
        const struct wg_curve_point at = exact_log_survival(clock, gamma, (double)i * nodes->step);
        nodes->log_s[i] = at.log_s;
        nodes->slope[i] = at.slope * nodes->step;
    }
    for (int i = 0; i + 1 < nodes->n; i++) {
        const double steepest = 3.0 * (nodes->log_s[i + 1] - nodes->log_s[i]);
        nodes->slope[i] = fmax(nodes->slope[i], steepest);
        nodes->slope[i + 1] = fmax(nodes->slope[i + 1], steepest);
    }
}

/* The Hermite polynomial of a cell from its end values f0 and f1 and the slopes h0 and h1, times the cell's width. */
static void hermite(double c[4], double f0, double h0, double f1, double h1) {
    const double rise = f1 - f0;
    c[0] = f0;
    c[1] = h0;
    c[2] = 3.0 * rise - 2.0 * h0 - h1;
    c[3] = h0 + h1 - 2.0 * rise;
}

static inline double cubic_at(const double c[4], double t) {
    return c[0] + t * (c[1] + t * (c[2] + t * c[3]));
}

/*
 * The error of cubic interpolation is greatest near the middle of a cell and falls with the fourth power of its width.
 * So it is a sixteenth of the error of cells twice as wide, whose middles are nodes already: estimating it there saves
 * two thirds of the exact evaluations when the first table is fine enough. The first cells are evaluated exactly,
 * because the curve may be a fractional power of x there. (The true error is below the tolerance for every spread
 * that may be set.)
 */
static double worst_error(const struct nodes *nodes, const struct wg_clock *clock, const struct wg_gamma *gamma) {
    const int n_exact = 32;
    const double *const f = nodes->log_s, *const s = nodes->slope;
    double worst = 0.0, c[4];
    for (int i = 0; i < n_exact; i++) {
        const double x = ((double)i + 0.5) * nodes->step;
        hermite(c, f[i], s[i], f[i + 1], s[i + 1]);
        worst = fmax(worst, fabs(cubic_at(c, 0.5) - exact_log_survival(clock, gamma, x).log_s));
    }
    for (int i = n_exact; i + 2 < nodes->n; i += 2) {
        hermite(c, f[i], 2.0 * s[i], f[i + 2], 2.0 * s[i + 2]);
        worst = fmax(worst, fabs(cubic_at(c, 0.5) - f[i + 1]) / 16.0);
    }
    return worst;
}

/* Stores whole polynomials: a look-up touches one cache line and does half the arithmetic of one from nodes. */
static int join_cubics(struct wg_clock *clock, const struct nodes *nodes, struct wg_error *err) {
    const int n = nodes->n - 1;
    clock->per_step = (double)(nodes->n - 2) / clock->top;
    clock->cubic = malloc((size_t)n * sizeof *clock->cubic);
    if (clock->cubic == NULL)
        return wg_no_memory(err, NULL);
    for (int i = 0; i < n; i++)
        hermite(clock->cubic[i], nodes->log_s[i], nodes->slope[i], nodes->log_s[i + 1], nodes->slope[i + 1]);
    return 0;
}

static int build_clock_table(struct wg_clock *clock, double spread, struct wg_error *err) {
    const struct wg_gamma gamma = gamma_of(clock);
    int cells = 2 * (int)(40.0 * clock->top / spread), status;
    struct nodes nodes = {0};
    double error = HUGE_VAL;
    do {
        wg_assert(cells > 0 && cells <= max_cells);
        nodes_free(&nodes);
        status = nodes_new(&nodes, clock->top, cells, err);
        if (status == 0) {
            fill_clock_nodes(&nodes, clock, &gamma);
            error = worst_error(&nodes, clock, &gamma);
        }
        cells *= 2;
    } while (status == 0 && error >= table_tolerance);
    if (status == 0)
        status = join_cubics(clock, &nodes, err);
    nodes_free(&nodes);
    return status;
}

int wg_clock_init_gamma(struct wg_clock *clock, double spread, struct wg_error *err) {
    *clock = (struct wg_clock){0};
    if (!(spread >= min_spread && spread <= max_spread)) {
        return wg_fail(err, WG_ERR_INPUT, NULL, "The spread of a stage must lie between %g and %g; it is %g.",
                       min_spread, max_spread, spread);
    }
    clock->a = 1.0 / (spread * spread);
    clock->b = spread * spread;
    clock->top = fmin(max_table_x, 1.0 + deviations_past_mean * spread);
    return build_clock_table(clock, spread, err);
}

int wg_clock_init_lognormal(struct wg_clock *clock, double sigma, struct wg_error *err) {
    *clock = (struct wg_clock){0};
    if (!(sigma >= min_sigma && sigma <= max_sigma)) {
        return wg_fail(err, WG_ERR_INPUT, NULL, "The spread of dormancy must lie between %g and %g; it is %g.",
                       min_sigma, max_sigma, sigma);
    }
    clock->lognormal = 1;
    clock->a = 0.0;
    clock->b = sigma;
    clock->top = max_table_x;
    return build_clock_table(clock, sigma, err);
}

void wg_clock_free(struct wg_clock *clock) {
    free(clock->cubic);
    clock->cubic = NULL;
}

double wg_clock_log_survival(const struct wg_clock *clock, double x) {
    if (!(x > 0.0)) {
        return 0.0;
    }
    if (!(x < clock->top)) {
        const struct wg_gamma gamma = gamma_of(clock);
        return exact_log_survival(clock, &gamma, x).log_s;
    }
    const double position = x * clock->per_step;
    const int i = (int)position;
    const double log_s = cubic_at(clock->cubic[i], position - (double)i);
    return log_s < 0.0 ? log_s : 0.0; /* not fmin(), which is a call, in the innermost loop */
}

int wg_clocks_init(struct wg_clocks *clocks, const struct wg_species *species, struct wg_error *err) {
    *clocks = (struct wg_clocks){0};
    int status = wg_clock_init_lognormal(&clocks->dormancy, species->dorm_heat_sigma, err);
    for (int i = 0; status == 0 && i < WG_N_CLOCKS; i++) {
        status = wg_clock_init_gamma(&clocks->stage[i], species->spread[i], err);
    }
    if (status != 0) {
        wg_clocks_free(clocks);
    }
    return status;
}

void wg_clocks_free(struct wg_clocks *clocks) {
    for (int i = 0; i < WG_N_CLOCKS; i++) {
        wg_clock_free(&clocks->stage[i]);
    }
    wg_clock_free(&clocks->dormancy);
}
