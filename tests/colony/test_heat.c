/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Metabolic heat of larvae: independent of the step, limited by their biology, and equal to that of the feed eaten.
 *
 * tests/housing checks the first law; here 1 step a day is compared with 24, in which the heat follows the bin hour by
 * hour by itself.
 */
#include "housing/housing.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>

/* ---- the heat of every day of a run, recorded where the colony calls the housing ---- */

enum { MAX_DAYS = 64 };
static double heat_j[MAX_DAYS];
static int32_t first_day;

void __real_wg_place_run(struct wg_place_state *state, const struct wg_place_model *model,
                         const struct wg_place_settings *settings, const struct wg_sky *sky, int from, int to,
                         struct wg_bin_heat *heat, const double *substrate_kg, bool power_out,
                         struct wg_place_hours *hours);
void __wrap_wg_place_run(struct wg_place_state *state, const struct wg_place_model *model,
                         const struct wg_place_settings *settings, const struct wg_sky *sky, int from, int to,
                         struct wg_bin_heat *heat, const double *substrate_kg, bool power_out,
                         struct wg_place_hours *hours);

void __wrap_wg_place_run(struct wg_place_state *state, const struct wg_place_model *model,
                         const struct wg_place_settings *settings, const struct wg_sky *sky, int from, int to,
                         struct wg_bin_heat *heat, const double *substrate_kg, bool power_out,
                         struct wg_place_hours *hours) {
    __real_wg_place_run(state, model, settings, sky, from, to, heat, substrate_kg, power_out, hours);
    if (sky->day >= first_day && sky->day < first_day + MAX_DAYS)
        heat_j[sky->day - first_day] += hours->bin_heat_j[0];
}

/* ---- a foam bin in the garden, in July ---- */

static void foam_bin(struct wg_plan *plan, int days, double volume_m3, int64_t larvae, int steps) {
    plan_outdoors(plan, days);
    plan->first_day = first_day = wg_day_from_date((struct wg_date){2026, 7, 1});
    plan->last_day = plan->first_day + days - 1;
    plan->steps_per_day = steps;
    wg_bin_defaults(&plan->bins[0].spec, WG_OUTDOORS, volume_m3, 0.025);
    plan_start(plan, 0, WG_MOVABLE_LARVAE, 10, larvae);
    plan_collect(plan, 1);
}

static double hottest(const struct wg_diary *d) {
    double most_c = d->bin_high[0];
    for (int day = 1; day < d->n_days; day++)
        most_c = fmax(most_c, d->bin_high[day]);
    return most_c;
}

/* Means over a few years, with the same weather for every step. */
struct outcome {
    double crawl_off_kg, hottest_c, larvae;
};

static struct outcome live_there(int64_t larvae, int steps) {
    enum { YEARS = 6 };
    struct wg_plan plan;
    struct outcome mean = {0};
    foam_bin(&plan, 25, 0.150, larvae, steps);
    plan_feed(&plan, 20);
    for (uint64_t k = 0; k < YEARS; k++) {
        struct wg_diary d;
        plan_simulate(&plan, k, &d);
        mean.crawl_off_kg += d.total_crawl_off_mass / YEARS;
        mean.hottest_c += hottest(&d) / YEARS;
        mean.larvae += (double)d.bin_larvae[2] / YEARS;
        wg_diary_free(&d);
    }
    wg_plan_free(&plan);
    return mean;
}

/*
 * Results may depend on the step by 5 %, which a keeper cannot see. Six years, the same for both, keep sampling error
 * below 1 % (tens of thousands of larvae). With heat constant over the step, 50,000 larvae left a hundredth of the
 * crawl-off at one step a day, in a bin of 42 degC.
 */
Test(heat, of_a_dense_bin_does_not_depend_on_the_step) {
    const int64_t count[] = {20000, 50000, 100000, 300000};
    for (int i = 0; i < 4; i++) {
        const struct outcome fine = live_there(count[i], 24);
        const int steps[] = {1, 4};
        for (int k = 0; k < 2; k++) {
            const struct outcome got = live_there(count[i], steps[k]);
            const long long n = (long long)count[i];
            cr_expect_float_eq(got.crawl_off_kg / fine.crawl_off_kg, 1.0, 0.05,
                               "%lld larvae, %d steps: %.3f of %.3f kg", n, steps[k], got.crawl_off_kg,
                               fine.crawl_off_kg);
            cr_expect_float_eq(got.larvae / fine.larvae, 1.0, 0.05, "%lld larvae, %d steps: %.0f of %.0f left", n,
                               steps[k], got.larvae, fine.larvae);
            cr_expect_float_eq(got.hottest_c, fine.hottest_c, 0.5, "%lld larvae, %d steps: %.2f, not %.2f degC", n,
                               steps[k], got.hottest_c, fine.hottest_c);
        }
    }
}

/* Larvae stop eating at 37.2 degC (larva_tm), so no bin that only larvae warm above its air is hotter. */
Test(heat, of_any_number_of_larvae_boils_no_bin) {
    const double volume_m3[] = {0.010, 0.150, 1.000};
    const int steps[] = {1, 2, 4, 24};
    for (int v = 0; v < 3; v++)
        for (int k = 0; k < 4; k++)
            for (double count = 1e6; count < 2e15; count *= 10) {
                struct wg_plan plan;
                struct wg_diary d;
                foam_bin(&plan, 6, volume_m3[v], (int64_t)count, steps[k]);
                plan_simulate(&plan, 0, &d);
                cr_expect(hottest(&d) < 45, "%g m3, %d steps, %g larvae: %g degC", volume_m3[v], steps[k], count,
                          hottest(&d));
                wg_diary_free(&d);
                wg_plan_free(&plan);
            }
}

static double eaten_kg(const struct wg_diary *d) {
    double sum = 0;
    for (int day = 0; day < d->n_days; day++)
        sum += d->feed_eaten[day];
    return sum;
}

/*
 * The feed eaten in the ledger times heat_per_dry_feed is the heat of the bin, within 0.1 % in 24 steps, where both
 * use the same hour. In one step the ledger takes the day's appetite from the larvae's tables, the heat that of half a
 * day ahead at 27 degC: 0.6 % here. (Where half of the larvae die of heat in a day, the ledger has the appetite of all
 * alive in the morning, the heat only that of survivors: 300,000 larvae eat 19 % more in one step than in 24.)
 */
Test(heat, is_that_of_what_was_eaten) {
    const int steps[] = {24, 4, 1};
    const double within[] = {0.002, 0.004, 0.01};
    for (int fed = 0; fed < 3; fed++)
        for (int k = 0; k < 3; k++) {
            struct wg_plan plan;
            struct wg_diary d;
            double sum_j = 0;
            foam_bin(&plan, 25, 0.150, 15000, steps[k]);
            if (fed > 0) /* too little, or plenty, of a daily meal; else unlimited */
                plan_feed(&plan, fed == 1 ? 1.0 : 20.0);
            for (int day = 0; day < MAX_DAYS; day++)
                heat_j[day] = 0;
            plan_simulate(&plan, 1, &d);
            for (int day = 0; day < d.n_days; day++)
                sum_j += heat_j[day];
            const double ratio = sum_j / (eaten_kg(&d) * plan.species.heat_per_dry_feed);
            cr_expect_float_eq(ratio, 1.0, within[k], "feed %d, %d steps: %.4f", fed, steps[k], ratio);
            wg_diary_free(&d);
            wg_plan_free(&plan);
        }
}

/* Scarce feed lasts all day, in one step as in 24: starvation is the same, within 1 %. */
Test(heat, a_scarce_meal_does_not_depend_on_the_step) {
    const double meal_kg[] = {0.3, 0.6};
    for (int m = 0; m < 2; m++) {
        double kg[3] = {0};
        const int steps[] = {1, 4, 24};
        for (int k = 0; k < 3; k++)
            for (uint64_t year = 0; year < 8; year++) {
                struct wg_plan plan;
                struct wg_diary d;
                plan_laboratory(&plan, 27, 90);
                plan.steps_per_day = steps[k];
                plan.species.laying_share_lamps = 0;
                plan_start(&plan, 0, WG_MOVABLE_LARVAE, 3, 10000);
                plan_feed(&plan, meal_kg[m]);
                plan_simulate(&plan, year, &d);
                kg[k] += d.total_crawl_off_mass / 8;
                wg_diary_free(&d);
                wg_plan_free(&plan);
            }
        for (int k = 0; k < 2; k++)
            cr_expect_float_eq(kg[k] / kg[2], 1.0, 0.01, "%g kg, %d steps: %.4f, not %.4f kg", meal_kg[m], steps[k],
                               kg[k], kg[2]);
    }
}
