/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The plans of a search with the years that they have lived (private to search/).
 */
#ifndef WG_SEARCH_TRIED_H
#define WG_SEARCH_TRIED_H

#include "search/search.h"

/** What the ladder knows of a plan. */
enum wg_rung {
    WG_RUNG_NEW,    /* not decided */
    WG_RUNG_OUT,    /* surely misses a goal */
    WG_RUNG_MISSED, /* lived all years of the search, and a share is below the wanted chance */
    WG_RUNG_PASSED, /* no share is */
    WG_RUNG_NO_PLAN /* the levels contradict each other */
};

struct wg_candidate {
    int *level; /* n_numbers */
    struct wg_search_key key;
    int64_t n, capacity;         /* years lived of the search's stream, room */
    struct wg_search_year *year; /* owned */
    double money, harvest_kg;    /* means over the pilot years; NaN before them */
    enum wg_rung rung;
    int same_as; /* -1, or an earlier plan that is the same */
    int changes; /* numbers that differ from the own plan */
};

struct wg_tried {
    const struct wg_search_question *question;
    struct wg_error *err;
    int n, capacity;
    struct wg_candidate *at; /* [0] is the own plan */
    int64_t years;           /* lived by all, search's stream */
    int64_t other_years;     /* fresh ones and those with doubtful numbers */
    int64_t expected;        /* of both together, roughly */
};

void wg_tried_free(struct wg_tried *tried);
/**
 * Finds the plan of some levels, or adds it: *index is its place. A plan with the key of an earlier one is added as the same.
 * Returns 0 or a negative error.
 */
int wg_tried_add(struct wg_tried *tried, const int *level, int *index);
/** Adds all combinations, the own plan first, then in the order of their levels. */
int wg_tried_add_all(struct wg_tried *tried);
/** Returns the product of the numbers of levels. */
double wg_tried_combinations(const struct wg_search_question *question);

/** True if the plan counts: legal, and not the same as another. */
bool wg_tried_counts(const struct wg_tried *tried, int index);
/** Returns the number of plans that count. */
int wg_tried_different(const struct wg_tried *tried);

/** Lets plans live until each has `to` years. Returns 0, WG_STOPPED or a negative error. */
int wg_tried_live(struct wg_tried *tried, enum wg_search_stage stage, const int *which, int n, int64_t to);
/** Reports progress. */
void wg_tried_report(const struct wg_tried *tried, enum wg_search_stage stage);
/** Folds plans whose pilot years are the same in money and course: the one with the fewest changes remains. */
int wg_tried_fold(struct wg_tried *tried);

/** Returns the number of years that met a goal; WG_GOALS_ALL: every goal. */
int64_t wg_tried_hits(const struct wg_tried *tried, int index, int goal);
/** Returns the mean money over the first n years. */
double wg_tried_money(const struct wg_tried *tried, int index, int64_t n);
/** Finds how much more a plan costs than another, over the years that both have: mean and its standard error. */
void wg_tried_gap(const struct wg_tried *tried, int index, int than, double *mean, double *error);
/** Returns the mean harvest over the first n years, kg. */
double wg_tried_harvest(const struct wg_tried *tried, int index, int64_t n);
/** Returns the mean of what is left over all years. */
double wg_tried_left(const struct wg_tried *tried, int index);
/** Returns the least share minus the wanted chance of its goals, with a little doubt (half a year each way) for few years. */
double wg_tried_margin(const struct wg_tried *tried, int index);
/** Returns what the margin may well be: shares are taken at the upper end of Wilson's interval of one standard error. */
double wg_tried_hope(const struct wg_tried *tried, int index);
/** Marks the plan as out if it surely misses a goal. Returns 0 or WG_ERR_MEMORY. */
int wg_tried_judge(struct wg_tried *tried, int index);
/** *passes: no share is below the wanted chance; *surely: nor is the lower end of its interval. */
int wg_tried_passes(struct wg_tried *tried, int index, bool *passes, bool *surely);

/** Returns -1, 0 or 1 as the first plan comes before the second by the rule for equal plans. */
int wg_search_compare_equals(double odds1, double harvest1, int changes1, int plan1, double odds2, double harvest2,
                             int changes2, int plan2);

#endif
