/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Computes confidence sequences of a probability, valid at all sample sizes simultaneously.
 *
 *   M(p) = mean over a prior of x of (x/p)^hits ((1 - x)/(1 - p))^misses
 *
 * is, at the true p, a martingale that starts at 1, so it ever exceeds 1/error with probability at most `error`
 * (Ville 1939; the mixture: Robbins 1970, Ann. Math. Stat. 41:1397). The prior is half a Beta around the guess, half
 * uniform; for both the mean is a ratio of beta functions. M has its minimum, at most 1, at hits/n and
 * rises to both sides: the interval is where M < 1/error.
 */
#include "base/elementary.h"
#include "sizing/size.h"

#include <math.h>

#define GUESS_WORTH 50.0
#define HALVINGS 60 /* of an interval within 0..1: to double precision */

struct confidence_sequence {
    double hits, misses, mixture; /* mixture: ln of the mean over the prior of x^hits (1 - x)^misses */
};

/* ln of the mean over Beta(a, b) */
static double log_beta_ratio(double hits, double misses, double a, double b) {
    return wg_log_beta(a + hits, b + misses) - wg_log_beta(a, b);
}

static struct confidence_sequence sequence_of(int64_t hits, int64_t n, double guess) {
    struct confidence_sequence s = {.hits = (double)hits, .misses = (double)(n - hits)};
    const double beta = log_beta_ratio(s.hits, s.misses, GUESS_WORTH * guess, GUESS_WORTH * (1 - guess));
    const double uniform = log_beta_ratio(s.hits, s.misses, 1, 1), top = fmax(beta, uniform);
    s.mixture = top + wg_log((wg_exp(beta - top) + wg_exp(uniform - top)) / 2);
    return s;
}

static double log_martingale(const struct confidence_sequence *s, double p) {
    const double hit = s->hits > 0 ? s->hits * wg_log(p) : 0, miss = s->misses > 0 ? s->misses * wg_log1p(-p) : 0;
    return s->mixture - hit - miss;
}

/* Bisects for the p between the share and an end of 0..1 at which M crosses the limit; the end if it does not. */
static double find_bound(const struct confidence_sequence *s, double share, double end, double limit) {
    double inside = share, outside = end;
    if (log_martingale(s, end) < limit)
        return end;
    for (int i = 0; i < HALVINGS; i++) {
        const double middle = (inside + outside) / 2;
        *(log_martingale(s, middle) < limit ? &inside : &outside) = middle;
    }
    return outside;
}

struct wg_interval wg_sequence_interval(int64_t hits, int64_t n, double guess, double error) {
    wg_assert(hits >= 0 && hits <= n && guess > 0 && guess < 1 && error > 0 && error < 1);
    if (n == 0)
        return (struct wg_interval){0, 1};
    const struct confidence_sequence s = sequence_of(hits, n, guess);
    const double share = (double)hits / (double)n;
    return (struct wg_interval){find_bound(&s, share, 0, -wg_log(error)), find_bound(&s, share, 1, -wg_log(error))};
}

enum wg_verdict wg_sequence_verdict(int64_t hits, int64_t n, double wanted, double error) {
    wg_assert(hits >= 0 && hits <= n && wanted > 0 && wanted < 1 && error > 0 && error < 1);
    if (n == 0)
        return WG_UNDECIDED;
    const struct confidence_sequence s = sequence_of(hits, n, wanted);
    if (log_martingale(&s, wanted) < -wg_log(error))
        return WG_UNDECIDED;
    return (double)hits >= wanted * (double)n ? WG_YES : WG_NO;
}
