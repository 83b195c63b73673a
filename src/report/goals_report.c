/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Words the odds of goals as text and JSON.
 */
#include "report/goals_report.h"

#include "report/forecast_parts.h"
#include "text/goal_text.h"
#include "text/show.h"
#include "text/terminal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

void wg_goals_text_chance(double share, char out[16]) {
    char percent[WG_SHOWN_SIZE];
    wg_show_percent(share, wg_show_percent_decimals(share), percent);
    (void)snprintf(out, 16, "%.11s %%", percent);
}

void wg_goals_text_interval(struct wg_interval interval, char out[24]) {
    char low[WG_SHOWN_SIZE], high[WG_SHOWN_SIZE];
    wg_show_percent(interval.low, wg_show_percent_decimals(interval.low), low);
    wg_show_percent(interval.high, wg_show_percent_decimals(interval.high), high);
    if (strcmp(low, high) == 0)
        (void)snprintf(out, 24, "%.8s %%", low);
    else
        (void)snprintf(out, 24, "%.6s to %.6s %%", low, high);
}

/* ---- text ---- */

/* " By animal 61 to 100 %, by winter 67 to 100 %."; empty for one animal. */
static void word_bands(const struct wg_goal_chance *odds, char out[128]) {
    const struct wg_variance_split *const split = &odds->split;
    char animals[WG_SHOWN_SIZE], winters[WG_SHOWN_SIZE];
    wg_odds_show_band(&split->animals, " %", animals);
    wg_odds_show_band(&split->winters, " %", winters);
    out[0] = '\0';
    if (odds->hits == 0 || odds->hits == odds->n)
        return;
    if (split->animals.is_known && split->winters.is_known)
        (void)snprintf(out, 128, " By animal %.40s, by winter %.40s.", animals, winters);
    else if (split->winters.is_known)
        (void)snprintf(out, 128, " By winter %.40s.", winters);
}

/* Words odds like the line on survival. */
static void put_odds(FILE *to, const char *what, const struct wg_goal_chance *odds, const char *noun,
                     const char *answer) {
    char text[768], hits[WG_SHOWN_SIZE], all[WG_SHOWN_SIZE], share[16], low[WG_SHOWN_SIZE], high[WG_SHOWN_SIZE];
    char bands[128];
    wg_show_whole(odds->hits, hits);
    wg_show_whole(odds->n, all);
    wg_goals_text_chance(odds->share, share);
    wg_show_share(odds->interval.low, low);
    wg_show_share(odds->interval.high, high);
    word_bands(odds, bands);
    (void)snprintf(text, sizeof text, "%s: met in %s of %s %s (%s, between %.8s and %.8s %%)%s%s", what, hits, all,
                   noun, share, low, high, answer, bands);
    wg_show_lines(to, 6, text);
}

void wg_goals_list(const struct wg_plan *plan, FILE *to) {
    char text[WG_GOAL_SENTENCE_SIZE], wanted[16], line[WG_GOAL_SENTENCE_SIZE + 64];
    for (int i = 0; i < plan->n_goals; i++) {
        wg_goal_text(&plan->goal[i], plan->currency, text);
        wg_goals_text_chance(plan->goal[i].chance, wanted);
        (void)snprintf(line, sizeof line, "Goal %d: %s, with a chance of %s", i + 1, text, wanted);
        wg_show_lines(to, 8, line);
    }
}

int wg_goals_text_print(const struct wg_goal_tally *odds, const char *noun, FILE *to, struct wg_error *err) {
    char text[WG_GOAL_SENTENCE_SIZE], what[WG_GOAL_SENTENCE_SIZE + 8], answer[80], wanted[16];
    struct wg_goal_chance chance;
    int code = 0;
    for (int i = 0; i < odds->plan->n_goals && code == 0; i++) {
        code = wg_goal_tally_chance(odds, i, WG_GOALS_CONFIDENCE, &chance, err);
        wg_goal_text(&odds->plan->goal[i], odds->plan->currency, text);
        wg_goals_text_chance(odds->plan->goal[i].chance, wanted);
        (void)snprintf(answer, sizeof answer, "; you want %s: %s.", wanted,
                       chance.verdict == WG_UNDECIDED ? "cannot tell yet" : wg_verdict_name(chance.verdict));
        (void)snprintf(what, sizeof what, "Goal: %s", text);
        if (code == 0)
            put_odds(to, what, &chance, noun, answer);
    }
    if (code == 0 && odds->plan->n_goals > 1)
        code = wg_goal_tally_chance_of_all(odds, WG_GOALS_CONFIDENCE, &chance, err);
    if (code == 0 && odds->plan->n_goals > 1)
        put_odds(to, "All goals at once", &chance, noun, ".");
    return code;
}

/* ---- JSON ---- */

void wg_goals_json_put_one(struct wg_json *json, const struct wg_goal *goal, const char *currency) {
    char text[WG_GOAL_SENTENCE_SIZE], by[WG_SHOWN_SIZE];
    wg_goal_text(goal, currency, text);
    (void)wg_show_iso_date(goal->by, 0, by);
    wg_json_text(json, "kind", wg_goal_name(goal->kind));
    wg_json_text(json, "text", text);
    wg_json_text(json, "by", by);
    if (goal->kind != WG_GOAL_SURVIVE)
        wg_json_real(json, "amount", goal->amount);
    if (goal->kind == WG_GOAL_HARVEST)
        wg_json_whole(json, "weeks", goal->weeks);
    if (goal->kind == WG_GOAL_HARVEST || goal->kind == WG_GOAL_TOTAL_HARVEST)
        wg_json_text(json, "of", goal->all_crawl_off ? "crawl-off" : "taken");
    wg_json_real(json, "wanted", goal->chance);
}

void wg_goals_json_put_chance(struct wg_json *json, double share, struct wg_interval interval) {
    wg_json_real(json, "share", share);
    wg_json_real(json, "low", interval.low);
    wg_json_real(json, "high", interval.high);
}

static void put_goal_chance(struct wg_json *json, const struct wg_goal_chance *odds) {
    wg_json_whole(json, "met", odds->hits);
    wg_json_whole(json, "of", odds->n);
    wg_goals_json_put_chance(json, odds->share, odds->interval);
    wg_json_real(json, "confidence", WG_GOALS_CONFIDENCE);
    wg_json_text(json, "enough", wg_verdict_name(odds->verdict));
    if (odds->split.n > 0)
        wg_split_put_json(json, &odds->split);
}

int wg_goals_json_put(struct wg_json *json, const struct wg_goal_tally *odds, struct wg_error *err) {
    struct wg_goal_chance chance;
    int code = 0;
    wg_json_list(json, "goals");
    for (int i = 0; i < odds->plan->n_goals && code == 0; i++) {
        code = wg_goal_tally_chance(odds, i, WG_GOALS_CONFIDENCE, &chance, err);
        wg_json_object(json, NULL);
        wg_goals_json_put_one(json, &odds->plan->goal[i], odds->plan->currency);
        wg_json_object(json, "odds");
        put_goal_chance(json, &chance);
        wg_json_close(json);
        wg_json_close(json);
    }
    wg_json_close(json);
    if (odds->plan->n_goals == 0 || code < 0)
        return code;
    code = wg_goal_tally_chance_of_all(odds, WG_GOALS_CONFIDENCE, &chance, err);
    wg_json_object(json, "all_goals");
    put_goal_chance(json, &chance);
    wg_json_close(json);
    return code;
}
