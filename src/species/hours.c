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

/*
 * Eight sums side by side, of every eighth hour, so that no addition waits for the one before; the order is written
 * down and so the same for every width of the processor's registers.
 */
enum { MOST_HOURS = 24, SIDE_BY_SIDE = 8 };

static double sum_of(double term[MOST_HOURS], int n) {
    double sum[SIDE_BY_SIDE] = {0};
    for (; n % SIDE_BY_SIDE != 0; n++)
        term[n] = 0.0;
    for (int h = 0; h < n; h += SIDE_BY_SIDE)
        for (int i = 0; i < SIDE_BY_SIDE; i++)
            sum[i] += term[h + i];
    return ((sum[0] + sum[4]) + (sum[1] + sum[5])) + ((sum[2] + sum[6]) + (sum[3] + sum[7]));
}

/* Which hour is the coldest takes as long to find as a sum: each home is looked through once, not once for each stage. */
struct wg_hours wg_hours_of(const double *temp_c, int n) {
    wg_assert(n >= 1 && n <= MOST_HOURS);
    double least = temp_c[0], most = temp_c[0];
    for (int h = 1; h < n; h++) {
        least = temp_c[h] < least ? temp_c[h] : least;
        most = temp_c[h] > most ? temp_c[h] : most;
    }
    return (struct wg_hours){.temp_c = temp_c, .n = n, .coldest_c = least, .warmest_c = most};
}

double wg_rate_sum(const struct wg_rate *rate, const struct wg_hours *hours) {
    const double a = rate->a, t0_c = rate->t0_c, tm_c = rate->tm_c;
    double term[MOST_HOURS];
    if (hours->warmest_c <= t0_c)
        return 0.0;
    if (rate->m != 2.0) {
        for (int h = 0; h < hours->n; h++)
            term[h] = wg_rate_per_day(rate, hours->temp_c[h]);
        return sum_of(term, hours->n);
    }
    for (int h = 0; h < hours->n; h++) {
        const double t = hours->temp_c[h], over = t - t0_c, room = tm_c - t;
        const double full = a * t * (over > 0.0 ? over : 0.0) * sqrt(room > 0.0 ? room : 0.0);
        term[h] = full > 0.0 ? full : 0.0;
    }
    return sum_of(term, hours->n);
}

/* exp(-33) is 5e-15: an hour that is so much too mild adds nothing. Most hours of a year are. */
static const double no_heat_below = -33.0;

double wg_hazard_heat_acute_sum(const struct wg_species *species, const struct wg_hours *hours) {
    const double slope = species->heat_acute_slope, from_c = species->heat_acute_c;
    double term[MOST_HOURS];
    if (slope * (hours->warmest_c - from_c) < no_heat_below)
        return 0.0;
    for (int h = 0; h < hours->n; h++)
        term[h] = wg_exp(slope * (hours->temp_c[h] - from_c));
    return species->heat_acute * sum_of(term, hours->n);
}

double wg_hazard_cold_sum(const struct wg_species *species, enum wg_cold_line line, const struct wg_hours *hours) {
    double term[MOST_HOURS];
    if (hours->coldest_c >= species->cold_limit_c)
        return 0.0;
    const struct wg_cold cold = wg_cold_of(species, line);
    const double at_limit = wg_exp(-cold.s * (species->cold_limit_c - WG_COLD_REFERENCE_C));
    for (int h = 0; h < hours->n; h++) {
        const double above = wg_exp(-cold.s * (hours->temp_c[h] - WG_COLD_REFERENCE_C)) - at_limit;
        term[h] = above > 0.0 ? above : 0.0;
    }
    return cold.h4 * sum_of(term, hours->n);
}

double wg_hazard_freezing_sum(const struct wg_species *species, enum wg_clock_stage stage,
                              const struct wg_hours *hours) {
    double sum = 0.0;
    if (hours->coldest_c < species->freeze_c[stage])
        for (int h = 0; h < hours->n; h++)
            sum += wg_hazard_freezing(species, stage, hours->temp_c[h]);
    return sum;
}
