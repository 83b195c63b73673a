/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks the search with real plans, an invented shed, against the engine alone: the same years, the same answer for any number of
 * threads.
 */
#include "forecast/replicate.h"
#include "forecast/thread_pool.h"
#include "search/plan_lives.h"
#include "species/plausible.h"
#include "support/plans.h"
#include "support/shed_choices.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A search of the small shed with few years. */
static void search_small(struct shed_choices *choices, int threads, const atomic_int *stop,
                         struct wg_search_answer *answer) {
    struct wg_plan_lives *lives;
    struct wg_search_question q;
    struct wg_error err = {0};
    cr_assert_eq(wg_plan_lives_new(&lives, &choices->base.plan, &choices->maker, 1, threads, stop, &err), 0, "%s",
                 err.text);
    wg_search_defaults(&q);
    q.n_numbers = SHED_NUMBERS;
    q.number = choices->number;
    wg_plan_lives_ask(lives, &q);
    q.pilot = 1;
    q.most_years = q.fresh = q.most_fresh = 4;
    q.fresh_line = 2;
    q.variant_years = 1;
    cr_assert_eq(q.n_variants, 2 * wg_plan_lives_doubts(lives)->n);
    cr_assert_eq(wg_search_run(&q, answer, &err), 0, "%s", err.text);
    wg_plan_lives_free(lives);
}

/* Ends the period in May, which takes half the time, and asks little: few colonies are strong by then. */
static void shorten(struct wg_plan *plan) {
    plan->last_day = plan->first_day + 240;
    plan->goal[0].by = plan->last_day;
    plan->goal[0].chance = 0.05;
}

/* Lives the years of one plan with the engine alone. */
struct seen {
    const struct wg_search_made *made;
    const struct wg_search_year *year;
    int differences;
};

static int compare_year(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    struct seen *const seen = self;
    const struct wg_search_year *const year = &seen->year[replicate];
    int64_t left = 0, put_in = 0;
    (void)err;
    for (int s = 0; s < WG_N_STAGES; s++)
        left += diary->count[(ptrdiff_t)(diary->n_days - 1) * WG_N_STAGES + s];
    for (int d = 0; d < diary->n_days; d++)
        put_in += diary->put_in[d];
    const bool same_money =
        memcmp(&year->money, &(double){seen->made->fixed_money + diary->total_heater_cost}, sizeof year->money) == 0;
    seen->differences += !same_money || year->is_alive != (diary->survived > 0) || year->left != (double)left ||
                         year->harvest_kg != diary->total_harvest_mass || (year->met & 1) != (left >= put_in);
    cr_expect_eq(put_in, 10000);
    return 0;
}

/* What a search reports are the replicates of the plan's own seed, to the last bit. */
static void expect_own_years(struct shed_choices *choices, const struct wg_search_judged *judged) {
    struct wg_search_made made;
    struct wg_error err = {0};
    cr_assert_eq(choices->maker.make(choices->maker.self, judged->level, &made, &err), 0);
    cr_assert_leq(judged->n, WG_LATTICE_ANIMALS); /* the first row: years are replicates of the same number */
    struct seen seen = {&made, judged->year, 0};
    const struct wg_observer observer = {compare_year, &seen};
    cr_assert_eq(wg_replicates_run(made.plan, NULL, 0, judged->n, &observer, &err), 0, "%s", err.text);
    cr_expect_eq(seen.differences, 0);
    choices->maker.release(choices->maker.self, &made);
}

static void expect_same_answers(const struct wg_search_answer *a, const struct wg_search_answer *b) {
    cr_assert_eq(a->n_judged, b->n_judged);
    cr_assert_eq(a->n_plans, b->n_plans);
    cr_expect(a->winner == b->winner && a->own == b->own && a->outcome == b->outcome);
    cr_expect(a->n_line == b->n_line && memcmp(a->line, b->line, sizeof a->line) == 0);
    for (int i = 0; i < a->n_judged; i++) {
        cr_assert_eq(a->judged[i].n, b->judged[i].n);
        cr_expect_eq(memcmp(a->judged[i].level, b->judged[i].level, sizeof a->judged[i].level), 0);
        for (int64_t k = 0; k < a->judged[i].n; k++)
            cr_expect(a->judged[i].year[k].course == b->judged[i].year[k].course &&
                      memcmp(&a->judged[i].year[k].money, &b->judged[i].year[k].money, sizeof(double)) == 0);
        for (int v = 0; v < a->judged[i].n_variants; v++)
            cr_expect_eq(a->judged[i].variant[v].hits, b->judged[i].variant[v].hits);
    }
    for (int i = 0; i < a->n_plans; i++)
        cr_expect(a->plan[i].n == b->plan[i].n && a->plan[i].all == b->plan[i].all);
}

Test(plan_lives, answers_the_same_on_any_number_of_threads) {
    struct shed_choices choices;
    struct wg_search_answer *const answer = calloc(2, sizeof *answer);
    shed_choices_init_small(&choices);
    shorten(&choices.base.plan);
    search_small(&choices, 1, NULL, &answer[0]);
    search_small(&choices, 4, NULL, &answer[1]);
    expect_same_answers(&answer[0], &answer[1]);
    cr_assert_geq(answer[0].winner, 0);
    /* a shed at 70 degF all winter is among the dearest (a heater's bill rises with the set point) */
    cr_expect_lt(answer[0].judged[answer[0].winner].money.mean, answer[0].judged[answer[0].own].money.mean);
    expect_own_years(&choices, &answer[0].judged[answer[0].winner]);
    expect_own_years(&choices, &answer[0].judged[answer[0].own]);
    for (int i = 0; i < 2; i++)
        wg_search_free(&answer[i]);
    free(answer);
    shed_choices_free(&choices);
}

Test(plan_lives, stops_and_refuses) {
    struct shed_choices choices;
    struct wg_search_answer *const answer = calloc(1, sizeof *answer);
    const atomic_int stop = 1;
    shed_choices_init_small(&choices);
    search_small(&choices, 2, &stop, answer);
    cr_expect(answer->is_stopped && answer->looking_years == 0);
    wg_search_free(answer);

    struct wg_plan_lives *lives;
    struct wg_search_question q;
    struct wg_search_year year;
    struct wg_error err = {0};
    choices.base.plan.places[0].shelter.lamp_price_per_kwh = (double)NAN;
    cr_assert_eq(wg_plan_lives_new(&lives, &choices.base.plan, &choices.maker, 1, 1, NULL, &err), 0);
    wg_search_defaults(&q);
    wg_plan_lives_ask(lives, &q);
    const int level[SHED_NUMBERS] = {0};
    const struct wg_search_life life = {level, 0, WG_SEARCH_LOOKING, 0, 1, &year};
    cr_expect_eq(q.live(q.self, &life, 1, &err), WG_ERR_INPUT);
    cr_expect(strstr(err.text, "price: 0.15 per kWh") != NULL, "%s", err.text);
    wg_plan_lives_free(lives);
    free(answer);
    shed_choices_free(&choices);
}

/* The first 256 years have each plausible animal once, and the 2,048 years of a cycle are the replicates 0 .. 2,047. */
Test(plan_lives, meets_every_animal_soon) {
    const struct wg_plan plan = {.animals = WG_ANIMALS_PLAUSIBLE, .seed = 5}, middle = {.animals = WG_ANIMALS_MIDDLE};
    char met[256] = {0}, lived[2048] = {0};
    cr_assert_eq(wg_plausible_count(), 256);
    for (int64_t k = 0; k < 2048; k++) {
        const int64_t replicate = wg_search_replicate(&plan, k);
        cr_assert(replicate >= 0 && replicate < 2048 && !lived[replicate]);
        lived[replicate] = 1;
        met[wg_lattice_cell(&plan, replicate).animal] += k < 256;
        cr_expect_eq(wg_search_replicate(&middle, k), k);
    }
    for (int a = 0; a < 256; a++)
        cr_expect_eq(met[a], 1);
    cr_expect_eq(wg_search_replicate(&plan, 2048), 2048);
}

/* ---- doubtful numbers ---- */

/* Every doubt at either end gives animals without contradictions, in both sets of numbers and in the plausible animals. */
Test(plan_lives, doubts_make_animals) {
    static const char *const set[] = {"keepers", "laboratory"};
    for (int s = 0; s < 2; s++) {
        struct wg_plan plan;
        struct wg_doubts doubts;
        plan_laboratory(&plan, 25, 10);
        cr_assert_eq(wg_species_set(&plan.species, set[s]), 0);
        wg_doubts_of(&doubts, &plan);
        cr_expect_eq(doubts.n, 7);
        for (int i = 0; i < 2 * doubts.n; i++) {
            const struct wg_doubt *const doubt = &doubts.doubt[i / 2];
            struct wg_plan changed = plan;
            wg_doubt_apply(doubt, i % 2 == 1, &changed);
            cr_expect_null(wg_species_problem(&changed.species), "%s", doubt->what);
            for (int a = -1; a < 64; a++) {
                struct wg_species animal;
                wg_lattice_species(&changed, a, &animal);
                const double value = wg_species_get(&animal, doubt->number[0]);
                cr_expect_float_eq(value, i % 2 == 1 ? doubt->number[0]->high : doubt->number[0]->low, 1e-12);
            }
        }
        wg_plan_free(&plan);
    }
}

/* A number that the plan gives is in no doubt. */
Test(plan_lives, leaves_out_what_the_plan_gives) {
    struct wg_plan plan;
    struct wg_doubts doubts;
    plan_laboratory(&plan, 25, 10);
    plan.is_given[wg_parameter_index(wg_species_find("laying_air"))] = true;
    wg_doubts_of(&doubts, &plan);
    cr_expect_eq(doubts.n, 6);
    for (int i = 0; i < doubts.n; i++)
        cr_expect_str_neq(doubts.doubt[i].number[0]->name, "mating_air");
    wg_plan_free(&plan);
}
