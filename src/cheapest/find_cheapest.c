/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Searches for the cheapest plan and explains what it found.
 */
#include "cheapest/find_cheapest.h"

#include "forecast/thread_pool.h"
#include "report/reasons_text.h"

#include <stdlib.h>

#define VARIANT_SHARE 8   /* one year with each doubtful number for so many fresh ones */
#define MOST_FRESH 4      /* times the fresh years, for a winner at the edge of its goal */
#define WARNING_YEARS 200 /* of the winner, to find its warnings (judgement) */

/* ---- before ---- */

static void pass_search_progress(void *self, enum wg_search_stage stage, int64_t years, int64_t expected) {
    const struct wg_cheapest_search *const search = self;
    (void)stage;
    if (search->progress != NULL)
        search->progress(search->progress_self, years, expected);
}

static void ask_search(struct wg_cheapest_search *job) {
    struct wg_search_question *const q = &job->question;
    const struct wg_openings *const openings = &job->candidates.base.openings;
    wg_search_defaults(q);
    wg_plan_lives_ask(job->lives, q);
    for (int i = 0; i < openings->n; i++)
        job->number[i] = (struct wg_search_number){.levels = openings->opening[i].levels.n,
                                                   .own = openings->opening[i].now,
                                                   .is_ordered = openings->opening[i].levels.is_ordered};
    q->n_numbers = openings->n;
    q->number = job->number;
    q->progress = pass_search_progress;
    q->progress_self = job;
    if (job->fresh == 0)
        return;
    q->fresh = q->most_years = (int64_t)job->fresh;
    q->fresh_line = q->fresh / 2 > WG_CHEAPEST_LEAST_YEARS ? q->fresh / 2 : WG_CHEAPEST_LEAST_YEARS;
    q->most_fresh = MOST_FRESH * q->fresh;
    q->variant_years = q->single_years = q->fresh / VARIANT_SHARE > 8 ? q->fresh / VARIANT_SHARE : 8;
}

static int prepare_search(struct wg_cheapest_search *job, struct wg_error *err) {
    const struct wg_plan *const plan = &job->candidates.base.plan;
    for (int g = 0; g < plan->n_goals && !job->any_survivor; g++)
        if (plan->goal[g].kind == WG_GOAL_SURVIVE)
            job->as_strong |= UINT32_C(1) << g;
    job->maker = wg_candidates_maker(&job->candidates);
    const int code = wg_plan_lives_new(&job->lives, plan, &job->maker, job->as_strong, job->threads, job->stop, err);
    if (code == 0)
        ask_search(job);
    return code;
}

/* ---- after ---- */

static int on_put_in(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    double *const sum = self;
    (void)replicate;
    (void)err;
    for (int d = 0; d < diary->n_days; d++)
        *sum += (double)diary->put_in[d];
    return 0;
}

static int word_judged_plans(struct wg_cheapest_search *job, struct wg_error *err) {
    job->words = calloc(WG_SEARCH_MAX_JUDGED, sizeof *job->words);
    int code = job->words == NULL ? wg_no_memory(err, NULL) : 0;
    for (int i = 0; i < job->answer.n_judged && code == 0; i++) {
        struct wg_scenario scenario;
        code = wg_candidates_read(&job->candidates, job->answer.judged[i].level, &scenario, err);
        wg_assert(code <= 0);
        if (code == 0) {
            const struct wg_observer observer = {on_put_in, &job->put_in[i]};
            wg_plan_words(&job->candidates.base, &scenario.plan, job->answer.judged[i].level, job->words[i]);
            code = wg_replicates_run(&scenario.plan, NULL, 0, 1, &observer, err);
        }
        wg_scenario_free(&scenario);
    }
    return code;
}

/* Finds why the own plan, or without a winner the nearest, misses the goal that is hardest for it. */
static int find_why(struct wg_cheapest_search *job, struct wg_error *err) {
    const struct wg_search_answer *const answer = &job->answer;
    const int of = answer->winner < 0 && answer->n_nearest > 0 ? answer->nearest[0] : answer->own;
    const struct wg_ensemble_options options = {.threads = job->threads, .stop = job->stop};
    if (of < 0 || answer->is_stopped || answer->judged[of].meets || answer->judged[of].n == 0)
        return 0;
    struct wg_scenario scenario;
    struct wg_reasons reasons;
    int code = wg_candidates_read(&job->candidates, answer->judged[of].level, &scenario, err);
    wg_assert(code <= 0);
    if (code == 0)
        code =
            wg_reasons_find_goal(&reasons, &scenario.plan, answer->judged[of].hardest, WG_REASON_LIVES, &options, err);
    if (code == 0)
        wg_reasons_at_words(&reasons, &scenario.plan, of == answer->own ? " with your plan" : " with the nearest",
                            &job->why);
    if (code == 0)
        code = wg_bytes_failed(&job->why, err);
    wg_scenario_free(&scenario);
    return code;
}

static int find_winner_warnings(struct wg_cheapest_search *job, struct wg_error *err) {
    const struct wg_search_answer *const answer = &job->answer;
    struct wg_work work = {0};
    struct wg_warning_tally watch = {0};
    if (answer->winner < 0)
        return 0;
    int code = wg_candidates_read(&job->candidates, answer->judged[answer->winner].level, &job->winner, err);
    wg_assert(code <= 0);
    if (code == 0 && !answer->is_stopped)
        code = wg_work_init(&work, &job->winner.plan, WARNING_YEARS, err);
    if (code == 0 && !answer->is_stopped) {
        watch.plan = &job->winner.plan;
        const struct wg_observer observers[] = {wg_warning_observer(&watch), wg_work_observer(&work)};
        const struct wg_ensemble_options options = {.count = WARNING_YEARS, .threads = job->threads, .stop = job->stop};
        code = wg_ensemble_run(&job->winner.plan, &options, observers, 2, err);
        job->has_warnings = code == 0;
    }
    if (job->has_warnings)
        wg_warnings_find(&job->warnings, &watch, &work);
    wg_work_free(&work);
    return code;
}

/* A stop here takes away what is not yet known, and nothing else. */
static int explain(struct wg_cheapest_search *job, struct wg_error *err) {
    int code = word_judged_plans(job, err);
    if (code == 0)
        code = find_winner_warnings(job, err);
    if (code == 0)
        code = find_why(job, err);
    return code == WG_STOPPED ? 0 : code;
}

int wg_cheapest_find(struct wg_cheapest_search *search, struct wg_error *err) {
    int code = prepare_search(search, err);
    if (code == 0)
        code = wg_search_run(&search->question, &search->answer, err);
    return code == 0 ? explain(search, err) : code;
}

void wg_cheapest_search_free(struct wg_cheapest_search *search) {
    wg_search_free(&search->answer);
    wg_plan_lives_free(search->lives);
    wg_scenario_free(&search->winner);
    wg_candidates_free(&search->candidates);
    wg_bytes_free(&search->why);
    free(search->words);
}

/* ---- what was found ---- */

struct wg_cheapest wg_cheapest_found(const struct wg_cheapest_search *search, const char *yaml_path) {
    const bool has_winner = search->answer.winner >= 0;
    return (struct wg_cheapest){.base = &search->candidates.base,
                                .question = &search->question,
                                .answer = &search->answer,
                                .doubts = wg_plan_lives_doubts(search->lives),
                                .opened = search->candidates.opened,
                                .has_own_goal = search->candidates.has_own_goal,
                                .has_unpriced_energy = search->candidates.has_unpriced_energy,
                                .as_strong = search->as_strong,
                                .put_in = search->put_in,
                                .words = search->words,
                                .why = search->why.data != NULL ? search->why.data : "",
                                .warnings = search->has_warnings ? &search->warnings : NULL,
                                .winner_plan = has_winner ? &search->winner.plan : NULL,
                                .yaml = has_winner ? search->winner.text : NULL,
                                .yaml_path = yaml_path};
}

enum wg_cheapest_verdict wg_cheapest_verdict(const struct wg_cheapest_search *search) {
    const struct wg_search_answer *const answer = &search->answer;
    if (answer->winner >= 0)
        return WG_CHEAPEST_YES;
    for (int i = 0; i < answer->n_nearest; i++)
        if (answer->judged[answer->nearest[i]].meets)
            return WG_CHEAPEST_UNSURE;
    return WG_CHEAPEST_NO;
}
