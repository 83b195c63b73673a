/* layer: base */
/**
 * exp(x) and exp(x) - 1 without a call, private to the model layers.
 *
 * Inline, without branches and tables, so that a loop over the hours of a day runs two or four at a time; and the same
 * bits on every processor and with every C library, because only additions and multiplications are used. Accurate to
 * 1.5 units in the last place over the whole range (tests/base/test_quick.c compares with the C library).
 *
 *   exp(x) = 2^k exp(r),  k = round(x / ln 2),  r = x - k ln 2, |r| < 0.347,  exp(r) by Taylor's series to r^13
 */
#ifndef WINTERGRUB_BASE_QUICK_H
#define WINTERGRUB_BASE_QUICK_H

#include <stdint.h>
#include <string.h>

/* (exp(r) - 1 - r) / r^2 for |r| < 0.4, to a last place: 1/2 + r/6 + r^2/24 + ... in pairs, so that they overlap. */
static inline double wg_exp_rest(double r) {
    const double r2 = r * r, r4 = r2 * r2;
    const double a = (1.0 / 2 + r * (1.0 / 6)) + r2 * (1.0 / 24 + r * (1.0 / 120));
    const double b = (1.0 / 720 + r * (1.0 / 5040)) + r2 * (1.0 / 40320 + r * (1.0 / 362880));
    const double c = (1.0 / 3628800 + r * (1.0 / 39916800)) + r2 * (1.0 / 479001600 + r * (1.0 / 6227020800));
    return a + r4 * (b + r4 * c);
}

/** exp(x); beyond +-700 as there. x is not NaN. */
static inline double wg_exp(double x) {
    const double shift =
        0x1.8p52; /* added and taken off again: rounds to a whole number, which the low bits then hold */
    const double within = x < -700.0 ? -700.0 : x > 700.0 ? 700.0 : x;
    const double shifted = within * 1.4426950408889634 + shift;
    const double k = shifted - shift;
    /* ln 2 in two parts, the first of so few digits that k times it is exact */
    const double r = (within - k * 6.93147180369123816490e-01) - k * 1.90821492927058770002e-10;
    uint64_t bits;
    memcpy(&bits, &shifted, sizeof bits);
    bits = (bits + 1023) << 52;
    double scale;
    memcpy(&scale, &bits, sizeof scale);
    return scale + scale * (r + r * r * wg_exp_rest(r));
}

/** exp(x) - 1, to a last place or two even where x is small. */
static inline double wg_expm1(double x) {
    return x > -0.4 && x < 0.4 ? x + x * x * wg_exp_rest(x) : wg_exp(x) - 1.0;
}

#endif
