/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks the binomial sampler for all n and p: against gsl_ran_binomial_pdf where n fits its unsigned int, against the
 * Poisson and the normal distribution where theory bounds their distance. About 120 statistical checks at 1e-6 each:
 * false-alarm rate 1.2e-4 for the file. The checks of the hat are deterministic.
 */
#include "base/binomial.h"
#include "base/chance_checks.h"
#include "base/random.h"

#include <criterion/criterion.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_sf_gamma.h>
#include <signal.h>

/* ---- the hat, deterministic ---- */

static const int64_t hat_sizes[] = {20, 21, 25, 40, 100, 1000, 1000000, INT64_C(1) << 40, INT64_C(1) << 62};
static const double hat_means[] = {10, 10.3, 10.7, 11.5, 14, 20, 50, 500, 1e4, 3e5, 5e10, 0x1p61};
enum { HAT_SIZES = sizeof hat_sizes / sizeof *hat_sizes, HAT_MEANS = sizeof hat_means / sizeof *hat_means };

/* A rejection sampler is exact if its hat is nowhere below the pmf and its squeeze nowhere above: checked on a grid of u,
 * fine in the middle and finer towards the edge. */
static void expect_cover(double n, double p) {
    const struct wg_hat hat = wg_hat_over(n, p);
    double highest = 0;
    double lowest = 1;
    for (double edge = 0.5; edge > 1e-12; edge *= edge > 0.01 ? 0.9995 : 0.99)
        for (int side = -1; side <= 1; side += 2) {
            const double x = wg_hat_candidate(&hat, side * (0.5 - edge), edge);
            if (edge < WG_SQUEEZE_FROM_EDGE && (x < 0 || x >= n + 1))
                continue;
            const double k = wg_floor(x);
            cr_assert(x >= 0 && k <= n, "n %g p %g: the squeeze leaves 0..n", n, p);
            const double share = exp(wg_hat_log_pmf_ratio(&hat, k)) / wg_hat_height(&hat, edge);
            highest = fmax(highest, share);
            lowest = edge >= WG_SQUEEZE_FROM_EDGE ? fmin(lowest, share) : lowest;
        }
    cr_expect_lt(highest, 1, "n %g p %g: the law reaches %g of the hat", n, p, highest);
    cr_expect_gt(lowest, hat.squeeze, "n %g p %g: the squeeze is %g too high", n, p, hat.squeeze - lowest);
}

Test(hat, covers_the_law_and_its_squeeze_does_not) {
    for (int i = 0; i < HAT_SIZES; i++)
        for (int j = 0; j < HAT_MEANS; j++)
            if (hat_means[j] <= (double)hat_sizes[i] / 2)
                expect_cover((double)hat_sizes[i], hat_means[j] / (double)hat_sizes[i]);
}

/* Against GSL's log-factorials, whose rounding is 2^-52 of log n!: the tolerance is 8 of those (6 terms), and 1e-10
 * for the series at k = 10. */
Test(hat, has_the_height_of_the_law) {
    for (int i = 0; hat_sizes[i] <= 1000000; i++)
        for (int j = 0; j < HAT_MEANS && hat_means[j] <= (double)hat_sizes[i] / 2; j++) {
            const double n = (double)hat_sizes[i];
            const double p = hat_means[j] / n;
            const struct wg_hat hat = wg_hat_over(n, p);
            const double reach = 8 * sqrt(n * p * (1 - p)), log_odds = log(p / (1 - p)), mode = floor((n + 1) * p);
            const double highest = gsl_sf_lnchoose((unsigned)n, (unsigned)mode) + mode * log_odds;
            for (double k = fmax(0, floor(n * p - reach)); k <= fmin(n, n * p + reach); k += 1 + floor(reach / 100)) {
                const double law = gsl_sf_lnchoose((unsigned)n, (unsigned)k) + k * log_odds - highest;
                cr_expect_float_eq(wg_hat_log_pmf_ratio(&hat, k), law, 1e-10 + 8 * 0x1p-52 * gsl_sf_lnfact((unsigned)n),
                                   "n %g p %g k %g", n, p, k);
            }
        }
}

/* The two parabolas, at each distance up to 2000 and at growing steps beyond; rounding of the pmf allows 1e-6 (header). */
static void expect_between_parabolas(double n, double p) {
    const struct wg_hat hat = wg_hat_over(n, p);
    const double variance = hat.deviation * hat.deviation, mode = wg_hat_mode(&hat);
    for (double off = WG_NEAR_MODE + 1; off <= variance / 2 - 1; off += 1 + floor(off / 2000))
        for (int side = -1; side <= 1; side += 2) {
            const double k = mode + side * off, law = wg_hat_log_pmf_ratio(&hat, k);
            if (k < 0 || k > n || law < -700)
                continue;
            const double parabola = -off * off / (2 * variance), margin = wg_hat_margin(variance, off);
            cr_assert_geq(law, parabola - margin - 1e-6, "n %g p %g k %g", n, p, k);
            cr_assert_leq(law, parabola + margin + 1e-6, "n %g p %g k %g", n, p, k);
        }
}

Test(hat, has_the_law_between_two_parabolas) {
    for (int i = 0; i < HAT_SIZES; i++)
        for (int j = 0; j < HAT_MEANS; j++)
            if (hat_means[j] <= (double)hat_sizes[i] / 2 && hat_means[j] < 1e9)
                expect_between_parabolas((double)hat_sizes[i], hat_means[j] / (double)hat_sizes[i]);
}

/* ---- the draws ---- */

/* Keeps the generator reachable in a test that aborts, so that it does not count as a leak. */
static gsl_rng *volatile latest;

static gsl_rng *stream(uint64_t replicate) {
    gsl_rng *rng = gsl_rng_alloc(wg_rng_type());
    cr_assert_not_null(rng);
    latest = rng;
    wg_rng_start(rng, 6, replicate, WG_PURPOSE_DEMOGRAPHY);
    return rng;
}

static double binomial_density(int64_t k, double n, double p) {
    return gsl_ran_binomial_pdf((unsigned)k, p, (unsigned)n);
}

static double p_value_against_the_density(int64_t n, double p, int draws, uint64_t replicate) {
    static struct cells cells;
    const double mean = (double)n * p;
    const double reach = 7 * sqrt(mean * (1 - p)) + 10;
    gsl_rng *rng = stream(replicate);
    cells_cut(&cells, binomial_density, (double)n, p, (int64_t)fmax(0, mean - reach),
              (int64_t)fmin((double)n, mean + reach), draws);
    for (int i = 0; i < draws; i++) {
        const int64_t k = wg_binomial(rng, n, p);
        cr_assert(k >= 0 && k <= n);
        cells_count(&cells, k);
    }
    gsl_rng_free(rng);
    return cells_p_value(&cells);
}

/* Both methods on both sides of their meeting point n p = 10, few and many, rare and nearly sure */
Test(binomial, has_the_binomial_law) {
    const int64_t sizes[] = {1, 2, 7, 19, 20, 21, 40, 200, 1000, 1000000};
    const double chances[] = {1e-4, 0.03, 0.25, 0.4999, 0.5, 0.51, 0.9, 0.999};
    uint64_t replicate = 0;
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++)
        for (size_t j = 0; j < sizeof chances / sizeof *chances; j++) {
            const double p_value = p_value_against_the_density(sizes[i], chances[j], 200000, ++replicate);
            cr_expect_gt(p_value, FALSE_ALARM, "n %lld p %g: %g", (long long)sizes[i], chances[j], p_value);
        }
}

Test(binomial, meets_at_the_seam_of_its_two_methods) {
    const double means[] = {9.99, 10.01, 10.5, 14, 30};
    for (size_t i = 0; i < sizeof means / sizeof *means; i++) {
        /* 2 million draws: at a mean of 10.5 the count 0, 55 expected, has its own cell */
        const double few = p_value_against_the_density(1000000, means[i] / 1e6, 2000000, 200 + i);
        const double most = p_value_against_the_density(100, 1 - means[i] / 100, 500000, 300 + i);
        cr_expect_gt(few, FALSE_ALARM, "mean %g of a million: %g", means[i], few);
        cr_expect_gt(most, FALSE_ALARM, "all but %g of 100: %g", means[i], most);
    }
}

/* Where a distance from the mode no longer squares within an int (46341^2 > 2^31). The density's own rounding,
 * 4e10 (a log-factorial) x 2^-52 = 1e-5, is far below the 2 % x sqrt(50 / 500000) the cells can see. */
Test(binomial, has_the_binomial_law_at_the_edge_of_int) {
    const double p_value = p_value_against_the_density(INT32_MAX, 0.5, 500000, 400);
    cr_expect_gt(p_value, FALSE_ALARM, "%g", p_value);
}

/* ---- more than 2^32 ---- */

static double poisson_density(int64_t k, double mean, double unused) {
    (void)unused;
    return gsl_ran_poisson_pdf((unsigned)k, mean);
}

/* The total variation distance to the Poisson distribution of the same mean is at most p (Barbour & Hall 1984, Math.
 * Proc. Camb. Phil. Soc. 95:473): negligible at these p. */
Test(binomial, of_very_many_rare_is_poisson) {
    static struct cells cells;
    const struct {
        int64_t n;
        double p;
    } cases[] = {{INT64_C(1) << 33, 1e-10},          {INT64_C(1) << 40, 1e-11}, {INT64_C(1) << 53, 1e-15},
                 {INT64_C(1000000000000000), 2e-14}, {INT64_C(1) << 62, 1e-18}, {INT64_C(1) << 62, 1e-16}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const double mean = (double)cases[i].n * cases[i].p;
        const double reach = 7 * sqrt(mean) + 10;
        gsl_rng *rng = stream(500 + i);
        cells_cut(&cells, poisson_density, mean, 0, (int64_t)fmax(0, mean - reach), (int64_t)(mean + reach), 300000);
        for (int draw = 0; draw < 300000; draw++)
            cells_count(&cells, wg_binomial(rng, cases[i].n, cases[i].p));
        cr_expect_gt(cells_p_value(&cells), FALSE_ALARM, "mean %g", mean);
        gsl_rng_free(rng);
    }
}

/* The normal distribution differs by at most 0.48 / sqrt(n p (1 - p)) (Berry-Esseen, constant of Shevtsova 2011), below
 * 5e-5 here; Kolmogorov's test of 300,000 detects 2.7 / sqrt(300000) = 5e-3; mean and variance are as sensitive. */
static void expect_normal(int64_t n, double p, uint64_t replicate) {
    enum { DRAWS = 300000 };
    static double z[DRAWS];
    const double mean = (double)n * p;
    const double deviation = sqrt(mean * (1 - p));
    double sum = 0;
    double squares = 0;
    gsl_rng *rng = stream(replicate);
    for (int i = 0; i < DRAWS; i++) {
        const int64_t k = wg_binomial(rng, n, p);
        cr_assert(k >= 0 && k <= n);
        z[i] = ((double)k - mean) / deviation;
        sum += z[i];
        squares += z[i] * z[i];
    }
    const double distance = kolmogorov_normal(z, DRAWS);
    cr_expect_lt(distance, KOLMOGOROV_BOUND, "n %lld p %g: Kolmogorov %g", (long long)n, p, distance);
    cr_expect_lt(fabs(sum) / sqrt(DRAWS), Z_BOUND, "n %lld p %g: mean", (long long)n, p);
    cr_expect_lt(fabs(squares / DRAWS - 1) / sqrt(2.0 / DRAWS), Z_BOUND, "n %lld p %g: variance", (long long)n, p);
    gsl_rng_free(rng);
}

Test(binomial, of_very_many_is_normal) {
    expect_normal((INT64_C(1) << 32) + 5, 0.5, 600);
    expect_normal((INT64_C(1) << 32) + 5, 0.93, 601);
    expect_normal(INT64_C(10000000000), 0.03, 602);
    expect_normal(INT64_C(1) << 45, 0.7, 603);
    expect_normal(INT64_C(1) << 62, 0.5, 604);
    expect_normal(INT64_C(1) << 62, 0.999, 605);
    expect_normal(INT64_C(1000000000000000), 0.2, 606); /* 10^15: the largest starter of a scenario */
    expect_normal(INT64_C(1000000000000000), 1 - 1e-5, 607);
}

/* Below 2^53 every count can occur: large counts are even and odd equally often. */
Test(binomial, of_very_many_keeps_its_last_digit) {
    gsl_rng *rng = stream(610);
    int64_t last_digits[10] = {0};
    const int draws = 200000;
    for (int i = 0; i < draws; i++)
        last_digits[wg_binomial(rng, INT64_C(1) << 52, 0.4) % 10]++;
    double chi_square = 0;
    for (int i = 0; i < 10; i++)
        chi_square += pow((double)last_digits[i] - draws / 10.0, 2) / (draws / 10.0);
    cr_expect_gt(gsl_cdf_chisq_Q(chi_square, 9), FALSE_ALARM);
    gsl_rng_free(rng);
}

/* Why GSL's own sampler is not used: it draws at most 5 as half of 2^32 + 5. */
Test(binomial, of_very_many_is_right_where_gsl_is_not) {
    const int64_t n = (INT64_C(1) << 32) + 5;
    gsl_rng *rng = stream(620);
    cr_expect_leq(gsl_ran_binomial(rng, 0.5, (unsigned)n), 5);
    /* within 7 deviations of 32768: chance of a false alarm 3e-12 */
    cr_expect_lt(llabs(wg_binomial(rng, n, 0.5) - n / 2), 7 * 32768);
    gsl_rng_free(rng);
}

/* ---- losses: the gap carries over from cohort to cohort ---- */

enum { MIXED = 8 };

/* A sequence of cohorts as in a colony, of all sizes and hazards: by gaps, inversion and rejection. */
static const struct {
    int64_t n;
    double log_keep;
} mixed[MIXED] = {{1, -0.4},    {3, -0.01},    {40, -0.02},    {1000000, -3e-7},
                  {7, -0.1249}, {200, -0.015}, {5000, -0.003}, {2, -2}};

Test(losses, have_the_binomial_law_among_others) {
    static struct cells cells[MIXED];
    enum { ROUNDS = 200000 };
    gsl_rng *rng = stream(700);
    for (int i = 0; i < MIXED; i++) {
        const double p = -expm1(mixed[i].log_keep), n = (double)mixed[i].n, reach = 7 * sqrt(n * p) + 10;
        cells_cut(&cells[i], binomial_density, n, p, 0, (int64_t)fmin(n, n * p + reach), ROUNDS);
    }
    for (int round = 0; round < ROUNDS; round++)
        for (int i = 0; i < MIXED; i++) {
            const int64_t gone = wg_losses(rng, mixed[i].n, mixed[i].log_keep);
            cr_assert(gone >= 0 && gone <= mixed[i].n);
            cells_count(&cells[i], gone);
        }
    for (int i = 0; i < MIXED; i++)
        cr_expect_gt(cells_p_value(&cells[i]), FALSE_ALARM, "n %lld log %g", (long long)mixed[i].n, mixed[i].log_keep);
    gsl_rng_free(rng);
}

/* Losses of neighbouring cohorts are independent: four cells of pairs, chi-square, one degree of freedom. */
Test(losses, of_neighbours_are_independent) {
    enum { ROUNDS = 400000 };
    gsl_rng *rng = stream(701);
    double pair[MIXED][2][2] = {0};
    int before = wg_losses(rng, mixed[MIXED - 1].n, mixed[MIXED - 1].log_keep) > 0;
    for (int round = 0; round < ROUNDS; round++)
        for (int i = 0; i < MIXED; i++) {
            const int now = wg_losses(rng, mixed[i].n, mixed[i].log_keep) > 0;
            pair[i][before][now]++;
            before = now;
        }
    for (int i = 0; i < MIXED; i++) {
        const double before_too = pair[i][1][0] + pair[i][1][1], now_too = pair[i][0][1] + pair[i][1][1];
        const double apart = pair[i][1][1] - before_too * now_too / ROUNDS;
        const double variance = before_too * now_too / ROUNDS * (1 - before_too / ROUNDS) * (1 - now_too / ROUNDS);
        if (variance > 25)
            cr_expect_gt(gsl_cdf_chisq_Q(apart * apart / variance, 1), FALSE_ALARM, "cohort %d and the one before", i);
    }
    gsl_rng_free(rng);
}

/* A very large cohort split into parts small enough for the gap method loses as much as the whole: Poisson. */
Test(losses, of_very_many_in_parts_are_poisson) {
    static struct cells cells;
    enum { ROUNDS = 100000, PARTS = 16 };
    const int64_t part = INT64_C(1) << 36;
    const double log_keep = -0x1p-37, mean = PARTS * 0.5;
    gsl_rng *rng = stream(702);
    cells_cut(&cells, poisson_density, mean, 0, 0, 40, ROUNDS);
    for (int round = 0; round < ROUNDS; round++) {
        int64_t gone = 0;
        for (int i = 0; i < PARTS; i++)
            gone += wg_losses(rng, part, log_keep);
        cells_count(&cells, gone);
    }
    cr_expect_gt(cells_p_value(&cells), FALSE_ALARM);
    gsl_rng_free(rng);
}

/* Starting a stream resets the gap. */
Test(losses, begin_anew_with_a_stream) {
    gsl_rng *rng = stream(703), *copy = stream(703);
    for (int i = 0; i < 1000; i++)
        (void)wg_losses(rng, 3, -0.01);
    wg_rng_start(rng, 6, 703, WG_PURPOSE_DEMOGRAPHY);
    for (int i = 0; i < 1000; i++)
        cr_assert_eq(wg_losses(rng, 3, -0.01), wg_losses(copy, 3, -0.01));
    gsl_rng_free(rng);
    gsl_rng_free(copy);
}

/* ---- edges ---- */

Test(binomial, that_is_certain_consumes_nothing) {
    const int64_t all = INT64_C(1) << 62;
    gsl_rng *rng = stream(630);
    gsl_rng *copy = gsl_rng_clone(rng);
    cr_expect_eq(wg_binomial(rng, 0, 0.5), 0);
    cr_expect_eq(wg_binomial(rng, 100, 0), 0);
    cr_expect_eq(wg_binomial(rng, 100, -0.1), 0);
    cr_expect_eq(wg_binomial(rng, 100, -(double)INFINITY), 0);
    cr_expect_eq(wg_binomial(rng, all, 1), all);
    cr_expect_eq(wg_binomial(rng, 100, 1.0000000001), 100);
    cr_expect_eq(wg_binomial(rng, 100, (double)INFINITY), 100);
    cr_expect_eq(wg_rng_bits(rng), wg_rng_bits(copy));
    gsl_rng_free(rng);
    gsl_rng_free(copy);
}

Test(binomial, bears_the_smallest_and_largest_chances) {
    gsl_rng *rng = stream(631);
    for (int i = 0; i < 1000; i++) {
        cr_expect_eq(wg_binomial(rng, INT64_C(1) << 62, 5e-324), 0);
        cr_expect_eq(wg_binomial(rng, 1000, 1 - 0x1p-53), 1000); /* false alarm over all: 1e-10 */
        const int64_t k = wg_binomial(rng, 1, 0.5);
        cr_expect(k == 0 || k == 1);
    }
    gsl_rng_free(rng);
}

Test(binomial, of_a_negative_count_is_refused, .signal = SIGABRT) {
    (void)wg_binomial(stream(1), -1, 0.5);
}

Test(binomial, of_too_large_a_count_is_refused, .signal = SIGABRT) {
    (void)wg_binomial(stream(1), (INT64_C(1) << 62) + 1, 0.5);
}

Test(binomial, of_no_chance_at_all_is_refused, .signal = SIGABRT) {
    (void)wg_binomial(stream(1), 1, (double)NAN);
}
