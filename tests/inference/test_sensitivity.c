/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks which numbers of the animal matter for a plan.
 */
#include "forecast/lattice.h"
#include "inference/sensitivity.h"
#include "species/plausible.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

/* A well-fed tray of larvae at 27 degC for six weeks, whose flies do not lay. */
static void trough(struct wg_plan *plan) {
    plan_laboratory(plan, 27, 45);
    plan_start(plan, 0, WG_MOVABLE_LARVAE, 5, 2000);
    plan_feed(plan, 1.0);
    plan->species.laying_share_lamps = 0; /* no children, of any animal */
    plan->is_given[wg_parameter_index(wg_species_find("laying_share_lamps"))] = true;
}

static const struct wg_unknown *find_unknown(const struct wg_sensitivity *matters, const char *name) {
    for (int i = 0; i < matters->n_unknowns; i++)
        if (strcmp(matters->unknown[i].parameter->name, name) == 0)
            return &matters->unknown[i];
    return NULL;
}

static const struct wg_estimate *share_of(const struct wg_sensitivity *matters, const char *name) {
    cr_assert_not_null(find_unknown(matters, name), "%s", name);
    return &matters->shares.share[find_unknown(matters, name)->group];
}

static void study(const struct wg_plan *plan, int64_t replicates, int threads, struct wg_sensitivity *matters) {
    const struct wg_sensitivity_options options = {.replicates = replicates, .threads = threads};
    struct wg_error err = {0};
    cr_assert_eq(wg_sensitivity_run(plan, &options, matters, &err), 0, "%s", err.text);
}

/*
 * The crawl-off's weight is count x mass, so the final mass of larvae must lead and more of it weighs more; numbers of winter
 * and wild flies explain less than 1 % (one of a hundred may be above luck by chance). Weighing 100 grubs must be the first
 * thing to measure.
 */
Test(matters, what_must_lead_leads) {
    struct wg_plan plan;
    static struct wg_sensitivity matters;
    trough(&plan);
    study(&plan, WG_SENSITIVITY_REPLICATES, 2, &matters);
    cr_expect_eq(matters.outcome, WG_SENSITIVITY_CRAWL_OFF, "all survive, so the chance cannot be the question");
    cr_expect_eq(matters.replicates, WG_SENSITIVITY_REPLICATES);
    cr_expect_eq(matters.n_animals, wg_plausible_count());
    cr_expect_eq(find_unknown(&matters, "final_mass")->group, 0);
    cr_expect_gt(find_unknown(&matters, "final_mass")->trend, 0.5);
    const char *const idle[] = {"wild_air", "stay_open", "prepupa_cold_slope", "dormancy_day"};
    for (int i = 0; i < 4; i++)
        cr_expect_lt(share_of(&matters, idle[i])->value, 0.01, "%s %g", idle[i], share_of(&matters, idle[i])->value);
    cr_assert_geq(matters.n_steps, 1);
    cr_expect_str_eq(matters.measurement[matters.step[0].measurement].measurement->name, "grub_weight");
    cr_expect_lt(matters.step[0].gain.sd, 0.9 * matters.before.sd);
    for (int i = 1; i < matters.n_steps; i++)
        cr_expect_lt(matters.step[i].gain.sd, matters.step[i - 1].gain.sd);
    for (int i = 1; i < matters.n_measurements; i++) {
        cr_expect_leq(matters.measurement[i].gain.share.value, matters.measurement[i - 1].gain.share.value);
        cr_expect_null(strstr(matters.measurement[i].measurement->name, "january"), "it has no winter");
    }
    wg_plan_free(&plan);
}

/* Every number is there once, whatever its source, unless all animals have the same: those that the plan gives, and definitions. */
Test(matters, every_number_that_is_not_known_is_covered) {
    struct wg_plan plan;
    static struct wg_sensitivity matters;
    trough(&plan);
    plan.last_day = plan.first_day + 8;
    study(&plan, WG_LATTICE_BLOCK, 2, &matters);
    cr_expect_eq(matters.n_animals, WG_LATTICE_ANIMALS);
    cr_expect_eq((size_t)(matters.n_unknowns + matters.n_fixed), WG_SPECIES_NUMBERS);
    cr_expect_null(find_unknown(&matters, "laying_share_lamps"), "the plan gives it");
    const char *const published[] = {"prepupa_cold", "larva_t0", "conversion", "starvation", "larva_rate_a"};
    for (int i = 0; i < 5; i++)
        cr_expect_not_null(find_unknown(&matters, published[i]), "%s", published[i]);
    for (int i = 0; i < matters.n_unknowns; i++)
        cr_expect(matters.unknown[i].low < matters.unknown[i].high || matters.unknown[i].high == 1 ||
                      matters.unknown[i].low == 0,
                  "%s", matters.unknown[i].parameter->name);
    wg_plan_free(&plan);
}

/* Nobody dies or grows in a week that is all luck: nothing matters. */
Test(matters, nothing_matters_if_nothing_happens) {
    struct wg_plan plan;
    static struct wg_sensitivity matters;
    plan_laboratory(&plan, 27, 1);
    plan_start(&plan, 0, WG_MOVABLE_EGGS, 0, 100000);
    study(&plan, WG_LATTICE_BLOCK, 1, &matters);
    cr_expect_not(wg_is_above_luck(&matters.shares.between));
    cr_expect_eq(matters.n_steps, 0);
    wg_plan_free(&plan);
}

/* Same seeds, same answer, for any number of threads; replicates are used in whole blocks. */
Test(matters, threads_change_nothing) {
    struct wg_plan plan;
    static struct wg_sensitivity one, two;
    trough(&plan);
    plan.last_day = plan.first_day + 20;
    study(&plan, WG_LATTICE_BLOCK + 100, 1, &one);
    study(&plan, WG_LATTICE_BLOCK, 3, &two);
    cr_expect_gt(one.before.sd, 0);
    cr_expect_eq(one.replicates, WG_LATTICE_BLOCK);
    cr_expect_eq(memcmp(&one.before, &two.before, sizeof one.before), 0);
    for (int i = 0; i < one.n_unknowns; i++) {
        cr_expect_eq(one.unknown[i].parameter, two.unknown[i].parameter);
        cr_expect_eq(one.shares.share[one.unknown[i].group].range.high,
                     two.shares.share[two.unknown[i].group].range.high);
    }
    for (int i = 0; i < one.n_measurements; i++)
        cr_expect_eq(one.measurement[i].gain.sd, two.measurement[i].gain.sd);
    wg_plan_free(&plan);
}
