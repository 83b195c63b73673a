/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks that interleaved streams, as a forecast uses them, behave like one good generator. Quick tests;
 * tests/verify/random_streams.c has the long ones. 20 checks at 1e-6 each: false-alarm rate 2e-5 for the file.
 *
 * Sources: Knuth, The Art of Computer Programming 2, 3.3.2 (collisions, serial pairs); Marsaglia 1985, Computer Science and
 * Statistics: the Interface (birthday spacings: with 4096 birthdays in 2^32 days, equal spacings are Poisson with mean 4).
 */
#include "base/chance_checks.h"
#include "base/random.h"

#include <criterion/criterion.h>
#include <stdbool.h>

enum { WORDS = 1 << 18, BIRTHDAYS = 4096 };

static uint64_t words[WORDS];

/* Word i is of stream i modulo `streams`: the replicates of one purpose, or four purposes of a quarter as many. */
static void read_in_turn(uint64_t streams, bool purposes) {
    gsl_rng *const rng = gsl_rng_alloc(wg_rng_type());
    for (uint64_t i = 0; i < streams; i++) {
        wg_rng_start(rng, 11, purposes ? i / 4 : i, (enum wg_purpose)(purposes ? 1 + i % 4 : 2));
        for (uint64_t k = i; k < WORDS; k += streams)
            words[k] = wg_rng_bits(rng);
    }
    gsl_rng_free(rng);
}

static int ascending_words(const void *left, const void *right) {
    const uint64_t a = *(const uint64_t *)left, b = *(const uint64_t *)right;
    return (a > b) - (a < b);
}

static int repeats_of(uint64_t *value, size_t n) {
    int repeats = 0;
    qsort(value, n, sizeof *value, ascending_words);
    for (size_t i = 1; i < n; i++)
        repeats += value[i] == value[i - 1];
    return repeats;
}

static void expect_poisson(int count, double mean, const char *what) {
    cr_expect_gt(gsl_cdf_poisson_P((unsigned)count, mean), FALSE_ALARM / 2, "%s: %d for %g", what, count, mean);
    cr_expect(count == 0 || gsl_cdf_poisson_Q((unsigned)count - 1, mean) > FALSE_ALARM / 2, "%s: %d for %g", what,
              count, mean);
}

static int equal_spacings(int first, int shift) {
    static uint64_t day[BIRTHDAYS];
    for (int i = 0; i < BIRTHDAYS; i++)
        day[i] = words[first + i] >> shift & UINT32_MAX;
    qsort(day, BIRTHDAYS, sizeof *day, ascending_words);
    for (int i = BIRTHDAYS - 1; i > 0; i--)
        day[i] -= day[i - 1];
    return repeats_of(day, BIRTHDAYS);
}

static void expect_birthdays(int shift) {
    int equal = 0;
    for (int first = 0; first < WORDS; first += BIRTHDAYS)
        equal += equal_spacings(first, shift);
    expect_poisson(equal, 4.0 * WORDS / BIRTHDAYS, "equal spacings");
}

/* n balls occupy k (1 - (1 - 1/k)^n) of k urns on average; the rest collide. */
static void expect_collisions(int shift) {
    static uint64_t urn[WORDS];
    const double urns = 0x1p28;
    for (int i = 0; i < WORDS; i++)
        urn[i] = words[i] >> shift & 0xfffffff;
    expect_poisson(repeats_of(urn, WORDS), WORDS + urns * expm1(WORDS * log1p(-1 / urns)), "collisions");
}

static void expect_uncorrelated(int lag) {
    double sum = 0;
    for (int i = lag; i < WORDS; i++)
        sum += ((double)(words[i] >> 11) * 0x1p-53 - 0.5) * ((double)(words[i - lag] >> 11) * 0x1p-53 - 0.5);
    cr_expect_lt(fabs(sum * 12 / sqrt(WORDS - lag)), Z_BOUND, "%d apart", lag);
}

static void expect_good(uint64_t streams, bool purposes) {
    read_in_turn(streams, purposes);
    expect_uncorrelated(1);
    expect_uncorrelated(4);
    expect_birthdays(32);
    expect_birthdays(0);
    expect_collisions(36);
    expect_collisions(0);
}

Test(streams_in_turn, replicates) {
    expect_good(500, false);
}

Test(streams_in_turn, first_words_of_replicates) {
    expect_good(WORDS, false);
}

Test(streams_in_turn, purposes_of_replicates) {
    expect_good(400, true);
}

/* Clutch sizes come from GSL's uniform integers on our generator: 501 equally likely sizes. */
Test(streams_in_turn, whole_numbers_are_alike) {
    static int seen[501];
    const int draws = 501000;
    double chi_square = 0;
    gsl_rng *const rng = gsl_rng_alloc(wg_rng_type());
    wg_rng_start(rng, 12, 0, WG_PURPOSE_DEMOGRAPHY);
    for (int i = 0; i < draws; i++)
        seen[gsl_rng_uniform_int(rng, 501)]++;
    for (int i = 0; i < 501; i++)
        chi_square += pow(seen[i] - draws / 501.0, 2) / (draws / 501.0);
    cr_expect_gt(gsl_cdf_chisq_Q(chi_square, 500), FALSE_ALARM);
    gsl_rng_free(rng);
}
