/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * The closed forms of the calibration against the model's life table and against the engine.
 */
#include "calibration/quantities.h"
#include "species/lifetable.h"
#include "species/plausible.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <math.h>

enum { EVERY = 8 }; /* of the plausible animals */

static double quantity(const struct wg_species *species, const char *key) {
    const int i = quantity_find(key);
    cr_assert_geq(i, 0, "%s", key);
    return quantity_of(species, i);
}

static struct wg_lifetable table_at(const struct wg_species *species, double temp_c) {
    struct wg_lifetable table;
    wg_lifetable_make(&table, species,
                      &(struct wg_lifetable_setting){
                          .temp_c = temp_c, .light_h = 12, .laying_share = species->laying_share_lamps, .quality = 1});
    return table;
}

/*
 * The life table sums over days and clutches; the closed forms take the mean wait and the mean clutch. The finding of
 * growth has an error of 0.3 of its value, that of eggs per egg of 0.5.
 */
Test(quantities, growth_and_eggs_are_those_of_the_life_table) {
    for (int i = 0; i < wg_plausible_count(); i += EVERY) {
        struct wg_species animal;
        wg_plausible_animal(i, &animal);
        const double growth = quantity(&animal, "growth_30"), known = table_at(&animal, 30).growth_per_day;
        cr_expect_float_eq(growth, known, 0.002, "animal %d: growth at 30 degC %g, not %g", i, growth, known);
        const struct wg_lifetable warm = table_at(&animal, 27);
        const double eggs = quantity(&animal, "eggs_per_egg_27"), wait = quantity(&animal, "first_eggs_days_27");
        cr_expect_float_eq(log(eggs / warm.daughters_and_sons), 0, 0.03, "animal %d: %g eggs per egg, not %g", i, eggs,
                           warm.daughters_and_sons);
        cr_expect_float_eq(wait, warm.laying_days, 0.15, "animal %d: eggs after %g days, not %g", i, wait,
                           warm.laying_days);
    }
}

Test(quantities, stages_are_those_of_the_life_table) {
    static const char *const keys[] = {"larva_alive_28", "prepupa_alive_28", "pupa_alive_28"};
    for (int i = 0; i < wg_plausible_count(); i += EVERY) {
        struct wg_species animal;
        wg_plausible_animal(i, &animal);
        const struct wg_lifetable table = table_at(&animal, 28);
        for (int k = 0; k < 3; k++)
            cr_expect_float_eq(quantity(&animal, keys[k]), table.survival[WG_CLOCK_LARVA + k], 1e-9, "animal %d", i);
        cr_expect_float_eq(quantity(&animal, "prepupa_days_28"), table.days[WG_CLOCK_PREPUPA], 1e-9, "animal %d", i);
        cr_expect_float_eq(quantity(&animal, "hatch_27"), table_at(&animal, 27).survival[WG_CLOCK_EGG], 1e-9,
                           "animal %d", i);
    }
}

/* ---- the engine ---- */

/* Whole-life experiments with enough animals that chance is below a tenth of the findings' errors. */
static void live(const struct wg_species *animal, double temp_c, int days, enum wg_movable what, double age_days,
                 struct wg_diary *diary) {
    struct wg_plan plan;
    plan_laboratory(&plan, temp_c, days);
    plan.species = *animal;
    plan.species.laying_share_lamps = 0;
    plan_start(&plan, 0, what, age_days, 1000000);
    plan_simulate(&plan, 0, diary);
    wg_plan_free(&plan);
}

static double emerged(const struct wg_species *animal, double temp_c) {
    struct wg_diary diary;
    double flies = 0;
    live(animal, temp_c, 100, WG_MOVABLE_LARVAE, 5, &diary);
    for (int day = 0; day < diary.n_days; day++)
        flies += (double)diary.adults_emerged[day];
    wg_diary_free(&diary);
    return flies / 1e6;
}

static double logit(double share) {
    return log(share / (1 - share));
}

/* The findings' errors are 0.7 on the logit scale and 0.8 in the logarithm. */
Test(quantities, young_larvae_become_adults_as_in_the_engine) {
    for (int i = 0; i < wg_plausible_count(); i += 4 * EVERY) {
        struct wg_species animal;
        wg_plausible_animal(i, &animal);
        const double alive = 0.5 * (emerged(&animal, 27) + emerged(&animal, 30)),
                     closed = quantity(&animal, "young_adult_alive_27_30");
        cr_expect_float_eq(logit(closed), logit(alive), 0.05, "animal %d: %g, engine %g", i, closed, alive);
        const double hot = emerged(&animal, 36), closed_hot = quantity(&animal, "young_adult_alive_36");
        cr_expect_float_eq(log(closed_hot), log(hot), 0.3, "animal %d at 36 degC: %g, engine %g", i, closed_hot, hot);
    }
}

Test(quantities, prepupae_in_the_cold_die_as_in_the_engine) {
    for (int i = 0; i < wg_plausible_count(); i += EVERY) {
        struct wg_species animal;
        struct wg_diary diary;
        wg_plausible_animal(i, &animal);
        live(&animal, 5, 23, WG_MOVABLE_PREPUPAE, 0, &diary);
        const double left =
            (double)diary.count[22 * WG_N_STAGES + WG_PREPUPA] + (double)diary.count[22 * WG_N_STAGES + WG_DORMANT];
        const double closed = quantity(&animal, "prepupa_alive_5");
        cr_expect_float_eq(log(closed), log(left / 1e6), 0.01, "animal %d: %g, engine %g", i, closed, left / 1e6);
        wg_diary_free(&diary);
    }
}

/* The handbook's dose: 10,000 larvae of five days, 5 kg of scraps on days 0, 3 and 6, taken out after 12 days. */
static void handbook(const struct wg_species *animal, double *gone, double *gained) {
    struct wg_plan plan;
    struct wg_diary diary;
    plan_laboratory(&plan, 28, 12);
    plan.species = *animal;
    plan.feed_unlimited = false;
    plan_start(&plan, 0, WG_MOVABLE_LARVAE, 5, 10000);
    plan_add(&plan, (struct wg_action){.kind = WG_ACTION_FEED,
                                       .from = plan.first_day,
                                       .to = plan.first_day + 8,
                                       .every = 3,
                                       .place = -1,
                                       .as.feed = {.type = wg_feed_find("kitchen scraps"), .wet_kg = 5}});
    plan_collect(&plan, 1);
    plan_simulate(&plan, 0, &diary);
    double caught_kg = diary.bin_larval_mass[11], given_kg = 0;
    for (int day = 0; day < 12; day++) {
        caught_kg += diary.harvest_mass[day];
        given_kg += diary.feed_given[day];
    }
    *gone = 1 - (diary.feed_left[11] + diary.residue[11]) / given_kg;
    *gained = caught_kg * animal->larva_dry / given_kg;
    wg_diary_free(&diary);
    wg_plan_free(&plan);
}

/*
 * The findings' errors are 0.06 and, in the logarithm, 0.18. One larva of average need stands for all in the closed form,
 * so single animals differ: by a third of the errors (root mean square), without a bias.
 */
Test(quantities, a_batch_turns_feed_into_larvae_as_in_the_engine) {
    double gone_bias = 0, gone_square = 0, gained_bias = 0, gained_square = 0;
    const double share = (double)EVERY / wg_plausible_count();
    for (int i = 0; i < wg_plausible_count(); i += EVERY) {
        struct wg_species animal;
        double gone, gained;
        wg_plausible_animal(i, &animal);
        handbook(&animal, &gone, &gained);
        const double more_gone = quantity(&animal, "batch_gone") - gone,
                     more_gained = log(quantity(&animal, "batch_gained") / gained);
        gone_bias += more_gone * share;
        gone_square += more_gone * more_gone * share;
        gained_bias += more_gained * share;
        gained_square += more_gained * more_gained * share;
    }
    cr_expect_float_eq(gone_bias, 0, 0.01, "gone: %g", gone_bias);
    cr_expect_leq(sqrt(gone_square), 0.02, "gone: %g", sqrt(gone_square));
    cr_expect_float_eq(gained_bias, 0, 0.03, "gained: %g", gained_bias);
    cr_expect_leq(sqrt(gained_square), 0.07, "gained: %g", sqrt(gained_square));
}
