/*
 * Computes confidence intervals of paired differences.
 *
 *   mean    mean - sd g(q/sqrt n) .. mean - sd g(-q/sqrt n),  g(y) = (cbrt(1 + c (y - c/(6 n))) - 1) 3/c,  c = skewness,
 *           q Student's quantile for n - 1 degrees of freedom; g(y) = y for c = 0
 *   share   the d at which |only_second - only_first - n d| = z sqrt(n (2 p + d (1 - d))),  p the most likely share of
 *           `only_first` given d
 *
 * Means: Hall 1992, J. R. Stat. Soc. B 54:221 (formula MEMORY; its coverage is tested on lognormal values of skewness 6).
 * Shares: Tango 1998, Stat. Med. 17:891 (formula MEMORY; p is tested against a numerical maximum of the likelihood).
 */
#include "analysis/intervals.h"

#include "base/elementary.h"
#include "base/error.h"

#include <gsl/gsl_cdf.h>
#include <math.h>

#define HALVINGS 60

/* ---- means ---- */

static double cube_root(double x) {
    return x == 0 ? 0 : copysign(wg_exp(wg_log(fabs(x)) / 3), x);
}

/* Returns the inverse of Hall's transformation, in standard deviations. */
static double hall_inverse(double y, double skewness, double n) {
    if (fabs(skewness) < 1e-6)
        return y;
    return (cube_root(1 + skewness * (y - skewness / (6 * n))) - 1) * 3 / skewness;
}

struct wg_interval wg_mean_interval(double mean, double sd, double skewness, int64_t n, double confidence) {
    if (n < 2 || !(sd > 0) || !isfinite(skewness))
        return (struct wg_interval){(double)NAN, (double)NAN};
    const double count = (double)n, q = gsl_cdf_tdist_Pinv((1 + confidence) / 2, count - 1) / sqrt(count);
    return (struct wg_interval){mean - sd * hall_inverse(q, skewness, count),
                                mean - sd * hall_inverse(-q, skewness, count)};
}

/* ---- shares ---- */

struct paired_shares {
    double only_first, only_second, n;
};

/* Returns the most likely share of `only_first` if the difference of the shares is d: root of a quadratic. */
static double restricted_share(const struct paired_shares *pairs, double d) {
    const double a = 2 * pairs->n;
    const double b =
        -pairs->only_first - pairs->only_second + (2 * pairs->n - pairs->only_second + pairs->only_first) * d;
    const double c = -pairs->only_first * d * (1 - d);
    return fmax((sqrt(fmax(b * b - 4 * a * c, 0)) - b) / (2 * a), 0);
}

/* Returns the score statistic at a difference of d; it falls with d. */
static double paired_score(const struct paired_shares *pairs, double d) {
    const double excess = pairs->only_second - pairs->only_first - pairs->n * d;
    const double variance = pairs->n * (2 * restricted_share(pairs, d) + d * (1 - d));
    return variance > 0 ? excess / sqrt(variance) : excess > 0 ? (double)INFINITY : excess < 0 ? -(double)INFINITY : 0;
}

/* Returns the difference at which the score is z. */
static double difference_at_score(const struct paired_shares *pairs, double z) {
    double low = -1, high = 1;
    for (int i = 0; i < HALVINGS; i++) {
        const double middle = (low + high) / 2;
        if (paired_score(pairs, middle) > z)
            low = middle;
        else
            high = middle;
    }
    return (low + high) / 2;
}

struct wg_interval wg_share_difference_interval(int64_t only_first, int64_t only_second, int64_t n, double confidence) {
    wg_assert(only_first >= 0 && only_second >= 0 && only_first + only_second <= n);
    if (n == 0)
        return (struct wg_interval){-1, 1};
    const struct paired_shares pairs = {(double)only_first, (double)only_second, (double)n};
    const double z = wg_normal_quantile_above((1 - confidence) / 2);
    return (struct wg_interval){difference_at_score(&pairs, z), difference_at_score(&pairs, -z)};
}
