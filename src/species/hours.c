/*
 * What do some hours together do?
 *
 *   sum over h of r(T_h), of the acute heat hazard, of a cold line, of frost
 *
 * The same curves as rate and death, hour by hour; written for many hours at once, because a colony asks for each stage
 * on every day of every replicate, and the exponentials of single hours took a fifth of its time (measured). The terms
 * of the hours do not wait for each other, so the compiler takes them two or four at a time: gcc does with -O3,
 * -fno-trapping-math (else the bounds of wg_exp() are branches) and -fno-math-errno (else sqrt() may be a call), with
 * which everything is compiled.
 */
#include "base/clamp.h"
#include "base/error.h"
#include "base/quick.h"
#include "species/clock.h"
#include "species/death.h"

#include <math.h>

/*
 * Four hours at a time where the processor can, which is asked when the program starts: 2.18 ms, not 2.26. The same
 * bits, because no multiplication joins an addition (-ffp-contract=off) and the order of sums is written down. Not with
 * sanitizers, which are not ready when it is asked, nor in builds for coverage.
 */
#if defined(WIDEST) /* by a test that wants the narrow ones */
#elif defined(__GNUC__) && !defined(__clang__) && defined(__x86_64__) && defined(__linux__) && defined(__GLIBC__) &&   \
    defined(__OPTIMIZE__) && !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__)
#define WIDEST __attribute__((target_clones("avx2", "default")))
#else
#define WIDEST
#endif

/*
 * Eight sums side by side, of every eighth hour, so that no addition waits for the one before; the order is written
 * down and so the same for every width of the processor's registers.
 */
enum { MAX_HOURS = 24, SIDE_BY_SIDE = 8 };

static inline double sum_together(const double sum[SIDE_BY_SIDE]) {
    return ((sum[0] + sum[4]) + (sum[1] + sum[5])) + ((sum[2] + sum[6]) + (sum[3] + sum[7]));
}

static inline double sum_hours(double term[MAX_HOURS], int n) {
    double sum[SIDE_BY_SIDE] = {0};
    for (; n % SIDE_BY_SIDE != 0; n++)
        term[n] = 0.0;
    for (int h = 0; h < n; h += SIDE_BY_SIDE)
        for (int i = 0; i < SIDE_BY_SIDE; i++)
            sum[i] += term[h + i];
    return sum_together(sum);
}

static struct wg_hours summarise_hours(const double *temp_c, int n) {
    double least = temp_c[0], most = temp_c[0], sum = temp_c[0];
    for (int h = 1; h < n; h++) {
        least = wg_lesser(temp_c[h], least);
        most = wg_greater(temp_c[h], most);
        sum += temp_c[h];
    }
    return (struct wg_hours){.temp_c = temp_c, .n = n, .coldest_c = least, .warmest_c = most, .sum_c = sum};
}

/* Each home is looked through once, not once for each stage; a whole day eight hours side by side, as the sums are. */
WIDEST struct wg_hours wg_hours_of(const double *temp_c, int n) {
    wg_assert(n >= 1 && n <= MAX_HOURS);
    if (n < MAX_HOURS)
        return summarise_hours(temp_c, n);
    double least[SIDE_BY_SIDE], most[SIDE_BY_SIDE], sum[SIDE_BY_SIDE];
    for (int i = 0; i < SIDE_BY_SIDE; i++) {
        const double a = temp_c[i], b = temp_c[i + SIDE_BY_SIDE], c = temp_c[i + 2 * SIDE_BY_SIDE];
        least[i] = wg_lesser(wg_lesser(a, b), c);
        most[i] = wg_greater(wg_greater(a, b), c);
        sum[i] = a + b + c;
    }
    for (int i = 0; i < SIDE_BY_SIDE / 2; i++) {
        least[i] = wg_lesser(least[i], least[i + SIDE_BY_SIDE / 2]);
        most[i] = wg_greater(most[i], most[i + SIDE_BY_SIDE / 2]);
    }
    return (struct wg_hours){.temp_c = temp_c,
                             .n = n,
                             .coldest_c = wg_lesser(wg_lesser(least[0], least[1]), wg_lesser(least[2], least[3])),
                             .warmest_c = wg_greater(wg_greater(most[0], most[1]), wg_greater(most[2], most[3])),
                             .sum_c = sum_together(sum)};
}

WIDEST double wg_rate_sum(const struct wg_rate *rate, const struct wg_hours *hours) {
    const double a = rate->a, t0_c = rate->t0_c, tm_c = rate->tm_c;
    double term[MAX_HOURS];
    if (hours->warmest_c <= t0_c)
        return 0.0;
    if (rate->m != 2.0) {
        for (int h = 0; h < hours->n; h++)
            term[h] = wg_rate_per_day(rate, hours->temp_c[h]);
        return sum_hours(term, hours->n);
    }
    for (int h = 0; h < hours->n; h++) {
        const double t = hours->temp_c[h], over = t - t0_c, capacity = tm_c - t;
        const double full = a * t * (over > 0.0 ? over : 0.0) * sqrt(capacity > 0.0 ? capacity : 0.0);
        term[h] = full > 0.0 ? full : 0.0;
    }
    return sum_hours(term, hours->n);
}

/* exp(-33) is 5e-15: an hour that is so much too mild adds nothing. Most hours of a year are. */
static const double no_heat_below = -33.0;

WIDEST double wg_hazard_heat_acute_sum(const struct wg_species *species, const struct wg_hours *hours) {
    const double slope = species->heat_acute_slope, from_c = species->heat_acute_c;
    double term[MAX_HOURS];
    if (slope * (hours->warmest_c - from_c) < no_heat_below)
        return 0.0;
    for (int h = 0; h < hours->n; h++)
        term[h] = wg_exp(slope * (hours->temp_c[h] - from_c));
    return species->heat_acute * sum_hours(term, hours->n);
}

static const double no_lasting_heat_below = -7.0;

WIDEST double wg_hazard_heat_chronic_sum(const struct wg_species *species, const double *mean24_c, int n) {
    const double slope = species->heat_chronic_slope, from_c = species->heat_chronic_c;
    double term[MAX_HOURS], warmest_c = mean24_c[0];
    for (int h = 1; h < n; h++)
        warmest_c = wg_greater(mean24_c[h], warmest_c);
    if (slope * (warmest_c - from_c) < no_lasting_heat_below)
        return species->heat_chronic * (n * wg_exp(slope * (mean24_c[n - 1] - from_c)));
    for (int h = 0; h < n; h++)
        term[h] = wg_exp(slope * (mean24_c[h] - from_c));
    return species->heat_chronic * sum_hours(term, n);
}

WIDEST double wg_hazard_cold_sum(const struct wg_species *species, enum wg_cold_curve line,
                                 const struct wg_hours *hours) {
    double term[MAX_HOURS];
    if (hours->coldest_c >= species->cold_limit_c)
        return 0.0;
    const struct wg_cold cold = wg_cold_of(species, line);
    const double at_limit = wg_exp(-cold.s * (species->cold_limit_c - WG_COLD_REFERENCE_C));
    for (int h = 0; h < hours->n; h++) {
        const double above = wg_exp(-cold.s * (hours->temp_c[h] - WG_COLD_REFERENCE_C)) - at_limit;
        term[h] = above > 0.0 ? above : 0.0;
    }
    return cold.h4 * sum_hours(term, hours->n);
}

double wg_hazard_freezing_sum(const struct wg_species *species, enum wg_clock_stage stage,
                              const struct wg_hours *hours) {
    double sum = 0.0;
    if (hours->coldest_c < species->freeze_c[stage])
        for (int h = 0; h < hours->n; h++)
            sum += wg_hazard_freezing(species, stage, hours->temp_c[h]);
    return sum;
}
