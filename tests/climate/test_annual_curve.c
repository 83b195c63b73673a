/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * The annual curve: monthly means preserved exactly, harmonics recovered (closed form), standard deviations positive.
 */
#include "climate/climate.h"

#include <criterion/criterion.h>
#include <math.h>

#define PI 3.14159265358979323846

static const int month_days[12] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};

static double mean_of_month(const double day[365], int month) {
    int first = 0;
    double sum = 0.0;
    for (int m = 0; m < month; m++)
        first += month_days[m];
    for (int i = 0; i < month_days[month]; i++)
        sum += day[first + i];
    return sum / month_days[month];
}

/* 1e-9: the promise of the header. */
static void expect_means(const double month[12]) {
    double day[365];
    wg_curve_through_means(day, month);
    for (int m = 0; m < 12; m++)
        cr_expect_float_eq(mean_of_month(day, m), month[m], 1e-9, "month %d: %.12f", m + 1, mean_of_month(day, m));
}

Test(curve, keeps_every_monthly_mean) {
    const double warm[12] = {15, 17, 21, 25, 29, 33, 34, 33.5, 31, 26, 21, 16.5};
    const double siberia[12] = {-42, -37, -22, -5, 6, 15, 19, 15, 6, -9, -29, -41};
    const double wild[12] = {0, 30, -30, 40, -40, 10, 0, 0, 25, -25, 3, 50};
    expect_means(warm);
    expect_means(siberia);
    expect_means(wild);
}

Test(curve, constant_stays_constant) {
    const double month[12] = {7, 7, 7, 7, 7, 7, 7, 7, 7, 7, 7, 7};
    double day[365];
    wg_curve_through_means(day, month);
    for (int d = 0; d < 365; d++)
        cr_assert_float_eq(day[d], 7.0, 1e-12);
}

Test(curve, a_wave_comes_back_from_its_monthly_means) {
    /* The mean of cos 2 pi k t over a twelfth of the year is the value at its middle times sin(x)/x, x = pi k/12. */
    for (int k = 1; k <= 5; k++) {
        const double x = PI * k / 12.0;
        double month[12], day[365];
        for (int m = 0; m < 12; m++)
            month[m] = 10.0 + 8.0 * cos(2.0 * PI * k * ((m + 0.5) / 12.0 - 0.06)) * sin(x) / x;
        wg_curve_through_means(day, month);
        /* days are 1/30 of a month: 2e-3 of the amplitude, more for higher harmonics (x^2/24 k^2/900) */
        for (int d = 0, m = 0; m < 12; m++)
            for (int i = 0; i < month_days[m]; i++, d++)
                cr_assert_float_eq(day[d],
                                   10.0 + 8.0 * cos(2.0 * PI * k * ((m + (i + 0.5) / month_days[m]) / 12.0 - 0.06)),
                                   0.016, "wave %d, day %d: %.4f", k, d, day[d]);
    }
}

Test(curve, is_smooth_over_new_year) {
    const double warm[12] = {15, 17, 21, 25, 29, 33, 34, 33.5, 31, 26, 21, 16.5};
    double day[365];
    wg_curve_through_means(day, warm);
    for (int d = 0; d < 365; d++)
        cr_assert(fabs(day[(d + 1) % 365] - day[d]) < 0.3, "day %d", d);
}

Test(curve, regression) {
    /* From an independent program with the same equations. */
    const double warm[12] = {15, 17, 21, 25, 29, 33, 34, 33.5, 31, 26, 21, 16.5};
    double day[365];
    wg_curve_through_means(day, warm);
    cr_expect_float_eq(day[14], 14.832, 5e-4);
    cr_expect_float_eq(day[195], 34.046, 5e-4);
}

Test(spread, follows_the_months_and_never_vanishes) {
    const double month[12] = {5.5, 5.3, 4.8, 3.8, 2.9, 2.3, 1.9, 2.0, 2.8, 3.8, 4.8, 5.3};
    double day[365];
    wg_curve_of_spread(day, month);
    for (int m = 0; m < 12; m++)
        cr_expect_float_eq(mean_of_month(day, m), month[m], 0.01); /* not promised, but the difference is small */
    const double none[12] = {0}, sudden[12] = {0, 0, 0, 0, 0, 0, 6, 0, 0, 0, 0, 0};
    wg_curve_of_spread(day, none);
    for (int d = 0; d < 365; d++)
        cr_assert_float_eq(day[d], 0.3, 0.0);
    wg_curve_of_spread(day, sudden);
    for (int d = 0; d < 365; d++)
        cr_assert_geq(day[d], 0.3);
}
