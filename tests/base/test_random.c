/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks the generator against published outputs, its streams against each other, and the normal, Poisson and multinomial
 * samplers against their distributions. About 35 statistical checks at 1e-6 each: false-alarm rate 4e-5 for the file.
 */
#include "base/chance_checks.h"
#include "base/random.h"

#include <criterion/criterion.h>
#include <gsl/gsl_randist.h>
#include <signal.h>
#include <string.h>

/* Keeps the generator reachable in a test that aborts, so that it does not count as a leak. */
static gsl_rng *volatile latest;

static gsl_rng *stream(uint64_t seed, uint64_t replicate, enum wg_purpose purpose) {
    gsl_rng *rng = gsl_rng_alloc(wg_rng_type());
    cr_assert_not_null(rng);
    latest = rng;
    wg_rng_start(rng, seed, replicate, purpose);
    return rng;
}

/* ---- the generator ---- */

/* Blackman & Vigna's reference xoshiro256plusplus.c from the state 1, 2, 3, 4, as tabulated in the tests of the
 * rand_xoshiro crate (Rust). */
Test(generator, gives_the_published_xoshiro_outputs) {
    const uint64_t start[4] = {1, 2, 3, 4};
    const uint64_t published[10] = {
        UINT64_C(41943041),
        UINT64_C(58720359),
        UINT64_C(3588806011781223),
        UINT64_C(3591011842654386),
        UINT64_C(9228616714210784205),
        UINT64_C(9973669472204895162),
        UINT64_C(14011001112246962877),
        UINT64_C(12406186145184390807),
        UINT64_C(15849039046786891736),
        UINT64_C(10450023813501588000),
    };
    gsl_rng *rng = gsl_rng_alloc(wg_rng_type());
    cr_assert_geq(gsl_rng_size(rng), sizeof start); /* followed by the state of wg_losses() */
    memcpy(gsl_rng_state(rng), start, sizeof start);
    for (int i = 0; i < 10; i++)
        cr_expect_eq(wg_rng_bits(rng), published[i], "output %d", i);
    gsl_rng_free(rng);
}

/* splitmix64 from 1234567: the first outputs of Vigna's splitmix64.c, as listed by Rosetta Code,
 * "Pseudo-random numbers/Splitmix64". From 42: Java's SplittableRandom(42).nextLong(), the same algorithm. */
Test(generator, is_seeded_by_published_splitmix_outputs) {
    const uint64_t published[4] = {UINT64_C(6457827717110365317), UINT64_C(3203168211198807973),
                                   UINT64_C(9817491932198370423), UINT64_C(4593380528125082431)};
    gsl_rng *rng = gsl_rng_alloc(wg_rng_type());
    gsl_rng_set(rng, 1234567);
    cr_expect_eq(memcmp(gsl_rng_state(rng), published, sizeof published), 0);
    gsl_rng_set(rng, 42);
    uint64_t first;
    memcpy(&first, gsl_rng_state(rng), sizeof first);
    cr_expect_eq(first, UINT64_C(13679457532755275413));
    gsl_rng_free(rng);
}

Test(generator, serves_gsl_with_the_same_bits) {
    gsl_rng *bits = stream(7, 7, WG_PURPOSE_WEATHER);
    gsl_rng *gsl = gsl_rng_clone(bits);
    cr_expect_eq(gsl_rng_min(gsl), 0);
    cr_expect_eq(gsl_rng_max(gsl), 0xffffffffUL);
    for (int i = 0; i < 1000; i++) {
        cr_expect_eq(gsl_rng_get(gsl), wg_rng_bits(bits) >> 32);
        cr_expect_eq(gsl_rng_uniform(gsl), (double)(wg_rng_bits(bits) >> 11) * 0x1p-53);
    }
    gsl_rng_free(bits);
    gsl_rng_free(gsl);
}

/* The output is rotl(s0 + s3, 23) + s0: states can be chosen that give 0, and 2^23 whose top 53 bits are 2^12. */
Test(generator, never_gives_a_uniform_of_zero) {
    const uint64_t small_first[4] = {0, 0, 0, 1};
    const uint64_t zero_first[4] = {0, 5, 7, 0};
    gsl_rng *rng = gsl_rng_alloc(wg_rng_type());
    memcpy(gsl_rng_state(rng), zero_first, sizeof zero_first);
    cr_expect_eq(wg_rng_bits(rng), 0);
    memcpy(gsl_rng_state(rng), zero_first, sizeof zero_first);
    cr_expect_gt(wg_uniform(rng), 0);
    memcpy(gsl_rng_state(rng), zero_first, sizeof zero_first);
    cr_expect_gt(gsl_rng_uniform(rng), 0);
    memcpy(gsl_rng_state(rng), small_first, sizeof small_first);
    cr_expect_eq(wg_uniform(rng), 0x1p-41);
    gsl_rng_free(rng);
}

Test(generator, of_another_type_is_refused, .signal = SIGABRT) {
    latest = gsl_rng_alloc(gsl_rng_mt19937);
    wg_rng_start(latest, 1, 1, WG_PURPOSE_WEATHER);
}

static double uniform_cell(int64_t k, double cells, double unused) {
    (void)k;
    (void)unused;
    return 1 / cells;
}

/* The high and the low ten of the 53 bits, each over 1024 equal cells */
Test(generator, has_uniform_high_and_low_bits) {
    static struct cells high;
    static int64_t low[1024];
    const int draws = 1000000;
    gsl_rng *rng = stream(2026, 0, WG_PURPOSE_DEMOGRAPHY);
    cells_cut(&high, uniform_cell, 1024, 0, 0, 1023, draws);
    for (int i = 0; i < draws; i++) {
        const double u = wg_uniform(rng);
        cr_assert(u > 0 && u < 1);
        cells_count(&high, (int64_t)(u * 1024));
        low[(int64_t)(u * 0x1p53) % 1024]++;
    }
    double chi_square = 0;
    for (int i = 0; i < 1024; i++)
        chi_square += pow((double)low[i] - draws / 1024.0, 2) / (draws / 1024.0);
    cr_expect_gt(cells_p_value(&high), FALSE_ALARM);
    cr_expect_gt(gsl_cdf_chisq_Q(chi_square, 1023), FALSE_ALARM);
    gsl_rng_free(rng);
}

/* ---- the streams ---- */

Test(streams, start_again_alike) {
    gsl_rng *one = stream(99, 3, WG_PURPOSE_MISHAPS);
    gsl_rng *other = stream(1, 1, WG_PURPOSE_WEATHER);
    (void)wg_normal(other);
    wg_rng_start(other, 99, 3, WG_PURPOSE_MISHAPS);
    for (int i = 0; i < 100; i++)
        cr_expect_eq(wg_rng_bits(one), wg_rng_bits(other));
    gsl_rng_free(one);
    gsl_rng_free(other);
}

/* Guarantees old results: same seed, same bytes. The numbers were computed independently, in integers of arbitrary
 * length, from the recipe at the top of random.c. */
Test(streams, stay_what_they_were) {
    gsl_rng *rng = stream(2026, 17, WG_PURPOSE_DEMOGRAPHY);
    const uint64_t first = wg_rng_bits(rng);
    wg_rng_start(rng, UINT64_MAX, UINT64_MAX, WG_PURPOSE_PARAMETERS);
    const uint64_t last = wg_rng_bits(rng);
    cr_expect_eq(first, UINT64_C(17194055043930033109), "%llu", (unsigned long long)first);
    cr_expect_eq(last, UINT64_C(303726550878445175), "%llu", (unsigned long long)last);
    gsl_rng_free(rng);
}

static int ascending_bits(const void *left, const void *right) {
    const uint64_t a = *(const uint64_t *)left;
    const uint64_t b = *(const uint64_t *)right;
    return (a > b) - (a < b);
}

/* A million first words over seeds, replicates and purposes; a random repeat has probability 1e12 / 2 / 2^64 = 3e-8. */
Test(streams, do_not_repeat) {
    enum { SEEDS = 5, REPLICATES = 50000, PURPOSES = 4, ALL = SEEDS * REPLICATES * PURPOSES };
    uint64_t *first = malloc(ALL * sizeof *first);
    gsl_rng *rng = gsl_rng_alloc(wg_rng_type());
    size_t count = 0;
    for (uint64_t seed = 0; seed < SEEDS; seed++)
        for (uint64_t replicate = 0; replicate < REPLICATES; replicate++)
            for (int purpose = 1; purpose <= PURPOSES; purpose++) {
                wg_rng_start(rng, seed, replicate, (enum wg_purpose)purpose);
                memcpy(&first[count++], gsl_rng_state(rng), sizeof *first);
            }
    qsort(first, ALL, sizeof *first, ascending_bits);
    size_t repeats = 0;
    for (size_t i = 1; i < ALL; i++)
        repeats += first[i] == first[i - 1];
    cr_expect_eq(repeats, 0);
    gsl_rng_free(rng);
    free(first);
}

/* Flipping any one bit of the seed or of the replicate flips each of the 256 state bits half the time: 2 x 64 x 256 =
 * 32768 counts, so the bound on the largest is the normal one for a rate of 1e-6 / 32768 each. */
static void flip_bits(int of_seed) {
    enum { TRIALS = 1000 };
    static int flips[256];
    double worst = 0;
    gsl_rng *plain = gsl_rng_alloc(wg_rng_type());
    gsl_rng *flipped = gsl_rng_alloc(wg_rng_type());
    for (int bit = 0; bit < 64; bit++) {
        memset(flips, 0, sizeof flips);
        for (uint64_t trial = 0; trial < TRIALS; trial++) {
            const uint64_t mask = UINT64_C(1) << bit;
            wg_rng_start(plain, trial, trial * 3, WG_PURPOSE_WEATHER);
            wg_rng_start(flipped, of_seed ? trial ^ mask : trial, of_seed ? trial * 3 : (trial * 3) ^ mask,
                         WG_PURPOSE_WEATHER);
            uint64_t a[4], b[4];
            memcpy(a, gsl_rng_state(plain), sizeof a);
            memcpy(b, gsl_rng_state(flipped), sizeof b);
            for (int i = 0; i < 256; i++)
                flips[i] += (int)(((a[i / 64] ^ b[i / 64]) >> (i % 64)) & 1);
        }
        for (int i = 0; i < 256; i++)
            worst = fmax(worst, fabs(flips[i] - TRIALS / 2.0) / sqrt(TRIALS / 4.0));
    }
    cr_expect_lt(worst, gsl_cdf_ugaussian_Qinv(FALSE_ALARM / 32768 / 2), "worst %g deviations", worst);
    gsl_rng_free(plain);
    gsl_rng_free(flipped);
}

Test(streams, depend_on_every_bit_of_the_seed) {
    flip_bits(1);
}

Test(streams, depend_on_every_bit_of_the_replicate) {
    flip_bits(0);
}

/* The correlation of n pairs of independent uniforms, times sqrt(n), is standard normal. */
static double correlation_of(gsl_rng *a, gsl_rng *b, int draws) {
    double sum = 0;
    for (int i = 0; i < draws; i++)
        sum += (wg_uniform(a) - 0.5) * (wg_uniform(b) - 0.5) * 12;
    return sum / sqrt(draws);
}

Test(streams, of_neighbouring_replicates_do_not_correlate) {
    double together = 0;
    for (uint64_t replicate = 0; replicate < 200; replicate++) {
        gsl_rng *a = stream(1, replicate, WG_PURPOSE_WEATHER);
        gsl_rng *b = stream(1, replicate + 1, WG_PURPOSE_WEATHER);
        together += correlation_of(a, b, 2000);
        gsl_rng_free(a);
        gsl_rng_free(b);
    }
    cr_expect_lt(fabs(together / sqrt(200)), Z_BOUND);
}

Test(streams, of_different_purposes_and_seeds_do_not_correlate) {
    for (int one = 1; one <= 4; one++)
        for (int other = one; other <= 4; other++) {
            gsl_rng *a = stream(1, 5, (enum wg_purpose)one);
            gsl_rng *b = stream(one == other ? 2 : 1, 5, (enum wg_purpose)other);
            const double z = correlation_of(a, b, 100000);
            cr_expect_lt(fabs(z), Z_BOUND, "purposes %d and %d: %g", one, other, z);
            gsl_rng_free(a);
            gsl_rng_free(b);
        }
}

/* One draw of each of many replicates must itself be a good sample: this is what a forecast averages over. */
Test(streams, give_a_uniform_first_draw_over_replicates) {
    static struct cells cells;
    gsl_rng *rng = gsl_rng_alloc(wg_rng_type());
    for (int purpose = 1; purpose <= 4; purpose++) {
        cells_cut(&cells, uniform_cell, 256, 0, 0, 255, 200000);
        for (uint64_t replicate = 0; replicate < 200000; replicate++) {
            wg_rng_start(rng, 1, replicate, (enum wg_purpose)purpose);
            cells_count(&cells, (int64_t)(wg_uniform(rng) * 256));
        }
        cr_expect_gt(cells_p_value(&cells), FALSE_ALARM, "purpose %d", purpose);
    }
    gsl_rng_free(rng);
}

/* ---- the normal distribution ---- */

Test(normal, has_the_normal_law) {
    enum { DRAWS = 1000000 };
    double *z = malloc(DRAWS * sizeof *z);
    double fourth = 0;
    gsl_rng *rng = stream(3, 0, WG_PURPOSE_WEATHER);
    for (int i = 0; i < DRAWS; i++) {
        z[i] = wg_normal(rng);
        fourth += pow(z[i], 4);
    }
    cr_expect_lt(kolmogorov_normal(z, DRAWS), KOLMOGOROV_BOUND);
    /* the tails, to which Kolmogorov's test is insensitive: E z^4 = 3, var z^4 = 105 - 9 */
    cr_expect_lt(fabs(fourth / DRAWS - 3) / sqrt(96.0 / DRAWS), Z_BOUND);
    gsl_rng_free(rng);
    free(z);
}

Test(normal, keeps_nothing_between_calls) {
    gsl_rng *rng = stream(3, 1, WG_PURPOSE_WEATHER);
    (void)wg_normal(rng);
    gsl_rng *copy = gsl_rng_clone(rng);
    cr_expect_eq(wg_normal(rng), wg_normal(copy));
    gsl_rng_free(rng);
    gsl_rng_free(copy);
}

/* ---- the Poisson distribution ---- */

static double poisson_density(int64_t k, double mean, double unused) {
    (void)unused;
    return gsl_ran_poisson_pdf((unsigned)k, mean);
}

Test(poisson, has_the_poisson_law) {
    static struct cells cells;
    const double means[] = {0.001, 0.7, 9.9, 10.1, 40, 1234.5, 1e6};
    for (size_t i = 0; i < sizeof means / sizeof *means; i++) {
        const double mean = means[i];
        const double reach = 7 * sqrt(mean) + 10;
        gsl_rng *rng = stream(4, i, WG_PURPOSE_DEMOGRAPHY);
        cells_cut(&cells, poisson_density, mean, 0, (int64_t)fmax(0, mean - reach), (int64_t)(mean + reach), 300000);
        for (int draw = 0; draw < 300000; draw++)
            cells_count(&cells, wg_poisson(rng, mean));
        cr_expect_gt(cells_p_value(&cells), FALSE_ALARM, "mean %g", mean);
        gsl_rng_free(rng);
    }
}

/* At a mean of 2e9 the distribution is within 1e-5 of the normal one (Berry-Esseen: 0.48 / sqrt(mean)), far below the
 * 2.7 / sqrt(100000) = 8.5e-3 that the test detects. */
Test(poisson, is_normal_at_large_means) {
    enum { DRAWS = 100000 };
    static double z[DRAWS];
    const double mean = 2e9;
    gsl_rng *rng = stream(4, 99, WG_PURPOSE_DEMOGRAPHY);
    for (int i = 0; i < DRAWS; i++)
        z[i] = ((double)wg_poisson(rng, mean) - mean) / sqrt(mean);
    cr_expect_lt(kolmogorov_normal(z, DRAWS), KOLMOGOROV_BOUND);
    gsl_rng_free(rng);
}

Test(poisson, of_nothing_consumes_nothing) {
    gsl_rng *rng = stream(4, 100, WG_PURPOSE_DEMOGRAPHY);
    gsl_rng *copy = gsl_rng_clone(rng);
    cr_expect_eq(wg_poisson(rng, 0), 0);
    cr_expect_eq(wg_rng_bits(rng), wg_rng_bits(copy));
    gsl_rng_free(rng);
    gsl_rng_free(copy);
}

Test(poisson, of_a_negative_mean_is_refused, .signal = SIGABRT) {
    (void)wg_poisson(stream(1, 1, WG_PURPOSE_WEATHER), -1);
}

/* ---- the multinomial distribution ---- */

Test(multinomial, adds_up_and_leaves_weightless_classes_empty) {
    const double weight[6] = {0, 0.2, 3, 0, 1e-9, 0};
    const int64_t sizes[] = {0, 1, 17, 1000000, INT64_C(1) << 40, INT64_C(1) << 62};
    gsl_rng *rng = stream(5, 0, WG_PURPOSE_DEMOGRAPHY);
    for (size_t size = 0; size < sizeof sizes / sizeof *sizes; size++)
        for (int trial = 0; trial < 1000; trial++) {
            int64_t out[6];
            int64_t sum = 0;
            wg_multinomial(rng, sizes[size], 6, weight, out);
            for (int i = 0; i < 6; i++) {
                cr_expect_geq(out[i], 0);
                sum += out[i];
            }
            cr_expect_eq(sum, sizes[size]);
            cr_expect(out[0] == 0 && out[3] == 0 && out[5] == 0);
        }
    gsl_rng_free(rng);
}

/* Against gsl_ran_multinomial_pdf over all 66 ways to split 10 over 3 classes */
Test(multinomial, has_the_multinomial_law) {
    const double weight[3] = {5, 2, 3};
    static int seen[11][11];
    const int draws = 500000;
    gsl_rng *rng = stream(5, 1, WG_PURPOSE_DEMOGRAPHY);
    for (int i = 0; i < draws; i++) {
        int64_t out[3];
        wg_multinomial(rng, 10, 3, weight, out);
        seen[out[0]][out[1]]++;
    }
    double chi_square = 0;
    double other_expected = 0;
    double other_seen = 0;
    int cells = 0;
    for (unsigned a = 0; a <= 10; a++)
        for (unsigned b = 0; a + b <= 10; b++) {
            const unsigned split[3] = {a, b, 10 - a - b};
            const double expected = draws * gsl_ran_multinomial_pdf(3, weight, split);
            if (expected < EXPECTED_LEAST) {
                other_expected += expected;
                other_seen += seen[a][b];
                continue;
            }
            chi_square += pow(seen[a][b] - expected, 2) / expected;
            cells++;
        }
    chi_square += pow(other_seen - other_expected, 2) / other_expected;
    cr_expect_gt(gsl_cdf_chisq_Q(chi_square, cells), FALSE_ALARM);
    gsl_rng_free(rng);
}

/* 1e17 + 2 is 1e17 in double: the huge class has probability 1 to the last bit, and a running sum of the weights would
 * leave 0 for the two small ones. Each of those expects 1e18 x 1e-17 = 10. */
Test(multinomial, is_fair_to_small_classes_beside_a_huge_one) {
    const double weight[3] = {1e17, 1, 1};
    double sum[3] = {0, 0, 0};
    const int draws = 20000;
    gsl_rng *rng = stream(5, 2, WG_PURPOSE_DEMOGRAPHY);
    for (int i = 0; i < draws; i++) {
        int64_t out[3];
        wg_multinomial(rng, INT64_C(1000000000000000000), 3, weight, out);
        for (int class = 0; class < 3; class ++)
            sum[class] += (double)out[class];
    }
    for (int class = 1; class < 3; class ++)
        cr_expect_lt(fabs(sum[class] / draws - 10) / sqrt(10.0 / draws), Z_BOUND, "class %d", class);
    gsl_rng_free(rng);
}

Test(multinomial, without_any_weight_is_refused, .signal = SIGABRT) {
    const double weight[2] = {0, 0};
    int64_t out[2];
    wg_multinomial(stream(1, 1, WG_PURPOSE_WEATHER), 3, 2, weight, out);
}

Test(multinomial, with_a_negative_weight_is_refused, .signal = SIGABRT) {
    const double weight[3] = {-1, 2, 2};
    int64_t out[3];
    wg_multinomial(stream(1, 1, WG_PURPOSE_WEATHER), 3, 3, weight, out);
}
