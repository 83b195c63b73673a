/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks the choice among setups: on made outcomes whose ranks, prices and valleys follow from their construction by hand
 * (incremental ratios and extended dominance as in Drummond et al. 2015, Methods for the Economic Evaluation of Health Care
 * Programmes, ch. 5; MEMORY), and how often equal setups are told apart.
 */
#include "analysis/choice.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#define N 100
#define MAX_SETUPS 6

static double value[WG_N_COMPARED][MAX_SETUPS][N];
static struct wg_choice choice;
static struct wg_error err;

static void begin(int n) {
    memset(value, 0, sizeof value);
    choice = (struct wg_choice){.n = n, .replicates = N, .harvest = WG_COMPARED_total_harvest_mass};
    for (int i = 0; i < n; i++)
        for (int c = 0; c < WG_N_COMPARED; c++)
            choice.setup[i].outcome[c] = value[c][i];
}

/* Alive in the first `alive` of 100 replicates; kg and cost vary by a tenth around their means; 10 kWh for each unit of money. */
static void make(int setup, int alive, double kg, double cost) {
    for (int k = 0; k < N; k++) {
        const double by = 1 + 0.1 * ((k * 37 % N) - (N - 1) / 2.0) / N;
        value[WG_COMPARED_survived][setup][k] = k < alive;
        value[WG_COMPARED_total_harvest_mass][setup][k] = kg * by;
        value[WG_COMPARED_total_heater_cost][setup][k] = cost * by;
        value[WG_COMPARED_total_heater_energy][setup][k] = 10 * cost * by;
    }
}

/*
 * B yields more than A for the same nothing. From B, D costs 100 / 4 = 25 a kg and C 60 / 1 = 60, so C is dominated by
 * extension; beyond D, E costs 200 / 2 = 100. F costs more than D, yields less and dies.
 */
Test(choice, climbs_by_the_cheapest_kg) {
    begin(6);
    make(0, 20, 1, 0);
    make(1, 60, 2, 0);
    make(2, 70, 3, 60);
    make(3, 95, 6, 100);
    make(4, 96, 8, 300);
    make(5, 10, 5, 150);
    cr_assert_eq(wg_choice_find(&choice, &err), 0);
    cr_expect(choice.has_energy && choice.is_priced);
    cr_expect_eq(choice.start, 1);
    cr_assert_eq(choice.n_steps, 2);
    cr_expect(choice.step[0].setup == 3 && choice.step[0].from == 1);
    cr_expect_float_eq(choice.step[0].price.per_kg, 25, 1e-9);
    cr_expect(choice.step[1].setup == 4 && choice.step[1].from == 3);
    cr_expect_float_eq(choice.step[1].price.per_kg, 100, 1e-9);
    cr_expect(choice.by_survival[0] == 4 && choice.n_longest == 2, "95 and 96 of 100 cannot be told apart");
    cr_expect_eq(choice.safe, 3, "of the two that live longest the cheaper one");
    cr_expect(choice.by_harvest[0] == 4 && choice.n_largest == 1);
    cr_assert_eq(choice.n_valleys, 1);
    cr_expect(choice.valley[0].setup == 5 && choice.valley[0].better == 1, "F lives less often than B without energy");
    cr_expect_float_eq(choice.setup[3].per_kg.per_kg, 100 / 6.0, 1e-9);
    cr_expect_eq(choice.setup[1].extra.why, WG_EXTRA_FREE);
    wg_choice_free(&choice);
}

/*
 * All three live equally long. The cheapest are B and C, and C yields more: there the choice begins, and it is the safe one.
 * A, the first in order, yields most, but its three kg more cost 60.
 */
Test(choice, begins_with_the_cheapest_wherever_it_stands) {
    begin(3);
    make(0, 90, 6, 100);
    make(1, 90, 1, 40);
    make(2, 90, 3, 40);
    cr_assert_eq(wg_choice_find(&choice, &err), 0);
    cr_expect_eq(choice.n_longest, 3);
    cr_expect_eq(choice.start, 2);
    cr_expect_eq(choice.safe, 2);
    cr_assert_eq(choice.n_steps, 1);
    cr_expect(choice.step[0].setup == 0 && choice.step[0].from == 2);
    cr_expect_float_eq(choice.step[0].price.per_kg, 20, 1e-9);
    wg_choice_free(&choice);
}

/* Without a price for all energy, steps are in kWh; without energy there are none. */
Test(choice, counts_energy_where_it_has_no_price) {
    begin(2);
    make(0, 50, 1, 0);
    make(1, 100, 5, 40);
    for (int k = 0; k < N; k++)
        value[WG_COMPARED_total_heater_cost][1][k] = (double)NAN;
    cr_assert_eq(wg_choice_find(&choice, &err), 0);
    cr_expect(!choice.is_priced && choice.cost == WG_COMPARED_total_heater_energy);
    cr_assert_eq(choice.n_steps, 1);
    cr_expect_float_eq(choice.step[0].price.per_kg, 400 / 4.0, 1e-9);
    wg_choice_free(&choice);
    begin(2);
    make(0, 50, 1, 0);
    make(1, 100, 5, 0);
    cr_assert_eq(wg_choice_find(&choice, &err), 0);
    cr_expect(!choice.has_energy && choice.n_steps == 0 && choice.start == 1 && choice.n_valleys == 0);
    wg_choice_free(&choice);
}

Test(choice, one_replicate_tells_nothing) {
    begin(2);
    make(0, 0, 1, 0);
    make(1, 100, 5, 40);
    choice.replicates = 1;
    cr_assert_eq(wg_choice_find(&choice, &err), 0);
    cr_expect(choice.n_longest == 2 && choice.n_largest == 2 && choice.n_steps == 0 && choice.n_valleys == 0);
    wg_choice_free(&choice);
}

/* A congruential generator (Knuth 1997, vol. 2, 3.3.4, MMIX); its upper bits are uniform enough here. */
static uint64_t state = 1;
static double uniform(void) {
    state = state * 6364136223846793005u + 1442695040888963407u;
    return (double)(state >> 11) * 0x1p-53;
}

/*
 * Four setups whose years are drawn alike and independently: in at most 5 % of comparisons is any told from the best. Of 200,
 * more than 20 by survival or more than 20 by harvest has a probability of 0.2 % each (Binomial(200, 0.05)).
 */
Test(choice, does_not_tell_equal_setups_apart) {
    int by_survival = 0, by_harvest = 0;
    for (int trial = 0; trial < 200; trial++) {
        begin(4);
        for (int i = 0; i < 4; i++)
            for (int k = 0; k < N; k++) {
                value[WG_COMPARED_survived][i][k] = uniform() < 0.3;
                value[WG_COMPARED_total_harvest_mass][i][k] = -log(1 - uniform());
            }
        cr_assert_eq(wg_choice_find(&choice, &err), 0);
        by_survival += choice.n_longest < 4;
        by_harvest += choice.n_largest < 4;
        wg_choice_free(&choice);
    }
    cr_expect(by_survival <= 20 && by_harvest <= 20, "%d, %d of 200", by_survival, by_harvest);
}
