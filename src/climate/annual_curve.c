/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * What is the mean temperature of each day of the year, given twelve monthly means?
 *
 *   m(t) = mean + sum over k = 1..6 of a_k cos 2 pi k t + b_k sin 2 pi k t,  t in years
 *
 * with the coefficients of the twelve means divided by sin(pi k/12)/(pi k/12), the attenuation by
 * averaging over a month: Epstein 1991, J. Climate 4:365 (formula MEMORY, derived again). Every calendar
 * month counts as a twelfth of the year. Because real months are whole days, the means are off by about
 * 0.0002 K; the residual is added to the target and the fit repeated until it vanishes.
 */
#include "base/elementary.h"
#include "climate/climate.h"

#include <math.h>

#define PI 3.14159265358979323846

enum { HARMONICS = 6 };

struct harmonics {
    double mean, cosine[HARMONICS], sine[HARMONICS];
};

static const int month_days[12] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};

static struct harmonics analyse(const double month[12]) {
    struct harmonics found = {0};
    for (int j = 0; j < 12; j++)
        found.mean += month[j] / 12.0;
    for (int k = 1; k <= HARMONICS; k++) {
        double a = 0.0, b = 0.0;
        for (int j = 0; j < 12; j++) {
            a += month[j] * wg_cos(2.0 * PI * k * (j + 0.5) / 12.0) / 6.0;
            b += month[j] * wg_sin(2.0 * PI * k * (j + 0.5) / 12.0) / 6.0;
        }
        const double share = k == HARMONICS ? 0.5 : 1.0; /* the Nyquist harmonic of twelve values counts twice */
        const double gain = share * (PI * k / 12.0) / wg_sin(PI * k / 12.0);
        found.cosine[k - 1] = a * gain;
        found.sine[k - 1] = b * gain;
    }
    return found;
}

/* Higher harmonics follow from the first by the addition theorem: a sixth of the calls, which took most of the time. */
static double harmonics_at(const struct harmonics *harmonics, double years) {
    const double cosine = wg_cos(2.0 * PI * years), sine = wg_sin(2.0 * PI * years);
    double sum = harmonics->mean, c = 1.0, s = 0.0;
    for (int k = 0; k < HARMONICS; k++) {
        const double next_c = c * cosine - s * sine;
        s = s * cosine + c * sine;
        c = next_c;
        sum += harmonics->cosine[k] * c + harmonics->sine[k] * s;
    }
    return sum;
}

static void interpolate_days(double day[365], const double month[12]) {
    const struct harmonics harmonics = analyse(month);
    int d = 0;
    for (int m = 0; m < 12; m++)
        for (int i = 0; i < month_days[m]; i++)
            day[d++] = harmonics_at(&harmonics, (m + (i + 0.5) / month_days[m]) / 12.0);
}

/* Fills the residuals of the monthly means; returns the largest magnitude. */
static double find_residuals(double residual[12], const double day[365], const double month[12]) {
    double max = 0.0;
    int d = 0;
    for (int m = 0; m < 12; m++) {
        double sum = 0.0;
        for (int i = 0; i < month_days[m]; i++)
            sum += day[d++];
        residual[m] = month[m] - sum / month_days[m];
        max = fmax(max, fabs(residual[m]));
    }
    return max;
}

/* Each pass reduces the residual about a thousandfold: a few suffice, twenty is the safety limit. */
void wg_curve_through_means(double day[365], const double month[12]) {
    double target[12], residual[12];
    for (int m = 0; m < 12; m++)
        target[m] = month[m];
    interpolate_days(day, target);
    for (int pass = 0; pass < 20 && find_residuals(residual, day, month) > 1e-10; pass++) {
        for (int m = 0; m < 12; m++)
            target[m] += residual[m];
        interpolate_days(day, target);
    }
}

void wg_curve_of_spread(double day[365], const double month[12]) {
    const double min_k = 0.3; /* the harmonics may undershoot what any site has: judgement */
    interpolate_days(day, month);
    for (int d = 0; d < 365; d++)
        day[d] = fmax(min_k, day[d]);
}
