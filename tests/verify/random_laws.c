/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Distributions of the samplers, over all arguments that the engine uses.
 *
 * Every draw k is transformed to u = F(k - 1) + v (F(k) - F(k - 1)) with v uniform from another generator (GSL's
 * ranlxd2): u is uniform if and only if the distribution is F (Brockwell 2007, Stat. Probab. Lett. 77:1473). So draws
 * with different n and p can be pooled: chi-square over 48 cells, narrow at both ends.
 *
 *   the engine's mix   every call of wg_binomial() and wg_losses() in one replicate of two scenarios is recorded (the
 *                      linker redirects the calls to the functions below), and drawn again; classes by size and by mean
 *   a grid             n from 1 to 2^62, 10^15 among them, and p from 1e-18 to 1 - 1e-15
 *   the others         Poisson, multinomial, normal, uniform, uniform integers for clutches, and GSL's gamma,
 *                      lognormal and exponential on our generator (the engine does not use these three; the header promises them)
 *
 * Against: gsl_cdf_binomial and gsl_cdf_poisson; where n exceeds their 32 bits and the mean is small, Poisson (error
 * at most p: Barbour & Hall 1984, Math. Proc. Camb. Phil. Soc. 95:473, here below 1e-5); where the variance is above
 * 10^4 the normal distribution with Edgeworth's terms (Abramowitz & Stegun 26.2.48), error below 1e-6, see below. All
 * p-values are judged together (Holm), with a false-alarm rate of 1e-4 for the whole program.
 */
#include "base/random.h"
#include "forecast/replicate.h"
#include "scenario/scenario.h"
#include "species/breeding.h"
#include "verify/p_values.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_randist.h>
#include <stdint.h>

#define FALSE_ALARM 1e-4
#define EDGEWORTH_FROM 1e4           /* variance */
#define EXACT_TO INT64_C(1000000000) /* largest n in the 32 bits of GSL */

enum check { MIX, GRID, POISSON, MULTINOMIAL, CONTINUOUS, CLUTCHES, DIGITS, N_CHECKS };

static struct p_values book;
static gsl_rng *rng, *other;

/* ---- distribution functions ---- */

struct moments {
    double mean, variance, skewness, excess;
};

/*
 * P(K <= k) of an integer: the normal distribution at k + 1/2, two more moments, and Sheppard's term for steps of
 * width 1 (Kolassa & McCullagh 1990, Ann. Stat. 18:981). The error is about 1 / deviation^3.
 */
static double edgeworth(double k, const struct moments *m) {
    const double x = (k + 0.5 - m->mean) / sqrt(m->variance);
    const double h2 = x * x - 1, h3 = x * (x * x - 3), h5 = x * (x * x * (x * x - 10) + 15);
    const double g = m->skewness;
    const double terms = g / 6 * h2 + m->excess / 24 * h3 + g * g / 72 * h5 - x / (24 * m->variance);
    const double p = gsl_cdf_ugaussian_P(x) - gsl_ran_ugaussian_pdf(x) * terms;
    return fmin(1, fmax(0, p));
}

static double poisson_cdf(double k, double mean) {
    if (k < 0)
        return 0;
    if (mean < EDGEWORTH_FROM)
        return gsl_cdf_poisson_P((unsigned)k, mean);
    return edgeworth(k, &(struct moments){mean, mean, 1 / sqrt(mean), 1 / mean});
}

/* For the rarer outcome: p <= 1/2. */
static double rare_cdf(double k, double n, double p) {
    const double variance = n * p * (1 - p);
    if (k < 0)
        return 0;
    if (k >= n)
        return 1;
    if (variance >= EDGEWORTH_FROM)
        return edgeworth(k, &(struct moments){n * p, variance, (1 - 2 * p) / sqrt(variance), 1 / variance - 6 / n});
    return n <= (double)EXACT_TO ? gsl_cdf_binomial_P((unsigned)k, p, (unsigned)n) : poisson_cdf(k, n * p);
}

/* If staying is the rarer outcome: u of n - k is 1 - u of k. */
static double uniform_of(int64_t k, int64_t n, double p, double v) {
    const int64_t rare = p > 0.5 ? n - k : k;
    const double chance = p > 0.5 ? 1 - p : p;
    const double below = rare_cdf((double)rare - 1, (double)n, chance);
    return below + v * (rare_cdf((double)rare, (double)n, chance) - below);
}

/* ---- cells of u: 4 of 2 % and 4 below them at each end, 40 of 2.25 % (0.1 %, 0.4 %, 0.5 %, 1 %, ...) ---- */

enum { CELLS = 48 };

struct cells {
    double seen[CELLS];
    double draws;
};

static double cell_end(int i) {
    static const double low[8] = {0.0002, 0.001, 0.003, 0.01, 0.02, 0.04, 0.06, 0.08};
    if (i < 8)
        return low[i];
    return i < 40 ? 0.08 + 0.84 * (i - 7) / 33 : i == CELLS - 1 ? 1 : 1 - low[CELLS - 2 - i];
}

static void count(struct cells *cells, double u) {
    int i = 0;
    while (i < CELLS - 1 && u > cell_end(i))
        i++;
    cells->seen[i]++;
    cells->draws++;
}

/* Joins neighbouring cells until 10 are expected. */
static double p_of(const struct cells *cells) {
    double chi_square = 0, expected = 0, seen = 0, last = 0;
    int joined = 0;
    for (int i = 0; i < CELLS; i++) {
        expected += cells->draws * (cell_end(i) - last);
        last = cell_end(i);
        seen += cells->seen[i];
        if (expected < 10 || (i < CELLS - 1 && cells->draws * (1 - last) < 10))
            continue;
        chi_square += (seen - expected) * (seen - expected) / expected;
        joined++;
        expected = seen = 0;
    }
    return joined > 1 ? gsl_cdf_chisq_Q(chi_square, joined - 1) : 1;
}

static double v(void) {
    return gsl_rng_uniform(other);
}

/* ---- the engine's own mix ---- */

enum { NOTES_MAX = 1000000, SIZES = 7, MEANS = 7, DRAWS_A_CLASS = 200000 };

struct draw {
    int64_t n;
    double p; /* negative: the log_keep of wg_losses() */
};

/* The signature of a wrapped function is fixed, so these are file-scope variables. */
static struct draw *notes;
static int n_notes;

int64_t __real_wg_binomial(gsl_rng *chance, int64_t n, double p);
int64_t __real_wg_losses(gsl_rng *chance, int64_t n, double log_keep);
int64_t __wrap_wg_binomial(gsl_rng *chance, int64_t n, double p);
int64_t __wrap_wg_losses(gsl_rng *chance, int64_t n, double log_keep);

static void note(int64_t n, double p) {
    if (notes != NULL && n > 0 && n_notes < NOTES_MAX)
        notes[n_notes++] = (struct draw){n, p};
}

int64_t __wrap_wg_binomial(gsl_rng *chance, int64_t n, double p) {
    if (p > 0 && p < 1)
        note(n, p);
    return __real_wg_binomial(chance, n, p);
}

int64_t __wrap_wg_losses(gsl_rng *chance, int64_t n, double log_keep) {
    if (log_keep < 0)
        note(n, log_keep);
    return __real_wg_losses(chance, n, log_keep);
}

/* Records the draws of replicate 0 of a scenario. */
static int live(const char *source, const char *scenario_name) {
    struct wg_scenario scenario = {0};
    struct wg_world world = {0};
    struct wg_simulator liver = {0};
    struct wg_diary diary = {0};
    struct wg_mistakes problems = {0};
    struct wg_error err = {0};
    char path[1024];
    (void)snprintf(path, sizeof path, "%s/scenarios/%s.yaml", source, scenario_name);
    int code = wg_scenario_read(&scenario, path, &problems, &err);
    scenario.plan.animals = WG_ANIMALS_MIDDLE;
    if (code == 0)
        code = wg_world_init(&world, &scenario.plan, &err);
    if (code == 0)
        code = wg_simulator_init(&liver, &world, &err);
    if (code == 0)
        code = wg_diary_init(&diary, &scenario.plan, &err);
    if (code == 0)
        code = wg_simulator_run(&liver, 0, &diary, &err);
    if (code < 0)
        (void)fprintf(stderr, "%s: %s\n", path, err.text);
    wg_diary_free(&diary);
    wg_simulator_free(&liver);
    wg_world_free(&world);
    wg_scenario_free(&scenario);
    wg_mistakes_free(&problems);
    return code < 0 ? code : 0;
}

static int step_of(double x, const double *step, int n) {
    int i = 0;
    while (i < n - 1 && x > step[i])
        i++;
    return i;
}

static double chance_of(const struct draw *d) {
    return d->p < 0 ? -expm1(d->p) : d->p;
}

static double mean_of(const struct draw *d) {
    const double p = chance_of(d);
    return (double)d->n * fmin(p, 1 - p);
}

static const double size_step[SIZES - 1] = {1, 10, 100, 1e3, 1e5, 1e7};
static const double mean_step[MEANS - 1] = {1e-3, 0.1, 1, 9, 11, 100};

/* Repeats the recorded draws of one class, in rounds until there are enough. */
static void draw_class(const char *scenario, int losses, int size, int mean) {
    static int member[NOTES_MAX];
    struct cells cells = {0};
    int members = 0;
    for (int i = 0; i < n_notes; i++)
        if ((notes[i].p < 0) == losses && step_of((double)notes[i].n, size_step, SIZES) == size &&
            step_of(mean_of(&notes[i]), mean_step, MEANS) == mean)
            member[members++] = i;
    if (members < 20 || mean == 0) /* too few, or almost only zeros: no information */
        return;
    for (int i = 0; i < DRAWS_A_CLASS; i++) {
        const struct draw *const d = &notes[member[i % members]];
        const int64_t k = losses ? __real_wg_losses(rng, d->n, d->p) : __real_wg_binomial(rng, d->n, d->p);
        count(&cells, uniform_of(k, d->n, chance_of(d), v()));
    }
    const struct draw *const some = &notes[member[0]];
    p_values_add(&book, MIX, p_of(&cells), "%s, %s, %d noted like n %lld p %.3g", scenario,
                 losses ? "losses" : "binomial", members, (long long)some->n, chance_of(some));
}

static int draw_mix(const char *source, const char *scenario) {
    n_notes = 0;
    notes = calloc(NOTES_MAX, sizeof *notes);
    const int code = notes == NULL ? -1 : live(source, scenario);
    (void)printf("%s: %d draws noted\n", scenario, n_notes);
    for (int cell = 0; code == 0 && cell < 2 * SIZES * MEANS; cell++)
        draw_class(scenario, cell % 2, cell / 2 % SIZES, cell / 2 / SIZES);
    free(notes);
    notes = NULL;
    return code;
}

/* ---- the grid ---- */

static void draw_cell(int64_t n, double p) {
    struct cells cells = {0}, losses = {0};
    const int draws = 100000;
    if ((double)n * fmin(p, 1 - p) * draws < 20)
        return;
    for (int i = 0; i < draws; i++) {
        count(&cells, uniform_of(__real_wg_binomial(rng, n, p), n, p, v()));
        if (p < 0.9)
            count(&losses, uniform_of(__real_wg_losses(rng, n, log1p(-p)), n, p, v()));
    }
    p_values_add(&book, GRID, p_of(&cells), "binomial n %lld p %g", (long long)n, p);
    if (p < 0.9)
        p_values_add(&book, GRID, p_of(&losses), "losses n %lld p %g", (long long)n, p);
}

static void draw_grid(void) {
    static const int64_t size[] = {1,
                                   2,
                                   10,
                                   100,
                                   1000,
                                   1000000,
                                   INT64_C(4294967295),
                                   INT64_C(4294967296),
                                   INT64_C(4294967303),
                                   INT64_C(10000000000),
                                   INT64_C(1000000000000),
                                   INT64_C(1000000000000000),
                                   INT64_C(1) << 62};
    static const double chance[] = {1e-18, 1e-16,    2e-15,    1e-14,    1e-12,     1e-10,    1e-8, 1e-6,
                                    1e-4,  0.01,     0.1,      0.3,      0.499999,  0.500001, 0.7,  0.9,
                                    0.99,  1 - 1e-4, 1 - 1e-6, 1 - 1e-9, 1 - 1e-12, 1 - 1e-15};
    for (size_t i = 0; i < sizeof size / sizeof *size; i++)
        for (size_t j = 0; j < sizeof chance / sizeof *chance; j++)
            draw_cell(size[i], chance[j]);
}

/* For large counts all last digits are equally likely: u would not detect a sampler that steps in tens. */
static void draw_digits(void) {
    const double chance[] = {0.3, 0.001, 1e-9};
    for (int i = 0; i < 3; i++) {
        double seen[10] = {0}, chi_square = 0;
        const int draws = 200000;
        for (int k = 0; k < draws; k++)
            seen[__real_wg_binomial(rng, INT64_C(1000000000000000), chance[i]) % 10]++;
        for (int k = 0; k < 10; k++)
            chi_square += pow(seen[k] - draws / 10.0, 2) / (draws / 10.0);
        p_values_add(&book, DIGITS, gsl_cdf_chisq_Q(chi_square, 9), "p %g", chance[i]);
    }
}

/*
 * Positive control: GSL's own sampler, whose variance is 18 % too large at this n (see base/binomial.c), must be
 * rejected.
 */
static int draw_control(void) {
    struct cells cells = {0};
    for (int i = 0; i < 100000; i++)
        count(&cells, uniform_of(gsl_ran_binomial(rng, 0.5, INT32_MAX), INT32_MAX, 0.5, v()));
    const double p = p_of(&cells);
    char found[40];
    (void)snprintf(found, sizeof found, "p %.2g", p);
    check_line("samplers: the test itself, shown a sampler known to be wrong", "rejected: p below 1e-12", found,
               "gsl_ran_binomial of GSL 2.7.1 at n 2147483647, p 1/2", p < 1e-12 ? "holds" : "does not hold", NULL);
    return p >= 1e-12;
}

/* ---- the others ---- */

static void draw_poisson(void) {
    /* above 10 the sampler uses gamma and binomial draws, so most draws are there */
    const double mean[] = {0.001, 0.1, 1, 5, 9.99, 10.01, 12, 16, 20, 30, 60, 200, 1000, 9000, 2e4, 1e6, 2e9};
    for (size_t i = 0; i < sizeof mean / sizeof *mean; i++) {
        struct cells cells = {0};
        const int draws = mean[i] > 10 && mean[i] < 100 ? 2000000 : 300000;
        for (int k = 0; k < draws; k++) {
            const double drawn = (double)wg_poisson(rng, mean[i]);
            const double below = poisson_cdf(drawn - 1, mean[i]);
            count(&cells, below + v() * (poisson_cdf(drawn, mean[i]) - below));
        }
        p_values_add(&book, POISSON, p_of(&cells), "mean %g", mean[i]);
    }
}

/* Class i given the classes before it is binomial. */
static void draw_multinomial(int64_t n) {
    static const double weight[5] = {5, 1e-3, 2, 0.5, 3};
    struct cells cells[4] = {0};
    for (int k = 0; k < 200000; k++) {
        int64_t out[5], left = n;
        double rest = 10.501;
        wg_multinomial(rng, n, 5, weight, out);
        for (int i = 0; i < 4; i++) {
            if (left > 0)
                count(&cells[i], uniform_of(out[i], left, weight[i] / rest, v()));
            left -= out[i];
            rest -= weight[i];
        }
    }
    for (int i = 0; i < 4; i++)
        p_values_add(&book, MULTINOMIAL, p_of(&cells[i]), "n %lld, class %d", (long long)n, i);
}

static double standard_uniform(void) {
    return wg_uniform(rng);
}

static double standard_normal(void) {
    return gsl_cdf_ugaussian_P(wg_normal(rng));
}

static double gamma_small(void) {
    return gsl_cdf_gamma_P(gsl_ran_gamma(rng, 0.3, 2), 0.3, 2);
}

static double gamma_large(void) {
    return gsl_cdf_gamma_P(gsl_ran_gamma(rng, 30, 0.1), 30, 0.1);
}

static double lognormal(void) {
    return gsl_cdf_lognormal_P(gsl_ran_lognormal(rng, 1, 0.4), 1, 0.4);
}

static double exponential(void) {
    return gsl_cdf_exponential_P(gsl_ran_exponential(rng, 3), 3);
}

static void draw_continuous(void) {
    static const struct {
        const char *name;
        double (*u)(void);
    } law[] = {{"uniform", standard_uniform}, {"normal", standard_normal}, {"gamma 0.3", gamma_small},
               {"gamma 30", gamma_large},     {"lognormal", lognormal},    {"exponential", exponential}};
    for (size_t i = 0; i < sizeof law / sizeof *law; i++) {
        struct cells cells = {0};
        for (int k = 0; k < 3000000; k++)
            count(&cells, law[i].u());
        p_values_add(&book, CONTINUOUS, p_of(&cells), "%s", law[i].name);
    }
}

/* The eggs of `mothers` with clutches uniform on low..high: the exact distribution by convolution. */
enum { EGGS_MAX = 1 << 16 };

static void draw_clutches(int mothers, double low, double high) {
    static double law[EGGS_MAX], next[EGGS_MAX];
    struct wg_species species;
    (void)wg_species_set(&species, "keepers");
    species.clutch_low = low;
    species.clutch_high = high;
    const int from = (int)low, to = (int)high;
    struct cells cells = {0};
    for (int k = 0; k < EGGS_MAX; k++)
        law[k] = k == 0;
    for (int i = 0; i < mothers; i++) {
        double sum = 0;
        for (int k = 0; k < EGGS_MAX; k++) {
            sum += k >= from ? law[k - from] : 0;
            sum -= k > to ? law[k - to - 1] : 0;
            next[k] = fmax(0, sum) / (to - from + 1);
        }
        for (int k = 0; k < EGGS_MAX; k++)
            law[k] = next[k];
    }
    for (int k = 1; k < EGGS_MAX; k++)
        law[k] += law[k - 1];
    for (int i = 0; i < 300000; i++) {
        const int64_t k = wg_clutch_sum(&species, mothers, 1, rng);
        const double below = k > 0 ? law[k - 1] : 0;
        count(&cells, below + v() * (law[k] - below));
    }
    p_values_add(&book, CLUTCHES, p_of(&cells), "%d of %g to %g eggs", mothers, low, high);
}

static void put_lines(void) {
    static const struct {
        const char *check, *must, *source;
    } line[N_CHECKS] = {
        [MIX] = {"samplers: binomial over the engine's own mix of n and p", "the binomial law", "GSL's distributions"},
        [GRID] = {"samplers: binomial, n 1 to 2^62, p 1e-18 to 1 - 1e-15", "the binomial law",
                  "GSL's distributions; Barbour & Hall 1984; Edgeworth (Abramowitz & Stegun 26.2.48)"},
        [POISSON] = {"samplers: Poisson, mean 0.001 to 2e9", "the Poisson law", "GSL's distributions; Edgeworth"},
        [MULTINOMIAL] = {"samplers: multinomial", "conditional binomials", "GSL's distributions; Edgeworth"},
        [CONTINUOUS] = {"samplers: uniform, normal, gamma, lognormal, exponential on our generator", "their laws",
                        "GSL's distributions"},
        [CLUTCHES] = {"samplers: eggs of some mothers", "sums of whole numbers, all alike", "exact convolution"},
        [DIGITS] = {"samplers: last digit of binomials of 10^15", "ten alike", "chi-square"},
    };
    for (int i = 0; i < N_CHECKS; i++)
        p_values_line(&book, i, line[i].check, line[i].must, line[i].source);
}

int main(void) {
    const char *const source = getenv("SRC");
    book.entry = calloc(P_VALUES_MAX, sizeof *book.entry);
    rng = gsl_rng_alloc(wg_rng_type());
    other = gsl_rng_alloc(gsl_rng_ranlxd2);
    if (book.entry == NULL || rng == NULL || other == NULL)
        return 2;
    wg_rng_start(rng, 1975, 1, WG_PURPOSE_DEMOGRAPHY);
    int wrong = draw_mix(source != NULL ? source : ".", "bench-overlap") < 0;
    wrong += draw_mix(source != NULL ? source : ".", "harrow-hill-outdoors") < 0;
    draw_grid();
    draw_digits();
    draw_poisson();
    const int64_t split[] = {7, 1000, INT64_C(1) << 33, INT64_C(1000000000000000)};
    for (int i = 0; i < 4; i++)
        draw_multinomial(split[i]);
    draw_continuous();
    draw_clutches(1, 400, 900);
    draw_clutches(3, 400, 900);
    draw_clutches(30, 500, 700);
    wrong += draw_control();
    wrong += p_values_judge(&book, FALSE_ALARM);
    put_lines();
    for (int i = 0; i < book.n && book.entry[i].rejected; i++)
        (void)printf("rejected: %s, p %.3g\n", book.entry[i].name, book.entry[i].p);
    (void)printf("%d p-values of samplers together, false-alarm rate %g (Holm): %s\n", book.n, FALSE_ALARM,
                 wrong == 0 ? "all pass" : "NOT all pass");
    gsl_rng_free(rng);
    gsl_rng_free(other);
    free(book.entry);
    return wrong > 0;
}
