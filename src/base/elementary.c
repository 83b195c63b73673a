/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Computes logarithms, powers, trigonometric functions and their inverses, the error function and the gamma function.
 *
 *   log      x = 2^k z, c near 1/z from a table, r = z c - 1 exactly, k log 2 - log c + log(1 + r)
 *   power    exp(y log x), the logarithm and the product in two parts
 *   sine     x - n pi/2 with pi/2 in four parts, then a polynomial; the tangent divides the two
 *   arc      atan(t) = atan(x0) + atan((t - x0)/(1 + t x0)), x0 a sixteenth; asin by a polynomial up to 1/2, beyond
 *            pi/2 - 2 asin(sqrt((1 - x)/2))
 *   erfc     exp(-x^2)/(1 + 2 x) times a polynomial in (x - 4)/(x + 4)
 *
 * A double-double number, high + low, has about 100 bits. Exact products split the factors into halves, because not
 * every processor has a fused multiply-add.
 *
 * Sources: Tang 1990, ACM Trans. Math. Softw. 16:378 (logarithm by table); Cody & Waite 1980, Software Manual for the
 * Elementary Functions (argument reduction by parts of pi/2, arcs); Dekker 1971, Numer. Math. 18:224 (double-double numbers);
 * Knuth 1969, The Art of Computer Programming 2, 4.2.2 (rounding error of a sum); Shepherd & Laframboise 1981, Math. Comput.
 * 36:249 (the variable of erfc); Abramowitz & Stegun 1964, 6.1.40 and 7.1.23 (Stirling's and erfc's asymptotic series).
 * scripts/elementary_tables.py computes the coefficients.
 */
#include "base/elementary.h"

#include "base/elementary_tables.h"

#include <float.h>
#include <math.h>

#if defined(__FAST_MATH__)
#error "the parts of a number are lost where the compiler may reorder sums: build without -ffast-math"
#endif
_Static_assert(FLT_EVAL_METHOD == 0, "doubles must be rounded to doubles after every operation");

/* ---- double-double numbers ---- */

struct two {
    double high, low;
};

static inline uint64_t bits_of(double x) {
    uint64_t bits;
    memcpy(&bits, &x, sizeof bits);
    return bits;
}

static inline double double_of(uint64_t bits) {
    double x;
    memcpy(&x, &bits, sizeof x);
    return x;
}

/* The upper 26 bits of x: the rest has 27, and products of such halves are exact. */
static inline double upper_half(double x) {
    return double_of(bits_of(x) & ~UINT64_C(0x7ffffff));
}

/* a + b and its rounding error, |a| >= |b| */
static inline struct two sum_of_larger(double a, double b) {
    const double sum = a + b;
    return (struct two){sum, b - (sum - a)};
}

/* The same for any a and b. */
static inline struct two two_sum(double a, double b) {
    const double sum = a + b, of_b = sum - a;
    return (struct two){sum, (a - (sum - of_b)) + (b - of_b)};
}

static inline struct two product_of(double a, double b) {
    const double product = a * b, a1 = upper_half(a), a2 = a - a1, b1 = upper_half(b), b2 = b - b1;
    return (struct two){product, ((a1 * b1 - product) + a1 * b2 + a2 * b1) + a2 * b2};
}

static inline struct two quotient_of(struct two a, struct two b) {
    const double quotient = a.high / b.high;
    const struct two back = product_of(quotient, b.high);
    return (struct two){quotient, (((a.high - back.high) - back.low) + (a.low - quotient * b.low)) / b.high};
}

/* c[0] + c[1] x + ... + c[n - 1] x^(n - 1) */
static inline double polynomial(const double *c, int n, double x) {
    double sum = c[n - 1];
    for (int i = n - 2; i >= 0; i--)
        sum = sum * x + c[i];
    return sum;
}

#define POLYNOMIAL(c, x) polynomial(c, (int)(sizeof(c) / sizeof *(c)), x)

/* ---- logarithm and power ---- */

/* (log(1 + r) - r + r^2/2) / r^3, in pairs for instruction-level parallelism */
static inline double log_cubic(double r) {
    const double *const c = log_series, r2 = r * r;
    return (c[0] + r * c[1]) + r2 * ((c[2] + r * c[3]) + r2 * (c[4] + r * c[5]));
}

/* For x = 2^k z, 3/4 <= z < 3/2: k log 2 - log c = exact + small, and z c - 1 = r + r_low. */
struct split {
    double exact, small, r, r_low;
};

/* Reduces x + low, |low| at most a unit in the last place of x; x is positive, finite and normal. */
static inline struct split reduce_log_argument(double x, double low) {
    const uint64_t three_quarters = UINT64_C(0x3fe8000000000000), place = bits_of(x) - three_quarters;
    const uint64_t power = place & UINT64_C(0xfff0000000000000); /* k in the exponent bits */
    const double k = (double)((int64_t)power / (INT64_C(1) << 52)), c = log_at[place >> 45 & 127].c;
    const double z = double_of(bits_of(x) - power), z1 = upper_half(z);
    const struct two r = sum_of_larger(z1 * c - 1.0, (z - z1) * c);
    const double unit = low == 0.0 ? 0.0 : low * double_of(bits_of(1.0) - power);
    return (struct split){.exact = k * WG_LN2_HIGH + log_at[place >> 45 & 127].high,
                          .small = k * WG_LN2_LOW + log_at[place >> 45 & 127].low,
                          .r = r.high,
                          .r_low = r.low + unit * c};
}

static inline double log_of_sum(double x, double low) {
    const struct split s = reduce_log_argument(x, low);
    const struct two sum = sum_of_larger(s.exact, s.r);
    return s.exact == 0.0 ? s.r + (s.r_low + s.r * s.r * (s.r * log_cubic(s.r) - 0.5))
                          : sum.high + (sum.low + (s.r_low + s.small + s.r * s.r * (s.r * log_cubic(s.r) - 0.5)));
}

/* Handles arguments that are not positive, finite and normal. */
static double log_special(double x) {
    if (x > 0.0 && x < DBL_MIN)
        return log_of_sum(x * 0x1p54, 0.0) - 54.0 * (WG_LN2_HIGH + WG_LN2_LOW);
    return x == 0.0 ? -HUGE_VAL : x > 0.0 ? x : (double)NAN;
}

double wg_log(double x) {
    return x >= DBL_MIN && x <= DBL_MAX ? log_of_sum(x, 0.0) : log_special(x);
}

double wg_log1p(double x) {
    if (x >= -0x1p-8 && x <= 0x1p-7)
        return x + x * x * (x * log_cubic(x) - 0.5);
    if (!(x > -1.0) || x > 0x1p60)
        return x == -1.0 ? -HUGE_VAL : x < -1.0 ? (double)NAN : wg_log(x);
    const struct two sum = x < 1.0 ? sum_of_larger(1.0, x) : sum_of_larger(x, 1.0);
    return log_of_sum(sum.high, sum.low);
}

static struct two log_in_two(double x) {
    const struct split s = reduce_log_argument(x, 0.0);
    const double r1 = upper_half(s.r), half_square = 0.5 * r1 * r1;
    const double square_rest = 0.5 * (s.r + r1) * (s.r - r1) + s.r * s.r_low;
    const struct two first = s.exact == 0.0 ? (struct two){s.r, 0.0} : sum_of_larger(s.exact, s.r);
    const struct two second = sum_of_larger(first.high, -half_square);
    return sum_of_larger(second.high,
                         second.low + first.low + (s.r_low + s.small - square_rest + s.r * s.r * s.r * log_cubic(s.r)));
}

double wg_pow(double x, double y) {
    if (y == 0.0 || x == 1.0)
        return 1.0;
    if (!(x >= 0.0) || isnan(y))
        return (double)NAN;
    if (x == 0.0 || isinf(x) || isinf(y))
        return (x > 1.0) == (y > 0.0) ? HUGE_VAL : 0.0;
    if (x < DBL_MIN)
        return wg_pow(x * 0x1p54, y) * wg_pow(0x1p-54, y);
    const struct two log_x = log_in_two(x);
    if (fabs(log_x.high * y) > 800.0)
        return (x > 1.0) == (y > 0.0) ? HUGE_VAL : 0.0;
    const struct two exponent = product_of(log_x.high, y);
    return wg_exp_of_sum(exponent.high, exponent.low + log_x.low * y);
}

/* ---- angles ---- */

#define MAX_QUARTER_TURNS 0x1p20

/* x minus the nearest multiple of pi/2, |x| <= pi/4 2^20; *quadrant gets the last two bits of the multiple. */
static inline struct two reduce_quarter_turns(double x, int *quadrant) {
    if (fabs(x) < 0x1.9p-1) { /* pi/4 = 0x1.92p-1 */
        *quadrant = 0;
        return (struct two){x, 0.0};
    }
    const double shift = 0x1.8p52, shifted = x * (2.0 / 3.14159265358979323846) + shift, n = shifted - shift;
    const struct two first = two_sum(x - n * quarter_turn[0], -n * quarter_turn[1]);
    const struct two second = two_sum(first.high, -n * quarter_turn[2]);
    *quadrant = (int)(bits_of(shifted) & 3);
    return sum_of_larger(second.high, (first.low + second.low) - n * quarter_turn[3]);
}

static inline struct two sin_near(struct two x) {
    const double square = x.high * x.high;
    return (struct two){x.high, x.high * square * POLYNOMIAL(sin_series, square) + x.low * (1.0 - 0.5 * square)};
}

static inline struct two cos_near(struct two x) {
    const double square = x.high * x.high, x1 = upper_half(x.high), half_square = 0.5 * x1 * x1;
    const double rest = 0.5 * (x.high + x1) * (x.high - x1) + x.high * x.low * (1.0 - square / 6.0);
    const struct two first = sum_of_larger(1.0, -half_square);
    return (struct two){first.high, first.low + (square * square * POLYNOMIAL(cos_series, square) - rest)};
}

static inline double two_to_double(struct two x) {
    return x.high + x.low;
}

double wg_sin(double x) {
    int quadrant;
    if (!(fabs(x) <= MAX_QUARTER_TURNS * 1.5))
        return (double)NAN;
    const struct two r = reduce_quarter_turns(x, &quadrant);
    const double value = two_to_double(quadrant & 1 ? cos_near(r) : sin_near(r));
    return quadrant & 2 ? -value : value;
}

double wg_cos(double x) {
    int quadrant;
    if (!(fabs(x) <= MAX_QUARTER_TURNS * 1.5))
        return (double)NAN;
    const struct two r = reduce_quarter_turns(x, &quadrant);
    const double value = two_to_double(quadrant & 1 ? sin_near(r) : cos_near(r));
    return quadrant == 1 || quadrant == 2 ? -value : value;
}

double wg_tan(double x) {
    int quadrant;
    if (!(fabs(x) <= MAX_QUARTER_TURNS * 1.5))
        return (double)NAN;
    const struct two r = reduce_quarter_turns(x, &quadrant), s = sin_near(r), c = cos_near(r);
    const struct two sine = sum_of_larger(s.high, s.low), cosine = sum_of_larger(c.high, c.low);
    return quadrant & 1 ? -two_to_double(quotient_of(cosine, sine)) : two_to_double(quotient_of(sine, cosine));
}

double wg_atan(double x) {
    const double size = fabs(x);
    if (!(size <= 0x1p60))
        return isnan(x) ? x : copysign(half_pi[0], x);
    const int flipped = size > 1.0;
    const int sixteenths = (int)((flipped ? 16.0 / size : size * 16.0) + 0.5);
    const double from = sixteenths / 16.0;
    const struct two product = product_of(size, from);
    struct two top, below;
    if (flipped) { /* atan(1/size) */
        top = (struct two){1.0 - product.high, -product.low};
        below = sum_of_larger(size, from);
    } else {
        top = two_sum(size, -from);
        below = sum_of_larger(1.0, product.high);
        below.low += product.low;
    }
    const struct two t = sixteenths == 0 && !flipped ? (struct two){size, 0.0} : quotient_of(top, below);
    const double square = t.high * t.high, rest = t.low + t.high * square * POLYNOMIAL(atan_series, square);
    struct two sum = sixteenths == 0 ? (struct two){t.high, 0.0} : sum_of_larger(atan_at[sixteenths][0], t.high);
    sum.low += atan_at[sixteenths][1] + rest;
    if (flipped) {
        const struct two other = sum_of_larger(half_pi[0], -sum.high);
        sum = (struct two){other.high, other.low + (half_pi[1] - sum.low)};
    }
    return copysign(two_to_double(sum), x);
}

static inline double asin_remainder(double square) {
    return square * POLYNOMIAL(asin_series, square);
}

/* asin(sqrt((1 - size)/2)) for 1/2 <= size <= 1 */
static struct two asin_of_half_way(double size) {
    const double square = 0.5 * (1.0 - size), root = sqrt(square);
    if (square == 0.0)
        return (struct two){0.0, 0.0};
    const struct two back = product_of(root, root);
    return (struct two){root, ((square - back.high) - back.low) / (2.0 * root) + root * asin_remainder(square)};
}

double wg_asin(double x) {
    const double size = fabs(x);
    if (size <= 0.5)
        return x + x * asin_remainder(x * x);
    if (!(size <= 1.0))
        return (double)NAN;
    const struct two half = asin_of_half_way(size), sum = sum_of_larger(half_pi[0], -2.0 * half.high);
    return copysign(sum.high + (sum.low + (half_pi[1] - 2.0 * half.low)), x);
}

double wg_acos(double x) {
    const double size = fabs(x);
    if (size <= 0.5) {
        const struct two sum = sum_of_larger(half_pi[0], -x);
        return sum.high + (sum.low + (half_pi[1] - x * asin_remainder(x * x)));
    }
    if (!(size <= 1.0))
        return (double)NAN;
    const struct two half = asin_of_half_way(size);
    if (x > 0.0)
        return 2.0 * two_to_double(half);
    const struct two sum = sum_of_larger(half_pi[0], -half.high);
    return 2.0 * (sum.high + (sum.low + (half_pi[1] - half.low)));
}

/* ---- the normal distribution ---- */

/* Below tail_from erf is computed by its own series; beyond tail_end erfc underflows. */
static const double tail_from = 0.625, tail_end = 27.0;

/* erf(x) - x, |x| <= 5/8 */
static double erf_remainder(double x) {
    const double square = x * x;
    return x * (erf_slope[0] + square * POLYNOMIAL(erf_series, square));
}

/* exp(x^2) erfc(x), x >= tail_from */
static struct two scaled_erfc(double x) {
    if (x > tail_end) { /* 1/(x sqrt(pi)) (1 - 1/(2 x^2) + 3/(2 x^2)^2 - 15/(2 x^2)^3 ...) */
        const double u = 0.5 / (x * x);
        const double value = (1.0 - u * (1.0 - u * (3.0 - u * (15.0 - u * (105.0 - u * 945.0))))) / x;
        return (struct two){0.56418958354775628695 * value, 0.0};
    }
    const double t = (x - 4.0) / (x + 4.0);
    struct two top = sum_of_larger(fall_top[0], t * POLYNOMIAL(fall_series, t));
    top.low += fall_top[1];
    return quotient_of(top, two_sum(1.0, 2.0 * x));
}

static double erfc_in_tail(double x) {
    if (x > tail_end)
        return 0.0;
    const struct two square = product_of(x, x), scaled = scaled_erfc(x);
    if (square.high > 708.0)
        return 0.0;
    const struct wg_exp_parts fall = wg_exp_parts(-square.high, -square.low);
    const struct two product = product_of(fall.top, scaled.high);
    const double rest = product.low + fall.top * scaled.low + fall.rest * scaled.high;
    return 2.0 * (product.high + rest) * fall.scale;
}

double wg_erfc(double x) {
    if (x >= tail_from)
        return erfc_in_tail(x);
    if (x <= -tail_from)
        return 2.0 - erfc_in_tail(-x);
    const struct two sum = sum_of_larger(1.0, -x);
    return sum.high + (sum.low - erf_remainder(x));
}

double wg_log_erfc(double x) {
    if (fabs(x) < 0x1p-9)
        return wg_log1p(-(x + erf_remainder(x)));
    if (x <= -tail_from)
        return wg_log(wg_erfc(x));
    if (x < tail_from) {
        const struct two sum = sum_of_larger(1.0, -x), whole = sum_of_larger(sum.high, sum.low - erf_remainder(x));
        return log_of_sum(whole.high, whole.low);
    }
    if (!(x < 0x1p500))
        return isnan(x) ? x : -HUGE_VAL;
    const struct two square = product_of(x, x), scaled = scaled_erfc(x);
    return -square.high + (log_of_sum(scaled.high, scaled.low) - square.low);
}

double wg_normal_cdf(double z) {
    return 0.5 * wg_erfc(-z * 0.70710678118654752440);
}

/*
 * The log probability is concave in z, so Newton's steps from the right never pass the root. The bound exp(-z^2/2) on
 * the probability gives the start.
 */
double wg_normal_quantile_above(double q) {
    if (q > 0.5)
        return -wg_normal_quantile_above(1.0 - q);
    const double root_half = 0.70710678118654752440, log_2 = WG_LN2_HIGH + WG_LN2_LOW, log_q = wg_log(q);
    double z = sqrt(-2.0 * log_q), step;
    do {
        const double log_tail = wg_log_erfc(z * root_half) - log_2;
        const double log_slope = -0.5 * z * z - 0.91893853320467274178 - log_tail; /* density / probability */
        step = (log_q - log_tail) * wg_exp(-log_slope);
        z -= step;
    } while (step > 1e-15 * (1.0 + z));
    return z;
}

/* ---- the gamma function ---- */

/* log(2 pi)/2 */
static const double half_log_2_pi = 0.91893853320467274178;
/* From here on seven terms of Stirling's series suffice. */
static const double series_from = 12.0;

double wg_stirling_remainder(double x) {
    if (x < series_from) { /* by Gamma(x + 1) = x Gamma(x) */
        double product = 1.0, up = x;
        for (; up < series_from; up += 1.0)
            product *= up;
        return wg_stirling_remainder(up) + (up - 0.5) * wg_log(up) - (x - 0.5) * wg_log(x) - (up - x) - wg_log(product);
    }
    const double u = 1.0 / x, u2 = u * u;
    return u * (1.0 / 12 -
                u2 * (1.0 / 360 -
                      u2 * (1.0 / 1260 - u2 * (1.0 / 1680 - u2 * (1.0 / 1188 - u2 * (691.0 / 360360 - u2 / 156))))));
}

/* Stirling's formula for all three, grouped so that no large terms cancel. */
double wg_log_beta(double a, double b) {
    const double less = a < b ? a : b, more = a < b ? b : a, both = less + more;
    return (less - 0.5) * wg_log(less / both) + more * wg_log1p(-less / both) - 0.5 * wg_log(more) + half_log_2_pi +
           wg_stirling_remainder(less) + wg_stirling_remainder(more) - wg_stirling_remainder(both);
}

/* ---- quadrature ---- */

/* Newton's method from Abramowitz & Stegun 1964, 22.16.6; the polynomials by their recurrence, 22.7.10. */
void wg_gauss_legendre(int n, double *at, double *weight) {
    for (int i = 0; i < n; i++) {
        double x = wg_cos(3.14159265358979323846 * (i + 0.75) / (n + 0.5)), slope = 1.0, off = 1.0;
        for (int iteration = 0; iteration < 20 && fabs(off) > 1e-16; iteration++) {
            double before = 1.0, value = x;
            for (int k = 2; k <= n; k++) {
                const double next = ((2 * k - 1) * x * value - (k - 1) * before) / k;
                before = value;
                value = next;
            }
            slope = n * (x * value - before) / (x * x - 1.0);
            off = value / slope;
            x -= off;
        }
        at[n - 1 - i] = 0.5 * (1.0 + x);
        weight[n - 1 - i] = 1.0 / ((1.0 - x * x) * slope * slope);
    }
}
