/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Chooses the winner among judged plans, and finds what stands beside it.
 */
#include "search/judge.h"
#include "search/years.h"

#include <math.h>
#include <stdlib.h>

#define SAME_MONEY 0.01   /* costs that differ less are the same to a keeper (judgement) */
#define MORE_HARVEST 1.02 /* a step of the line of money is at least so much */
#define MORE_ODDS 0.005   /* or adds so much to the odds */
#define CLEARLY 0.02      /* points of the line differ from the winner by so much in money */
#define LINE_BELOW 3      /* points of the line that cost less than the winner, the nearest to it */

/* ---- pairs ---- */

/* Finds the gaps from one judged plan to another over the years that both have. */
static int find_gaps(const struct wg_jury *jury, int from, int to, struct wg_search_gap *money,
                     struct wg_search_gap *odds, struct wg_search_gap *harvest) {
    const struct wg_search_question *const q = jury->tried->question;
    const struct wg_search_judged *const a = &jury->answer->judged[from], *const b = &jury->answer->judged[to];
    const int64_t n = a->n < b->n ? a->n : b->n;
    int code = wg_years_gap(q, jury->stream, a->year, b->year, n, WG_YEAR_MONEY, money, jury->tried->err);
    if (code == 0)
        code = wg_years_odds_gap(q, jury->stream, a->year, b->year, n, odds, jury->tried->err);
    return code == 0 ? wg_years_gap(q, jury->stream, a->year, b->year, n, WG_YEAR_HARVEST, harvest, jury->tried->err)
                     : code;
}

static bool holds_zero(const struct wg_search_gap *gap) {
    return gap->interval.low <= 0 && gap->interval.high >= 0;
}

/* Costs the same: luck may be the difference, or it is less than a hundredth. */
static bool is_as_cheap(const struct wg_search_gap *gap, double money) {
    return holds_zero(gap) || fabs(gap->mean) <= SAME_MONEY * fabs(money);
}

/* ---- the winner ---- */

static bool may_win(const struct wg_jury *jury, int i) {
    return (jury->role[i] & (WG_ROLE_OWN | WG_ROLE_PASSED)) != 0 && jury->answer->judged[i].meets;
}

static int find_cheapest(const struct wg_jury *jury) {
    const struct wg_search_answer *const answer = jury->answer;
    int cheapest = -1;
    for (int i = 0; i < answer->n_judged; i++)
        if (may_win(jury, i) && (cheapest < 0 || answer->judged[i].money.mean < answer->judged[cheapest].money.mean))
            cheapest = i;
    return cheapest;
}

/* The own plan comes before all others, so that a tie changes nothing. */
static bool comes_before(const struct wg_jury *jury, int i, int j) {
    const struct wg_search_judged *const a = &jury->answer->judged[i], *const b = &jury->answer->judged[j];
    if (a->changes == 0 || b->changes == 0)
        return a->changes < b->changes;
    return wg_search_compare_equals(a->all.share, a->harvest.mean, a->changes, a->plan, b->all.share, b->harvest.mean,
                                    b->changes, b->plan) < 0;
}

/* Without other years, after a stop, the cheapest plan that passed the search is the best so far. */
static int cheapest_passed(const struct wg_jury *jury) {
    const struct wg_search_judged *const judged = jury->answer->judged;
    const struct wg_candidate *const plan = jury->tried->at;
    int best = -1;
    for (int i = 0; i < jury->answer->n_judged; i++)
        if ((jury->role[i] & WG_ROLE_PASSED) != 0 && judged[i].n == 0 &&
            (best < 0 || plan[judged[i].plan].money < plan[judged[best].plan].money))
            best = i;
    return best;
}

int wg_jury_choose(struct wg_jury *jury) {
    struct wg_search_answer *const answer = jury->answer;
    const int cheapest = find_cheapest(jury);
    int code = 0;
    answer->winner = cheapest;
    for (int i = 0; i < answer->n_judged && cheapest >= 0 && code == 0; i++) {
        struct wg_search_gap money, odds, harvest;
        if (i == cheapest || !may_win(jury, i))
            continue;
        code = find_gaps(jury, cheapest, i, &money, &odds, &harvest);
        if (code == 0 && is_as_cheap(&money, answer->judged[cheapest].money.mean) &&
            comes_before(jury, i, answer->winner))
            answer->winner = i;
    }
    if (cheapest < 0 && answer->is_stopped)
        answer->winner = cheapest_passed(jury);
    answer->outcome = answer->winner < 0                            ? WG_SEARCH_NONE
                      : answer->judged[answer->winner].changes == 0 ? WG_SEARCH_KEEP_OWN
                                                                    : WG_SEARCH_FOUND;
    return code;
}

/* ---- beside the winner ---- */

/* Inserts a plan into a short list, best first by the rule for equal plans; the last falls off. */
static void insert_equal(const struct wg_jury *jury, int i) {
    struct wg_search_answer *const answer = jury->answer;
    int at = answer->n_equals < WG_SEARCH_MAX_EQUALS ? answer->n_equals++ : WG_SEARCH_MAX_EQUALS;
    for (; at > 0 && comes_before(jury, i, answer->equal[at - 1]); at--)
        if (at < WG_SEARCH_MAX_EQUALS)
            answer->equal[at] = answer->equal[at - 1];
    if (at < WG_SEARCH_MAX_EQUALS)
        answer->equal[at] = i;
}

static int find_equals(struct wg_jury *jury) {
    struct wg_search_answer *const answer = jury->answer;
    const int winner = answer->winner;
    int code = 0;
    answer->n_equals = 0;
    for (int i = 0; i < answer->n_judged && winner >= 0 && answer->judged[winner].n > 0 && code == 0; i++) {
        struct wg_search_judged *const judged = &answer->judged[i];
        judged->is_equal = false;
        if (judged->n == 0)
            continue;
        code = find_gaps(jury, winner, i, &judged->more_money, &judged->more_odds, &judged->more_harvest);
        judged->is_equal =
            is_as_cheap(&judged->more_money, answer->judged[winner].money.mean) && holds_zero(&judged->more_odds);
        if (code == 0 && i != winner && judged->is_equal && judged->meets)
            insert_equal(jury, i);
    }
    return code;
}

/* ---- the line of money ---- */

/* Lists judged plans by rising money; equals keep their order. */
static int sort_by_money(const struct wg_search_answer *answer, int list[WG_SEARCH_MAX_JUDGED]) {
    int n = 0;
    for (int i = 0; i < answer->n_judged; i++) {
        int at = n++;
        for (; at > 0 && answer->judged[list[at - 1]].money.mean > answer->judged[i].money.mean; at--)
            list[at] = list[at - 1];
        list[at] = i;
    }
    return n;
}

/* The best of the points of the line so far. */
struct line_best {
    double odds, harvest;
};

static bool is_step_of_line(const struct line_best *best, const struct wg_search_judged *judged) {
    return judged->all.share >= best->odds + MORE_ODDS || judged->harvest.mean > MORE_HARVEST * best->harvest;
}

/* True if a plan may be on the line: below the winner what misses a goal, above it what meets them. */
static bool may_be_on_line(const struct wg_search_answer *answer, int i) {
    const struct wg_search_judged *const judged = &answer->judged[i], *const winner = &answer->judged[answer->winner];
    if (i == answer->winner)
        return true;
    const double gap = judged->money.mean - winner->money.mean;
    return judged->n > 0 && fabs(gap) > CLEARLY * fabs(winner->money.mean) && judged->meets == (gap > 0);
}

static void add_to_line(struct wg_search_answer *answer, int i, struct line_best *best) {
    const struct wg_search_judged *const judged = &answer->judged[i];
    answer->line[answer->n_line++] = i;
    best->odds = fmax(best->odds, judged->all.share);
    best->harvest = fmax(best->harvest, judged->harvest.mean);
}

/* Drops the first points but one where the line is too long below the winner. */
static void shorten_line(struct wg_search_answer *answer) {
    int winner = 0;
    while (answer->line[winner] != answer->winner)
        winner++;
    for (; winner > LINE_BELOW; winner--) {
        answer->n_line--;
        for (int i = 0; i < answer->n_line; i++)
            answer->line[i] = answer->line[i + 1];
    }
}

static void find_line(struct wg_search_answer *answer) {
    int list[WG_SEARCH_MAX_JUDGED];
    const int n = sort_by_money(answer, list);
    struct line_best best = {-1, -1};
    bool has_winner = false;
    answer->n_line = 0;
    if (answer->winner < 0 || answer->judged[answer->winner].n == 0)
        return;
    for (int i = 0; i < n; i++) {
        const bool is_winner = list[i] == answer->winner;
        if (is_winner)
            add_to_line(answer, list[i], &best);
        else if (may_be_on_line(answer, list[i]) && is_step_of_line(&best, &answer->judged[list[i]]) &&
                 answer->n_line < WG_SEARCH_MAX_LINE - !has_winner)
            add_to_line(answer, list[i], &best);
        if (is_winner)
            shorten_line(answer);
        has_winner = has_winner || is_winner;
    }
}

/* ---- the nearest ---- */

double wg_jury_margin(const struct wg_jury *jury, int i) {
    const struct wg_search_judged *const judged = &jury->answer->judged[i];
    const double margin = judged->goal[judged->hardest].share - jury->tried->question->chance[judged->hardest];
    return isnan(margin) ? wg_tried_margin(jury->tried, judged->plan) - 2
                         : margin; /* after a stop: behind the others */
}

/* Sorts the judged plans of a role by how near they are to the goals, and takes the first. */
static void find_nearest(struct wg_jury *jury, int role) {
    struct wg_search_answer *const answer = jury->answer;
    int list[WG_SEARCH_MAX_JUDGED], n = 0;
    answer->n_nearest = 0;
    for (int i = 0; i < answer->n_judged; i++) {
        int at = n;
        if ((jury->role[i] & role) == 0)
            continue;
        for (n++; at > 0 && wg_jury_margin(jury, list[at - 1]) < wg_jury_margin(jury, i); at--)
            list[at] = list[at - 1];
        list[at] = i;
    }
    for (int i = 0; i < n && i < WG_SEARCH_NEAREST; i++)
        answer->nearest[answer->n_nearest++] = list[i];
}

void wg_jury_choose_nearest(struct wg_jury *jury) {
    find_nearest(jury, WG_ROLE_OWN | WG_ROLE_PASSED | WG_ROLE_NEAR);
    for (int i = 0; i < jury->answer->n_nearest; i++)
        jury->role[jury->answer->nearest[i]] |= WG_ROLE_NEAREST;
}

int wg_jury_settle(struct wg_jury *jury) {
    const int code = find_equals(jury);
    find_line(jury->answer);
    if (jury->answer->winner < 0)
        find_nearest(jury, WG_ROLE_NEAREST);
    return code;
}
