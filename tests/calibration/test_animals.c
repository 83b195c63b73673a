/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * The committed table of plausible animals against the findings that made it, and the fairness of its order.
 */
#include "calibration/posterior.h"
#include "calibration/quantities.h"
#include "species/plausible.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>

enum { MOST = 1024, GROUP = 64 };

static struct priors priors;
static struct findings findings;
static struct posterior posterior;

static void read_all(void) {
    priors_read(&priors, WG_SOURCE_DIR "/tests/calibration/priors.tsv");
    findings_read(&findings, WG_SOURCE_DIR "/tests/verify/findings.tsv");
    posterior_make(&posterior, &priors, &findings);
}

TestSuite(animals, .init = read_all);

static double scaled(const struct closed_row *row, int animal) {
    struct wg_species species;
    wg_plausible_animal(animal, &species);
    return finding_scaled(row->finding, quantity_of(&species, row->quantity));
}

/* A finding is one draw from the spread between papers: the mean animal should be no farther off than its error. */
Test(animals, agree_with_every_finding_on_average) {
    const int n = wg_plausible_count();
    for (int i = 0; i < posterior.n; i++) {
        const struct closed_row *const row = &posterior.row[i];
        double mean = 0, off = 0;
        for (int k = 0; k < n; k++) {
            const double value = scaled(row, k);
            mean += value / n;
            off += fabs(finding_pull(row->finding, value)) / n;
        }
        if (row->finding->n_modes > 1)
            cr_expect_leq(off, 1.0, "%s: %g errors off the nearer paper", row->finding->key, off);
        else
            cr_expect_leq(fabs(finding_pull(row->finding, mean)), 1.0, "%s: mean %g", row->finding->key, mean);
    }
}

/* The committed sets are ordinary members: not farther off than the most unlikely of the animals. */
Test(animals, keepers_and_laboratory_are_ordinary_members) {
    double least = HUGE_VAL;
    for (int k = 0; k < wg_plausible_count(); k++) {
        struct wg_species animal;
        wg_plausible_animal(k, &animal);
        least = fmin(least, posterior_log_likelihood(&posterior, &animal));
    }
    static const char *const sets[] = {"keepers", "laboratory"};
    for (int k = 0; k < 2; k++) {
        struct wg_species species;
        cr_assert_eq(wg_species_set(&species, sets[k]), 0);
        cr_expect_geq(posterior_log_likelihood(&posterior, &species), least, "%s", sets[k]);
    }
}

Test(animals, half_are_dormant_by_day_length_in_every_group) {
    for (int k = 0; k < wg_plausible_count(); k += 2) {
        struct wg_species one, other;
        wg_plausible_animal(k, &one);
        wg_plausible_animal(k + 1, &other);
        cr_expect_eq(one.dorm_by_day, 1.0);
        cr_expect_eq(other.dorm_by_day, 0.0);
    }
}

/* Of the mean of n of N values that were drawn without replacement. */
static double standard_error(const double *value, int N, int n) {
    double mean = 0, squares = 0;
    for (int k = 0; k < N; k++)
        mean += value[k] / N;
    for (int k = 0; k < N; k++)
        squares += (value[k] - mean) * (value[k] - mean) / (N - 1);
    return sqrt(squares / n * (1 - (double)n / N));
}

static void expect_fair(const char *key, const double *value, int N, int from, int n) {
    double all = 0, some = 0;
    for (int k = 0; k < N; k++)
        all += value[k] / N;
    for (int k = from; k < from + n; k++)
        some += value[k] / n;
    cr_expect_leq(fabs(some - all), 4 * standard_error(value, N, n) + 1e-12, "%s, animals %d to %d: %g, all %g", key,
                  from, from + n - 1, some, all);
}

/* Of random groups one comparison in 15,000 would be four standard errors off; there are 308. The table is fixed. */
Test(animals, groups_are_fair_in_every_finding) {
    static double value[MOST];
    const int N = wg_plausible_count();
    cr_assert_leq(N, MOST);
    for (int i = 0; i < posterior.n; i++) {
        for (int k = 0; k < N; k++)
            value[k] = fmax(scaled(&posterior.row[i], k), -50.0); /* logarithms of nothing left alive */
        for (int first = 32; first < N; first *= 2)
            expect_fair(posterior.row[i].finding->key, value, N, 0, first);
        for (int from = GROUP; from < N; from += GROUP)
            expect_fair(posterior.row[i].finding->key, value, N, from, GROUP);
    }
}

static int compare_weights(const void *a, const void *b) {
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Neighbours in survival and harvest share a weight, one in each group: so groups hold the same weights. */
Test(animals, every_group_has_the_same_weights_without_june) {
    double first[GROUP], group[GROUP], sum = 0;
    for (int from = 0; from < wg_plausible_count(); from += GROUP) {
        for (int k = 0; k < GROUP; k++) {
            group[k] = wg_plausible_weight_without_june(from + k);
            sum += group[k];
            cr_expect_gt(group[k], 0.0);
        }
        qsort(group, GROUP, sizeof *group, compare_weights);
        for (int k = 0; k < GROUP; k++) {
            first[k] = from == 0 ? group[k] : first[k];
            cr_expect_eq(group[k], first[k], "animals from %d, weight %d", from, k);
        }
    }
    cr_expect_float_eq(sum, wg_plausible_count(), 0.05, "the weights have a mean of 1");
}
