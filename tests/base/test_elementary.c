/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks the elementary functions against MPFR, which rounds correctly to any number of digits (Fousse et al. 2007, ACM
 * Trans. Math. Softw. 33:13): prints and bounds the largest error in units in the last place over random and hard
 * arguments; checks mathematical identities; and compares the bits: a hash of a million results per function must be the
 * same for every processor, compiler and optimization level.
 */
#include "base/elementary.h"

#include <criterion/criterion.h>
#include <float.h>
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_integration.h>
#include <gsl/gsl_sf_erf.h>
#include <gsl/gsl_sf_gamma.h>
#include <inttypes.h>
#include <math.h>
#include <mpfr.h>
#include <stdio.h>

enum { DIGITS = 128, MANY_DIGITS = 300, ARGUMENTS = 10000, FEW = 1500, HASHED = 1000000 };

static uint64_t next(uint64_t *state) { /* splitmix64: Steele, Lea & Flood 2014 */
    uint64_t x = *state += UINT64_C(0x9e3779b97f4a7c15);
    x = (x ^ (x >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
    x = (x ^ (x >> 27)) * UINT64_C(0x94d049bb133111eb);
    return x ^ (x >> 31);
}

static double uniform(uint64_t *state, double low, double high) {
    return low + (high - low) * ((double)(next(state) >> 11) * 0x1p-53);
}

/* A random double between the two, log-uniform; both have the same sign. */
static double any_double(uint64_t *state, double low, double high) {
    uint64_t a, b, drawn;
    memcpy(&a, &low, sizeof a);
    memcpy(&b, &high, sizeof b);
    if (a > b)
        drawn = b + next(state) % (a - b + 1);
    else
        drawn = a + next(state) % (b - a + 1);
    double x;
    memcpy(&x, &drawn, sizeof x);
    return x;
}

/* Returns the error of `got` in units in the last place of the true value. */
static double units_off(double got, const mpfr_t true_value) {
    mpfr_t off;
    mpfr_init2(off, DIGITS);
    (void)mpfr_sub_d(off, true_value, got, MPFR_RNDN);
    const double rounded = fabs(mpfr_get_d(true_value, MPFR_RNDN));
    const double unit = rounded < DBL_MIN ? 0x1p-1074 : ldexp(1, ilogb(rounded) - 52);
    const double units = fabs(mpfr_get_d(off, MPFR_RNDN)) / unit;
    mpfr_clear(off);
    return units;
}

typedef double function(double x);
typedef int true_function(mpfr_t result, const mpfr_t x, mpfr_rnd_t rounding);

struct worst {
    double units, at;
};

static void look(struct worst *worst, function *f, true_function *true_f, double x) {
    mpfr_t exact;
    mpfr_init2(exact, DIGITS);
    (void)mpfr_set_d(exact, x, MPFR_RNDN);
    (void)true_f(exact, exact, MPFR_RNDN);
    const double units = units_off(f(x), exact);
    if (!(units <= worst->units))
        *worst = (struct worst){units, x};
    mpfr_clear(exact);
}

static void expect_worst(const char *name, struct worst worst, double most) {
    printf("%-22s %.3f units in the last place, at %a\n", name, worst.units, worst.at);
    cr_expect_leq(worst.units, most, "%s: %.3f units in the last place at %a, %.2f allowed", name, worst.units,
                  worst.at, most);
}

/* Samples low..high uniformly, and also log-uniformly if it is on one side of 0. */
static void expect_within_in(int arguments, const char *name, function *f, true_function *true_f, double low,
                             double high, double most) {
    struct worst worst = {0, 0};
    uint64_t state = 1;
    for (int i = 0; i < arguments; i++) {
        look(&worst, f, true_f, uniform(&state, low, high));
        if (low > 0 || high < 0)
            look(&worst, f, true_f, any_double(&state, low, high));
    }
    expect_worst(name, worst, most);
}

static void expect_within(const char *name, function *f, true_function *true_f, double low, double high, double most) {
    expect_within_in(ARGUMENTS, name, f, true_f, low, high, most);
}

static double exp_inline(double x) {
    return wg_exp(x);
}
static double expm1_inline(double x) {
    return wg_expm1(x);
}

Test(elementary, exponential) {
    expect_within("exp, a day's hazards", exp_inline, mpfr_exp, -3, 3, 0.7);
    expect_within("exp", exp_inline, mpfr_exp, -708, 709.78, 0.7);
    expect_within("exp, tiny", exp_inline, mpfr_exp, 1e-20, 1, 0.7);
    cr_expect_eq(wg_exp(0), 1);
    cr_expect_eq(wg_exp(-0.0), 1);
    cr_expect_eq(wg_exp(-708.1), 0);
    cr_expect_eq(wg_exp(-1e300), 0);
    cr_expect_eq(wg_exp(-HUGE_VAL), 0);
    cr_expect_eq(wg_exp(709.79), HUGE_VAL);
    cr_expect_eq(wg_exp(HUGE_VAL), HUGE_VAL);
    cr_expect(isnan(wg_exp((double)NAN)));
}

Test(elementary, exponential_less_one) {
    expect_within("expm1 below", expm1_inline, mpfr_expm1, -40, -1e-300, 0.95);
    expect_within("expm1", expm1_inline, mpfr_expm1, -3, 3, 0.95);
    expect_within("expm1 above", expm1_inline, mpfr_expm1, 1e-300, 709.78, 0.95);
    cr_expect_eq(wg_expm1(0), 0);
    cr_expect_eq(wg_expm1(-HUGE_VAL), -1);
    cr_expect_eq(wg_expm1(-800), -1);
    cr_expect_eq(wg_expm1(HUGE_VAL), HUGE_VAL);
    cr_expect(isnan(wg_expm1((double)NAN)));
}

Test(elementary, logarithm) {
    expect_within("log", wg_log, mpfr_log, DBL_MIN, DBL_MAX, 0.55);
    expect_within("log, smallest", wg_log, mpfr_log, 0x1p-1074, DBL_MIN, 0.7);
    expect_within("log of a chance", wg_log, mpfr_log, 0x1p-53, 1, 0.55);
    expect_within("log near 1", wg_log, mpfr_log, 0.98, 1.02, 0.55);
    struct worst worst = {0, 0};
    for (int i = 1; i < 3000; i++) { /* the next doubles, and the edges of the table's intervals */
        look(&worst, wg_log, mpfr_log, 1 + i * DBL_EPSILON);
        look(&worst, wg_log, mpfr_log, 1 - i * DBL_EPSILON / 2);
        look(&worst, wg_log, mpfr_log, nextafter(i / 256.0, 0));
        look(&worst, wg_log, mpfr_log, i / 256.0);
    }
    expect_worst("log, hard", worst, 0.55);
    cr_expect_eq(wg_log(1), 0);
    cr_expect_eq(wg_log(0), -HUGE_VAL);
    cr_expect_eq(wg_log(HUGE_VAL), HUGE_VAL);
    cr_expect(isnan(wg_log(-1)) && isnan(wg_log(-HUGE_VAL)) && isnan(wg_log((double)NAN)));
}

static double log_inline(double x) {
    return wg_log_of_normal(x);
}

Test(elementary, logarithm_of_normal_numbers) {
    expect_within("inline log", log_inline, mpfr_log, DBL_MIN, DBL_MAX, 2.5);
    expect_within("inline log near 1", log_inline, mpfr_log, 0.98, 1.02, 2.5);
    expect_within("inline log, kelvins", log_inline, mpfr_log, 1e-6, 60, 2.5);
    cr_expect_eq(log_inline(1), 0);
}

Test(elementary, logarithm_of_one_and) {
    expect_within("log1p below", wg_log1p, mpfr_log1p, -1 + 1e-15, -1e-300, 0.7);
    expect_within("log1p above", wg_log1p, mpfr_log1p, 1e-300, 1e300, 0.7);
    expect_within("log1p", wg_log1p, mpfr_log1p, -0.9, 3, 0.7);
    cr_expect_eq(wg_log1p(0), 0);
    cr_expect_eq(wg_log1p(-1), -HUGE_VAL);
    cr_expect_eq(wg_log1p(HUGE_VAL), HUGE_VAL);
    cr_expect(isnan(wg_log1p(-1.5)) && isnan(wg_log1p((double)NAN)));
}

/* x^y for x of one range, y of another. */
static void expect_power_within(const char *name, double x_low, double x_high, double y_low, double y_high) {
    struct worst worst = {0, 0};
    uint64_t state = 2;
    mpfr_t x, y;
    mpfr_inits2(DIGITS, x, y, (mpfr_ptr)NULL);
    for (int i = 0; i < ARGUMENTS; i++) {
        const double base = any_double(&state, x_low, x_high), power = uniform(&state, y_low, y_high);
        if (fabs(power * log(base)) > 707)
            continue;
        (void)mpfr_set_d(x, base, MPFR_RNDN);
        (void)mpfr_set_d(y, power, MPFR_RNDN);
        (void)mpfr_pow(x, x, y, MPFR_RNDN);
        const double units = units_off(wg_pow(base, power), x);
        if (!(units <= worst.units))
            worst = (struct worst){units, base};
    }
    mpfr_clears(x, y, (mpfr_ptr)NULL);
    expect_worst(name, worst, 0.7);
}

Test(elementary, power) {
    expect_power_within("pow, a rate's brake", 1e-6, 60, 0.05, 5);
    expect_power_within("pow, tens of degrees", 1, 4, -8, 8);
    expect_power_within("pow", DBL_MIN, DBL_MAX, -3, 3);
    expect_power_within("pow, near 1", 0.99, 1.01, -50000, 50000);
    expect_power_within("pow, next to 1", 1 - 1e-9, 1 + 1e-9, -5e11, 5e11);
    uint64_t state = 3;
    for (int i = 0; i < ARGUMENTS; i++) {
        const double x = any_double(&state, 1e-150, 1e150);
        cr_expect_eq(wg_pow(x, 1), x);
        cr_expect_eq(wg_pow(x, 0), 1);
        cr_expect_leq(fabs(wg_pow(x, 2) - x * x), DBL_EPSILON * x * x);
    }
    cr_expect_eq(wg_pow(2, 10), 1024);
    cr_expect_eq(wg_pow(2, -1021), 0x1p-1021);
    cr_expect_eq(wg_pow(9, 0.5), 3);
    cr_expect_eq(wg_pow(1, (double)NAN), 1);
    cr_expect_eq(wg_pow((double)NAN, 0), 1);
    cr_expect_eq(wg_pow(0, 0.3), 0);
    cr_expect_eq(wg_pow(0, -0.3), HUGE_VAL);
    cr_expect_eq(wg_pow(HUGE_VAL, 0.3), HUGE_VAL);
    cr_expect_eq(wg_pow(HUGE_VAL, -0.3), 0);
    cr_expect_eq(wg_pow(0.5, HUGE_VAL), 0);
    cr_expect_eq(wg_pow(0.5, -HUGE_VAL), HUGE_VAL);
    cr_expect_eq(wg_pow(1e10, 1e300), HUGE_VAL);
    cr_expect_eq(wg_pow(1e10, -1e300), 0);
    cr_expect_float_eq(wg_pow(0x1p-1070, 0.5), 0x1p-535, 0x1p-586);
    cr_expect(isnan(wg_pow(-1, 2)) && isnan(wg_pow((double)NAN, 1)) && isnan(wg_pow(2, (double)NAN)));
}

Test(elementary, angles) {
    expect_within("sin", wg_sin, mpfr_sin, -7, 7, 0.85);
    expect_within("cos", wg_cos, mpfr_cos, -7, 7, 0.85);
    expect_within("tan", wg_tan, mpfr_tan, -7, 7, 0.95);
    expect_within("sin, many years", wg_sin, mpfr_sin, 1e-300, 1.5e6, 0.85);
    expect_within("cos, many years", wg_cos, mpfr_cos, 1e-300, 1.5e6, 0.85);
    expect_within("tan, many years", wg_tan, mpfr_tan, 1e-300, 1.5e6, 0.95);
    struct worst sine = {0, 0}, cosine = {0, 0}, tangent = {0, 0};
    for (int i = 1; i < 900000;
         i += i < 1000 ? 1 : 1777) { /* the doubles nearest to eighths of a turn: next to 0, next to 1 */
        const double x = i * (3.14159265358979323846 / 4), near[3] = {nextafter(x, 0), x, nextafter(x, 1e9)};
        for (int j = 0; j < 3; j++) {
            look(&sine, wg_sin, mpfr_sin, near[j]);
            look(&cosine, wg_cos, mpfr_cos, near[j]);
            look(&tangent, wg_tan, mpfr_tan, near[j]);
        }
    }
    expect_worst("sin, hard", sine, 0.85);
    expect_worst("cos, hard", cosine, 0.85);
    expect_worst("tan, hard", tangent, 0.95);
    cr_expect(wg_sin(0) == 0 && wg_cos(0) == 1 && wg_tan(0) == 0);
    cr_expect(isnan(wg_sin(HUGE_VAL)) && isnan(wg_cos((double)NAN)) && isnan(wg_tan(1e10)));
}

Test(elementary, arcs) {
    expect_within("asin", wg_asin, mpfr_asin, -1, 1, 0.65);
    expect_within("acos", wg_acos, mpfr_acos, -1, 1, 0.65);
    expect_within("atan", wg_atan, mpfr_atan, -3, 3, 0.55);
    expect_within("asin, small", wg_asin, mpfr_asin, 1e-300, 1, 0.65);
    expect_within("acos, small", wg_acos, mpfr_acos, -1, -1e-300, 0.65);
    expect_within("atan, all", wg_atan, mpfr_atan, 1e-300, 1e300, 0.55);
    struct worst sine = {0, 0}, cosine = {0, 0}, tangent = {0, 0};
    for (int i = 1; i < 3000; i++) {
        look(&sine, wg_asin, mpfr_asin, 1 - i * DBL_EPSILON);
        look(&cosine, wg_acos, mpfr_acos, 1 - i * DBL_EPSILON);
        look(&cosine, wg_acos, mpfr_acos, -1 + i * DBL_EPSILON);
        look(&tangent, wg_atan, mpfr_atan, i / 32.0);
        look(&tangent, wg_atan, mpfr_atan, nextafter(32.0 / i, 0));
    }
    expect_worst("asin, hard", sine, 0.65);
    expect_worst("acos, hard", cosine, 0.65);
    expect_worst("atan, hard", tangent, 0.55);
    const double half_turn = 3.14159265358979323846;
    cr_expect(wg_asin(0) == 0 && wg_asin(1) == half_turn / 2 && wg_asin(-1) == -half_turn / 2);
    cr_expect(wg_acos(1) == 0 && wg_acos(0) == half_turn / 2 && wg_acos(-1) == half_turn);
    cr_expect(wg_atan(0) == 0 && wg_atan(1) == half_turn / 4 && wg_atan(-HUGE_VAL) == -half_turn / 2);
    cr_expect(isnan(wg_asin(1.1)) && isnan(wg_acos(-1.1)) && isnan(wg_atan((double)NAN)) &&
              isnan(wg_acos((double)NAN)));
}

Test(elementary, error_function) {
    expect_within_in(FEW, "erfc", wg_erfc, mpfr_erfc, -6, 6, 1);
    expect_within_in(FEW, "erfc, small", wg_erfc, mpfr_erfc, 1e-300, 26.5, 1);
    expect_within_in(FEW, "erfc, below", wg_erfc, mpfr_erfc, -10, -1e-300, 1);
    cr_expect_eq(wg_erfc(0), 1);
    cr_expect_eq(wg_erfc(27.5), 0);
    cr_expect_eq(wg_erfc(HUGE_VAL), 0);
    cr_expect_eq(wg_erfc(-HUGE_VAL), 2);
    cr_expect(isnan(wg_erfc((double)NAN)));
}

static int log_of_erfc(mpfr_t result, const mpfr_t x, mpfr_rnd_t rounding) {
    (void)mpfr_erfc(result, x, rounding);
    return mpfr_log(result, result, rounding);
}

Test(elementary, logarithm_of_the_error_function) {
    expect_within_in(FEW, "log erfc", wg_log_erfc, log_of_erfc, 1e-15, 200, 2);
    expect_within_in(FEW, "log erfc, middle", wg_log_erfc, log_of_erfc, 0, 4, 2);
    expect_within_in(FEW, "log erfc, below", wg_log_erfc, log_of_erfc, -2, 0, 2);
    for (double x = -4; x < 200; x += 0.37)
        cr_expect_float_eq(wg_log_erfc(x), gsl_sf_log_erfc(x), 1e-12 * fabs(gsl_sf_log_erfc(x)));
}

Test(elementary, normal_law) {
    for (double z = -8; z < 8; z += 0.0137) {
        const double p = wg_normal_cdf(z), q = gsl_cdf_ugaussian_Q(z);
        cr_expect_float_eq(p, gsl_cdf_ugaussian_P(z), 1e-13 * p);
        cr_expect_float_eq(wg_normal_quantile_above(q), gsl_cdf_ugaussian_Qinv(q), 1e-12 + 4 * DBL_EPSILON / (1 - q));
    }
    cr_expect_float_eq(wg_normal_quantile_above(0.025), 1.9599639845400542, 1e-14); /* tables */
    cr_expect_float_eq(wg_normal_quantile_above(0.5), 0, 1e-14);
    cr_expect_float_eq(wg_normal_quantile_above(1e-300), gsl_cdf_ugaussian_Qinv(1e-300), 1e-11);
}

Test(elementary, gamma_function) {
    mpfr_t value, stirling, x_exact, part;
    mpfr_inits2(MANY_DIGITS, value, stirling, x_exact, part, (mpfr_ptr)NULL);
    uint64_t state = 4;
    double worst = 0;
    for (int i = 0; i < ARGUMENTS / 4; i++) {
        const double x = i % 2 ? uniform(&state, 0.01, 30) : any_double(&state, 1e-8, 1e12);
        (void)mpfr_set_d(x_exact, x, MPFR_RNDN);
        (void)mpfr_lngamma(value, x_exact, MPFR_RNDN);
        (void)mpfr_log(part, x_exact, MPFR_RNDN);
        (void)mpfr_sub_d(stirling, x_exact, 0.5, MPFR_RNDN);
        (void)mpfr_mul(stirling, stirling, part, MPFR_RNDN);
        (void)mpfr_sub(stirling, stirling, x_exact, MPFR_RNDN);
        (void)mpfr_const_pi(part, MPFR_RNDN);
        (void)mpfr_mul_ui(part, part, 2, MPFR_RNDN);
        (void)mpfr_log(part, part, MPFR_RNDN);
        (void)mpfr_div_ui(part, part, 2, MPFR_RNDN);
        (void)mpfr_add(stirling, stirling, part, MPFR_RNDN);
        (void)mpfr_sub(value, value, stirling, MPFR_RNDN);
        (void)mpfr_sub_d(value, value, wg_stirling_remainder(x), MPFR_RNDN);
        worst = fmax(worst, fabs(mpfr_get_d(value, MPFR_RNDN)));
    }
    mpfr_clears(value, stirling, x_exact, part, (mpfr_ptr)NULL);
    printf("%-22s %.2g\n", "Stirling's rest", worst);
    cr_expect_lt(worst, 2e-14);
    for (double a = 0.01; a < 1e6; a *= 2.7)
        for (double b = 0.013; b < 1e6; b *= 3.1)
            cr_expect_float_eq(wg_log_beta(a, b), gsl_sf_lnbeta(a, b),
                               1e-13 * fmax(1, fabs(gsl_sf_lnbeta(a, b))) + 1e-13);
}

Test(elementary, quadrature) {
    static const int tabulated[] = {2,  3,  4,  5, 8,
                                    15, 20, 32, 64}; /* GSL tabulates these to 17 digits; it computes others to ten */
    for (size_t order = 0; order < sizeof tabulated / sizeof *tabulated; order++) {
        const int n = tabulated[order];
        double at[64], weight[64];
        wg_gauss_legendre(n, at, weight);
        gsl_integration_glfixed_table *const table = gsl_integration_glfixed_table_alloc((size_t)n);
        for (int i = 0; i < n; i++) {
            double place, share;
            (void)gsl_integration_glfixed_point(0, 1, (size_t)i, &place, &share, table);
            cr_expect_float_eq(at[i], place, 1e-15, "point %d of %d: %.17g, %.17g", i, n, at[i], place);
            cr_expect_float_eq(weight[i], share, 1e-14, "weight %d of %d: %.17g, %.17g", i, n, weight[i], share);
        }
        gsl_integration_glfixed_table_free(table);
    }
}

/* ---- the bits ---- */

static uint64_t hash_of(function *f, double low, double high) {
    uint64_t hash = UINT64_C(0xcbf29ce484222325), state = 5; /* FNV-1a, eight bytes at a time */
    for (int i = 0; i < HASHED; i++) {
        const double y = f(uniform(&state, low, high));
        uint64_t bits;
        memcpy(&bits, &y, sizeof bits);
        hash = (hash ^ bits) * UINT64_C(0x100000001b3);
        hash ^= hash >> 32;
    }
    return hash;
}

static double power_of_it(double x) {
    return wg_pow(x, 7.3 - x);
}

static double root_of_it(double x) {
    return wg_pow(x, 0.37);
}

/* Monotonicity in every double: a survival that falls must not rise in the last digit. */
Test(elementary, never_turns_back) {
    static const struct {
        function *f;
        double low, high;
        int direction;
    } rising[] = {
        {exp_inline, -1, 1, 1}, {exp_inline, -40, 40, 1}, {expm1_inline, -2, 2, 1}, {wg_log, 0, 3, 1},
        {wg_log1p, -1, 3, 1},   {root_of_it, 0, 40, 1},   {wg_sin, -1.57, 1.57, 1}, {wg_cos, 0, 3.14, -1},
        {wg_atan, -3, 3, 1},    {wg_asin, -1, 1, 1},      {wg_acos, -1, 1, -1},     {wg_erfc, -3, 6, -1},
    };
    uint64_t state = 6;
    for (size_t i = 0; i < sizeof rising / sizeof *rising; i++)
        for (int j = 0; j < 200000; j++) {
            const double x = uniform(&state, rising[i].low, rising[i].high), y = nextafter(x, HUGE_VAL);
            const double step = rising[i].f(y) - rising[i].f(x);
            cr_assert_geq(step * rising[i].direction, 0, "function %zu at %a", i, x);
        }
}

Test(elementary, bits_are_the_same_everywhere) {
    static const struct {
        const char *name;
        function *f;
        double low, high;
        uint64_t hash;
    } kept[] = {
        {"exp", exp_inline, -40, 40, 0xcb7673440a2770ad},
        {"expm1", expm1_inline, -5, 5, 0x6cc7ae8f51e6f9dd},
        {"inline log", log_inline, 1e-9, 60, 0x2c67c384568c46da},
        {"log", wg_log, 0, 10, 0xbff2ccccf682e2d1},
        {"log1p", wg_log1p, -1, 5, 0x114c5a80e2ce72c3},
        {"pow", power_of_it, 0, 15, 0xc4ab3bfcf728f66e},
        {"sin", wg_sin, -3000, 3000, 0x25ab7ced19560468},
        {"cos", wg_cos, -3000, 3000, 0xc7ff3f874abe7db1},
        {"tan", wg_tan, -3000, 3000, 0x712ee0824356a026},
        {"asin", wg_asin, -1, 1, 0xba719c575abf75f6},
        {"acos", wg_acos, -1, 1, 0x4e836e7f64d478d3},
        {"atan", wg_atan, -5, 5, 0xe3bc3207d7005333},
        {"erfc", wg_erfc, -6, 27, 0xe4dd00d134e659a9},
        {"log_erfc", wg_log_erfc, -6, 60, 0xd7315a854361e8d9},
        {"stirling", wg_stirling_remainder, 0, 30, 0xb2f6544eb9e0a99f},
    };
    for (size_t i = 0; i < sizeof kept / sizeof *kept; i++) {
        const uint64_t hash = hash_of(kept[i].f, kept[i].low, kept[i].high);
        cr_expect_eq(hash, kept[i].hash, "%s: 0x%016" PRIx64, kept[i].name, hash);
    }
}
