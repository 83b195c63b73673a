/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * How long is the day, how much radiation does it bring, and how much heat is lost to the sky?
 *
 * Equations and sources: climate/sun.h, one line each.
 */
#include "climate/sun.h"

#include "base/clamp.h"
#include "base/elementary.h"

#include <math.h>

#define PI 3.14159265358979323846
#define MJ_DAY_PER_W 0.0864 /* 86,400 s */

static double radians(double degrees) {
    return degrees * (PI / 180.0);
}

double wg_day_length_at_h(double latitude_deg, int day_of_year, double p) {
    const double revolution = 0.2163108 + 2.0 * wg_atan(0.9671396 * wg_tan(0.00860 * (day_of_year - 186)));
    const double declination = wg_asin(0.39795 * wg_cos(revolution)), latitude = radians(latitude_deg);
    const double x =
        (wg_sin(radians(p)) + wg_sin(latitude) * wg_sin(declination)) / (wg_cos(latitude) * wg_cos(declination));
    return 24.0 - 24.0 / PI * wg_acos(wg_clamp(x, -1.0, 1.0));
}

double wg_day_length_h(double latitude_deg, int day_of_year) {
    return wg_day_length_at_h(latitude_deg, day_of_year, 0.8333);
}

double wg_sun_distance(int day_of_year) {
    return 1.0 + 0.033 * wg_cos(2.0 * PI * day_of_year / 365.0);
}

double wg_sun_declination(int day_of_year) {
    return 0.409 * wg_sin(2.0 * PI * day_of_year / 365.0 - 1.39);
}

double wg_sun_hour_angle(double latitude_deg, int day_of_year) {
    return wg_acos(wg_clamp(-wg_tan(radians(latitude_deg)) * wg_tan(wg_sun_declination(day_of_year)), -1.0, 1.0));
}

double wg_sun_daylight_h(double latitude_deg, int day_of_year) {
    return 24.0 / PI * wg_sun_hour_angle(latitude_deg, day_of_year);
}

/* Solar altitude over one day: its sine at hour angle w is latitude declination + amplitude cos(w). */
struct day {
    double latitude, declination; /* sines */
    double amplitude;             /* product of the cosines */
};

static struct day day_at(double latitude_deg, int day_of_year) {
    const double latitude = radians(latitude_deg), declination = wg_sun_declination(day_of_year);
    return (struct day){wg_sin(latitude), wg_sin(declination), wg_cos(latitude) * wg_cos(declination)};
}

/* Horizontal radiation over an interval of hour angle, whose sines differ by sine_change, without the constants. */
static double radiation_between(const struct day *day, double angle, double sine_change) {
    return angle * day->latitude * day->declination + day->amplitude * sine_change;
}

double wg_sun_above(double latitude_deg, int day_of_year) {
    const double solar_constant = 0.0820; /* MJ m-2 min-1: FAO-56 */
    const struct day day = day_at(latitude_deg, day_of_year);
    const double set = wg_sun_hour_angle(latitude_deg, day_of_year),
                 half_day = radiation_between(&day, set, wg_sin(set));
    return 24.0 * 60.0 / PI * solar_constant * wg_sun_distance(day_of_year) * half_day;
}

void wg_sun_shares(double latitude_deg, int day_of_year, double share[24]) {
    const struct day day = day_at(latitude_deg, day_of_year);
    const double set = wg_sun_hour_angle(latitude_deg, day_of_year), sin_set = wg_sin(set);
    double sum = 0.0, from = -set, sin_from = -sin_set;
    for (int h = 0; h < 24; h++) {
        const double end = PI / 12.0 * (h - 11), to = wg_clamp(end, -set, set);
        /* One sine an hour, none at night: with six an hour, a year took 0.4 ms of every start. */
        const double sin_to = end >= set ? sin_set : end <= -set ? -sin_set : wg_sin(end);
        share[h] = radiation_between(&day, to - from, sin_to - sin_from);
        sum += share[h];
        from = to;
        sin_from = sin_to;
    }
    for (int h = 0; h < 24; h++)
        share[h] = sum > 0.0 ? share[h] / sum : 0.0;
}

double wg_sun_clear(double above, double elevation_m) {
    return (0.75 + 2e-5 * elevation_m) * above;
}

double wg_sun_from_range(double high_c, double low_c, double above, double coefficient, double elevation_m) {
    return fmin(coefficient * sqrt(fmax(0.0, high_c - low_c)) * above, wg_sun_clear(above, elevation_m));
}

double wg_vapour_saturated_kpa(double temp_c) {
    return 0.6108 * wg_exp(17.27 * temp_c / (temp_c + 237.3));
}

static double to_the_fourth(double x) {
    return x * x * x * x;
}

double wg_sky_loss_w_m2(double high_c, double low_c, double vapour_kpa, double radiation, double clear) {
    const double ratio = clear > 0.0 ? wg_clamp(radiation / clear, 0.3, 1.0) : 0.7; /* judgement: no sun */
    const double black = 4.903e-9 * (to_the_fourth(high_c + 273.16) + to_the_fourth(low_c + 273.16)) / 2.0;
    return black * (0.34 - 0.14 * sqrt(vapour_kpa)) * (1.35 * ratio - 0.35) / MJ_DAY_PER_W;
}
