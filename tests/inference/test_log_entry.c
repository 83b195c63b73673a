/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks the errors of entries. About flies: flies are noticed independently, so the probabilities of missing two
 * groups multiply; and false "yes" and "no" have the same error rate. Both hold for any detection probability.
 */
#include "inference/log_entry.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <math.h>

static double seen(struct wg_diary *d, const struct wg_log_entry *note, int64_t females, int64_t males) {
    d->count[WG_FEMALE] = females;
    d->count[WG_MALE] = males;
    return wg_log_entry_simulated(note, NULL, d); /* what is seen is the colony's alone */
}

Test(fit_note, flies_are_noticed_one_by_one) {
    struct wg_plan plan;
    struct wg_diary d;
    struct wg_error err;
    plan_laboratory(&plan, 27, 1);
    cr_assert_eq(wg_diary_init(&d, &plan, &err), 0);
    const struct wg_log_entry note = {
        .kind = WG_LOG_ADULTS, .since = plan.first_day, .day = plan.first_day, .value = 1};
    const double none = seen(&d, &note, 0, 0), crowd = seen(&d, &note, 100000, 0);
    cr_expect(none > 0 && none < 0.1, "seen where there are none: %g", none);
    cr_expect_float_eq(none, 1 - crowd, 1e-12, "errors are alike: %g, %g", none, 1 - crowd);
    double missed[8];
    for (int n = 0; n < 8; n++)
        missed[n] = (crowd - seen(&d, &note, n / 2, n - n / 2)) / (crowd - none);
    cr_expect(missed[1] > 0 && missed[1] < 1, "%g", missed[1]);
    for (int n = 2; n < 8; n++)
        cr_expect_float_eq(missed[n], pow(missed[1], n), 1e-12, "%d flies: %g", n, missed[n]);
    wg_diary_free(&d);
    wg_plan_free(&plan);
}

/* An entry's median is the true value; a weight one sd of the logarithm above it has 84.13 % below (any table). */
Test(fit_note, errors_are_centred_on_the_truth) {
    struct wg_log_entry note = {.kind = WG_LOG_CRAWL_OFF, .value = 2};
    cr_expect_float_eq(wg_log_entry_below(&note, 2), 0.5, 1e-12);
    note.value = 2.02 * exp(sqrt(wg_log_entry_variance(&note, 2))) - 0.02;
    cr_expect_float_eq(wg_log_entry_below(&note, 2), 0.8413, 1e-4);
    note.kind = WG_LOG_ADULTS;
    cr_expect_float_eq(wg_log_entry_variance(&note, 0.9), 0.09, 1e-12, "of a coin");
}

/* Half of the keepers' prepupae are dead after 23 days at 5 degC: Spranghers et al. 2017, J. Econ. Entomol. 110:1501, abstract. */
Test(fit_note, half_of_a_jar_is_alive_after_23_days_at_5_degrees) {
    struct wg_species keepers;
    cr_assert_eq(wg_species_set(&keepers, "keepers"), 0);
    const struct wg_log_entry jar = {
        .kind = WG_LOG_JAR, .since = 100, .day = 122, .temp_c = 5, .started = 100, .value = 0.5};
    const double alive = wg_log_entry_simulated(&jar, &keepers, NULL);
    cr_expect_float_eq(alive, 0.5, 0.01, "%g", alive);
    /* 50 of 100: a binomial sd of 5, a tenth of the logarithm; jars that differ add a tenth of ln 2 */
    cr_expect_float_eq(sqrt(wg_log_entry_variance(&jar, 0.5)), hypot(0.1, 0.1 * log(2)), 2e-3);
    cr_expect_float_eq(wg_log_entry_below(&jar, 0.5), 0.5, 1e-12);
}

/* Four days with 1, 2, 4 and 8 of each: days 1 to 2 have 6, a temperature is that of the last day. */
Test(fit_note, amounts_are_summed_over_the_days_of_a_note) {
    struct wg_plan plan;
    struct wg_diary d;
    struct wg_error err;
    plan_laboratory(&plan, 27, 4);
    cr_assert_eq(wg_diary_init(&d, &plan, &err), 0);
    for (int day = 0; day < 4; day++) {
        d.crawl_off_mass[day] = 1 << day;
        d.harvest_mass[day] = 10 * (1 << day);
        d.eggs_trapped[day] = 100 * (1 << day);
        d.bin_temperature[day] = 20 + day;
    }
    static const struct {
        enum wg_log_kind kind;
        double expected;
    } all[] = {{WG_LOG_CRAWL_OFF, 6}, {WG_LOG_TAKEN, 60}, {WG_LOG_EGGS_TRAPPED, 600}, {WG_LOG_BIN_TEMPERATURE, 22}};
    for (size_t i = 0; i < sizeof all / sizeof *all; i++) {
        const struct wg_log_entry note = {
            .kind = all[i].kind, .since = plan.first_day + 1, .day = plan.first_day + 2, .value = 1};
        cr_expect_float_eq(wg_log_entry_simulated(&note, NULL, &d), all[i].expected, 1e-12, "%s",
                           wg_log_kind_name(all[i].kind));
    }
    wg_diary_free(&d);
    wg_plan_free(&plan);
}
