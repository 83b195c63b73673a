/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The inline generator, private to base: otherwise samplers that need one or two numbers would spend as much time
 * on the call as on the draw (measured: a fifth of a binomial draw).
 */
#ifndef WG_BASE_XOSHIRO_H
#define WG_BASE_XOSHIRO_H

#include "base/error.h"

#include <gsl/gsl_rng.h>
#include <stdint.h>

struct xoshiro {
    uint64_t word[4];
    double gap; /* wg_losses(): distance to the next loss; below 0: not drawn yet */
};

static inline uint64_t xoshiro_rotate(uint64_t x, int bits) {
    return (x << bits) | (x >> (64 - bits));
}

static inline uint64_t xoshiro_bits(struct xoshiro *state) {
    uint64_t *const s = state->word;
    const uint64_t result = xoshiro_rotate(s[0] + s[3], 23) + s[0];
    const uint64_t shifted = s[1] << 17;
    s[2] ^= s[0];
    s[3] ^= s[1];
    s[1] ^= s[2];
    s[0] ^= s[3];
    s[2] ^= shifted;
    s[3] = xoshiro_rotate(s[3], 45);
    return result;
}

/* Redraws zero (probability 2^-53), because samplers take logarithms of this. */
static inline double xoshiro_uniform(struct xoshiro *state) {
    uint64_t bits;
    do
        bits = xoshiro_bits(state) >> 11;
    while (bits == 0);
    return (double)bits * 0x1p-53;
}

/** The type that wg_rng_type() returns (random.c). */
extern const gsl_rng_type wg_xoshiro_type;

static inline struct xoshiro *xoshiro_of(const gsl_rng *rng) {
    wg_assert(rng->type == &wg_xoshiro_type);
    return rng->state;
}

#endif
