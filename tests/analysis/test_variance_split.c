/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * The split of variance: worked examples by hand, brute force over all pairs, Wilson's and Student's intervals where nothing is
 * shared, and coverage in populations of animals and winters whose mean is known, with GSL's generators and laws.
 *
 * The samples are the same in every run (fixed seeds). A coverage of T trials has a standard error of sqrt(c (1 - c)/T): the
 * bounds lie at least three of them from what was measured, and the interval that takes all years for independent is measured
 * beside it.
 */
#include "analysis/variance_split.h"

#include "analysis/intervals.h"
#include "support/clustered_years.h"

#include <criterion/criterion.h>
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <string.h>

#define MAX_N CLUSTERED_MAX

TestSuite(variance_split, .timeout = 120);

static struct wg_variance_split split_of(const struct wg_split_value *values, int64_t n, enum wg_split_kind kind) {
    struct wg_variance_split split;
    struct wg_error err = {0};
    cr_assert_eq(wg_variance_split(&split, values, n, kind, 0.95, &err), 0);
    return split;
}

/* ---- by hand ---- */

/* Two animals (rows 1 3 and 5 11) in the same two winters: mean squares 36 of animals, 16 of winters, 4 of the rest. */
static const struct wg_split_value crossed[] = {{1, 1, 0, 0}, {3, 1, 0, 1}, {5, 1, 1, 0}, {11, 1, 1, 1}};

Test(variance_split, of_a_crossed_design_is_the_analysis_of_variance) {
    const struct wg_variance_split s = split_of(crossed, 4, WG_SPLIT_AMOUNT);
    cr_expect_eq(s.n, 4);
    cr_expect_eq(s.n_animals, 2);
    cr_expect_eq(s.n_winters, 2);
    cr_expect_float_eq(s.mean, 5, 1e-12);
    cr_expect_float_eq(s.animal, (36 - 4) / 2.0, 1e-12);
    cr_expect_float_eq(s.winter, (16 - 4) / 2.0, 1e-12);
    cr_expect_float_eq(s.rest, 4, 1e-12);
    cr_expect_float_eq(s.error, sqrt(16 / 2.0 + 6 / 2.0 + 4 / 4.0), 1e-12);
    /* Satterthwaite: (9 + 4 - 1)^2/(9^2/1 + 4^2/1 + 1^2/3) */
    cr_expect_float_eq(s.freedom, 144 / (81 + 16 + 1 / 3.0), 1e-12);
    /* third moment by clusters: 0 of animals, 0 of winters, less (-64 - 8 + 0 + 216)/4^3 of pairs */
    const struct wg_interval want = wg_error_interval(5, sqrt(12), -2.25 / pow(12, 1.5), s.freedom, 0.95);
    cr_expect_eq(s.interval.low, 0, "no value is negative");
    cr_expect_float_eq(s.interval.high, want.high, 1e-9);
    /* the two animals lie 3 from the mean; a mean of two values has noise 6/2 + 4/2 */
    const double kept = 3 * sqrt(16 / 21.0);
    cr_expect(s.animals.is_known && s.winters.is_known);
    cr_expect_float_eq(s.animals.q05, 5 - 0.9 * kept, 1e-12);
    cr_expect_float_eq(s.animals.q50, 5, 1e-12);
    cr_expect_float_eq(s.animals.q95, 5 + 0.9 * kept, 1e-12);
    cr_expect_float_eq(s.winters.q95, 5 + 0.9 * 2 * sqrt(6 / (6 + 16 / 2.0 + 4 / 2.0)), 1e-12);
}

Test(variance_split, of_one_animal_is_the_analysis_of_winters) {
    /* three winters, two years in each: means 2, 4, 9, within 1/2, 2, 0; MS between 26, within 5/6 */
    const struct wg_split_value v[] = {{1.5, 1, -1, 0}, {2.5, 1, -1, 0}, {3, 1, -1, 7},
                                       {5, 1, -1, 7},   {9, 1, -1, 9},   {9, 1, -1, 9}};
    const struct wg_variance_split s = split_of(v, 6, WG_SPLIT_AMOUNT);
    cr_expect_eq(s.n_animals, 1);
    cr_expect_eq(s.animal, 0);
    cr_expect(!s.animals.is_known && s.winters.is_known);
    cr_expect_float_eq(s.winter, (26 - 5 / 6.0) / 2, 1e-12);
    cr_expect_float_eq(s.rest, 5 / 6.0, 1e-12);
    cr_expect_float_eq(s.error, sqrt(26 / 6.0), 1e-12);
    cr_expect_float_eq(s.freedom, 2, 1e-12, "of three winters");
}

Test(variance_split, where_nothing_is_shared_is_that_of_independent_values) {
    struct wg_split_value v[40];
    double sum = 0, squares = 0, cubes = 0;
    for (int k = 0; k < 40; k++) {
        v[k] = (struct wg_split_value){exp(k * 0.1), 1, k, 100 - k};
        sum += v[k].value / 40;
    }
    for (int k = 0; k < 40; k++) {
        squares += pow(v[k].value - sum, 2) / 40;
        cubes += pow(v[k].value - sum, 3) / 40;
    }
    const struct wg_variance_split s = split_of(v, 40, WG_SPLIT_AMOUNT);
    const struct wg_interval want = wg_mean_interval(sum, sqrt(squares * 40 / 39), cubes / pow(squares, 1.5), 40, 0.95);
    cr_expect(!s.animals.is_known && !s.winters.is_known);
    cr_expect_float_eq(s.freedom, 39, 1e-9);
    cr_expect_float_eq(s.luck.low, want.low, 1e-9);
    cr_expect_float_eq(s.luck.high, want.high, 1e-9);
    cr_expect_float_eq(s.error, sqrt(squares / 39), 1e-9);
    for (int k = 0; k < 40; k++)
        v[k].value = k < 4;
    const struct wg_variance_split share = split_of(v, 40, WG_SPLIT_SHARE);
    const struct wg_interval wilson = wg_wilson(4, 40, 0.95);
    cr_expect_float_eq(share.luck.low, wilson.low, 1e-9);
    cr_expect_float_eq(share.luck.high, wilson.high, 1e-9);
    cr_expect_float_eq(share.interval.low, wilson.low, 1e-9);
    cr_expect_float_eq(share.interval.high, wilson.high, 1e-9);
}

/* ---- brute force ---- */

struct pair_sum {
    double half_squares, weight;
};

static double ratio(struct pair_sum sum) {
    return sum.half_squares / sum.weight;
}

Test(variance_split, of_any_design_is_that_of_all_its_pairs) {
    gsl_rng *const rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, 4);
    struct wg_split_value v[240];
    struct pair_sum of[2][2] = {{{0}}}; /* [same animal][same winter] */
    for (int k = 0; k < 240; k++) {
        v[k].animal = (int64_t)gsl_rng_uniform_int(rng, 12);
        v[k].winter = (int64_t)gsl_rng_uniform_int(rng, 8);
        v[k].weight = 0.2 + (double)v[k].animal / 5;
        v[k].value = 2 * (double)(v[k].animal % 4) + 2 * (double)(v[k].winter % 3) +
                     3 * (double)(v[k].animal * v[k].winter % 5 == 1) + gsl_ran_gaussian(rng, 1);
    }
    double even[2][2] = {{0}}, weight = 0;
    for (int i = 0; i < 240; i++) {
        weight += v[i].weight;
        for (int j = 0; j < 240; j++) {
            const bool animal = v[i].animal == v[j].animal, winter = v[i].winter == v[j].winter;
            const double both = v[i].weight * v[j].weight, apart = v[i].value - v[j].value;
            of[animal][winter].half_squares += both * apart * apart / 2;
            of[animal][winter].weight += i != j ? both : 0;
            even[0][0] += animal ? both : 0;
            even[0][1] += winter ? both : 0;
            even[1][0] += animal && winter ? both : 0;
            even[1][1] += i == j ? both : 0;
        }
    }
    const double animal = ratio(of[0][0]) - ratio(of[1][0]), winter = ratio(of[0][0]) - ratio(of[0][1]);
    const double rest = ratio(of[0][0]) - animal - winter, luck = fmin(ratio(of[1][1]), rest);
    const struct wg_variance_split s = split_of(v, 240, WG_SPLIT_AMOUNT);
    cr_assert(animal > 0.5 && winter > 0.5 && rest > luck, "the example has all components");
    cr_expect_float_eq(s.animal, animal, 1e-9);
    cr_expect_float_eq(s.winter, winter, 1e-9);
    cr_expect_float_eq(s.rest, rest, 1e-9);
    const double variance = animal * even[0][0] + winter * even[0][1] + (rest - luck) * even[1][0] + luck * even[1][1];
    cr_expect_float_eq(s.error, sqrt(variance) / weight, 1e-9);
    gsl_rng_free(rng);
}

/* ---- coverage ---- */

static const double share_tried[] = {0.005, 0.02, 0.1, 0.5, 0.9, 0.98, 0.995};
static const struct year_effects strength[] = {{0, 0, 0}, {0.7, 0.6, 0.9}, {1.5, 1.5, 1}};

Test(variance_split, interval_of_a_share_holds) {
    static const struct {
        struct year_design design;
        int strength;
        double least; /* coverage over all shares */
    } row[] = {{{"lattice", place_in_lattice, 20}, 1, 0.83},
               {{"lattice", place_in_lattice, 128}, 2, 0.90},
               {{"lattice", place_in_lattice, 512}, 0, 0.92},
               {{"lattice", place_in_lattice, 512}, 1, 0.91},
               {{"lattice", place_in_lattice, 512}, 2, 0.90},
               {{"lattice", place_in_lattice, 1024}, 2, 0.90},
               {{"3 winters", place_in_three_winters, 512}, 1, 0.89},
               {{"3 winters", place_in_three_winters, 512}, 2, 0.89},
               {{"one animal, 3 winters", place_one_animal_in_three_winters, 200}, 1, 0.91},
               {{"one animal, 3 winters", place_one_animal_in_three_winters, 200}, 2, 0.91}};
    gsl_rng *const rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, 17);
    for (size_t r = 0; r < sizeof row / sizeof *row; r++) {
        const struct year_design *const d = &row[r].design;
        double plain = 1;
        for (size_t i = 0; i < sizeof share_tried / sizeof *share_tried; i++) {
            const struct coverage c = coverage_of_share(d, &strength[row[r].strength], share_tried[i], 300, rng);
            cr_log_info("%s, %lld years, strength %d: share %g: %.1f %%, plain %.1f %%, width %.3f", d->name,
                        (long long)d->n, row[r].strength, share_tried[i], 100 * c.split, 100 * c.plain, c.width);
            cr_expect_eq(c.degenerate, 0, "an interval of width 0");
            cr_expect(c.split >= row[r].least, "%s, %lld years, share %g: %g", d->name, (long long)d->n, share_tried[i],
                      c.split);
            plain = fmin(plain, c.plain);
        }
        cr_expect(d->n < 500 || row[r].strength < 2 || plain < 0.8, "the plain interval holds in %g", plain);
    }
    gsl_rng_free(rng);
}

Test(variance_split, interval_of_a_difference_of_shares_holds) {
    static const double share[][2] = {{0.005, 0.005}, {0.005, 0.05}, {0.1, 0.3},
                                      {0.5, 0.55},    {0.05, 0.98},  {0.98, 0.995}};
    static const struct year_design lattice = {"lattice", place_in_lattice, 512};
    gsl_rng *const rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, 19);
    for (size_t i = 0; i < sizeof share / sizeof *share; i++) {
        const struct coverage c = coverage_of_difference(&lattice, &strength[1], share[i], 300, rng);
        cr_log_info("%g and %g: %.1f %%, plain %.1f %%, width %.3f", share[i][0], share[i][1], 100 * c.split,
                    100 * c.plain, c.width);
        cr_expect(c.split >= 0.91 && c.degenerate == 0, "%g and %g: %g", share[i][0], share[i][1], c.split);
    }
    gsl_rng_free(rng);
}

Test(variance_split, interval_of_an_amount_holds) {
    /* all but the last of skewness 6: log variance 1.429 in all */
    static const struct year_effects effects[] = {
        {0, 0, 0}, {0.6, 0.5, 0.7}, {1, 0.5, 0.3}, {0.5, 1, 0.3}, {0.4, 0.3, 0.3}};
    static const double luck_sd[] = {1.19545, 0.5662, 0.3089, 0.3089, 0.2};
    static const struct {
        struct year_design design;
        int effects;
        double least;
    } row[] = {{{"lattice", place_in_lattice, 20}, 1, 0.88},
               {{"lattice", place_in_lattice, 64}, 3, 0.88},
               {{"lattice", place_in_lattice, 128}, 2, 0.88},
               {{"lattice", place_in_lattice, 512}, 0, 0.93},
               {{"lattice", place_in_lattice, 512}, 2, 0.90},
               {{"lattice", place_in_lattice, 512}, 3, 0.89},
               {{"lattice", place_in_lattice, 512}, 4, 0.91},
               {{"lattice", place_in_lattice, 1024}, 1, 0.90},
               {{"3 winters", place_in_three_winters, 512}, 1, 0.83},
               {{"3 winters", place_in_three_winters, 512}, 4, 0.88},
               {{"one animal, 3 winters", place_one_animal_in_three_winters, 200}, 3, 0.81}};
    gsl_rng *const rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, 18);
    for (size_t r = 0; r < sizeof row / sizeof *row; r++) {
        const struct year_design *const d = &row[r].design;
        const struct coverage c = coverage_of_amount(d, &effects[row[r].effects], luck_sd[row[r].effects], 500, rng);
        cr_log_info("%s, %lld years, effects %g and %g: %.1f %%, plain %.1f %%, width %.3f", d->name, (long long)d->n,
                    effects[row[r].effects].animal, effects[row[r].effects].winter, 100 * c.split, 100 * c.plain,
                    c.width);
        cr_expect(c.split >= row[r].least && c.degenerate == 0, "%s, %lld years, effects %g: %g", d->name,
                  (long long)d->n, effects[row[r].effects].animal, c.split);
        cr_expect(d->n < 512 || row[r].effects == 0 || c.plain < 0.8, "the plain interval holds in %g", c.plain);
    }
    gsl_rng_free(rng);
}

/* ---- components and bands ---- */

/* Effects of known variance: 4 of animals, 2 of winters, 3 of both and luck; 5 to 95 % of animals within 1.645 x 2. */
Test(variance_split, finds_components_and_bands_again_without_their_noise) {
    const int trials = 200;
    static struct wg_split_value v[MAX_N];
    static const struct year_design lattice = {"lattice", place_in_lattice, 512};
    const struct year_effects effects = {2, sqrt(2), sqrt(3)};
    double animal = 0, winter = 0, rest = 0, low = 0, high = 0, winter_low = 0;
    gsl_rng *const rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, 20);
    for (int t = 0; t < trials; t++) {
        draw_years(&lattice, &effects, v, rng);
        const struct wg_variance_split s = split_of(v, lattice.n, WG_SPLIT_AMOUNT);
        animal += s.animal / trials, winter += s.winter / trials, rest += s.rest / trials;
        low += s.animals.q05 / trials, high += s.animals.q95 / trials, winter_low += s.winters.q05 / trials;
    }
    cr_log_info("animal %.2f winter %.2f rest %.2f, animals %.2f to %.2f, winters from %.2f", animal, winter, rest, low,
                high, winter_low);
    /* one split has a standard deviation of 0.75, 0.4, 0.2; the bounds are three of them over 200 */
    cr_expect_float_eq(animal, 4, 0.16);
    cr_expect_float_eq(winter, 2, 0.09);
    cr_expect_float_eq(rest, 3, 0.05);
    /* 64 animals' own quantiles lie a little further in than the law's: 3.29 sd 0.5 over root 200, and 0.1 for that */
    cr_expect_float_eq(low, -3.29, 0.2);
    cr_expect_float_eq(high, 3.29, 0.2);
    cr_expect_float_eq(winter_low, -1.645 * sqrt(2), 0.2);
    gsl_rng_free(rng);
}

/* Animals of shares from a beta law: 8 years each would spread them further than they are. */
Test(variance_split, band_of_shares_is_without_binomial_noise) {
    const int trials = 200;
    static struct wg_split_value v[MAX_N];
    gsl_rng *const rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, 21);
    const double a = 2, b = 2, truth = gsl_cdf_beta_Pinv(0.05, a, b);
    double low = 0, raw = 0;
    for (int t = 0; t < trials; t++) {
        double share[64];
        int hits[64] = {0}, none = 0;
        for (int i = 0; i < 64; i++)
            share[i] = gsl_ran_beta(rng, a, b);
        for (int64_t k = 0; k < 512; k++) {
            place_in_lattice(&v[k], k);
            v[k].value = gsl_rng_uniform(rng) < share[v[k].animal];
            hits[v[k].animal] += v[k].value > 0;
        }
        for (int i = 0; i < 64; i++)
            none += hits[i] == 0;
        raw += none > 3 ? 0 : 0.125 * 1 / trials; /* the quantile of 64 raw shares lies between the 4th and the 5th */
        low += split_of(v, 512, WG_SPLIT_SHARE).animals.q05 / trials;
    }
    cr_log_info("5 of 100 animals below %.3f; the band says %.3f, raw shares at most %.3f", truth, low, raw);
    cr_expect_float_eq(low, truth, 0.02);
    cr_expect(raw < truth - 0.02, "raw shares lie below");
    gsl_rng_free(rng);
}

/* ---- the ends ---- */

Test(variance_split, of_values_all_alike_has_no_interval_of_width_0) {
    static struct wg_split_value v[512];
    for (int64_t k = 0; k < 512; k++) {
        place_in_lattice(&v[k], k);
        v[k].value = 1;
    }
    const struct wg_variance_split all = split_of(v, 512, WG_SPLIT_SHARE);
    cr_expect(all.mean == 1 && all.interval.high == 1 && all.error == 0);
    /* between 64 animals and 512 years, all alive: Wilson's lower end is n/(n + 3.84) */
    cr_expect(all.interval.low > 64 / (64 + 3.85) && all.interval.low < 512 / (512 + 3.84), "%g", all.interval.low);
    cr_expect(all.animals.q05 == 1 && all.animals.q95 == 1);
    for (int64_t k = 0; k < 512; k++)
        v[k].value = 0;
    const struct wg_variance_split tie = split_of(v, 512, WG_SPLIT_SHARE_DIFFERENCE);
    cr_expect(tie.interval.low < -0.004 && tie.interval.high > 0.004 && tie.interval.high < 0.05);
    cr_expect(isnan(split_of(v, 512, WG_SPLIT_AMOUNT).interval.low));
}

Test(variance_split, of_no_or_one_value) {
    const struct wg_split_value v[] = {{(double)NAN, 1, 0, 0}, {1, 0, 0, 1}, {1, 1, 3, 4}};
    const struct wg_variance_split none = split_of(v, 2, WG_SPLIT_SHARE);
    cr_expect(none.n == 0 && isnan(none.mean) && !none.animals.is_known);
    cr_expect(none.interval.low == 0 && none.interval.high == 1);
    const struct wg_variance_split one = split_of(v, 3, WG_SPLIT_SHARE);
    cr_expect(one.n == 1 && one.mean == 1 && one.interval.high == 1);
    cr_expect_float_eq(one.interval.low, 1 / (1 + 1.959964 * 1.959964), 1e-6, "Wilson, 1 of 1");
}

Test(variance_split, weights_of_0_and_1_select_animals) {
    static struct wg_split_value all[512], some[512];
    int64_t n = 0;
    for (int64_t k = 0; k < 512; k++) {
        place_in_lattice(&all[k], k);
        all[k].value = (double)((k * k) % 11 + all[k].animal);
        all[k].weight = all[k].animal % 3 != 0;
        if (all[k].weight > 0)
            some[n++] = all[k];
    }
    const struct wg_variance_split a = split_of(all, 512, WG_SPLIT_AMOUNT), b = split_of(some, n, WG_SPLIT_AMOUNT);
    cr_expect_eq(memcmp(&a, &b, sizeof a), 0);
    cr_expect_eq(a.n_animals, 42);
}

/* A weighted mean and its error know only ratios of weights; a power of two scales all of them without rounding. */
Test(variance_split, a_common_factor_of_all_weights_changes_nothing) {
    const double factor[] = {0x1p-30, 0x1p30};
    const struct wg_variance_split one = split_of(crossed, 4, WG_SPLIT_AMOUNT);
    for (int k = 0; k < 2; k++) {
        struct wg_split_value scaled[4];
        for (int i = 0; i < 4; i++) {
            scaled[i] = crossed[i];
            scaled[i].weight *= factor[k];
        }
        const struct wg_variance_split s = split_of(scaled, 4, WG_SPLIT_AMOUNT);
        cr_expect(s.animal == one.animal && s.winter == one.winter && s.rest == one.rest, "weights of %g", factor[k]);
        cr_expect(s.error == one.error && s.freedom == one.freedom && s.interval.high == one.interval.high);
        cr_expect(s.animals.q95 == one.animals.q95 && s.winters.q95 == one.winters.q95);
    }
}

/* Two years of 1 and 30 kg: Student's interval of one degree of freedom (12.71, any table) would reach far below nothing. */
Test(variance_split, few_amounts_have_no_negative_interval) {
    const struct wg_split_value values[] = {{1, 1, -1, 0}, {30, 1, -1, 1}};
    struct wg_variance_split split;
    cr_assert_eq(wg_variance_split(&split, values, 2, WG_SPLIT_AMOUNT, 0.95, NULL), 0);
    cr_expect_eq(split.interval.low, 0);
    cr_expect_eq(split.luck.low, 0);
    cr_expect_gt(split.interval.high, 30);
}
