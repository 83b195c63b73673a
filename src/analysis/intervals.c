/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Computes confidence intervals of means, shares and differences of shares.
 *
 *   mean    mean - e g(q) .. mean - e g(-q),  g(q) = (cbrt(1 + c (q - c/6)) - 1) 3/c,  e standard error, c skewness of the
 *           mean (that of a value over sqrt n), q Student's quantile; g(q) = q for c = 0
 *   share   (p + h -+ sqrt(2 h p (1 - p) + h^2))/(1 + 2 h),  h = q^2/(2 n)
 *   pairs   the d at which |only_second - only_first - n d| = z sqrt(n (2 p + d (1 - d))),  p the most likely share of
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

/* Returns the inverse of Hall's transformation, in standard errors. */
static double hall_inverse(double q, double skewness) {
    if (fabs(skewness) < 1e-6)
        return q;
    return (cube_root(1 + skewness * (q - skewness / 6)) - 1) * 3 / skewness;
}

static double student_quantile(double freedom, double confidence) {
    return isinf(freedom) ? wg_normal_quantile_above((1 - confidence) / 2)
                          : gsl_cdf_tdist_Pinv((1 + confidence) / 2, freedom);
}

struct wg_interval wg_error_interval(double mean, double error, double skewness, double freedom, double confidence) {
    if (!(freedom > 0) || !(error > 0) || !isfinite(skewness))
        return (struct wg_interval){(double)NAN, (double)NAN};
    const double q = student_quantile(freedom, confidence);
    return (struct wg_interval){mean - error * hall_inverse(q, skewness), mean - error * hall_inverse(-q, skewness)};
}

struct wg_interval wg_mean_interval(double mean, double sd, double skewness, int64_t n, double confidence) {
    const double root = sqrt((double)n);
    return wg_error_interval(mean, sd / root, skewness / root, (double)n - 1, confidence);
}

/* ---- shares ---- */

struct wg_interval wg_share_interval(double share, double trials, double freedom, double confidence) {
    wg_assert(share >= 0 && share <= 1);
    if (!(trials > 0))
        return (struct wg_interval){0, 1};
    const double q = student_quantile(freedom, confidence), h = q * q / (2 * trials);
    const double half = sqrt(2 * h * share * (1 - share) + h * h);
    return (struct wg_interval){.low = share <= 0 ? 0 : (share + h - half) / (1 + 2 * h),
                                .high = share >= 1 ? 1 : (share + h + half) / (1 + 2 * h)};
}

/* ---- differences of shares ---- */

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

static struct wg_interval score_interval(const struct paired_shares *pairs, double quantile) {
    return (struct wg_interval){difference_at_score(pairs, quantile), difference_at_score(pairs, -quantile)};
}

struct wg_interval wg_share_difference_interval(int64_t only_first, int64_t only_second, int64_t n, double confidence) {
    wg_assert(only_first >= 0 && only_second >= 0 && only_first + only_second <= n);
    if (n == 0)
        return (struct wg_interval){-1, 1};
    const struct paired_shares pairs = {(double)only_first, (double)only_second, (double)n};
    return score_interval(&pairs, wg_normal_quantile_above((1 - confidence) / 2));
}

struct wg_interval wg_paired_shares_interval(double only_first, double only_second, double pairs, double freedom,
                                             double confidence) {
    if (!(pairs > 0))
        return (struct wg_interval){-1, 1};
    const struct paired_shares of = {only_first * pairs, only_second * pairs, pairs};
    return score_interval(&of, student_quantile(freedom, confidence));
}
