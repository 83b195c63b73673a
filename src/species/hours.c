/*
 * What do some hours together do?
 *
 *   sum over h of r(T_h), of the acute heat hazard, of a cold line, of frost
 *
 * The same curves as rate and death, hour by hour; written for many hours at once, because a colony asks for each stage
 * on every day of every replicate, and the exponentials of single hours took a fifth of its time (measured). The terms
 * of the hours do not wait for each other, so the compiler takes them two or four at a time.
 */
#include "base/quick.h"

#include <wintergrub/clock.h>
#include <wintergrub/death.h>
#include <wintergrub/error.h>

#include <math.h>

enum { MOST_HOURS = 24 };

static double sum_of(const double *term, int n) {
    double even = 0.0, odd = 0.0;
    for (int h = 0; h + 1 < n; h += 2) {
        even += term[h];
        odd += term[h + 1];
    }
    return even + odd + (n % 2 == 1 ? term[n - 1] : 0.0);
}

static double warmest(const double *temp_c, int n) {
    double most = temp_c[0];
    for (int h = 1; h < n; h++)
        most = temp_c[h] > most ? temp_c[h] : most;
    return most;
}

static double coldest(const double *temp_c, int n) {
    double least = temp_c[0];
    for (int h = 1; h < n; h++)
        least = temp_c[h] < least ? temp_c[h] : least;
    return least;
}

double wg_rate_sum(const struct wg_rate *rate, const double *temp_c, int n) {
    wg_assert(n >= 1 && n <= MOST_HOURS);
    const double a = rate->a, t0_c = rate->t0_c, tm_c = rate->tm_c;
    double term[MOST_HOURS];
    if (warmest(temp_c, n) <= t0_c)
        return 0.0;
    if (rate->m != 2.0) {
        for (int h = 0; h < n; h++)
            term[h] = wg_rate_per_day(rate, temp_c[h]);
        return sum_of(term, n);
    }
    for (int h = 0; h < n; h++) {
        const double t = temp_c[h], over = t - t0_c, room = tm_c - t;
        const double full = a * t * (over > 0.0 ? over : 0.0) * sqrt(room > 0.0 ? room : 0.0);
        term[h] = full > 0.0 ? full : 0.0;
    }
    return sum_of(term, n);
}

/* exp(-33) is 5e-15: an hour that is so much too mild adds nothing. Most hours of a year are. */
static const double no_heat_below = -33.0;

double wg_hazard_heat_acute_sum(const struct wg_species *species, const double *temp_c, int n) {
    wg_assert(n >= 1 && n <= MOST_HOURS);
    const double slope = species->heat_acute_slope, from_c = species->heat_acute_c;
    double term[MOST_HOURS];
    if (slope * (warmest(temp_c, n) - from_c) < no_heat_below)
        return 0.0;
    for (int h = 0; h < n; h++)
        term[h] = wg_exp(slope * (temp_c[h] - from_c));
    return species->heat_acute * sum_of(term, n);
}

double wg_hazard_cold_sum(const struct wg_species *species, enum wg_cold_line line, const double *temp_c, int n) {
    wg_assert(n >= 1 && n <= MOST_HOURS);
    double term[MOST_HOURS];
    if (coldest(temp_c, n) >= species->cold_limit_c)
        return 0.0;
    const struct wg_cold cold = wg_cold_of(species, line);
    const double at_limit = wg_exp(-cold.s * (species->cold_limit_c - WG_COLD_REFERENCE_C));
    for (int h = 0; h < n; h++) {
        const double above = wg_exp(-cold.s * (temp_c[h] - WG_COLD_REFERENCE_C)) - at_limit;
        term[h] = above > 0.0 ? above : 0.0;
    }
    return cold.h4 * sum_of(term, n);
}

double wg_hazard_freezing_sum(const struct wg_species *species, enum wg_clock_stage stage, const double *temp_c,
                              int n) {
    double sum = 0.0;
    if (coldest(temp_c, n) < species->freeze_c[stage])
        for (int h = 0; h < n; h++)
            sum += wg_hazard_freezing(species, stage, temp_c[h]);
    return sum;
}
