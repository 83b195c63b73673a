/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Plans that share the tables of their animals live exactly as alone. Reference: the same plans, each with tables of its own.
 */
#include "forecast/tables.h"

#include "forecast/thread_pool.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <string.h>

#define YEARS 4

/* The harvests of a plan's first replicates, which depend on every table of the larvae. */
struct lives {
    double harvest[YEARS], feed[YEARS];
};

static int on_life(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    struct lives *const lives = self;
    (void)err;
    lives->harvest[replicate] = diary->total_harvest_mass;
    lives->feed[replicate] = diary->total_feed_eaten;
    return 0;
}

static struct lives live(const struct wg_plan *plan, struct wg_tables *tables) {
    struct lives lives = {0};
    struct wg_error err = {0};
    cr_assert_eq(wg_replicates_run(plan, tables, 0, YEARS, &(struct wg_observer){on_life, &lives}, &err), 0, "%s",
                 err.text);
    return lives;
}

static void differ_by_spread(struct wg_plan *plan) {
    plan->species.spread[WG_CLOCK_LARVA] *= 1.2;
}

static void differ_by_hatch_mass(struct wg_plan *plan) {
    plan->species.hatch_mass_g *= 2;
}

static void differ_by_final_mass(struct wg_plan *plan) {
    plan->species.final_mass_g *= 1.2;
}

static void differ_by_growth_rate(struct wg_plan *plan) {
    plan->species.growth_rate *= 1.2;
}

/* Each plan differs from the first in one number of which a table is made, so none may get the table of another. */
Test(tables, shared_tables_change_no_bit) {
    void (*const change[])(struct wg_plan *) = {
        NULL, differ_by_spread, differ_by_hatch_mass, differ_by_final_mass, differ_by_growth_rate, NULL};
    const int n = (int)(sizeof change / sizeof *change);
    struct wg_tables *tables;
    cr_assert_eq(wg_tables_new(&tables, NULL), 0);
    for (int animals = 0; animals < 2; animals++)
        for (int i = 0; i < n; i++) {
            struct wg_plan plan;
            plan_laboratory(&plan, 27, 20);
            plan_start(&plan, 0, WG_MOVABLE_EGGS, 0, 500);
            plan_feed(&plan, 0.2);
            plan_collect(&plan, 0.5);
            plan.animals = animals == 0 ? WG_ANIMALS_MIDDLE : WG_ANIMALS_PLAUSIBLE;
            if (change[i] != NULL)
                change[i](&plan);
            const struct lives alone = live(&plan, NULL), together = live(&plan, tables);
            cr_assert_gt(alone.feed[0], 0);
            cr_expect_eq(memcmp(&alone, &together, sizeof alone), 0, "plan %d", i);
            wg_plan_free(&plan);
        }
    wg_tables_free(tables);
}

/* Only equal numbers share a table, and tables that are given are not replaced. */
Test(tables, equal_numbers_share_one_table) {
    struct wg_plan plan;
    struct wg_tables *tables = NULL, *own, *none;
    struct wg_clocks a, b;
    struct wg_cohort_growth one, two, other;
    plan_laboratory(&plan, 27, 20);
    cr_assert_eq(wg_tables_share(&own, &tables, NULL), 0);
    cr_assert(own != NULL && own == tables);
    cr_assert_eq(wg_tables_share(&none, &tables, NULL), 0);
    cr_assert(none == NULL && own == tables);
    cr_assert_eq(wg_tables_clocks(tables, &plan.species, &a, NULL), 0);
    cr_assert_eq(wg_tables_clocks(tables, &plan.species, &b, NULL), 0);
    cr_expect_eq(a.dormancy.cubic, b.dormancy.cubic);
    plan.species.dorm_heat_sigma *= 1.5;
    cr_assert_eq(wg_tables_clocks(tables, &plan.species, &b, NULL), 0);
    cr_expect_neq(a.dormancy.cubic, b.dormancy.cubic);
    cr_expect_eq(a.stage[WG_CLOCK_EGG].cubic, b.stage[WG_CLOCK_EGG].cubic);
    cr_assert_eq(wg_tables_growth(tables, &plan.species, &a.stage[WG_CLOCK_LARVA], 0.01, &one, NULL), 0);
    cr_assert_eq(wg_tables_growth(tables, &plan.species, &a.stage[WG_CLOCK_LARVA], 0.01, &two, NULL), 0);
    cr_assert_eq(wg_tables_growth(tables, &plan.species, &a.stage[WG_CLOCK_LARVA], 0.02, &other, NULL), 0);
    cr_expect_eq(one.mean, two.mean);
    cr_expect_neq(one.mean, other.mean);
    wg_tables_free(own);
    wg_plan_free(&plan);
}
