/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Resampling and order against their definitions: a systematic sample is within one of its expectation for every range
 * of scores, and van der Corput's order takes one from each block.
 */
#include "calibration/choose.h"

#include <criterion/criterion.h>
#include <gsl/gsl_rng.h>
#include <math.h>

enum { N = 500, CHOSEN = 64 };

static double weight[N], score[N], other[N];

static void fill(void) {
    gsl_rng *const rng = gsl_rng_alloc(gsl_rng_mt19937);
    for (int i = 0; i < N; i++) {
        weight[i] = gsl_rng_uniform(rng) * (i % 7 != 0);
        score[i] = gsl_rng_uniform(rng);
        other[i] = weight[i] * (1.0 + 5.0 * (score[i] < 0.2));
    }
    gsl_rng_free(rng);
}

TestSuite(choose, .init = fill);

Test(choose, every_range_of_scores_gets_its_share_to_within_one) {
    int choice[CHOSEN];
    double all = 0.0;
    for (int i = 0; i < N; i++)
        all += weight[i];
    for (double u = 0.05; u < 1.0; u += 0.1) {
        choose_systematic(N, weight, score, u, CHOSEN, choice);
        for (double limit = 0.1; limit < 1.0; limit += 0.1) {
            double below = 0.0;
            int picked = 0;
            for (int i = 0; i < N; i++)
                below += score[i] < limit ? weight[i] / all * CHOSEN : 0.0;
            for (int k = 0; k < CHOSEN; k++) {
                cr_assert_gt(weight[choice[k]], 0.0);
                picked += score[choice[k]] < limit;
            }
            cr_expect_lt(fabs(picked - below), 1.0, "below %g: %d picked, %g expected", limit, picked, below);
        }
    }
}

Test(choose, the_first_powers_of_two_take_one_from_each_block) {
    int order[CHOSEN], rank[CHOSEN];
    order_fairly(CHOSEN, score, order);
    for (int i = 0; i < CHOSEN; i++) {
        rank[i] = 0;
        for (int k = 0; k < CHOSEN; k++)
            rank[i] += score[k] < score[order[i]];
    }
    for (int first = 2; first <= CHOSEN; first *= 2)
        for (int from = 0; from < CHOSEN; from += first) {
            int seen[CHOSEN] = {0};
            for (int i = from; i < from + first; i++)
                seen[rank[i] * first / CHOSEN]++;
            for (int block = 0; block < first; block++)
                cr_expect_eq(seen[block], 1, "places %d to %d, block %d", from, from + first - 1, block);
        }
}

/* In plain van der Corput order the first group has the lower of each two neighbours. */
Test(choose, groups_have_the_same_mean_rank) {
    int order[CHOSEN];
    double rank[CHOSEN];
    for (int i = 0; i < CHOSEN; i++)
        rank[i] = i;
    order_fairly(CHOSEN, rank, order);
    for (int group = 4; group < CHOSEN; group *= 2)
        for (int from = 0; from < CHOSEN; from += group) {
            double mean = 0.0;
            for (int i = from; i < from + group; i++)
                mean += rank[order[i]] / group;
            cr_expect_float_eq(mean, (CHOSEN - 1) / 2.0, 1e-9, "places %d to %d", from, from + group - 1);
        }
}

Test(choose, slices_keep_the_other_weight) {
    double mass[CHOSEN], sum = 0.0, all = 0.0;
    slice_other(N, weight, other, score, CHOSEN, mass);
    for (int k = 0; k < CHOSEN; k++)
        sum += mass[k];
    for (int i = 0; i < N; i++)
        all += other[i];
    cr_expect_float_eq(sum, all, 1e-9 * all);
    slice_other(N, weight, weight, score, CHOSEN, mass);
    for (int k = 1; k < CHOSEN; k++)
        cr_expect_float_eq(mass[k], mass[0], 1e-9 * mass[0], "equal weights give equal slices");
}

Test(choose, effective_number_of_weights) {
    const double equal[4] = {2, 2, 2, 2}, one[4] = {0, 3, 0, 0}, two[4] = {1, 0, 1, 0};
    cr_expect_float_eq(effective_weights(4, equal), 4.0, 1e-12);
    cr_expect_float_eq(effective_weights(4, one), 1.0, 1e-12);
    cr_expect_float_eq(effective_weights(4, two), 2.0, 1e-12);
}
