/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Writes the answer of `cheapest` as JSON.
 */
#include "cheapest/cheapest_text.h"
#include "cheapest/ends.h"
#include "report/goals_report.h"
#include "report/warning_lists.h"
#include "json/json.h"
#include <wintergrub/version.h>

#include <math.h>
#include <string.h>

static void put_openings(struct wg_json *json, const struct wg_cheapest *c) {
    wg_json_list(json, "open");
    for (int i = 0; i < c->base->openings.n; i++) {
        const struct wg_opening *const opening = &c->base->openings.opening[i];
        wg_json_object(json, NULL);
        wg_json_text(json, "key", opening->path);
        wg_json_text(json, "subject", opening->subject);
        wg_json_text(json, "now", opening->levels.level[opening->now].text);
        wg_json_list(json, "values");
        for (int k = 0; k < opening->levels.n; k++)
            wg_json_text(json, NULL, opening->levels.level[k].text);
        wg_json_close(json);
        wg_json_close(json);
    }
    wg_json_close(json);
}

static void put_values(struct wg_json *json, const struct wg_cheapest *c, const int *level) {
    wg_json_object(json, "values");
    for (int i = 0; i < c->base->openings.n; i++) {
        const struct wg_opening *const opening = &c->base->openings.opening[i];
        wg_json_text(json, opening->path, opening->levels.level[level[i]].text);
    }
    wg_json_close(json);
}

static void put_found_chance(struct wg_json *json, const char *key, const struct wg_goal_chance *chance) {
    wg_json_object(json, key);
    wg_json_whole(json, "met", chance->hits);
    wg_goals_json_put_chance(json, chance->share, chance->interval);
    wg_json_close(json);
}

static void put_search_amount(struct wg_json *json, const char *key, const struct wg_search_amount *amount) {
    wg_json_object(json, key);
    wg_json_real(json, "mean", amount->mean);
    wg_json_real(json, "mean_low", amount->interval.low);
    wg_json_real(json, "mean_high", amount->interval.high);
    wg_json_real(json, "q10", amount->q10);
    wg_json_real(json, "q50", amount->q50);
    wg_json_real(json, "q90", amount->q90);
    wg_json_close(json);
}

static void put_gap(struct wg_json *json, const char *key, const struct wg_search_gap *gap) {
    wg_json_object(json, key);
    wg_json_real(json, "mean", gap->mean);
    wg_json_real(json, "low", gap->interval.low);
    wg_json_real(json, "high", gap->interval.high);
    wg_json_close(json);
}

static void put_variants(struct wg_json *json, const struct wg_cheapest *c, const struct wg_search_judged *judged) {
    wg_json_list(json, "if_we_are_wrong");
    for (int v = 0; v < judged->n_variants; v++) {
        const struct wg_search_variant *const variant = &judged->variant[v];
        const struct wg_doubt *const doubt = &c->doubts->doubt[v / 2];
        wg_json_object(json, NULL);
        wg_json_text(json, "what", doubt->what);
        wg_json_list(json, "numbers");
        for (int i = 0; i < doubt->n; i++) {
            wg_json_object(json, NULL);
            wg_json_text(json, "name", doubt->number[i]->name);
            wg_json_real(json, "value", v % 2 == 1 ? doubt->number[i]->high : doubt->number[i]->low);
            wg_json_text(json, "unit", doubt->number[i]->unit);
            wg_json_text(json, "source", doubt->number[i]->source);
            wg_json_close(json);
        }
        wg_json_close(json);
        wg_json_whole(json, "replicates", variant->n);
        wg_json_whole(json, "met", variant->hits);
        wg_goals_json_put_chance(json, variant->share, variant->interval);
        wg_json_text(json, "enough", wg_verdict_name(variant->verdict));
        wg_json_close(json);
    }
    wg_json_close(json);
}

static void put_ends(struct wg_json *json, const struct wg_cheapest *c, const struct wg_search_judged *judged) {
    wg_json_object(json, "at_the_end_of_what_was_tried");
    for (int i = 0; i < c->base->openings.n; i++) {
        struct wg_tried_end end;
        if (wg_cheapest_end(c, judged, i, &end))
            wg_json_text(json, c->base->openings.opening[i].path, end.which);
    }
    wg_json_close(json);
}

static void put_judged(struct wg_json *json, const struct wg_cheapest *c, int i) {
    const struct wg_search_judged *const judged = &c->answer->judged[i];
    wg_json_object(json, NULL);
    wg_json_text(json, "plan", c->words[i]);
    put_values(json, c, judged->level);
    wg_json_flag(json, "is_winner", i == c->answer->winner);
    wg_json_flag(json, "is_own", i == c->answer->own);
    wg_json_flag(json, "is_equal_to_winner", judged->is_equal);
    wg_json_flag(json, "meets", judged->meets);
    wg_json_text(json, "enough", wg_verdict_name(judged->verdict));
    wg_json_whole(json, "replicates", judged->n);
    wg_json_list(json, "goals");
    for (int g = 0; g < c->question->n_goals; g++) {
        wg_json_object(json, NULL);
        wg_json_whole(json, "met", judged->goal[g].hits);
        wg_goals_json_put_chance(json, judged->goal[g].share, judged->goal[g].interval);
        wg_json_text(json, "enough", wg_verdict_name(judged->goal[g].verdict));
        wg_json_close(json);
    }
    wg_json_close(json);
    put_found_chance(json, "all_goals", &judged->all);
    put_found_chance(json, "alive", &judged->alive);
    put_search_amount(json, "money", &judged->money);
    wg_json_real(json, "above_zero", wg_cheapest_above_zero(c, judged));
    put_search_amount(json, "harvest_kg", &judged->harvest);
    put_search_amount(json, "left_at_end", &judged->left);
    wg_json_real(json, "share_of_animals_that_keep_the_chance", judged->animals);
    put_gap(json, "more_money_than_winner", &judged->more_money);
    put_gap(json, "more_odds_than_winner", &judged->more_odds);
    put_gap(json, "more_harvest_kg_than_winner", &judged->more_harvest);
    put_ends(json, c, judged);
    put_variants(json, c, judged);
    wg_json_close(json);
}

/* Writes places in the list "judged", from 0. */
static void put_places(struct wg_json *json, const char *key, const int *place, int n) {
    wg_json_list(json, key);
    for (int i = 0; i < n; i++)
        wg_json_whole(json, NULL, place[i]);
    wg_json_close(json);
}

/* Writes every plan tried, in the numbers of the search, which favour whoever was lucky in them. */
static void put_tried(struct wg_json *json, const struct wg_cheapest *c) {
    const struct wg_search_answer *const answer = c->answer;
    wg_json_list(json, "tried_in_the_search");
    for (int i = 0; i < answer->n_plans; i++) {
        const struct wg_search_plan *const plan = &answer->plan[i];
        wg_json_object(json, NULL);
        wg_json_list(json, "values");
        for (int k = 0; k < c->base->openings.n; k++)
            wg_json_text(json, NULL, c->base->openings.opening[k].levels.level[plan->level[k]].text);
        wg_json_close(json);
        wg_json_whole(json, "replicates", plan->n);
        wg_json_whole(json, "met_all_goals", plan->all);
        wg_json_real(json, "money", plan->n > 0 ? plan->money : (double)NAN);
        wg_json_real(json, "harvest_kg", plan->n > 0 ? plan->harvest_kg : (double)NAN);
        wg_json_flag(json, "is_out", plan->is_out);
        if (plan->same_as >= 0)
            wg_json_whole(json, "same_as", plan->same_as);
        wg_json_close(json);
    }
    wg_json_close(json);
}

static void put_goals(struct wg_json *json, const struct wg_cheapest *c) {
    const struct wg_plan *const plan = &c->base->plan;
    wg_json_flag(json, "goal_is_assumed", !c->has_own_goal);
    wg_json_list(json, "goals");
    for (int g = 0; g < plan->n_goals; g++) {
        wg_json_object(json, NULL);
        wg_goals_json_put_one(json, &plan->goal[g], plan->currency);
        wg_json_flag(json, "as_many_as_began", (c->as_strong >> g & 1) != 0);
        wg_json_close(json);
    }
    wg_json_close(json);
}

static const char *outcome_name(const struct wg_search_answer *answer) {
    static const char *const name[] = {
        [WG_SEARCH_FOUND] = "found", [WG_SEARCH_KEEP_OWN] = "keep your own", [WG_SEARCH_NONE] = "none"};
    return name[answer->outcome];
}

static void put_remarks(struct wg_json *json, const struct wg_cheapest *c) {
    char text[WG_CHEAPEST_TEXT];
    wg_json_list(json, "remarks");
    for (int i = 0; wg_cheapest_remark(c, i, text); i++)
        wg_json_text(json, NULL, text);
    wg_json_close(json);
}

/* Writes the lines of the plan: a text in JSON is one line. */
static void put_yaml(struct wg_json *json, const char *yaml) {
    char line[1024];
    wg_json_list(json, "yaml");
    for (const char *at = yaml; at != NULL && *at != '\0';) {
        const size_t length = strcspn(at, "\n");
        (void)snprintf(line, sizeof line, "%.*s", (int)(length < sizeof line ? length : sizeof line - 1), at);
        wg_json_text(json, NULL, line);
        at += length + (at[length] == '\n');
    }
    wg_json_close(json);
}

int wg_cheapest_print_json(const struct wg_cheapest *c, FILE *to, struct wg_error *err) {
    const struct wg_search_answer *const answer = c->answer;
    struct wg_json *const json = wg_json_new();
    char text[WG_CHEAPEST_TEXT];
    wg_json_text(json, "wintergrub", WG_VERSION);
    wg_json_text(json, "scenario", c->base->path);
    wg_json_seed(json, c->base->plan.seed);
    wg_json_text(json, "currency", c->base->plan.currency[0] != '\0' ? c->base->plan.currency : NULL);
    put_goals(json, c);
    wg_json_flag(json, "opened_by_itself", c->opened != 0);
    put_openings(json, c);
    wg_cheapest_headline(c, text);
    wg_json_text(json, "text", text);
    wg_json_text(json, "outcome", outcome_name(answer));
    wg_json_flag(json, "is_stopped", answer->is_stopped);
    wg_json_flag(json, "is_race", answer->is_race);
    wg_json_real(json, "combinations", answer->combinations);
    wg_json_whole(json, "plans_tried", answer->n_plans);
    wg_json_whole(json, "different_plans", answer->n_different);
    wg_json_whole(json, "combinations_left_out", answer->n_illegal);
    wg_json_whole(json, "replicates_of_the_search", answer->looking_years);
    wg_json_whole(json, "replicates_of_the_choice", answer->choosing_years);
    wg_json_whole(json, "fresh_replicates", answer->fresh_years);
    wg_json_whole(json, "replicates_with_doubtful_numbers", answer->variant_years);
    wg_json_real(json, "confidence", WG_SEARCH_CONFIDENCE);
    put_places(json, "winner", &answer->winner, answer->winner >= 0);
    put_places(json, "own", &answer->own, answer->own >= 0);
    put_places(json, "equals", answer->equal, answer->n_equals);
    put_places(json, "line", answer->line, answer->n_line);
    put_places(json, "nearest", answer->nearest, answer->n_nearest);
    wg_json_list(json, "judged");
    for (int i = 0; i < answer->n_judged; i++)
        put_judged(json, c, i);
    wg_json_close(json);
    wg_json_text(json, "why", *c->why != '\0' ? c->why : NULL);
    put_remarks(json, c);
    if (c->warnings != NULL)
        wg_notes_put_warnings(json, c->warnings, NULL);
    wg_notes_put_cautions(json, c->winner_plan != NULL ? c->winner_plan : &c->base->plan);
    put_yaml(json, c->yaml);
    wg_json_text(json, "written_to", c->yaml_path);
    put_tried(json, c);
    return wg_json_print(json, to, err);
}
