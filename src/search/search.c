/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Runs the stages of a search.
 */
#include "search/search.h"

#include "search/choose.h"
#include "search/goal_price.h"
#include "search/judge.h"
#include "search/race.h"
#include "search/singles.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define ENUMERATED 4.0    /* times most_plans: so many combinations are checked, in the hope that many are the same */
#define SAME_MONEY 1e-9   /* relative */
#define LADDER_YEARS 4000 /* that a ladder usually takes, for the progress only */
#define DOUBTED 3         /* plans that live with doubtful numbers, likewise */
#define NEAREST_JUDGED 6  /* of which WG_SEARCH_NEAREST are named */

void wg_search_defaults(struct wg_search_question *question) {
    *question = (struct wg_search_question){.most_plans = 1000,
                                            .pilot = 4,
                                            .most_years = 512,
                                            .fresh = 512,
                                            .fresh_line = 256,
                                            .most_fresh = 2048,
                                            .race_years = 8000,
                                            .single_years = 64,
                                            .variant_years = 64,
                                            .seed = 1};
}

static void check_search_question(const struct wg_search_question *q) {
    wg_assert(q->n_numbers >= 1 && q->n_numbers <= WG_SEARCH_MAX_NUMBERS);
    wg_assert(q->n_goals >= 1 && q->n_goals <= WG_MAX_GOALS);
    wg_assert(q->n_variants >= 0 && q->n_variants <= WG_SEARCH_MAX_VARIANTS);
    wg_assert(q->pilot >= 1 && q->most_years >= q->pilot && q->fresh >= 1 && q->fresh_line >= 1 &&
              q->most_fresh >= q->fresh);
    for (int i = 0; i < q->n_numbers; i++) {
        const struct wg_search_number *const number = &q->number[i];
        wg_assert(number->levels >= 1 && number->levels <= WG_SEARCH_MAX_LEVELS);
        wg_assert(number->own >= 0 && number->own < number->levels);
    }
}

/* ---- which plans ---- */

static int add_own(struct wg_tried *tried) {
    int own[WG_SEARCH_MAX_NUMBERS], index;
    for (int i = 0; i < tried->question->n_numbers; i++)
        own[i] = tried->question->number[i].own;
    const int code = wg_tried_add(tried, own, &index);
    wg_assert(code < 0 || tried->at[0].rung != WG_RUNG_NO_PLAN);
    return code;
}

static int live_pilot(struct wg_tried *tried) {
    int *const which = malloc(((size_t)tried->n + 1) * sizeof *which);
    int n = 0;
    if (which == NULL)
        return wg_no_memory(tried->err, NULL);
    for (int i = 0; i < tried->n; i++)
        if (wg_tried_counts(tried, i))
            which[n++] = i;
    const int code = wg_tried_live(tried, WG_SEARCH_PILOT, which, n, tried->question->pilot);
    free(which);
    return code;
}

/* Estimates how many years the search will take. */
static int64_t expect_years(const struct wg_search_question *q, int64_t gathering) {
    const int64_t fresh = 2 * (WG_LADDER_GROUP + 1) * q->fresh + WG_PICKED_MOST * q->fresh_line + q->most_fresh;
    return gathering + LADDER_YEARS + fresh + WG_SEARCH_MAX_SINGLES * q->single_years +
           DOUBTED * q->n_variants * q->variant_years;
}

/* Fills the table: with all plans, or by a race. */
static int gather_plans(struct wg_tried *tried, struct wg_search_answer *answer) {
    const struct wg_search_question *const q = tried->question;
    answer->combinations = wg_tried_combinations(q);
    answer->is_race = answer->combinations > ENUMERATED * q->most_plans;
    int code = add_own(tried);
    if (code == 0 && !answer->is_race) {
        code = wg_tried_add_all(tried);
        answer->is_race = code == 0 && wg_tried_different(tried) > q->most_plans;
    }
    tried->expected = expect_years(q, answer->is_race ? q->race_years : q->pilot * wg_tried_different(tried));
    if (code == 0)
        code = answer->is_race ? wg_race_run(tried) : live_pilot(tried);
    return code == 0 ? wg_tried_fold(tried) : code;
}

/* ---- judging ---- */

/* Lets the winner live more years while they do not tell whether it meets its goals. Choosing may change the winner. */
static int prove_winner(struct wg_jury *jury) {
    const struct wg_search_question *const q = jury->tried->question;
    int code = wg_jury_choose(jury);
    while (code == 0 && jury->answer->winner >= 0) {
        const int winner = jury->answer->winner;
        const struct wg_search_judged *const judged = &jury->answer->judged[winner];
        if (judged->verdict == WG_YES || judged->n >= q->most_fresh)
            break;
        code = wg_jury_extend(jury, winner, 2 * judged->n < q->most_fresh ? 2 * judged->n : q->most_fresh);
        if (code == 0)
            code = wg_jury_choose(jury);
    }
    return code;
}

/* Climbs rung after rung until other years confirm one, and no undecided plan is cheaper. */
static int confirm_winner(struct wg_jury *jury, struct wg_ladder *ladder) {
    const int own = 0;
    int group[WG_LADDER_GROUP], n = 0, code;
    wg_jury_add(jury, &own, 1, WG_ROLE_OWN);
    jury->answer->own = 0;
    do {
        const int winner = jury->answer->winner;
        code = wg_ladder_next(ladder, winner < 0 ? -1 : jury->answer->judged[winner].plan, group, &n);
        wg_jury_drop(jury, NEAREST_JUDGED);
        wg_jury_add(jury, group, n, WG_ROLE_PASSED);
        if (code == 0)
            code = wg_jury_live(jury, jury->tried->question->fresh);
        if (code == 0)
            code = prove_winner(jury);
    } while (code == 0 && n > 0);
    return code;
}

/* Judges plans near the goals where none meets them, and chooses the nearest. */
static int choose_nearest(struct wg_jury *jury) {
    int picked[WG_PICKED_MOST], n = 0;
    wg_jury_drop(jury, NEAREST_JUDGED);
    int code = wg_pick_nearest(jury->tried, NEAREST_JUDGED, picked, &n);
    if (code == 0) {
        wg_jury_add(jury, picked, n, WG_ROLE_NEAR);
        code = wg_jury_live(jury, jury->tried->question->fresh_line);
    }
    wg_jury_choose_nearest(jury);
    return code;
}

/* Lets what was chosen live fresh years: the winner as many as its choice took, so that its odds are as sharp. */
static int live_chosen(struct wg_jury *jury) {
    const struct wg_search_answer *const answer = jury->answer;
    const int64_t years = answer->winner >= 0 ? answer->judged[answer->winner].n : 0;
    wg_jury_renew(jury);
    const int code = wg_jury_live(jury, jury->tried->question->fresh);
    return code == 0 && answer->winner >= 0 ? wg_jury_extend(jury, answer->winner, years) : code;
}

/* Judges what stands beside the winner. */
static int judge_line(struct wg_jury *jury) {
    int picked[WG_PICKED_MOST], n = 0;
    if (jury->answer->winner < 0)
        return 0;
    const int code = wg_pick_line(jury->tried, jury->answer->judged[jury->answer->winner].plan, picked, &n);
    if (code != 0)
        return code;
    wg_jury_add(jury, picked, n, WG_ROLE_LINE);
    return wg_jury_live(jury, jury->tried->question->fresh_line);
}

static int run_stages(struct wg_jury *jury, struct wg_ladder *ladder) {
    int code = gather_plans(jury->tried, jury->answer);
    ladder->adds_neighbours = jury->answer->is_race;
    if (code == 0)
        code = confirm_winner(jury, ladder);
    if (code == 0 && jury->answer->winner < 0)
        code = choose_nearest(jury);
    if (code == 0)
        code = live_chosen(jury);
    if (code == 0)
        code = judge_line(jury);
    if (code == 0)
        code = wg_goal_prices_find(jury);
    if (code == 0)
        code = wg_jury_settle(jury);
    if (code == 0)
        code = wg_singles_live(jury);
    return code == 0 ? wg_jury_doubt(jury) : code;
}

/* After a stop: what was chosen, else what passed the search, else what is nearest to the goals; perhaps without fresh years. */
static int settle_early(struct wg_jury *jury) {
    int code = 0;
    jury->answer->is_stopped = true;
    if (jury->stream == WG_SEARCH_CHOOSING) {
        for (int i = 0; i < jury->tried->n; i++)
            if (jury->tried->at[i].rung == WG_RUNG_PASSED)
                wg_jury_add(jury, &i, 1, WG_ROLE_PASSED);
        code = wg_jury_choose(jury);
        if (jury->answer->winner < 0)
            wg_jury_choose_nearest(jury);
        wg_jury_renew(jury);
    }
    return code == 0 ? wg_jury_settle(jury) : code;
}

/* ---- the answer ---- */

static void describe_plan(const struct wg_tried *tried, int index, struct wg_search_plan *plan) {
    const struct wg_candidate *const c = &tried->at[index];
    memcpy(plan->level, c->level, (size_t)tried->question->n_numbers * sizeof *c->level);
    plan->n = c->n;
    plan->same_as = c->same_as;
    plan->is_out = c->rung == WG_RUNG_OUT;
    plan->all = wg_tried_hits(tried, index, WG_GOALS_ALL);
    for (int g = 0; g < tried->question->n_goals; g++)
        plan->hits[g] = wg_tried_hits(tried, index, g);
    plan->money = wg_tried_money(tried, index, c->n); /* NaN for none */
    plan->harvest_kg = wg_tried_harvest(tried, index, c->n);
    plan->left = wg_tried_left(tried, index);
}

static bool all_cost_the_same(const struct wg_tried *tried) {
    double least = (double)INFINITY, most = -(double)INFINITY;
    for (int i = 0; i < tried->n; i++)
        if (wg_tried_counts(tried, i)) {
            least = fmin(least, tried->at[i].money);
            most = fmax(most, tried->at[i].money);
        }
    return most - least <= SAME_MONEY * fmax(fabs(least), fabs(most));
}

/* Writes the plans; those that are no plans are left out, so numbers of plans change. */
static int write_plans(const struct wg_tried *tried, struct wg_search_answer *answer) {
    int *const place = malloc(((size_t)tried->n + 1) * sizeof *place);
    answer->plan = calloc((size_t)tried->n + 1, sizeof *answer->plan);
    if (place == NULL || answer->plan == NULL) {
        free(place);
        return wg_no_memory(tried->err, NULL);
    }
    for (int i = 0; i < tried->n; i++) {
        place[i] = answer->n_plans;
        answer->n_illegal += tried->at[i].rung == WG_RUNG_NO_PLAN;
        if (tried->at[i].rung != WG_RUNG_NO_PLAN)
            describe_plan(tried, i, &answer->plan[answer->n_plans++]);
    }
    for (int i = 0; i < answer->n_plans; i++)
        if (answer->plan[i].same_as >= 0)
            answer->plan[i].same_as = place[answer->plan[i].same_as];
    for (int i = 0; i < answer->n_judged; i++)
        answer->judged[i].plan = place[answer->judged[i].plan];
    free(place);
    answer->n_different = wg_tried_different(tried);
    answer->same_money = all_cost_the_same(tried);
    answer->looking_years = tried->years;
    return 0;
}

int wg_search_run(const struct wg_search_question *question, struct wg_search_answer *answer, struct wg_error *err) {
    check_search_question(question);
    *answer = (struct wg_search_answer){.own = -1, .winner = -1, .outcome = WG_SEARCH_NONE};
    for (int g = 0; g < WG_MAX_GOALS; g++)
        answer->without[g] = -1;
    struct wg_tried tried = {.question = question, .err = err};
    struct wg_jury jury = {.stream = WG_SEARCH_CHOOSING, .tried = &tried, .answer = answer};
    struct wg_ladder ladder = {.tried = &tried};
    int code = run_stages(&jury, &ladder);
    if (code == WG_STOPPED)
        code = settle_early(&jury);
    if (code == 0)
        code = write_plans(&tried, answer);
    wg_tried_free(&tried);
    return code;
}

void wg_search_free(struct wg_search_answer *answer) {
    for (int i = 0; i < answer->n_judged; i++)
        free(answer->judged[i].year);
    free(answer->plan);
    *answer = (struct wg_search_answer){.own = -1, .winner = -1};
}
