/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks what a measurement narrows: against the conjugate normal case, and the jar in the cold against the engine.
 */
#include "base/random.h"
#include "inference/measurements.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

enum { N = 256 };
#define LUCK 0.2 /* variance of luck in an animal's mean */

/* Normal answers of variance 1, of which a value explains `part`, another another; luck in the halves of the years. */
struct made {
    double value[2][N], half[2][N];
};

static void make_answers(struct made *made, double first, double second, uint64_t seed) {
    gsl_rng *const rng = gsl_rng_alloc(wg_rng_type());
    wg_rng_start(rng, seed, 1, WG_PURPOSE_PARAMETERS);
    for (int a = 0; a < N; a++) {
        made->value[0][a] = wg_normal(rng);
        made->value[1][a] = wg_normal(rng);
        const double answer = sqrt(first) * made->value[0][a] + sqrt(second) * made->value[1][a] +
                              sqrt(1 - first - second) * wg_normal(rng);
        for (int h = 0; h < 2; h++)
            made->half[h][a] = 10 + answer + sqrt(2 * LUCK) * wg_normal(rng);
    }
    gsl_rng_free(rng);
}

static struct wg_gain gain_of_two(const struct made *made, double error, int k) {
    const struct wg_measured measured[] = {{{{made->value[0], made->value[0]}}, error},
                                           {{{made->value[1], made->value[1]}}, error}};
    const struct wg_measured *const both[] = {&measured[0], &measured[1]};
    struct wg_gain gain;
    cr_assert_eq(
        wg_measurements_gain(N, (struct wg_halves){{made->half[0], made->half[1]}}, 1, LUCK, both, k, &gain, NULL), 0);
    return gain;
}

/*
 * Conjugate normal case (any textbook): a value of variance 1 that explains R of the answer, measured with error s, removes
 * R/(1 + s^2) of its variance; two independent ones the sum. Means over 30 seeds, within 0.035 (2.6 standard errors).
 */
Test(measurements, remove_what_the_conjugate_normal_case_does) {
    static struct made made;
    double removed[3] = {0}, low[3] = {0};
    int covered = 0;
    for (uint64_t seed = 1; seed <= 30; seed++) {
        make_answers(&made, 0.5, 0.2, seed);
        for (int k = 0; k <= 2; k++) {
            const struct wg_gain gain = gain_of_two(&made, 0.5, k);
            removed[k] += gain.share.value / 30;
            low[k] += gain.answer.low / 30;
            covered += k == 1 && gain.share.range.low < 0.4 && gain.share.range.high > 0.4;
        }
    }
    cr_expect_float_eq(removed[0], 0, 1e-9);
    cr_expect_float_eq(removed[1], 0.5 / 1.25, 0.035, "%g", removed[1]);
    cr_expect_float_eq(removed[2], 0.7 / 1.25, 0.035, "%g", removed[2]);
    cr_expect(covered >= 24, "%d of 30 intervals hold", covered);
    /* 5 of 100: 1.645 standard deviations below the mean, on average 10 */
    cr_expect_float_eq(low[0], 10 - 1.645, 0.1, "%g", low[0]);
    cr_expect_float_eq(low[1], 10 - 1.645 * sqrt(0.6), 0.1, "%g", low[1]);
}

/* A value without effect is above luck in at most 4 of 40 (2.5 % each: 1 expected, more than 4 in 3 of 1,000). */
Test(measurements, that_tell_nothing_gain_nothing) {
    static struct made made;
    int above = 0;
    double sum = 0;
    for (uint64_t seed = 1; seed <= 40; seed++) {
        make_answers(&made, 0, 0.3, seed);
        const struct wg_gain gain = gain_of_two(&made, 0.5, 1);
        above += wg_is_above_luck(&gain.share);
        sum += gain.share.value / 40;
    }
    cr_expect_leq(above, 4, "%d", above);
    cr_expect_leq(sum, 0.005, "%g", sum);
}

static const struct wg_measurement *find_measurement(const char *name) {
    const struct wg_measurement *m = wg_measurements();
    while (m->name != NULL && strcmp(m->name, name) != 0)
        m++;
    cr_assert_not_null(m->name);
    return m;
}

/* 28 days of prepupae at a constant 2 degC, lived by the engine: none goes on, so only deaths count. */
Test(measurements, a_jar_in_the_cold_is_that_of_the_engine) {
    struct wg_plan plan;
    struct wg_diary diary;
    plan_laboratory(&plan, 2, 28);
    plan_start(&plan, 0, WG_MOVABLE_PREPUPAE, 0, 100000);
    plan.species.dorm_temp_c = 0; /* awake: the dormant have a background of their own */
    plan.species.dorm_temp_scale = 0.1;
    plan_simulate(&plan, 0, &diary);
    const int64_t *const count = diary.count + (ptrdiff_t)(diary.n_days - 1) * WG_N_STAGES;
    const double alive = (double)(count[WG_PREPUPA] + count[WG_DORMANT]) / 100000;
    const double angle = find_measurement("jar_in_the_cold")->of_animal(&plan.species);
    /* the binomial's standard error is 0.16 points; the animals put in live their first day in part */
    cr_expect_float_eq(sin(angle) * sin(angle), alive, 0.02, "%g, engine %g", sin(angle) * sin(angle), alive);
    wg_diary_free(&diary);
    wg_plan_free(&plan);
}
