/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Independent random streams, and samplers that stay exact for large counts.
 *
 * The triple (seed, replicate, purpose) identifies a stream; its 256-bit state is
 * a hash of the three, so replicate k can be computed alone, on any thread,
 * in any order. GSL's own generators take only 32 bits of seed, so the
 * generator is ours (xoshiro256++, Blackman & Vigna 2021, ACM Trans. Math.
 * Softw. 47:36; state filled by splitmix64, Steele, Lea & Flood 2014, OOPSLA),
 * registered as a gsl_rng_type: every GSL sampler works with it.
 */
#ifndef WG_BASE_RANDOM_H
#define WG_BASE_RANDOM_H

#include <gsl/gsl_rng.h>
#include <stdint.h>

/** The purpose of a stream. Compared scenarios share WEATHER and MISHAPS. The values are part of the result format. */
enum wg_purpose {
    WG_PURPOSE_WEATHER = 1,
    WG_PURPOSE_DEMOGRAPHY = 2,
    WG_PURPOSE_MISHAPS = 3,
    WG_PURPOSE_PARAMETERS = 4,
    WG_PURPOSE_ANIMALS = 5
};

/**
 * Returns the generator's type, for gsl_rng_alloc(wg_rng_type()). gsl_rng_get gives 32 bits (0..2^32-1),
 * gsl_rng_uniform 53 bits and never 0, so no GSL sampler takes the logarithm of 0. gsl_rng_set fills the state by
 * splitmix64 from the (unsigned long) seed. gsl_rng_state() points at the four uint64_t of the state, followed by
 * the state of wg_losses().
 */
const gsl_rng_type *wg_rng_type(void);

/**
 * Sets `rng` (of wg_rng_type()) to the start of the stream (seed, replicate, purpose). All values are valid, 0 included.
 * Two replicates with the same seed and purpose never start alike; any other two streams do with probability 2^-64.
 */
void wg_rng_start(gsl_rng *rng, uint64_t seed, uint64_t replicate, enum wg_purpose purpose);

/** Returns 64 random bits that depend on the three alone. */
uint64_t wg_random_key(uint64_t seed, uint64_t replicate, enum wg_purpose purpose);

/** Returns 64 random bits from a generator of wg_rng_type(). */
uint64_t wg_rng_bits(gsl_rng *rng);

/** Draws from the uniform distribution on the open interval (0, 1), 53 bits; one draw of 64 bits. */
double wg_uniform(gsl_rng *rng);

/** Draws a standard normal deviate by Leva's ratio method: full precision, no state between calls. */
double wg_normal(gsl_rng *rng);

/**
 * Draws from Binomial(n, p), 0 <= n <= 2^62. Exact, by transformed rejection (Hoermann 1993, J. Stat. Comput.
 * Simul. 46:101) or, for small means, by inversion; above 2^53 up to the rounding of doubles. About 40 ns for any n.
 * gsl_ran_binomial is not used because it silently takes n modulo 2^32, has too large a variance from
 * n p (1 - p) of about 10^8 (an int overflows) and doubles the probability of 0 where it is smallest (it rounds
 * towards 0). n out of range or NaN for p is an error of the caller (wg_assert); p is clamped to [0, 1].
 * No random number is consumed when n = 0, p <= 0 or p >= 1.
 */
int64_t wg_binomial(gsl_rng *rng, int64_t n, double p);

/**
 * Draws the losses among n individuals with survival exp(log_keep), log_keep <= 0: the distribution of
 * wg_binomial(n, 1 - exp(log_keep)), independent of all other draws. Most cohorts lose hardly any individuals in a step,
 * so below one expected loss it uses geometric skipping: the gap to the next loss is stored with the generator and
 * carried across cohorts, and only a loss costs a random number (binomial.c).
 */
int64_t wg_losses(gsl_rng *rng, int64_t n, double log_keep);

/** Draws from Poisson(mean), 0 <= mean < 2^31 (else wg_assert), exactly; a mean of 0 consumes no random number. */
int64_t wg_poisson(gsl_rng *rng, double mean);

/**
 * Draws a multinomial split of n over `k` >= 1 classes with the given weights (finite, >= 0, not all 0 unless n = 0,
 * else wg_assert), exactly, by conditional binomials. out[k] must not overlap weight and adds up to n.
 * Costs k^2 additions and k draws.
 */
void wg_multinomial(gsl_rng *rng, int64_t n, int k, const double *weight, int64_t *out);

#endif
