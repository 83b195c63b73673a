/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Draws from the binomial distribution.
 *
 *   p > 1/2        n minus a draw with 1 - p
 *   n p < 15       inversion: add up the probabilities f(0) = (1 - p)^n,
 *                  f(k + 1) = f(k) (n - k)/(k + 1) p/(1 - p) until they exceed a uniform
 *   n p >= 15      transformed rejection with squeeze: draw a candidate k from a table-mountain
 *                  hat and accept it with probability f(k) / hat
 *
 * Why not gsl_ran_binomial (seen in GSL 2.7.1): it takes n modulo 2^32; it squares the distance
 * from the mode in an int, which overflows beyond 46340, so that at n = 2^31, p = 1/2 the variance
 * is 18 % too large; it rounds towards 0 where it should round down, so that at a mean of 14
 * the probability of 0 is doubled; and for tiny p its (1 - p)^n has lost p to rounding. Here every
 * step is in double, and all logarithms are of ratios near 1, so no large terms cancel.
 *
 * Source: Hoermann 1993, J. Stat. Comput. Simul. 46:101 (algorithm BTRS).
 */
#include "base/binomial.h"

#include "base/elementary.h"
#include "base/error.h"
#include "base/random.h"
#include "base/xoshiro.h"

#include <math.h>

/* Not inlined, so that the fast path of its callers need not save registers (measured: 1 % of an outdoor run). */
#if defined(__GNUC__)
#define NOINLINE __attribute__((noinline))
#else
#define NOINLINE
#endif

/* The mean at which both methods take equally long (measured). The hat covers from WG_HAT_FROM_MEAN. */
#define INVERSION_BELOW_MEAN 15.0

/*
 * The probability of 110 or more at a mean below 15 is under 1e-55 (derived): getting there means that
 * the uniform was so close to 1 that only rounding error is left of it.
 */
enum { INVERSION_END = 110 };

/*
 * Six steps per branch: the last step is unpredictable, and one branch misprediction costs as much as five steps
 * (measured: an inversion with a mean of 2 took 38 ns, now 26).
 */
enum { STRIDE = 6 };

static double invert_from_zero(struct xoshiro *rng_state, double n, double odds, double none, double u) {
    const double odds_n = odds * n; /* makes every f beyond n 0 */
    for (;;) {
        double f = none;
        for (int k = 0; k < INVERSION_END; k += STRIDE) {
            int passed = 0;
            for (int i = 0; i < STRIDE; i++) {
                u -= f;
                passed += u >= 0;
                f *= (odds_n - odds * (k + i)) / (k + i + 1);
            }
            if (u < 0)
                return k + passed;
        }
        u = xoshiro_uniform(rng_state);
    }
}

/*
 * (1 - p)^n for n p < 15, n >= 2: for few by squaring, for many as exp(n log(1 - p)), where p is so small that nine terms
 * of the logarithm suffice. The two library functions took longer than the inversion itself (measured: draws with a mean
 * of 0.5 took 30 ns, now 20).
 */
enum { FEW = 1023 };

static double probability_of_none(double n, double p) {
    if (n > FEW) {
        const double p2 = p * p, p4 = p2 * p2;
        const double a = (1 + p / 2) + p2 * (1.0 / 3 + p / 4);
        const double b = (1.0 / 5 + p / 6) + p2 * (1.0 / 7 + p / 8);
        return wg_exp(-n * p * (a + p4 * (b + p4 / 9)));
    }
    const int bits = n < 4 ? 2 : n < 16 ? 4 : 10; /* bits of n, at most */
    double product = 1, square = 1 - p;
    for (int i = 0, left = (int)n; i < bits; i++, left /= 2, square *= square) {
        const double factor[2] = {1, square}; /* no branch, because the bits of n are unpredictable */
        product *= factor[left % 2];
    }
    return product;
}

static NOINLINE double invert_cdf(struct xoshiro *rng_state, double n, double p, double u) {
    return invert_from_zero(rng_state, n, p / (1 - p), probability_of_none(n, p), u);
}

static double draw_by_inversion(struct xoshiro *rng_state, double n, double p) {
    const double u = xoshiro_uniform(rng_state);
    if (n == 1)
        return u < p;
    if (u < 1 - n * p) /* Bernoulli's inequality: (1 - p)^n >= 1 - n p */
        return 0;
    return invert_cdf(rng_state, n, p, u);
}

/* log k! - ((k + 1/2) log(k + 1) - (k + 1) + log(2 pi)/2), derived: exact for small k, else Stirling's series */
static double stirling_remainder(double k) {
    static const double exact[10] = {
        0.08106146679532726, 0.04134069595540929, 0.02767792568499834, 0.02079067210376509,  0.01664469118982119,
        0.01387612882307075, 0.01189670994589177, 0.01041126526197209, 0.009255462182712733, 0.008330563433362871,
    };
    if (k < 10)
        return exact[(int)k];
    const double x = 1 / (k + 1);
    return x * (1.0 / 12 - x * x * (1.0 / 360 - x * x / 1260));
}

double wg_hat_height(const struct wg_hat *hat, double edge) {
    const double scale = (2.83 + 5.1 / hat->b) * hat->deviation;
    return scale / (hat->a / (edge * edge) + hat->b);
}

double wg_hat_log_pmf_ratio(const struct wg_hat *hat, double k) {
    const double odds = hat->p / (1 - hat->p), mode = wg_hat_mode(hat);
    const double rest = hat->n - k, mode_rest = hat->n - mode, step = k - mode;
    return step * wg_log(odds * (mode_rest + 1) / (mode + 1)) - (k + 0.5) * wg_log1p(step / (mode + 1)) -
           (rest + 0.5) * wg_log1p(-step / (mode_rest + 1)) + stirling_remainder(mode) + stirling_remainder(mode_rest) -
           stirling_remainder(k) - stirling_remainder(rest);
}

/*
 * True if a height, in units of f(mode), is at most f(k). Near the mode by products of probability ratios, each product
 * below 2^62 to the 15th, which is finite; farther off the log pmf lies between two parabolas (same source, algorithm
 * BTRD, and Kachitvichyanukul & Schmeiser 1988, Commun. ACM 31:216), which leave few draws for the full formula.
 * (Measured: with the full formula for all, draws with a mean of 15 took 75 ns, now 55.)
 */
static int is_below_pmf(const struct wg_hat *hat, double k, double height) {
    const double mode = wg_hat_mode(hat), off = fabs(k - mode);
    if (off <= WG_NEAR_MODE) {
        const double odds = hat->p / (1 - hat->p);
        double up = 1, down = 1;
        for (double i = fmin(k, mode) + 1, last = fmax(k, mode); i <= last; i++) {
            up *= odds * (hat->n - i + 1);
            down *= i;
        }
        return k > mode ? height * down <= up : height * up <= down;
    }
    const double log_height = wg_log(height), variance = hat->deviation * hat->deviation;
    if (off <= variance / 2 - 1) {
        const double parabola = -off * off / (2 * variance), margin = wg_hat_margin(variance, off);
        if (log_height < parabola - margin)
            return 1;
        if (log_height > parabola + margin)
            return 0;
    }
    return log_height <= wg_hat_log_pmf_ratio(hat, k);
}

static NOINLINE double draw_by_rejection(struct xoshiro *rng_state, double n, double p) {
    const struct wg_hat hat = wg_hat_over(n, p);
    for (;;) {
        const double u = xoshiro_uniform(rng_state) - 0.5;
        const double v = xoshiro_uniform(rng_state);
        const double edge = 0.5 - fabs(u);
        const double x = wg_hat_candidate(&hat, u, edge);
        if (edge >= WG_SQUEEZE_FROM_EDGE && v <= hat.squeeze)
            return wg_floor(x);
        if (x < 0 || x >= n + 1)
            continue;
        const double k = wg_floor(x);
        if (is_below_pmf(&hat, k, v * wg_hat_height(&hat, edge)))
            return k;
    }
}

int64_t wg_binomial(gsl_rng *rng, int64_t n, double p) {
    wg_assert(n >= 0 && n <= INT64_C(1) << 62 && !isnan(p));
    if (n == 0 || p <= 0)
        return 0;
    if (p >= 1)
        return n;
    struct xoshiro *const rng_state = xoshiro_of(rng);
    const double rare = p > 0.5 ? 1 - p : p;
    const double size = (double)n;
    const double successes = size * rare < INVERSION_BELOW_MEAN ? draw_by_inversion(rng_state, size, rare)
                                                                : draw_by_rejection(rng_state, size, rare);
    const int64_t count = (int64_t)successes;
    return p > 0.5 ? n - count : count;
}

/* ---- losses ---- */

/*
 * Geometric skipping. An individual with survival exp(-l) is an interval of length l on a line with a unit-rate Poisson
 * process; it is lost if an event falls into its interval. The gap to the next event is exponential and memoryless (after
 * a loss it counts from the end of that interval), so the line may continue across cohorts and only a loss costs a random
 * number. Short steps pass hundreds of cohorts without a loss; one random number for each made an outdoor run longer by
 * 14 % at 24 steps a day, 8 % at 4 and 1.5 % at one (measured).
 */
#define GAPS_BELOW_MEAN 1.0

static NOINLINE int64_t count_by_gaps(struct xoshiro *rng_state, double n, double length) {
    double left = n;
    int64_t gone = 0;
    if (rng_state->gap < 0)
        rng_state->gap = -wg_log(xoshiro_uniform(rng_state));
    while (rng_state->gap < left * length) {
        const double passed = floor(rng_state->gap / length);
        gone++;
        left = left > passed + 1 ? left - passed - 1 : 0;
        rng_state->gap = -wg_log(xoshiro_uniform(rng_state));
    }
    rng_state->gap -= left * length;
    return gone;
}

/* Inversion is valid below the switch-over mean, and p stays far below 1/2 unless n is small. */
static NOINLINE int64_t draw_losses(gsl_rng *rng, int64_t n, double log_keep) {
    const double size = (double)n, length = -size * log_keep;
    if (length >= INVERSION_BELOW_MEAN || log_keep < -0.5)
        return wg_binomial(rng, n, -wg_expm1(log_keep));
    struct xoshiro *const rng_state = xoshiro_of(rng);
    const double u = xoshiro_uniform(rng_state), none = wg_exp(-length);
    return u < none ? 0 : (int64_t)invert_from_zero(rng_state, size, wg_expm1(-log_keep), none, u);
}

int64_t wg_losses(gsl_rng *rng, int64_t n, double log_keep) {
    wg_assert(n >= 0 && log_keep <= 0);
    const double size = (double)n, length = -size * log_keep; /* >= n p */
    struct xoshiro *const rng_state = xoshiro_of(rng);
    if (length >= GAPS_BELOW_MEAN)
        return draw_losses(rng, n, log_keep);
    if (rng_state->gap < length)
        return count_by_gaps(rng_state, size, -log_keep);
    rng_state->gap -= length;
    return 0;
}
