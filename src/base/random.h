/**
 * Chance: independent streams, and samplers that stay exact for large counts.
 *
 * A stream is named by (seed, replicate, purpose) and its 256-bit state is made
 * by hashing those three, so replicate k can be computed alone, on any thread,
 * in any order. GSL's own generators take 32 bits of seed only, so the
 * generator is ours (xoshiro256++, Blackman & Vigna 2021, ACM Trans. Math.
 * Softw. 47:36; state filled by splitmix64, Steele, Lea & Flood 2014, OOPSLA),
 * registered as a gsl_rng_type: every GSL sampler works with it.
 */
#ifndef WG_BASE_RANDOM_H
#define WG_BASE_RANDOM_H

#include <gsl/gsl_rng.h>
#include <stdint.h>

/** What a stream is for. Compared scenarios share WEATHER and MISHAPS. The numbers are part of the result format. */
enum wg_purpose {
    WG_PURPOSE_WEATHER = 1,
    WG_PURPOSE_DEMOGRAPHY = 2,
    WG_PURPOSE_MISHAPS = 3,
    WG_PURPOSE_PARAMETERS = 4
};

/**
 * The generator's type: gsl_rng_alloc(wg_rng_type()). gsl_rng_get gives 32 bits (0..2^32-1), gsl_rng_uniform
 * 53 bits and never 0, so no sampler of GSL takes the logarithm of nothing. gsl_rng_set fills the state by
 * splitmix64 from the (unsigned long) seed. gsl_rng_state() points at the four uint64_t of the state; what
 * wg_losses() keeps lies behind them.
 */
const gsl_rng_type *wg_rng_type(void);

/**
 * Sets `rng` (made of wg_rng_type()) to the start of the stream (seed, replicate, purpose). Any values are good,
 * 0 included. Two replicates of one seed and purpose never start alike; any other two streams do with chance 2^-64.
 */
void wg_rng_start(gsl_rng *rng, uint64_t seed, uint64_t replicate, enum wg_purpose purpose);

/** 64 random bits of a generator of wg_rng_type(). */
uint64_t wg_rng_bits(gsl_rng *rng);

/** Uniform on the open interval (0, 1), 53 bits; one draw of 64 bits. */
double wg_uniform(gsl_rng *rng);

/** Standard normal deviate by Leva's ratio method: full precision, nothing kept between calls. */
double wg_normal(gsl_rng *rng);

/**
 * Binomial(n, p) for every n from 0 to 2^62: how many of n, each with the chance p. The exact law by transformed
 * rejection (Hoermann 1993, J. Stat. Comput. Simul. 46:101) or, when fewer than 10 are expected, inversion; above
 * 2^53 up to the rounding of doubles. About 40 ns, whatever n is. gsl_ran_binomial is not used because
 * it takes n modulo 2^32 without a word, spreads too widely from n p (1 - p) of about 10^8 (an int
 * overflows) and doubles the chance of 0 where it is smallest (it rounds towards 0).
 * n out of range or p NaN is a mistake of the caller (wg_assert); p is clamped to [0, 1].
 * No random number is consumed when n = 0, p <= 0 or p >= 1.
 */
int64_t wg_binomial(gsl_rng *rng, int64_t n, double p);

/**
 * Of n, how many go when each is kept with the chance exp(log_keep), log_keep <= 0: the same law as
 * wg_binomial(n, 1 - exp(log_keep)), independent of all other draws. Survival is at hand as a logarithm here, and most
 * cohorts of a colony lose hardly anybody in a step: while less than one is expected to go, one cohort after the other is
 * passed by until a waiting distance, kept with the generator, is used up, so that only those who go cost a random number
 * (binomial.c).
 */
int64_t wg_losses(gsl_rng *rng, int64_t n, double log_keep);

/** Poisson(mean), mean >= 0 and < 2^31 (else wg_assert), exact; 0 consumes nothing. */
int64_t wg_poisson(gsl_rng *rng, double mean);

/**
 * Splits n over `k` >= 1 classes with the given weights (finite, >= 0, not all 0 unless n = 0, else wg_assert):
 * the exact multinomial law, by conditional binomials. out[k], not overlapping weight, adds up to n.
 * Work grows as k^2 additions and k draws.
 */
void wg_multinomial(gsl_rng *rng, int64_t n, int k, const double *weight, int64_t *out);

#endif
