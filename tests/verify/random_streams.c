/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Independence of the random streams.
 *
 * Every replicate has a stream for each purpose, hashed from (seed, replicate, purpose), and all of them are parts of
 * the one cycle of xoshiro256++. A forecast averages over many such streams, read in turn. So the words are put in the
 * orders in which a forecast, a comparison or a fit would mix them (see `orders`), and each order must pass as one
 * good generator:
 *
 *   known answers     published outputs of xoshiro256++ and splitmix64
 *   serial            chi-square of triples over 16 x 16 x 16 cells, of the high and of the low bits
 *   correlation       of words 1 to 16 apart, of their Hamming weights, and of all pairs of 2048 streams
 *   order of five     the 120 rankings of five consecutive words (Knuth, The Art of Computer Programming 2, 3.3.2 P)
 *   collisions        2^21 words in 2^32 urns (Knuth, the same, 3.3.2 I)
 *   birthday spacings equal gaps between 4096 birthdays in 2^32 days are Poisson with mean 4 (Marsaglia 1985, Computer
 *                     Science and Statistics: the Interface; L'Ecuyer & Simard 2001, Math. Comput. Simul. 55:131)
 *   matrix rank       64 x 64 bits, each row a word of the order (Marsaglia & Tsay 1985, Linear Algebra Appl. 67:147):
 *                     the generator is linear, so relations between streams would be linear
 *
 * All p-values are judged together (Holm), with a false-alarm rate of 1e-4 for the whole program.
 */
#include "base/random.h"
#include "verify/p_values.h"

#include <gsl/gsl_cdf.h>
#include <stdint.h>
#include <string.h>

#define FALSE_ALARM 1e-4

enum { WORDS = 1 << 21, BIRTHDAYS = 4096, LAGS = 16, TRIPLE_CELLS = 4096 };

enum check { CORRELATION, PAIRS, SERIAL, RANKING, COLLISION, BIRTHDAY, RANK, N_CHECKS };

static struct p_values book;

static uint64_t *capacity(size_t n) {
    uint64_t *const words = calloc(n, sizeof *words);
    if (words == NULL)
        exit(2);
    return words;
}

/* ---- the orders in which streams are read ---- */

struct name {
    uint64_t seed, replicate;
    enum wg_purpose purpose;
};

static struct name one_stream(uint64_t i) {
    return (struct name){2026 + i, 0, WG_PURPOSE_WEATHER};
}

static struct name replicates(uint64_t i) {
    return (struct name){1, i, WG_PURPOSE_DEMOGRAPHY};
}

static struct name purposes(uint64_t i) {
    return (struct name){7, i / 4, (enum wg_purpose)(1 + i % 4)};
}

static struct name seeds(uint64_t i) {
    return (struct name){i, 3, WG_PURPOSE_WEATHER};
}

/* Seed and replicate in opposite directions, in case the hash depended only on their sum. */
static struct name against(uint64_t i) {
    return (struct name){100000 - i, 100000 + i, WG_PURPOSE_MISHAPS};
}

/* One bit set in the seed, one in the replicate: 4096 names that differ in two bits */
static struct name sparse(uint64_t i) {
    return (struct name){UINT64_C(1) << (i % 64), UINT64_C(1) << (i / 64 % 64), WG_PURPOSE_PARAMETERS};
}

struct order {
    const char *name;
    struct name (*stream)(uint64_t i);
    uint64_t streams; /* read in turn; WORDS: only the first word of each */
};

static const struct order orders[] = {
    {"one stream", one_stream, 1},
    {"1000 replicates in turn", replicates, 1000},
    {"the first word of each replicate", replicates, WORDS},
    {"500 replicates, 4 purposes, in turn", purposes, 2000},
    {"the first word of each purpose and replicate", purposes, WORDS},
    {"1000 seeds in turn", seeds, 1000},
    {"the first word of each seed", seeds, WORDS},
    {"seed down, replicate up, in turn", against, 1000},
    {"names of two bits in turn", sparse, 4096},
};
enum { ORDERS = sizeof orders / sizeof *orders };

static void start(gsl_rng *rng, struct name name) {
    wg_rng_start(rng, name.seed, name.replicate, name.purpose);
}

static void read_in_turn(const struct order *order, uint64_t *words) {
    gsl_rng *const rng = gsl_rng_alloc(wg_rng_type());
    for (uint64_t i = 0; i < order->streams; i++) {
        start(rng, order->stream(i));
        for (uint64_t k = i; k < WORDS; k += order->streams)
            words[k] = wg_rng_bits(rng);
    }
    gsl_rng_free(rng);
}

/* ---- correlation ---- */

static double centred(uint64_t word) {
    return (double)(word >> 11) * 0x1p-53 - 0.5;
}

static double weight_of(uint64_t word) {
    int ones = 0;
    for (; word != 0; word &= word - 1)
        ones++;
    return ones - 32;
}

/* The sum of products of independent words, scaled, is standard normal: variances 1/12 and 64/4. */
static void correlate(const char *name, const uint64_t *words) {
    for (int lag = 1; lag <= LAGS; lag++) {
        double sum = 0, weights = 0;
        for (int i = lag; i < WORDS; i++) {
            sum += centred(words[i]) * centred(words[i - lag]);
            weights += weight_of(words[i]) * weight_of(words[i - lag]);
        }
        p_values_add(&book, CORRELATION, p_of_z(sum * 12 / sqrt(WORDS - lag)), "%s, %d apart", name, lag);
        p_values_add(&book, CORRELATION, p_of_z(weights / 16 / sqrt(WORDS - lag)), "%s, ones of words %d apart", name,
                     lag);
    }
}

/* Every stream as a unit vector of 1024 normal deviates. The squared correlation r2 of two of them is Beta(1/2, 1023/2)
 * whatever the first is, so the r2 of different pairs are uncorrelated: their sum is tested too. */
enum { PAIR_STREAMS = 2048, PAIR_DRAWS = 1024 };

static void unit_vector(gsl_rng *rng, double *x) {
    double squares = 0;
    for (int k = 0; k < PAIR_DRAWS; k++) {
        x[k] = wg_normal(rng);
        squares += x[k] * x[k];
    }
    for (int k = 0; k < PAIR_DRAWS; k++)
        x[k] /= sqrt(squares);
}

static void correlate_pairs(const char *name, struct name (*stream)(uint64_t)) {
    static double x[PAIR_STREAMS][PAIR_DRAWS];
    const double n = PAIR_DRAWS, pairs = 0.5 * PAIR_STREAMS * (PAIR_STREAMS - 1);
    gsl_rng *const rng = gsl_rng_alloc(wg_rng_type());
    double sum = 0, most = 0;
    for (int i = 0; i < PAIR_STREAMS; i++) {
        start(rng, stream((uint64_t)i));
        unit_vector(rng, x[i]);
        for (int j = 0; j < i; j++) {
            double r = 0;
            for (int k = 0; k < PAIR_DRAWS; k++)
                r += x[i][k] * x[j][k];
            sum += r * r;
            most = fmax(most, r * r);
        }
    }
    gsl_rng_free(rng);
    const double z = (sum - pairs / n) / sqrt(pairs * 2 * (n - 1) / (n * n * (n + 2)));
    p_values_add(&book, PAIRS, p_of_z(z), "%s, all %.0f pairs", name, pairs);
    p_values_add(&book, PAIRS, fmin(1, pairs * gsl_cdf_beta_Q(most, 0.5, (n - 1) / 2)), "%s, the closest pair", name);
}

/* ---- cells ---- */

static double p_of_equal_cells(const int *seen, int cells, double draws) {
    double chi_square = 0;
    for (int i = 0; i < cells; i++)
        chi_square += pow(seen[i] - draws / cells, 2) / (draws / cells);
    return gsl_cdf_chisq_Q(chi_square, cells - 1);
}

static void count_triples(const char *name, const uint64_t *words, int shift) {
    static int seen[TRIPLE_CELLS];
    const int triples = WORDS / 3;
    memset(seen, 0, sizeof seen);
    for (int i = 0; i < triples; i++) {
        unsigned cell = 0;
        for (int k = 0; k < 3; k++)
            cell = cell * 16 + (unsigned)(words[3 * i + k] >> shift & 15);
        seen[cell]++;
    }
    p_values_add(&book, SERIAL, p_of_equal_cells(seen, TRIPLE_CELLS, triples), "%s, triples from bit %d", name, shift);
}

static void count_rankings(const char *name, const uint64_t *words) {
    int seen[120] = {0};
    const int fives = WORDS / 5;
    for (int i = 0; i < fives; i++) {
        int cell = 0;
        for (int a = 0; a < 5; a++) {
            int below = 0;
            for (int b = a + 1; b < 5; b++)
                below += words[5 * i + b] < words[5 * i + a];
            cell = cell * (5 - a) + below;
        }
        seen[cell]++;
    }
    p_values_add(&book, RANKING, p_of_equal_cells(seen, 120, fives), "%s", name);
}

/* ---- collisions and birthdays ---- */

static int rising(const void *left, const void *right) {
    const uint64_t a = *(const uint64_t *)left, b = *(const uint64_t *)right;
    return (a > b) - (a < b);
}

/* Two-sided p-value of a Poisson count */
static double p_of_count(int count, double mean) {
    const double up = count > 0 ? gsl_cdf_poisson_Q((unsigned)count - 1, mean) : 1;
    return fmin(1, 2 * fmin(up, gsl_cdf_poisson_P((unsigned)count, mean)));
}

static int repeats_of(uint64_t *sorted, size_t n) {
    int repeats = 0;
    qsort(sorted, n, sizeof *sorted, rising);
    for (size_t i = 1; i < n; i++)
        repeats += sorted[i] == sorted[i - 1];
    return repeats;
}

/* n balls occupy k (1 - (1 - 1/k)^n) of k urns; the rest collided. */
static void count_collisions(const char *name, const uint64_t *words, int shift) {
    uint64_t *const urn = capacity(WORDS);
    for (int i = 0; i < WORDS; i++)
        urn[i] = words[i] >> shift & UINT32_MAX;
    const int count = repeats_of(urn, WORDS);
    const double mean = WORDS + 0x1p32 * expm1(WORDS * log1p(-0x1p-32));
    p_values_add(&book, COLLISION, p_of_count(count, mean), "%s, from bit %d: %d for %.0f", name, shift, count, mean);
    free(urn);
}

static void count_birthdays(const char *name, const uint64_t *words, int shift) {
    uint64_t day[BIRTHDAYS];
    int count = 0;
    for (int first = 0; first < WORDS; first += BIRTHDAYS) {
        for (int i = 0; i < BIRTHDAYS; i++)
            day[i] = words[first + i] >> shift & UINT32_MAX;
        qsort(day, BIRTHDAYS, sizeof *day, rising);
        for (int i = BIRTHDAYS - 1; i > 0; i--)
            day[i] -= day[i - 1];
        count += repeats_of(day, BIRTHDAYS);
    }
    const double mean = (double)WORDS / BIRTHDAYS * pow(BIRTHDAYS, 3) / (4 * 0x1p32);
    p_values_add(&book, BIRTHDAY, p_of_count(count, mean), "%s, from bit %d: %d for %.0f", name, shift, count, mean);
}

/* ---- rank ---- */

static int rank_of(uint64_t row[64]) {
    int rank = 0;
    for (int bit = 0; bit < 64 && rank < 64; bit++) {
        int pivot = rank;
        while (pivot < 64 && (row[pivot] >> bit & 1) == 0)
            pivot++;
        if (pivot == 64)
            continue;
        const uint64_t lead = row[pivot];
        row[pivot] = row[rank];
        row[rank++] = lead;
        for (int i = rank; i < 64; i++)
            row[i] ^= (row[i] >> bit & 1) != 0 ? lead : 0;
    }
    return rank;
}

/* The probabilities of full rank, one less and two less; the rest is three or more less. */
static void count_ranks(const char *name, const uint64_t *words) {
    const double chance[4] = {0.2887880951, 0.5775761902, 0.1283502644, 0.0052854503};
    int seen[4] = {0};
    const int matrices = WORDS / 64;
    double chi_square = 0;
    for (int i = 0; i < matrices; i++) {
        uint64_t row[64];
        memcpy(row, words + (size_t)i * 64, sizeof row);
        const int lost = 64 - rank_of(row);
        seen[lost < 3 ? lost : 3]++;
    }
    for (int i = 0; i < 4; i++)
        chi_square += pow(seen[i] - matrices * chance[i], 2) / (matrices * chance[i]);
    p_values_add(&book, RANK, gsl_cdf_chisq_Q(chi_square, 3), "%s", name);
}

/* ---- known answers ---- */

/* Blackman & Vigna's xoshiro256plusplus.c from the state 1, 2, 3, 4 (tests of the rand_xoshiro crate); Vigna's
 * splitmix64.c from 1234567 (Rosetta Code, Pseudo-random numbers/Splitmix64). */
static int known_answers(void) {
    const uint64_t from[4] = {1, 2, 3, 4};
    const uint64_t xoshiro[10] = {UINT64_C(41943041),
                                  UINT64_C(58720359),
                                  UINT64_C(3588806011781223),
                                  UINT64_C(3591011842654386),
                                  UINT64_C(9228616714210784205),
                                  UINT64_C(9973669472204895162),
                                  UINT64_C(14011001112246962877),
                                  UINT64_C(12406186145184390807),
                                  UINT64_C(15849039046786891736),
                                  UINT64_C(10450023813501588000)};
    const uint64_t splitmix[4] = {UINT64_C(6457827717110365317), UINT64_C(3203168211198807973),
                                  UINT64_C(9817491932198370423), UINT64_C(4593380528125082431)};
    gsl_rng *const rng = gsl_rng_alloc(wg_rng_type());
    int wrong = 0;
    gsl_rng_set(rng, 1234567);
    wrong += memcmp(gsl_rng_state(rng), splitmix, sizeof splitmix) != 0;
    memcpy(gsl_rng_state(rng), from, sizeof from);
    for (int i = 0; i < 10; i++)
        wrong += wg_rng_bits(rng) != xoshiro[i];
    gsl_rng_free(rng);
    check_line("generator: known answers", "10 outputs of xoshiro256++, 4 of splitmix64",
               wrong == 0 ? "the same" : "others",
               "Blackman & Vigna 2021, ACM Trans. Math. Softw. 47:36; Steele, Lea & Flood 2014, OOPSLA",
               wrong == 0 ? "holds" : "does not hold", NULL);
    return wrong;
}

static void test_order(const struct order *order, uint64_t *words) {
    (void)printf("%s\n", order->name);
    (void)fflush(stdout);
    read_in_turn(order, words);
    correlate(order->name, words);
    count_triples(order->name, words, 60);
    count_triples(order->name, words, 0);
    count_rankings(order->name, words);
    count_collisions(order->name, words, 32);
    count_collisions(order->name, words, 0);
    count_birthdays(order->name, words, 32);
    count_birthdays(order->name, words, 0);
    count_ranks(order->name, words);
}

static void put_lines(void) {
    static const struct {
        const char *check, *must, *source;
    } line[N_CHECKS] = {
        [CORRELATION] = {"streams: serial correlation of words and of their ones, 1 to 16 apart", "none",
                         "normal law of a sum of products"},
        [PAIRS] = {"streams: correlation of every pair of 2048 streams", "none: r2 of independent normal vectors",
                   "Beta(1/2, 1023/2)"},
        [SERIAL] = {"streams: triples of words", "uniform over 4096 cells", "Knuth, TAOCP 2, 3.3.2 B"},
        [RANKING] = {"streams: ranking of five words in a row", "120 rankings alike", "Knuth, TAOCP 2, 3.3.2 P"},
        [COLLISION] = {"streams: collisions, 2^21 words in 2^32 urns", "512", "Knuth, TAOCP 2, 3.3.2 I"},
        [BIRTHDAY] = {"streams: birthday spacings, 512 times 4096 in 2^32 days", "2048 equal spacings",
                      "Marsaglia 1985; L'Ecuyer & Simard 2001, Math. Comput. Simul. 55:131"},
        [RANK] = {"streams: rank of 64 x 64 bits", "full rank 28.9 %, one less 57.8 %, two less 12.8 %",
                  "Marsaglia & Tsay 1985, Linear Algebra Appl. 67:147"},
    };
    for (int i = 0; i < N_CHECKS; i++)
        p_values_line(&book, i, line[i].check, line[i].must, line[i].source);
}

int main(void) {
    book.entry = calloc(P_VALUES_MAX, sizeof *book.entry);
    uint64_t *const words = capacity(WORDS);
    if (book.entry == NULL)
        return 2;
    int wrong = known_answers();
    for (int i = 0; i < ORDERS; i++)
        test_order(&orders[i], words);
    correlate_pairs("512 replicates, 4 purposes", purposes);
    correlate_pairs("2048 seeds", seeds);
    wrong += p_values_judge(&book, FALSE_ALARM);
    put_lines();
    (void)printf("%d p-values of streams together, false-alarm rate %g (Holm): %s\n", book.n, FALSE_ALARM,
                 wrong == 0 ? "all pass" : "NOT all pass");
    free(words);
    free(book.entry);
    return wrong > 0;
}
