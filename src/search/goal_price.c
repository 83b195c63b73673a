/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Climbs the ladder once more without one of the goals. The years of the search are used again, so this takes few more.
 */
#include "search/goal_price.h"

#include <math.h>
#include <stdlib.h>

#define NOT_ASKED (-1.0) /* a wanted chance that every plan meets */

static enum wg_rung *copy_rungs(const struct wg_tried *tried) {
    enum wg_rung *const rung = malloc(((size_t)tried->n + 1) * sizeof *rung);
    for (int i = 0; i < tried->n && rung != NULL; i++)
        rung[i] = tried->at[i].rung;
    return rung;
}

static int judge_again(struct wg_tried *tried) {
    int code = 0;
    for (int i = 0; i < tried->n && code == 0; i++) {
        if (tried->at[i].rung == WG_RUNG_NO_PLAN)
            continue;
        tried->at[i].rung = WG_RUNG_NEW;
        if (tried->at[i].n > 0)
            code = wg_tried_judge(tried, i);
    }
    return code;
}

/* Climbs without goal g, and leaves what the table says of plans as it was. */
static int climb_without(struct wg_tried *tried, int g, int group[WG_LADDER_GROUP], int *n) {
    const struct wg_search_question *const asked = tried->question;
    struct wg_search_question question = *asked;
    struct wg_ladder ladder = {.tried = tried};
    enum wg_rung *const before = copy_rungs(tried);
    *n = 0;
    if (before == NULL)
        return wg_no_memory(tried->err, NULL);
    question.chance[g] = NOT_ASKED;
    tried->question = &question;
    int code = judge_again(tried);
    if (code == 0)
        code = wg_ladder_next(&ladder, -1, group, n);
    tried->question = asked;
    for (int i = 0; i < tried->n; i++)
        tried->at[i].rung = before[i];
    free(before);
    return code;
}

static bool meets_others(const struct wg_jury *jury, int judged, int g) {
    const struct wg_search_question *const q = jury->tried->question;
    for (int i = 0; i < q->n_goals; i++)
        if (i != g && !(jury->answer->judged[judged].goal[i].share >= q->chance[i]))
            return false;
    return true;
}

static int find_cheapest_without(const struct wg_jury *jury, int g) {
    const struct wg_search_answer *const answer = jury->answer;
    int best = -1;
    for (int i = 0; i < answer->n_judged; i++)
        if (meets_others(jury, i, g) && (best < 0 || answer->judged[i].money.mean < answer->judged[best].money.mean))
            best = i;
    return best;
}

int wg_goal_prices_find(struct wg_jury *jury) {
    const int n_goals = jury->tried->question->n_goals;
    int group[WG_LADDER_GROUP], n, code = 0;
    if (n_goals < 2 || jury->answer->winner < 0)
        return 0;
    for (int g = 0; g < n_goals && code == 0; g++) {
        code = climb_without(jury->tried, g, group, &n);
        if (code == 0)
            wg_jury_add(jury, group, n < 1 ? n : 1, WG_ROLE_LINE);
        if (code == 0)
            code = wg_jury_live(jury, jury->tried->question->fresh_line);
    }
    for (int g = 0; g < n_goals && code == 0; g++)
        jury->answer->without[g] = find_cheapest_without(jury, g);
    return code;
}
