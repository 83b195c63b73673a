/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Lives the winner with a single number changed, and compares it with the winner.
 *
 * Each number gets its share of the places. Where it has more levels than places, they are spread from its first to its last.
 */
#include "search/singles.h"

#include "search/years.h"

#include <stdlib.h>
#include <string.h>

struct singles {
    struct wg_jury *jury;
    const struct wg_search_judged *winner;
    int64_t n; /* years */
    int n_orders;
    int level[WG_SEARCH_MAX_SINGLES][WG_SEARCH_MAX_NUMBERS];
    struct wg_search_life order[WG_SEARCH_MAX_SINGLES];
    struct wg_search_year *year; /* n for each order */
};

/* Orders the winner with one number at another level, if that is another plan. */
static int order_single(struct singles *s, int number, int level) {
    struct wg_tried *const tried = s->jury->tried;
    int *const levels = s->level[s->n_orders], index;
    memcpy(levels, s->winner->level, sizeof s->level[0]);
    levels[number] = level;
    const int code = wg_tried_add(tried, levels, &index);
    if (code < 0 || tried->at[index].rung == WG_RUNG_NO_PLAN || tried->at[index].same_as == s->winner->plan)
        return code;
    s->jury->answer->single[s->n_orders] = (struct wg_search_single){.number = number, .level = level, .n = s->n};
    s->order[s->n_orders] = (struct wg_search_life){levels, 0, WG_SEARCH_FRESH, 0, s->n, s->year + s->n_orders * s->n};
    s->n_orders++;
    return 0;
}

/* Orders at most `places` levels of a number, spread over all. */
static int order_number(struct singles *s, int number, int places) {
    const int levels = s->jury->tried->question->number[number].levels, own = s->winner->level[number];
    const int others = levels - 1, n = others < places ? others : places;
    int code = 0;
    for (int i = 0; i < n && code == 0; i++) {
        const int k = n > 1 ? i * (others - 1) / (n - 1) : others - 1; /* among the others */
        code = order_single(s, number, k + (k >= own));
    }
    return code;
}

static int order_all(struct singles *s) {
    const struct wg_search_question *const q = s->jury->tried->question;
    int left = 0, code = 0;
    for (int i = 0; i < q->n_numbers; i++)
        left += q->number[i].levels > 1;
    for (int i = 0; i < q->n_numbers && code == 0; i++) {
        if (q->number[i].levels < 2)
            continue;
        code = order_number(s, i, (WG_SEARCH_MAX_SINGLES - s->n_orders + left - 1) / left);
        left--;
    }
    return code;
}

static int compare_single(const struct singles *s, int i) {
    const struct wg_search_question *const q = s->jury->tried->question;
    struct wg_search_single *const single = &s->jury->answer->single[i];
    const struct wg_search_year *const year = s->order[i].year, *const winner = s->winner->year;
    struct wg_error *const err = s->jury->tried->err;
    single->hits = wg_years_hits(q, year, s->n, WG_GOALS_ALL);
    for (int64_t k = 0; k < s->n; k++) {
        single->money += year[k].money / (double)s->n;
        single->harvest_kg += year[k].harvest_kg / (double)s->n;
    }
    int code = wg_years_gap(q, WG_SEARCH_FRESH, winner, year, s->n, WG_YEAR_MONEY, &single->more_money, err);
    if (code == 0)
        code = wg_years_odds_gap(q, WG_SEARCH_FRESH, winner, year, s->n, &single->more_odds, err);
    return code == 0 ? wg_years_gap(q, WG_SEARCH_FRESH, winner, year, s->n, WG_YEAR_HARVEST, &single->more_harvest, err)
                     : code;
}

static int live_singles(struct singles *s) {
    const struct wg_search_question *const q = s->jury->tried->question;
    int code = order_all(s);
    if (code == 0 && s->n_orders > 0)
        code = q->live(q->self, s->order, s->n_orders, s->jury->tried->err);
    for (int i = 0; i < s->n_orders && code == 0; i++)
        code = compare_single(s, i);
    if (code != 0)
        return code;
    s->jury->answer->n_singles = s->n_orders;
    s->jury->answer->fresh_years += s->n * s->n_orders;
    s->jury->tried->other_years += s->n * s->n_orders;
    wg_tried_report(s->jury->tried, WG_SEARCH_JUDGE);
    return 0;
}

int wg_singles_live(struct wg_jury *jury) {
    const struct wg_search_question *const q = jury->tried->question;
    struct singles *const s = calloc(1, sizeof *s);
    if (s == NULL)
        return wg_no_memory(jury->tried->err, NULL);
    int code = 0;
    if (jury->answer->winner >= 0) {
        s->jury = jury;
        s->winner = &jury->answer->judged[jury->answer->winner];
        s->n = q->single_years < s->winner->n ? q->single_years : s->winner->n;
        s->year = calloc((size_t)s->n * WG_SEARCH_MAX_SINGLES + 1, sizeof *s->year);
        code = s->year == NULL ? wg_no_memory(jury->tried->err, NULL) : live_singles(s);
    }
    free(s->year);
    free(s);
    return code;
}
