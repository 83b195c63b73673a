/* layer: base */
/*
 * Which numbers does chance draw, and how can they be drawn again?
 *
 *   generator    xoshiro256++: 256 bits of state, period 2^256 - 1
 *   one stream   key = step(step(step(seed) ^ replicate) ^ purpose), and the state is the next
 *                four outputs of splitmix64 from that key; step(x) is splitmix64's mixing of
 *                x + its increment, a bijection. So two replicates of one seed and purpose can
 *                never share a key, and any other two streams do with chance 2^-64.
 *
 * Sources: Blackman & Vigna 2021, ACM Trans. Math. Softw. 47:36 (xoshiro256++ and the advice to
 * fill its state with splitmix64); Steele, Lea & Flood 2014, OOPSLA (splitmix64, its constants);
 * Leva 1992, ACM Trans. Math. Softw. 18:449 (the normal ratio method, in GSL); Ahrens & Dieter
 * 1974, Computing 12:223 (Poisson by gamma reduction, in GSL).
 */
#include "wintergrub/random.h"

#include "base/xoshiro.h"
#include "wintergrub/error.h"

#include <gsl/gsl_randist.h>
#include <math.h>

static uint64_t splitmix_step(uint64_t x) {
    x += UINT64_C(0x9e3779b97f4a7c15);
    x = (x ^ (x >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
    x = (x ^ (x >> 27)) * UINT64_C(0x94d049bb133111eb);
    return x ^ (x >> 31);
}

/* The four words differ from each other, so the forbidden all-zero state cannot arise. */
static void fill(struct xoshiro *state, uint64_t key) {
    for (int i = 0; i < 4; i++) {
        state->word[i] = splitmix_step(key);
        key += UINT64_C(0x9e3779b97f4a7c15);
    }
    state->ahead = -1;
}

static void gsl_set(void *state, unsigned long seed) {
    fill(state, seed);
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

void wg_rng_start(gsl_rng *rng, uint64_t seed, uint64_t replicate, enum wg_purpose purpose) {
    const uint64_t replicate_key = splitmix_step(splitmix_step(seed) ^ replicate);
    fill(xoshiro_of(rng), splitmix_step(replicate_key ^ (uint64_t)purpose));
}

uint64_t wg_rng_bits(gsl_rng *rng) {
    return xoshiro_bits(xoshiro_of(rng));
}

double wg_uniform(gsl_rng *rng) {
    return xoshiro_uniform(xoshiro_of(rng));
}

double wg_normal(gsl_rng *rng) {
    return gsl_ran_gaussian_ratio_method(rng, 1.0);
}

/*
 * The gamma reduction ends in gsl_ran_binomial, which is unsafe for large n (see binomial.c): but it
 * gets there with more than a few thousand only when a gamma deviate strays over 10 deviations.
 */
int64_t wg_poisson(gsl_rng *rng, double mean) {
    wg_assert(mean >= 0 && mean < 0x1p31);
    return mean > 0 ? (int64_t)gsl_ran_poisson(rng, mean) : 0;
}

/* Taking each weight off a running sum would leave only rounding once one class dominates. */
static double sum_of(int k, const double *weight) {
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
        const double later = left > 0 ? sum_of(k - i - 1, weight + i + 1) : 0;
        wg_assert(here >= 0 && isfinite(here));
        if (left == 0 || here + later <= 0)
            out[i] = 0;
        else if (here < later)
            out[i] = wg_binomial(rng, left, here / (here + later));
        else /* by who goes on: near 1 a chance has no digits left for the small classes to come */
            out[i] = left - wg_binomial(rng, left, later / (here + later));
        left -= out[i];
    }
    wg_assert(left == 0);
}
