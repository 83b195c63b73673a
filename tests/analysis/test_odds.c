/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Odds over animals and winters: which replicate has which, the weights without the June finding by the table of the animals,
 * and in how many animals a difference is better, counted by hand.
 */
#include "analysis/cells.h"
#include "analysis/compare.h"
#include "analysis/odds.h"
#include "forecast/lattice.h"
#include "species/plausible.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>

#define N 512

static struct wg_plan plan;
static struct wg_summary summary;
static struct wg_error err;

static void open_odds(void) {
    plan_laboratory(&plan, 27, 30);
    plan.animals = WG_ANIMALS_PLAUSIBLE;
    plan.seed = 3;
    cr_assert_eq(wg_summary_init(&summary, &plan, N, &err), 0);
    summary.n = N;
}

static void close_odds(void) {
    wg_summary_free(&summary);
    wg_plan_free(&plan);
}

TestSuite(odds, .init = open_odds, .fini = close_odds);

static double *outcome(enum wg_outcome_number number) {
    return (double *)(uintptr_t)wg_summary_outcome(&summary, number);
}

Test(odds, cells_are_those_of_the_lattice) {
    struct wg_split_value *cells;
    cr_assert_eq(wg_cells_of(&cells, &plan, N, &err), 0);
    for (int64_t k = 0; k < N; k++) {
        const struct wg_cell cell = wg_lattice_cell(&plan, k);
        cr_expect(cells[k].animal == cell.animal && cells[k].winter == cell.winter && cells[k].weight == 1);
    }
    free(cells);
    cr_expect(wg_plan_shares_cells(&plan));
    plan.animals = WG_ANIMALS_MIDDLE;
    cr_expect_not(wg_plan_shares_cells(&plan), "each year of generated weather is another one");
    cr_assert_eq(wg_cells_of(&cells, &plan, 3, &err), 0);
    cr_expect(cells[2].animal == -1 && cells[2].winter == 2);
    free(cells);
}

/* An animal of odd number survives always; the harvest is its number. */
Test(odds, leave_out_june_by_the_weights_of_the_animals) {
    struct wg_odds odds;
    double alive = 0, kg = 0, weight = 0, plain = 0;
    for (int64_t k = 0; k < N; k++) {
        const int animal = wg_lattice_cell(&plan, k).animal;
        const double w = wg_plausible_weight_without_june(animal);
        outcome(WG_OUTCOME_survived)[k] = animal % 2;
        outcome(WG_OUTCOME_total_crawl_off_mass)[k] = animal;
        weight += w, alive += w * (animal % 2), kg += w * animal, plain += animal % 2;
    }
    cr_assert_eq(wg_odds_find(&odds, &plan, &summary, &err), 0);
    cr_expect_eq(odds.harvest_outcome, WG_OUTCOME_total_crawl_off_mass, "this plan takes nothing out");
    cr_expect_float_eq(odds.survival.mean, plain / N, 1e-12);
    cr_expect_float_eq(odds.survival_without_june, alive / weight, 1e-12);
    cr_expect_float_eq(odds.harvest_without_june, kg / weight, 1e-9);
    cr_expect(odds.survival.animals.is_known && odds.survival.rest < 1e-9, "the animal decides");
    plan.animals = WG_ANIMALS_MIDDLE;
    cr_assert_eq(wg_odds_find(&odds, &plan, &summary, &err), 0);
    cr_expect(isnan(odds.survival_without_june) && !odds.over_animals);
    const struct wg_interval wilson = wg_wilson((size_t)plain, N, 0.95);
    cr_expect_float_eq(odds.survival.interval.low, wilson.low, 1e-12);
    cr_expect_float_eq(odds.survival.interval.high, wilson.high, 1e-12);
}

/* Animals by day length survive always, the others in each second round; then all alike, by luck only; then one kind. */
Test(odds, compare_the_kinds_of_dormancy) {
    struct wg_odds odds;
    struct wg_species species;
    for (int64_t k = 0; k < N; k++) {
        wg_plausible_animal(wg_lattice_cell(&plan, k).animal, &species);
        outcome(WG_OUTCOME_survived)[k] = species.dorm_by_day > 0.5 || k / 64 % 2 == 0;
    }
    cr_assert_eq(wg_odds_find(&odds, &plan, &summary, &err), 0);
    cr_expect(odds.by_day_length.n == N / 2 && odds.by_cold_only.n == N / 2, "half of each 64 animals");
    cr_expect(odds.by_day_length.share == 1 && odds.by_cold_only.share == 0.5 && odds.dormancy_decides);
    cr_expect(odds.by_cold_only.interval.low < 0.5 && odds.by_cold_only.interval.high > 0.5);
    for (int64_t k = 0; k < N; k++)
        outcome(WG_OUTCOME_survived)[k] = k / 64 % 2 == 0;
    cr_assert_eq(wg_odds_find(&odds, &plan, &summary, &err), 0);
    cr_expect(odds.by_day_length.share == odds.by_cold_only.share && !odds.dormancy_decides);
    plan.is_given[wg_parameter_index(wg_species_find("dormancy_by_day_length"))] = true;
    cr_assert_eq(wg_odds_find(&odds, &plan, &summary, &err), 0);
    cr_expect(odds.by_cold_only.n == 0 && odds.by_day_length.n == N && !odds.dormancy_decides, "the plan chooses");
}

/*
 * Of 64 animals, 10 gain 1 in every year, 20 gain 1 in one year and lose 1 in another, 4 lose 1 in one year, the others have the
 * same; one of those has no value in one of the setups.
 */
Test(odds, a_difference_counts_animals_by_the_sign_of_their_mean) {
    static double a[N], b[N];
    struct wg_split_value *cells;
    struct wg_difference d;
    cr_assert_eq(wg_cells_of(&cells, &plan, N, &err), 0);
    for (int64_t k = 0; k < N; k++) {
        const int64_t position = k % 64, round = k / 64;
        a[k] = 5;
        b[k] = 5;
        if (position < 10)
            b[k] = 6;
        else if (position < 30)
            b[k] = round == 2 ? 6 : round == 5 ? 4 : 5;
        else if (position < 34)
            b[k] = round == 7 ? 4 : 5;
        else if (position == 40)
            a[k] = (double)NAN;
    }
    cr_assert_eq(
        wg_compared_difference(&d, a, b, cells, N, WG_COMPARED_total_crawl_off_mass, WG_COMPARE_CONFIDENCE, &err), 0);
    cr_expect(d.animals.better == 10 && d.animals.worse == 4 && d.animals.same == 49 && d.animals.without == 1);
    cr_expect_eq(d.better, 80 + 20);
    cr_expect_float_eq(d.mean, (80 - 4) / 504.0, 1e-12);
    const struct wg_difference alone = wg_difference(a, b, N, WG_MORE_IS_BETTER, WG_MISSING_OMITTED);
    cr_expect(d.interval.high - d.interval.low > 1.5 * (alone.interval.high - alone.interval.low),
              "10 of 64 animals decide, not 80 of 504 years");
    cr_expect(d.chance_interval.high - d.chance_interval.low >
              1.2 * (alone.chance_interval.high - alone.chance_interval.low));
    cr_assert_eq(wg_compared_difference(&d, a, b, cells, N, WG_COMPARED_total_heater_cost, WG_COMPARE_CONFIDENCE, &err),
                 0);
    cr_expect(d.animals.better == 4 && d.animals.worse == 10, "less is better");
    free(cells);
}

/* A middle animal in the lattice is compared with plausible ones in the same winters; the pair has the animals. */
Test(odds, pairs_of_cells_have_the_animal_that_either_has) {
    struct wg_split_value *middle, *plausible;
    cr_assert_eq(wg_cells_of(&plausible, &plan, N, &err), 0);
    plan.animals = WG_ANIMALS_MIDDLE_IN_LATTICE;
    cr_assert_eq(wg_cells_of(&middle, &plan, N, &err), 0);
    cr_expect_eq(middle[7].animal, -1);
    wg_cells_pair(middle, plausible, N);
    for (int64_t k = 0; k < N; k++)
        cr_expect(middle[k].animal == plausible[k].animal && middle[k].winter == plausible[k].winter);
    free(middle);
    free(plausible);
}
