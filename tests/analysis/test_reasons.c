/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks the reasons on plans whose cause is known, because each was made to fail by one thing (or by two).
 *
 * Outside check of the counts: an ensemble of a plan changed by hand, number by number.
 */
#include "analysis/reasons.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <string.h>

#define LIVES 16
#define YEAR 240

static struct wg_error err;

/* Runs the forecast and asks why. */
static struct wg_reasons ask_with(struct wg_plan *plan, int threads) {
    struct wg_summary summary;
    struct wg_reasons reasons;
    const struct wg_ensemble_options options = {.count = plan->replicates, .threads = threads};
    cr_assert_eq(wg_summary_init(&summary, plan, plan->replicates, &err), 0);
    const struct wg_observer observer = wg_summary_observer(&summary);
    cr_assert_eq(wg_ensemble_run(plan, &options, &observer, 1, &err), 0, "%s", err.text);
    cr_assert_eq(wg_reasons_find(&reasons, plan, &summary, true, &options, &err), 0, "%s", err.text);
    wg_summary_free(&summary);
    return reasons;
}

static struct wg_reasons ask(struct wg_plan *plan) {
    return ask_with(plan, 2);
}

/* A plan that thrives outdoors from May to January, fed and with winters far from freezing; the tests spoil it. */
static void thriving(struct wg_plan *plan) {
    plan_outdoors(plan, YEAR);
    plan->first_day = wg_day_from_date((struct wg_date){2026, 5, 15});
    plan->last_day = plan->first_day + YEAR - 1;
    plan->replicates = LIVES;
    for (int m = 0; m < 12; m++) {
        plan->climate.high_c[m] = 30;
        plan->climate.low_c[m] = 20;
    }
    plan_start(plan, 0, WG_MOVABLE_LARVAE, 5, 10000);
    plan_feed(plan, 1.4);
}

/* The same in a shed heated to a temperature, with lamps or without. */
static void heated(struct wg_plan *plan, double set_point_c, double lamp_hours) {
    thriving(plan);
    wg_shelter_defaults(&plan->places[0].shelter, WG_SHED);
    wg_ground_defaults(&plan->places[0].ground, WG_SHED);
    wg_bin_defaults(&plan->bins[0].spec, WG_SHED, 0.150, 0);
    plan->bins[0].spec.ground_w_k = 0; /* on a shelf, as warm as the air */
    plan->species.dorm_temp_c = 0;     /* none sleeps until the period is over */
    plan->places[0].shelter.lamp_hours = lamp_hours;
    plan->places[0].shelter.light_through = 0;
    plan->places[0].heater =
        (struct wg_heater_spec){.power_w = 20000, .set_point_c = set_point_c, .efficiency = 1, .season = WG_ALL_YEAR};
    for (int m = 0; m < 12; m++) {
        plan->climate.high_c[m] = 16;
        plan->climate.low_c[m] = 8;
    }
}

static void set_start(struct wg_plan *plan, int64_t count) {
    for (int i = 0; i < plan->n_actions; i++)
        if (plan->actions[i].kind == WG_ACTION_START)
            plan->actions[i].as.start.count = count;
}

static void expect_reason(struct wg_plan *plan, enum wg_why why, enum wg_limit limit) {
    const struct wg_reasons reasons = ask(plan);
    const struct wg_trial *const reason = &reasons.trial[reasons.reason];
    cr_assert_eq(reasons.why, why, "%s", wg_why_name(reasons.why));
    cr_assert_neq(reasons.reason, 0, "none found; %lld live as planned", (long long)reasons.trial[0].n_met);
    cr_expect_eq(reason->n_limits, 1, "a pair, with %s", wg_limit_name(reason->limit[1]));
    cr_expect_eq(reason->limit[0], limit, "%s", wg_limit_name(reason->limit[0]));
    cr_expect_gt(reason->n_met, reasons.trial[0].n_met);
    cr_expect(reason->saved.low > 0);
    wg_plan_free(plan);
}

/* ---- causes that are known ---- */

Test(reasons, asks_nothing_of_a_plan_that_thrives) {
    struct wg_plan plan;
    thriving(&plan);
    const struct wg_reasons reasons = ask(&plan);
    cr_expect_eq(reasons.why, WG_WHY_NOTHING);
    cr_expect_eq(reasons.simulated, 0);
    wg_plan_free(&plan);
}

Test(reasons, frozen) {
    struct wg_plan plan;
    thriving(&plan);
    for (int m = 0; m < 12; m++)
        plan.climate.low_c[m] = plan.climate.high_c[m] - 60;
    expect_reason(&plan, WG_WHY_DIES, WG_LIMIT_COLD);
}

Test(reasons, cooked) {
    struct wg_plan plan;
    thriving(&plan);
    for (int m = 0; m < 12; m++)
        plan.climate.low_c[m] = (plan.climate.high_c[m] = 48) - 4;
    expect_reason(&plan, WG_WHY_DIES, WG_LIMIT_HEAT);
}

Test(reasons, starved) {
    struct wg_plan plan;
    thriving(&plan);
    for (int i = 0; i < plan.n_actions; i++)
        if (plan.actions[i].kind == WG_ACTION_FEED)
            plan.actions[i].as.feed.wet_kg = 0.0001;
    expect_reason(&plan, WG_WHY_DIES, WG_LIMIT_HUNGER);
}

Test(reasons, too_cool_to_lay) {
    struct wg_plan plan;
    heated(&plan, 20, 12);
    expect_reason(&plan, WG_WHY_DIES, WG_LIMIT_AIR);
}

Test(reasons, no_lamps_in_a_dark_shed) {
    struct wg_plan plan;
    heated(&plan, 28, 0);
    expect_reason(&plan, WG_WHY_DIES, WG_LIMIT_LIGHT);
}

Test(reasons, too_few_to_meet) {
    struct wg_plan plan;
    thriving(&plan);
    plan.species.males_needed = 1000;
    set_start(&plan, 1500);
    expect_reason(&plan, WG_WHY_DIES, WG_LIMIT_MALES);
}

Test(reasons, too_small_a_start) {
    struct wg_plan plan;
    thriving(&plan);
    set_start(&plan, 6);
    expect_reason(&plan, WG_WHY_DIES, WG_LIMIT_START);
}

Test(reasons, all_harvested) {
    struct wg_plan plan;
    thriving(&plan);
    plan_collect(&plan, 1);
    expect_reason(&plan, WG_WHY_DIES, WG_LIMIT_HARVEST);
}

Test(reasons, raided) {
    struct wg_plan plan;
    thriving(&plan);
    plan.mishaps = (struct wg_mishaps){.raids_per_year = 100, .raid_share = 0.99};
    expect_reason(&plan, WG_WHY_DIES, WG_LIMIT_RAIDS);
}

Test(reasons, power_cut) {
    struct wg_plan plan;
    heated(&plan, 28, 12);
    plan.mishaps = (struct wg_mishaps){.power_cuts_per_year = 40, .power_cut_hours = 240};
    for (int m = 0; m < 12; m++)
        plan.climate.low_c[m] = (plan.climate.high_c[m] = 4) - 8;
    expect_reason(&plan, WG_WHY_DIES, WG_LIMIT_POWER_CUTS);
}

/* Nothing crawls off within two months without feed, though larvae live on. */
Test(reasons, nothing_harvested_without_feed) {
    struct wg_plan plan;
    thriving(&plan);
    plan.last_day = plan.first_day + 45;
    for (int i = 0; i < plan.n_actions; i++)
        if (plan.actions[i].kind == WG_ACTION_FEED)
            plan.actions[i].as.feed.wet_kg = 0.0001;
    plan_collect(&plan, 0.8);
    expect_reason(&plan, WG_WHY_NO_HARVEST, WG_LIMIT_HUNGER);
}

/* ---- two causes, and none ---- */

Test(reasons, dark_and_cool_together) {
    struct wg_plan plan;
    heated(&plan, 20, 0);
    const struct wg_reasons reasons = ask(&plan);
    const struct wg_trial *const reason = &reasons.trial[reasons.reason];
    cr_assert_eq(reason->n_limits, 2);
    cr_expect_eq(reason->limit[0], WG_LIMIT_AIR);
    cr_expect_eq(reason->limit[1], WG_LIMIT_LIGHT);
    wg_plan_free(&plan);
}

Test(reasons, flies_that_lay_no_eggs_anywhere_have_no_reason) {
    struct wg_plan plan;
    thriving(&plan);
    plan.species.clutch_low = plan.species.clutch_high = 0;
    const struct wg_reasons reasons = ask(&plan);
    cr_expect_eq(reasons.why, WG_WHY_DIES);
    cr_expect_eq(reasons.reason, 0);
    cr_expect(reasons.pairs_tried);
    wg_plan_free(&plan);
}

/* Where flies do not mate, another set point is tried: warm enough to breed, and cool enough to sleep. */
Test(reasons, names_the_set_points_on_both_sides) {
    struct wg_plan plan;
    heated(&plan, 20, 12);
    const struct wg_reasons reasons = ask(&plan);
    cr_assert_neq(reasons.warmer, 0);
    cr_expect_float_eq(reasons.trial[reasons.warmer].set_point_c, 27, 1e-9);
    cr_expect_gt(reasons.trial[reasons.warmer].n_met, reasons.trial[0].n_met);
    const struct wg_barren_flies barren = wg_story_barren_flies(&reasons.story);
    cr_expect(barren.flies > 100, "%g flies", barren.flies);
    cr_expect(barren.air_c > 18 && barren.air_c < 22, "the air is at the set point, not %g", barren.air_c);
    wg_plan_free(&plan);
}

/* ---- the numbers ---- */

/* Deaths by cold switched off by hand in every plausible animal. */
static int64_t alive_without_cold(const struct wg_plan *plan) {
    struct wg_plan warm = *plan;
    for (const struct wg_parameter *p = wg_species_parameters(); p->name != NULL; p++) {
        const size_t length = strlen(p->name);
        const bool is_scale = length > 5 && strcmp(p->name + length - 5, "_cold") == 0;
        if ((!is_scale && strcmp(p->name, "freeze_hazard") != 0) || strncmp(p->name, "dormancy", 8) == 0)
            continue;
        wg_species_put(&warm.species, p, 0);
        warm.is_given[wg_parameter_index(p)] = true;
    }
    struct wg_summary summary;
    cr_assert_eq(wg_summary_init(&summary, &warm, LIVES, &err), 0);
    const struct wg_observer observer = wg_summary_observer(&summary);
    const struct wg_ensemble_options options = {.count = LIVES, .threads = 1};
    cr_assert_eq(wg_ensemble_run(&warm, &options, &observer, 1, &err), 0, "%s", err.text);
    int64_t alive = 0;
    for (int k = 0; k < LIVES; k++)
        alive += wg_summary_outcome(&summary, WG_OUTCOME_survived)[k] > 0;
    wg_summary_free(&summary);
    return alive;
}

static void frosty(struct wg_plan *plan) {
    thriving(plan);
    plan->last_day = plan->first_day + 364;
    plan->animals = WG_ANIMALS_PLAUSIBLE;
    const double high_c[] = {4, 5, 10, 16, 22, 27, 30, 29, 25, 19, 12, 6};
    for (int m = 0; m < 12; m++) {
        plan->climate.high_c[m] = high_c[m];
        plan->climate.low_c[m] = high_c[m] - 11;
    }
}

Test(reasons, counts_what_a_plan_changed_by_hand_gives) {
    struct wg_plan plan;
    frosty(&plan);
    const struct wg_reasons reasons = ask(&plan);
    cr_assert_neq(reasons.reason, 0);
    cr_expect_eq(reasons.trial[reasons.reason].limit[0], WG_LIMIT_COLD);
    cr_expect_eq(reasons.trial[reasons.reason].n_met, alive_without_cold(&plan));
    wg_plan_free(&plan);
}

Test(reasons, do_not_depend_on_threads_nor_change_the_plan) {
    struct wg_plan plan;
    frosty(&plan);
    struct wg_plan before = plan;
    const struct wg_reasons one = ask_with(&plan, 1), four = ask_with(&plan, 4);
    cr_expect_eq(memcmp(&before, &plan, sizeof plan), 0);
    cr_assert_eq(one.n_trials, four.n_trials);
    cr_expect_eq(one.reason, four.reason);
    for (int i = 0; i < one.n_trials; i++) {
        cr_expect_eq(one.trial[i].n_met, four.trial[i].n_met);
        cr_expect_eq(one.trial[i].harvest_kg, four.trial[i].harvest_kg);
    }
    cr_expect_eq(memcmp(&one.story, &four.story, sizeof one.story), 0);
    wg_plan_free(&plan);
}

/* The lives that a search tries again begin like those of the forecast. */
Test(reasons, begin_with_the_lives_of_the_forecast) {
    struct wg_plan plan;
    frosty(&plan);
    plan.replicates = 70;
    struct wg_summary summary;
    struct wg_reasons reasons;
    const struct wg_ensemble_options options = {.count = 70, .threads = 2};
    cr_assert_eq(wg_summary_init(&summary, &plan, 70, &err), 0);
    const struct wg_observer observer = wg_summary_observer(&summary);
    cr_assert_eq(wg_ensemble_run(&plan, &options, &observer, 1, &err), 0);
    cr_assert_eq(wg_reasons_find(&reasons, &plan, &summary, true, &options, &err), 0);
    cr_assert_eq(reasons.lives, WG_REASON_LIVES);
    cr_expect(wg_reasons_agree(&reasons, &summary));
    for (int k = 0; k < WG_REASON_LIVES; k++)
        cr_expect_eq(reasons.trial[0].met[k], wg_summary_outcome(&summary, WG_OUTCOME_survived)[k] > 0);
    reasons.trial[0].met[5] = !reasons.trial[0].met[5];
    cr_expect_not(wg_reasons_agree(&reasons, &summary), "a result of another version has other lives");
    wg_summary_free(&summary);
    wg_plan_free(&plan);
}

/* Unlimited feed in a laboratory, but too few males: if one were enough, the colony would outgrow what can be counted. */
Test(reasons, a_colony_that_outgrows_counting_is_no_answer) {
    struct wg_plan plan;
    plan_laboratory(&plan, 28, 730);
    plan_start(&plan, 0, WG_MOVABLE_LARVAE, 5, 300);
    plan.replicates = LIVES;
    plan.species.males_needed = 1000;
    const struct wg_reasons reasons = ask(&plan);
    int outgrown = 0;
    for (int i = 0; i < reasons.n_trials; i++) {
        outgrown += reasons.trial[i].lives == 0;
        cr_expect(reasons.trial[i].lives == LIVES || (reasons.trial[i].n_met == 0 && !reasons.trial[i].is_sure));
    }
    cr_expect_gt(outgrown, 0);
    cr_expect_eq(reasons.trial[0].n_met, 0);
    wg_plan_free(&plan);
}

/* ---- luck ---- */

/* Returns the day by which half of the colonies have died out. */
static int middle_end(struct wg_plan *plan) {
    double last[LIVES];
    for (int k = 0; k < LIVES; k++) {
        struct wg_diary diary;
        struct wg_story story = {0};
        plan_simulate(plan, (uint64_t)k, &diary);
        wg_story_add(&story, &diary);
        last[k] = wg_story_last_day(&story);
        wg_diary_free(&diary);
    }
    wg_sort(last, LIVES);
    return (int)wg_quantile_sorted(last, LIVES, 0.5);
}

/*
 * Prepupae whose flies lay nothing: at the end of the period about half of the colonies still have a fly. Warmer or darker
 * mating changes which flies have mated, and so later random numbers, but not how long they live: a limit that only
 * shifts the luck must not become a reason. 40 seeds; each search may err with 0.05 by its standard, so 2 are expected at
 * most, and more than 7 have a chance below 0.001.
 */
Test(reasons, are_seldom_found_where_there_are_none) {
    struct wg_plan plan;
    int found = 0, asked = 0, shifted = 0;
    plan_outdoors(&plan, 200);
    plan.climate = (struct wg_climate_spec){.kind = WG_CLIMATE_CONSTANT, .constant_c = 24, .latitude_deg = 0};
    plan.species.clutch_low = plan.species.clutch_high = 0;
    plan.species.stay_open = 1;
    plan.species.dorm_temp_c = 0;
    plan.replicates = LIVES;
    plan_start(&plan, 0, WG_MOVABLE_PREPUPAE, 0, 1200);
    plan.last_day = plan.first_day + middle_end(&plan);
    for (plan.seed = 1; plan.seed <= 40; plan.seed++) {
        const struct wg_reasons reasons = ask(&plan);
        asked += reasons.lives > 0 && reasons.trial[0].n_met > 3 && reasons.trial[0].n_met < LIVES - 3;
        found += reasons.reason != 0;
        for (int i = 1; i < reasons.n_trials; i++)
            shifted += memcmp(reasons.trial[0].met, reasons.trial[i].met, sizeof reasons.trial[i].met) != 0;
    }
    cr_expect(asked > 20, "only %d seeds have both deaths and survivors", asked);
    cr_expect(shifted > 20, "only %d trials had other luck", shifted);
    cr_expect(found <= 7, "%d of 40", found);
    wg_plan_free(&plan);
}
