/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Seeds independent random streams and draws from the normal, Poisson and multinomial distributions.
 *
 *   generator    xoshiro256++: 256 bits of state, period 2^256 - 1
 *   one stream   key = step(step(step(seed) ^ replicate) ^ purpose); the state is the next
 *                four outputs of splitmix64 from that key; step(x) is splitmix64's mixing of
 *                x + its increment, a bijection. So two replicates with the same seed and purpose
 *                never share a key; any other two streams do with probability 2^-64.
 *
 * Sources: Blackman & Vigna 2021, ACM Trans. Math. Softw. 47:36 (xoshiro256++ and the advice to
 * fill its state with splitmix64); Steele, Lea & Flood 2014, OOPSLA (splitmix64, its constants);
 * Leva 1992, ACM Trans. Math. Softw. 18:449 (the normal ratio method, its constants); Knuth 1969,
 * The Art of Computer Programming 2, 3.4.1 (Poisson by products of uniforms); Hoermann 1993, Insur. Math. Econ.
 * 12:39 (Poisson with a large mean, algorithm PTRS; its constants MEMORY: the distributions are tested).
 */
#include "base/random.h"

#include "base/elementary.h"
#include "base/error.h"
#include "base/xoshiro.h"

#include <math.h>

static uint64_t splitmix_step(uint64_t x) {
    x += UINT64_C(0x9e3779b97f4a7c15);
    x = (x ^ (x >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
    x = (x ^ (x >> 27)) * UINT64_C(0x94d049bb133111eb);
    return x ^ (x >> 31);
}

/* The four words differ from each other, so the forbidden all-zero state cannot arise. */
static void seed_xoshiro(struct xoshiro *state, uint64_t key) {
    for (int i = 0; i < 4; i++) {
        state->word[i] = splitmix_step(key);
        key += UINT64_C(0x9e3779b97f4a7c15);
    }
    state->gap = -1;
}

static void gsl_set(void *state, unsigned long seed) {
    seed_xoshiro(state, seed);
}

static unsigned long gsl_get(void *state) {
    return (unsigned long)(xoshiro_bits(state) >> 32);
}

static double gsl_get_double(void *state) {
    return xoshiro_uniform(state);
}

const gsl_rng_type wg_xoshiro_type = {
    .name = "wintergrub xoshiro256++",
    .max = 0xffffffffUL,
    .min = 0,
    .size = sizeof(struct xoshiro),
    .set = gsl_set,
    .get = gsl_get,
    .get_double = gsl_get_double,
};

const gsl_rng_type *wg_rng_type(void) {
    return &wg_xoshiro_type;
}

uint64_t wg_random_key(uint64_t seed, uint64_t replicate, enum wg_purpose purpose) {
    const uint64_t replicate_key = splitmix_step(splitmix_step(seed) ^ replicate);
    return splitmix_step(replicate_key ^ (uint64_t)purpose);
}

void wg_rng_start(gsl_rng *rng, uint64_t seed, uint64_t replicate, enum wg_purpose purpose) {
    seed_xoshiro(xoshiro_of(rng), wg_random_key(seed, replicate, purpose));
}

uint64_t wg_rng_bits(gsl_rng *rng) {
    return xoshiro_bits(xoshiro_of(rng));
}

double wg_uniform(gsl_rng *rng) {
    return xoshiro_uniform(xoshiro_of(rng));
}

/*
 * The ratio v/u of a point uniform over the region v^2 <= -4 u^2 log u is standard normal. An inscribed and a
 * circumscribed ellipse decide all but a few points without the logarithm.
 */
double wg_normal(gsl_rng *rng) {
    for (;;) {
        const double u = 1 - gsl_rng_uniform(rng), v = 1.7156 * (gsl_rng_uniform(rng) - 0.5);
        const double x = u - 0.449871, y = fabs(v) + 0.386595;
        const double ellipse = x * x + y * (0.19600 * y - 0.25472 * x);
        if (ellipse < 0.27597 || (ellipse <= 0.27846 && v * v <= -4 * u * u * wg_log(u)))
            return v / u;
    }
}

/* Counts the events of a unit-rate Poisson process before `mean`; each gap is -log(uniform). */
static int64_t poisson_by_gaps(gsl_rng *rng, double mean) {
    const double end = wg_exp(-mean);
    int64_t events = 0;
    for (double product = gsl_rng_uniform(rng); product > end; product *= gsl_rng_uniform(rng))
        events++;
    return events;
}

/* ln(mean^k e^-mean / k!), grouped so that no large terms cancel */
static double poisson_log_probability(double k, double mean) {
    if (k < 1)
        return -mean;
    const double two_pi = 6.28318530717958647693;
    return (k - mean) - k * wg_log1p((k - mean) / mean) - 0.5 * wg_log(two_pi * k) - wg_stirling_remainder(k);
}

/* Transformed rejection: draws a candidate from a table-mountain hat and accepts it with probability pmf / hat. */
static int64_t poisson_by_rejection(gsl_rng *rng, double mean) {
    const double b = 0.931 + 2.53 * sqrt(mean), a = -0.059 + 0.02483 * b;
    const double squeeze = 0.9277 - 3.6224 / (b - 2), per_alpha = 1.1239 + 1.1328 / (b - 3.4);
    for (;;) {
        const double u = gsl_rng_uniform(rng) - 0.5, v = gsl_rng_uniform(rng), edge = 0.5 - fabs(u);
        const double k = floor((2 * a / edge + b) * u + mean + 0.43);
        if (edge >= 0.07 && v <= squeeze)
            return (int64_t)k;
        if (k < 0 || (edge < 0.013 && v > edge))
            continue;
        if (wg_log(v * per_alpha / (a / (edge * edge) + b)) <= poisson_log_probability(k, mean))
            return (int64_t)k;
    }
}

int64_t wg_poisson(gsl_rng *rng, double mean) {
    wg_assert(mean >= 0 && mean < 0x1p31);
    if (mean == 0)
        return 0;
    return mean < 10 ? poisson_by_gaps(rng, mean) : poisson_by_rejection(rng, mean);
}

/* Subtracting each weight from a running sum would leave only rounding error once one class dominates. */
static double sum_weights(int k, const double *weight) {
    double sum = 0;
    for (int i = 0; i < k; i++)
        sum += weight[i];
    return sum;
}

void wg_multinomial(gsl_rng *rng, int64_t n, int k, const double *weight, int64_t *out) {
    wg_assert(n >= 0 && k >= 1);
    int64_t left = n;
    for (int i = 0; i < k; i++) {
        const double here = weight[i];
        const double later = left > 0 ? sum_weights(k - i - 1, weight + i + 1) : 0;
        wg_assert(here >= 0 && isfinite(here));
        if (left == 0 || here + later <= 0)
            out[i] = 0;
        else if (here < later)
            out[i] = wg_binomial(rng, left, here / (here + later));
        else /* draw the remainder: a probability near 1 has no digits left for the small classes that follow */
            out[i] = left - wg_binomial(rng, left, later / (here + later));
        left -= out[i];
    }
    wg_assert(left == 0);
}
