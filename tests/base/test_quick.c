/*
 * The inline exponential against the C library's, which is correct to a last place (glibc manual, "Errors in Math
 * Functions"): 1.5 units in the last place are allowed to ours, a half to theirs.
 */
#include "base/quick.h"

#include <criterion/criterion.h>
#include <float.h>
#include <math.h>

static void expect_close(double got, double want, double x, double units) {
    cr_expect_leq(fabs(got - want), units * DBL_EPSILON * fabs(want), "at %.17g: %.17g against %.17g", x, got, want);
}

Test(quick, exponential_is_exact_to_a_last_place) {
    for (double x = -699.7; x < 699.7; x += 0.0137)
        expect_close(wg_exp(x), exp(x), x, 2);
    for (double x = -1e-3; x < 1e-3; x += 1e-7)
        expect_close(wg_exp(x), exp(x), x, 2);
    cr_expect_eq(wg_exp(0), 1);
}

Test(quick, less_one_keeps_its_digits) {
    for (double x = -20; x < 20; x += 0.00137)
        expect_close(wg_expm1(x), expm1(x), x, 4); /* below -0.4 a difference of numbers as large as itself */
    for (double x = 1e-18; x < 1; x *= 1.37) {
        expect_close(wg_expm1(x), expm1(x), x, 4);
        expect_close(wg_expm1(-x), expm1(-x), -x, 4);
    }
    cr_expect_eq(wg_expm1(0), 0);
}

Test(quick, far_out_it_stays_finite) {
    cr_expect(wg_exp(-1e6) > 0 && wg_exp(-1e6) < 1e-303);
    cr_expect(isfinite(wg_exp(1e6)) && wg_exp(1e6) > 1e303);
}
