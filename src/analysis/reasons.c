/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Simulates lives again with limits lifted, and chooses the reason.
 *
 * A trial is one job of a thread pool, so that what it finds does not depend on the number of threads.
 */
#include "analysis/reasons.h"

#include "analysis/intervals.h"
#include "colony/goal_met.h"
#include "forecast/tables.h"
#include "forecast/thread_pool.h"
#include "forecast/warnings.h"

#include <math.h>
#include <stdlib.h>

#define SCREENED 16 /* lives with which pairs are screened */
#define MAX_PAIRS (WG_N_LIMITS * (WG_N_LIMITS - 1) / 2)
#define WARMER_K 3.0 /* above the air that flies need: judgement */
#define COOL_C 10.0  /* a winter in which prepupae sleep and nothing freezes: judgement */

const char *wg_why_name(enum wg_why why) {
    static const char *const name[] = {"nothing", "dies out", "no harvest", "goal missed"};
    return name[why];
}

enum wg_why wg_reasons_question(const struct wg_plan *plan, const struct wg_summary *summary) {
    const double *const harvest = wg_summary_outcome(summary, WG_OUTCOME_total_harvest_mass);
    int64_t with = 0;
    for (int64_t k = 0; k < summary->n; k++)
        with += harvest[k] > 0;
    if (wg_summary_survival(summary) < WG_REASON_ENOUGH)
        return WG_WHY_DIES;
    if (wg_caution_applies(plan, WG_CAUTION_SHORT)) /* which says why nothing is taken out */
        return WG_WHY_NOTHING;
    return wg_plan_takes_out(plan) && 2 * with < summary->n ? WG_WHY_NO_HARVEST : WG_WHY_NOTHING;
}

/* ---- one trial ---- */

struct trial_run {
    const struct wg_plan *plan;
    enum wg_why why;
    int goal;
    int64_t lives;
    struct wg_trial *trial;
    struct wg_story *story; /* NULL: not kept */
    struct wg_tables *tables;
};

static bool is_met(const struct trial_run *run, const struct wg_diary *diary) {
    if (run->why == WG_WHY_GOAL)
        return wg_goal_met(&run->plan->goal[run->goal], diary);
    return run->why == WG_WHY_DIES ? diary->survived > 0 : diary->total_harvest_mass > 0;
}

static int on_replicate_trial(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    struct trial_run *const run = self;
    (void)err;
    const bool met = is_met(run, diary);
    run->trial->met[replicate] = met;
    run->trial->n_met += met;
    run->trial->harvest_kg += diary->total_harvest_mass / (double)run->lives;
    run->trial->lives++;
    if (run->story != NULL && !met)
        wg_story_add(run->story, diary);
    return 0;
}

static int run_trial(void *self, int64_t i, struct wg_error *err) {
    struct trial_run *const run = (struct trial_run *)self + i;
    struct wg_plan copy;
    struct wg_error own = {0};
    int code = wg_lifted_copy(&copy, run->plan, &own);
    for (int k = 0; k < run->trial->n_limits && code == 0; k++)
        wg_lift(&copy, run->trial->limit[k]);
    if (code == 0 && !isnan(run->trial->set_point_c))
        wg_lifted_set_point(&copy, run->trial->set_point_c);
    if (code == 0)
        code =
            wg_replicates_run(&copy, run->tables, 0, run->lives, &(struct wg_observer){on_replicate_trial, run}, &own);
    wg_lifted_free(&copy);
    if (code == WG_ERR_OVERGROWN) {
        run->trial->lives = run->trial->n_met = 0;
        return 0;
    }
    if (code < 0 && err != NULL && err->code == 0)
        *err = own;
    return code;
}

/* ---- judging ---- */

/* Returns the interval of the share of lives that b saves and a does not, net. */
static struct wg_interval saved_share(const struct wg_trial *a, const struct wg_trial *b) {
    int64_t only_a = 0, only_b = 0;
    for (int64_t k = 0; k < b->lives; k++) {
        only_a += a->met[k] && !b->met[k];
        only_b += b->met[k] && !a->met[k];
    }
    return wg_share_difference_interval(only_a, only_b, b->lives, WG_REASON_CONFIDENCE);
}

static void judge(struct wg_trial *trial, const struct wg_trial *as_planned) {
    trial->saved = saved_share(as_planned, trial);
    trial->is_sure = trial->lives > 0 && trial->saved.low > 0;
}

/* True for mishaps, which kill by something else: a power cut by cold. */
static bool is_mishap(const struct wg_trial *trial) {
    return trial->n_limits == 1 && trial->limit[0] >= WG_LIMIT_RAIDS;
}

/* True if a trial saves more lives than the best so far. Of equal ones a mishap is the deeper cause; then harvest decides. */
static bool is_better(const struct wg_trial *trial, const struct wg_trial *best) {
    if (trial->n_met != best->n_met)
        return trial->n_met > best->n_met;
    if (is_mishap(trial) != is_mishap(best))
        return is_mishap(trial);
    return trial->harvest_kg > best->harvest_kg;
}

static bool is_enough(const struct wg_trial *trial) {
    return (double)trial->n_met >= WG_REASON_ENOUGH * (double)trial->lives;
}

/* Sets best, reason and next from the trials of single limits. */
static void choose_single(struct wg_reasons *reasons) {
    const struct wg_trial *const trial = reasons->trial;
    for (int i = 1; i < reasons->n_trials; i++) {
        if (trial[i].lives > 0 && (reasons->best == 0 || is_better(&trial[i], &trial[reasons->best])))
            reasons->best = i;
    }
    reasons->reason = trial[reasons->best].is_sure ? reasons->best : 0;
    for (int i = 1; i < reasons->n_trials; i++)
        if (i != reasons->best && trial[i].is_sure &&
            (reasons->next == 0 || is_better(&trial[i], &trial[reasons->next])))
            reasons->next = i;
}

/* ---- the search ---- */

struct reason_search {
    const struct wg_plan *plan;
    const struct wg_ensemble_options *options;
    struct wg_reasons *reasons;
};

static int run_trials(const struct reason_search *search, struct trial_run *runs, int n, struct wg_error *err) {
    const struct wg_thread_pool pool = {.threads = search->options->threads, .stop = search->options->stop};
    for (int i = 0; i < n; i++) {
        search->reasons->simulated += runs[i].lives;
        runs[i].tables = search->options->tables;
    }
    return n > 0 ? wg_thread_pool_run(&pool, n, run_trial, runs, err) : 0;
}

/* Makes the run of a new trial. */
static struct trial_run add_trial(const struct reason_search *search) {
    struct wg_reasons *const reasons = search->reasons;
    wg_assert(reasons->n_trials < WG_REASON_TRIALS);
    struct wg_trial *const trial = &reasons->trial[reasons->n_trials++];
    *trial = (struct wg_trial){.set_point_c = (double)NAN};
    return (struct trial_run){
        .plan = search->plan, .why = reasons->why, .goal = reasons->goal, .lives = reasons->lives, .trial = trial};
}

static int try_singles(const struct reason_search *search, struct wg_error *err) {
    struct wg_reasons *const reasons = search->reasons;
    struct trial_run run[WG_N_LIMITS + 1];
    int n = 0;
    run[n] = add_trial(search);
    run[n++].story = &reasons->story;
    for (int limit = 0; limit < WG_N_LIMITS; limit++) {
        const bool is_asked = reasons->why != WG_WHY_NO_HARVEST || limit != WG_LIMIT_HARVEST;
        if (!is_asked || !wg_limit_applies((enum wg_limit)limit, search->plan))
            continue;
        run[n] = add_trial(search);
        run[n].trial->n_limits = 1;
        run[n++].trial->limit[0] = (enum wg_limit)limit;
    }
    const int code = run_trials(search, run, n, err);
    for (int i = 1; i < n && code == 0; i++)
        judge(&reasons->trial[i], &reasons->trial[0]);
    if (code == 0)
        choose_single(reasons);
    return code;
}

/* Fills the pairs to screen: those of the best single limit if it saves more than luck, else all. */
static int list_pairs(const struct reason_search *search, struct wg_trial *pair, struct trial_run *run) {
    const struct wg_reasons *const reasons = search->reasons;
    const int singles = reasons->n_trials;
    const int64_t lives = reasons->lives < SCREENED ? reasons->lives : SCREENED;
    int n = 0;
    for (int i = 1; i < singles; i++)
        for (int k = i + 1; k < singles; k++) {
            if (reasons->reason != 0 && i != reasons->reason && k != reasons->reason)
                continue;
            pair[n] = (struct wg_trial){.n_limits = 2,
                                        .limit = {reasons->trial[i].limit[0], reasons->trial[k].limit[0]},
                                        .set_point_c = (double)NAN};
            run[n] = (struct trial_run){
                .plan = search->plan, .why = reasons->why, .goal = reasons->goal, .lives = lives, .trial = &pair[n]};
            n++;
        }
    return n;
}

/* Screens pairs with a few lives and tries the best of them with all. */
static int try_pairs(const struct reason_search *search, struct wg_error *err) {
    struct wg_reasons *const reasons = search->reasons;
    struct wg_trial pair[MAX_PAIRS];
    struct trial_run run[MAX_PAIRS];
    const int n = list_pairs(search, pair, run);
    int code = run_trials(search, run, n, err), best = 0;
    for (int i = 1; i < n; i++)
        best = is_better(&pair[i], &pair[best]) ? i : best;
    reasons->pairs_tried = n > 0;
    if (code != 0 || n == 0 || pair[best].n_met == 0)
        return code;
    struct trial_run whole = add_trial(search);
    whole.trial->n_limits = 2;
    whole.trial->limit[0] = pair[best].limit[0];
    whole.trial->limit[1] = pair[best].limit[1];
    code = run_trials(search, &whole, 1, err);
    judge(whole.trial, &reasons->trial[0]);
    if (code == 0 && whole.trial->is_sure && saved_share(&reasons->trial[reasons->best], whole.trial).low > 0)
        reasons->reason = reasons->n_trials - 1;
    return code;
}

/* Where flies find the air too cool in a heated place: would more heat help, or less? */
static int try_set_points(const struct reason_search *search, struct wg_error *err) {
    struct wg_reasons *const reasons = search->reasons;
    const struct wg_species *const species = &search->plan->species;
    struct trial_run run[2] = {add_trial(search), add_trial(search)};
    run[0].trial->set_point_c = fmax(species->mate_air_c, species->lay_air_c) + WARMER_K;
    run[1].trial->set_point_c = COOL_C;
    const int code = run_trials(search, run, 2, err);
    for (int i = 0; i < 2 && code == 0; i++)
        judge(run[i].trial, &reasons->trial[0]);
    reasons->warmer = code == 0 && run[0].trial->is_sure ? reasons->n_trials - 2 : 0;
    reasons->cooler = code == 0 && run[1].trial->is_sure ? reasons->n_trials - 1 : 0;
    return code;
}

static bool has_limit(const struct wg_trial *trial, enum wg_limit limit) {
    for (int k = 0; k < trial->n_limits; k++)
        if (trial->limit[k] == limit)
            return true;
    return false;
}

/* All lives of a block, but fewer of many years, so that the search takes no longer than the forecast. */
static int64_t lives_to_try(const struct wg_summary *summary) {
    int64_t lives = summary->n < WG_REASON_LIVES ? summary->n : WG_REASON_LIVES;
    while (lives / 2 >= WG_REASON_LEAST_LIVES && lives * summary->n_days > WG_REASON_LIVES * WG_REASON_DAYS)
        lives /= 2;
    return lives;
}

static int search_reasons(const struct reason_search *search, struct wg_error *err) {
    struct wg_reasons *const reasons = search->reasons;
    int code = try_singles(search, err);
    if (code == 0 && !is_enough(&reasons->trial[reasons->best]))
        code = try_pairs(search, err);
    if (code == 0 && has_limit(&reasons->trial[reasons->reason], WG_LIMIT_AIR) && wg_plan_is_heated(search->plan))
        code = try_set_points(search, err);
    return code;
}

/* Searches, if that is asked, then finds the checks. */
static int find_and_check(const struct reason_search *search, int64_t lives, bool newcomers_alone,
                          struct wg_error *err) {
    struct wg_reasons *const reasons = search->reasons;
    int code = 0;
    if (reasons->why != WG_WHY_NOTHING) {
        reasons->lives = lives;
        code = search_reasons(search, err);
    }
    return code == 0 ? wg_checks_find(&reasons->checks, search->plan, lives, newcomers_alone, search->options, err)
                     : code;
}

int wg_reasons_find(struct wg_reasons *reasons, const struct wg_plan *plan, const struct wg_summary *summary,
                    bool newcomers_alone, const struct wg_ensemble_options *options, struct wg_error *err) {
    *reasons = (struct wg_reasons){.why = wg_reasons_question(plan, summary)};
    if (summary->n < WG_REASON_LEAST_LIVES)
        return 0;
    struct wg_ensemble_options sharing = *options;
    struct wg_tables *own;
    int code = wg_tables_share(&own, &sharing.tables, err);
    if (code == 0)
        code = find_and_check(&(struct reason_search){plan, &sharing, reasons}, lives_to_try(summary), newcomers_alone,
                              err);
    wg_tables_free(own);
    return code;
}

static bool is_to_the_end(const struct wg_plan *plan, const struct wg_goal *goal) {
    return goal->kind == WG_GOAL_SURVIVE && goal->by == plan->last_day;
}

int wg_reasons_find_goal(struct wg_reasons *reasons, const struct wg_plan *plan, int goal, int64_t lives,
                         const struct wg_ensemble_options *options, struct wg_error *err) {
    wg_assert(goal >= 0 && goal < plan->n_goals && lives >= 0 && lives <= WG_REASON_LIVES);
    *reasons = (struct wg_reasons){
        .why = is_to_the_end(plan, &plan->goal[goal]) ? WG_WHY_DIES : WG_WHY_GOAL, .goal = goal, .lives = lives};
    struct wg_ensemble_options sharing = *options;
    struct wg_tables *own;
    int code = wg_tables_share(&own, &sharing.tables, err);
    if (code == 0)
        code = search_reasons(&(struct reason_search){plan, &sharing, reasons}, err);
    wg_tables_free(own);
    return code;
}

bool wg_reasons_agree(const struct wg_reasons *reasons, const struct wg_summary *summary) {
    const double *const outcome =
        wg_summary_outcome(summary, reasons->why == WG_WHY_DIES ? WG_OUTCOME_survived : WG_OUTCOME_total_harvest_mass);
    const double *const survived = wg_summary_outcome(summary, WG_OUTCOME_survived);
    for (int64_t k = 0; k < reasons->lives; k++)
        if (reasons->trial[0].met[k] != (outcome[k] > 0))
            return false;
    for (int64_t k = 0; k < reasons->checks.lives; k++)
        if (reasons->checks.check[0].alive[k] != (survived[k] > 0))
            return false;
    return true;
}
