/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Picks plans by what the search's own years tell.
 */
#include "search/choose.h"

#include <math.h>
#include <stdlib.h>

#define PICK_YEARS 32 /* that tell a plan worth a place (judgement) */
#define BELOW 3       /* points below */
#define ABOVE 5       /* points above */
#define CLEARLY 0.03  /* cheaper or dearer by this share */
#define MORE 1.05     /* a point above takes out so many times as much as the last */
#define CONTENDERS 5  /* for a point below */
#define ATTEMPTS 4    /* to find points above that are not out */
#define NEAR_ONES 16  /* contenders for the nearest */

struct picked {
    int index;
    double rank; /* the higher the better */
};

static int by_rank(const void *left, const void *right) {
    const struct picked *const a = left, *const b = right;
    return a->rank > b->rank ? -1 : a->rank < b->rank ? 1 : (a->index > b->index) - (a->index < b->index);
}

/* Lists the plans with pilot years whose money is above `low` and at most `high`, by falling margin. malloc'ed. */
static int list_by_margin(const struct wg_tried *tried, double low, double high, struct picked **list, int *n) {
    *n = 0;
    *list = malloc(((size_t)tried->n + 1) * sizeof **list);
    if (*list == NULL)
        return wg_no_memory(tried->err, NULL);
    for (int i = 0; i < tried->n; i++)
        if (wg_tried_counts(tried, i) && tried->at[i].money > low && tried->at[i].money <= high)
            (*list)[(*n)++] = (struct picked){i, wg_tried_margin(tried, i)};
    qsort(*list, (size_t)*n, sizeof **list, by_rank);
    return 0;
}

/* Finds the `most` plans with the best margin between two amounts of money, after contenders have lived PICK_YEARS. */
static int find_nearest_between(struct wg_tried *tried, double low, double high, int contenders, int most, int *picked,
                                int *n) {
    struct picked *list;
    int which[NEAR_ONES], n_which = 0;
    int code = list_by_margin(tried, low, high, &list, n);
    for (int i = 0; i < *n && i < contenders && code == 0; i++)
        which[n_which++] = list[i].index;
    free(list);
    if (code == 0)
        code = wg_tried_live(tried, WG_SEARCH_JUDGE, which, n_which, PICK_YEARS);
    if (code != 0)
        return code;
    struct picked again[NEAR_ONES];
    for (int i = 0; i < n_which; i++)
        again[i] = (struct picked){which[i], wg_tried_margin(tried, which[i])};
    qsort(again, (size_t)n_which, sizeof *again, by_rank);
    *n = n_which < most ? n_which : most;
    for (int i = 0; i < *n; i++)
        picked[i] = again[i].index;
    return 0;
}

int wg_pick_nearest(struct wg_tried *tried, int most, int *picked, int *n) {
    return find_nearest_between(tried, -(double)INFINITY, (double)INFINITY, NEAR_ONES, most, picked, n);
}

/* ---- the line ---- */

/* Picks the best odds for clearly less money: in the upper third of the money between the cheapest plan and this one, ... */
static int pick_below(struct wg_tried *tried, int around, int *picked, int *n) {
    const double money = tried->at[around].money, top = money - CLEARLY * fabs(money);
    double least = top;
    for (int i = 0; i < tried->n; i++)
        if (wg_tried_counts(tried, i))
            least = fmin(least, tried->at[i].money); /* ignores NaN */
    int code = 0;
    for (int part = 0; part < BELOW && code == 0; part++) {
        const double high = top - (top - least) * part / BELOW, low = top - (top - least) * (part + 1) / BELOW;
        int one, found = 0;
        code =
            find_nearest_between(tried, part == BELOW - 1 ? -(double)INFINITY : low, high, CONTENDERS, 1, &one, &found);
        if (code == 0 && found > 0)
            picked[(*n)++] = one;
    }
    return code;
}

static int by_money(const void *left, const void *right) {
    const struct picked *const a = left, *const b = right;
    return a->rank < b->rank ? -1 : a->rank > b->rank ? 1 : (a->index > b->index) - (a->index < b->index);
}

/* Lists plans that are not out, clearly dearer, and take out more than every cheaper one of the list. Returns their number. */
static int list_front(const struct wg_tried *tried, int around, struct picked *list) {
    const double money = tried->at[around].money, limit = money + CLEARLY * fabs(money);
    double best = tried->at[around].harvest_kg;
    int n = 0, kept = 0;
    for (int i = 0; i < tried->n; i++)
        if (wg_tried_counts(tried, i) && tried->at[i].rung != WG_RUNG_OUT && tried->at[i].rung != WG_RUNG_MISSED &&
            tried->at[i].money > limit)
            list[n++] = (struct picked){i, tried->at[i].money};
    qsort(list, (size_t)n, sizeof *list, by_money);
    for (int i = 0; i < n; i++)
        if (tried->at[list[i].index].harvest_kg > MORE * best) {
            best = tried->at[list[i].index].harvest_kg;
            list[kept++] = list[i];
        }
    return kept;
}

/* Picks ABOVE points of a front, evenly spread, with its last. */
static int thin_front(const struct picked *list, int n, int *which) {
    const int points = n < ABOVE ? n : ABOVE;
    for (int i = 0; i < points; i++)
        which[i] = list[(i + 1) * n / points - 1].index;
    return points;
}

static int pick_above(struct wg_tried *tried, int around, int *picked, int *n) {
    struct picked *const list = malloc(((size_t)tried->n + 1) * sizeof *list);
    int which[ABOVE], found = 0, code = list == NULL ? wg_no_memory(tried->err, NULL) : 0;
    bool is_settled = false;
    for (int attempt = 0; attempt < ATTEMPTS && code == 0 && !is_settled; attempt++) {
        found = thin_front(list, list_front(tried, around, list), which);
        code = wg_tried_live(tried, WG_SEARCH_JUDGE, which, found, PICK_YEARS);
        is_settled = true;
        for (int i = 0; i < found && code == 0; i++)
            is_settled = is_settled && tried->at[which[i]].rung != WG_RUNG_OUT;
    }
    for (int i = 0; i < found && code == 0; i++)
        if (tried->at[which[i]].rung != WG_RUNG_OUT)
            picked[(*n)++] = which[i];
    free(list);
    return code;
}

int wg_pick_line(struct wg_tried *tried, int around, int picked[WG_PICKED_MOST], int *n) {
    *n = 0;
    const int code = pick_below(tried, around, picked, n);
    return code == 0 ? pick_above(tried, around, picked, n) : code;
}
