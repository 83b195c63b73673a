/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * The likelihood of a finding by hand, and that the files are whole.
 */
#include "calibration/posterior.h"
#include "calibration/quantities.h"
#include "species/clock.h"

#include <criterion/criterion.h>
#include <math.h>

TestSuite(findings);

Test(findings, two_sided_is_a_normal_kernel) {
    const struct finding ten = {.scale = FINDING_LN, .n_modes = 1, .mode = {log(10.0)}, .error = 0.5};
    cr_expect_float_eq(finding_log_likelihood(&ten, finding_scaled(&ten, 10)), 0, 1e-12);
    cr_expect_float_eq(finding_log_likelihood(&ten, finding_scaled(&ten, 10 * exp(1.0))), -2, 1e-12);
    cr_expect_float_eq(finding_pull(&ten, finding_scaled(&ten, 10 * exp(-1.0))), -2, 1e-12);
}

Test(findings, one_sided_allows_the_other_side) {
    struct finding half = {.scale = FINDING_PLAIN, .side = FINDING_AT_MOST, .n_modes = 1, .mode = {0.5}, .error = 0.1};
    cr_expect_eq(finding_log_likelihood(&half, 0.1), 0);
    cr_expect_float_eq(finding_log_likelihood(&half, 0.6), -0.5, 1e-12);
    half.side = FINDING_AT_LEAST;
    cr_expect_eq(finding_log_likelihood(&half, 0.9), 0);
    cr_expect_float_eq(finding_log_likelihood(&half, 0.4), -0.5, 1e-12);
}

/* 2 % alive is a hazard of 3.912, 0.02^(e) = exp(-3.912 e) one e-folding more: it counts alike from there. */
Test(findings, a_share_alive_on_the_scale_of_its_hazard_rises_with_the_share) {
    const struct finding two = {.scale = FINDING_LN_HAZARD, .n_modes = 1, .mode = {-log(-log(0.02))}, .error = 0.25};
    cr_expect_float_eq(finding_pull(&two, finding_scaled(&two, pow(0.02, exp(1.0)))), -4, 1e-9);
    cr_expect_float_eq(finding_pull(&two, finding_scaled(&two, pow(0.02, exp(-1.0)))), 4, 1e-9);
    cr_expect(isfinite(finding_scaled(&two, 0)) && isfinite(finding_scaled(&two, 1)), "nobody or everybody alive");
}

Test(findings, either_of_two_papers_may_be_right) {
    const struct finding both = {.scale = FINDING_PLAIN, .n_modes = 2, .mode = {0, 3}, .error = 0.5};
    cr_expect_float_eq(finding_log_likelihood(&both, 0), 0, 1e-7);
    cr_expect_float_eq(finding_log_likelihood(&both, 3), 0, 1e-7);
    cr_expect_float_eq(finding_log_likelihood(&both, 1.5), log(2 * exp(-4.5)), 1e-7);
    cr_expect_float_eq(finding_pull(&both, 2), -2, 1e-12);
}

/* The keepers' set was chosen by hand from the same papers. */
Test(findings, files_are_whole_and_the_keepers_set_agrees) {
    static struct priors priors;
    static struct findings findings;
    static struct posterior posterior;
    struct wg_species keepers;
    priors_read(&priors, WG_SOURCE_DIR "/tests/calibration/priors.tsv");
    findings_read(&findings, WG_SOURCE_DIR "/tests/verify/findings.tsv");
    posterior_make(&posterior, &priors, &findings);
    cr_assert_eq(wg_species_set(&keepers, "keepers"), 0);
    for (int i = 0; i < posterior.n; i++) {
        const struct finding *const finding = posterior.row[i].finding;
        const double value = quantity_of(&keepers, posterior.row[i].quantity);
        cr_expect_leq(fabs(finding_pull(finding, finding_scaled(finding, value))), 2.0, "%s: %g", finding->key, value);
    }
}

/* At its centre every prior gives the middle of its range: an animal within all limits. */
Test(findings, the_middle_of_the_priors_is_an_animal) {
    static struct priors priors;
    struct wg_species species;
    const double z[MAX_PRIORS] = {0};
    priors_read(&priors, WG_SOURCE_DIR "/tests/calibration/priors.tsv");
    cr_assert(priors_animal(&priors, z, &species));
    cr_expect_float_eq(1 / wg_rate_per_day(&species.rate[WG_CLOCK_LARVA], 27), sqrt(16.0 * 27), 1e-9);
    cr_expect_float_eq(species.clutch_low + species.clutch_high, 2 * sqrt(450.0 * 720), 1e-9);
    cr_expect_float_eq(species.dorm_heat_median, sqrt(60.0 * 300), 1e-9);
}
