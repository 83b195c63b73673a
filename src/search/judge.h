/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Judges plans on years that the search did not see: odds, the winner, its equals, the line of money, the nearest (private to
 * search/). The winner or the nearest are chosen on one stream of years; wg_jury_renew() then takes the years away, and those
 * that are reported are of another.
 */
#ifndef WG_SEARCH_JUDGE_H
#define WG_SEARCH_JUDGE_H

#include "search/ladder.h"

/** What a judged plan may become. */
enum wg_role {
    WG_ROLE_OWN = 1,
    WG_ROLE_PASSED = 2,  /* met the goals in the search: may win */
    WG_ROLE_LINE = 4,    /* a point of the line of money */
    WG_ROLE_NEAR = 8,    /* near the goals, where nothing meets them */
    WG_ROLE_NEAREST = 16 /* chosen among these */
};

struct wg_jury {
    enum wg_search_stream stream; /* of the judged plans' years: WG_SEARCH_CHOOSING, then WG_SEARCH_FRESH */
    struct wg_tried *tried;
    struct wg_search_answer *answer;
    int role[WG_SEARCH_MAX_JUDGED]; /* of each judged plan, a sum */
};

/** Adds plans tried to the judged ones, as far as there is room; known ones get the role, too. */
void wg_jury_add(struct wg_jury *jury, const int *which, int n, enum wg_role role);
/** Returns the share minus the wanted chance of the hardest goal; without years far below. */
double wg_jury_margin(const struct wg_jury *jury, int judged);
/** Drops judged plans that do not meet the goals, except the own one and the `kept` nearest to them: makes room for others. */
void wg_jury_drop(struct wg_jury *jury, int kept);
/** Lets all judged plans live at least `years` years of the stream and finds their odds. Returns 0, WG_STOPPED or a negative error. */
int wg_jury_live(struct wg_jury *jury, int64_t years);
/** Lets one judged plan live as many years in all, and finds its odds. */
int wg_jury_extend(struct wg_jury *jury, int judged, int64_t years);
/** Lets the winner and the plans beside it live with the doubtful numbers changed. */
int wg_jury_doubt(struct wg_jury *jury);
/** Chooses the winner among those that may win: answer->winner, outcome. Returns 0 or WG_ERR_MEMORY. */
int wg_jury_choose(struct wg_jury *jury);
/** Chooses the nearest to the goals, where nothing meets them: answer->nearest. */
void wg_jury_choose_nearest(struct wg_jury *jury);
/** Keeps the own plan, the winner, those that may be its equals, and the nearest; begins their fresh years. */
void wg_jury_renew(struct wg_jury *jury);
/** Fills what follows from the winner: gaps, equals, the line; sorts the nearest. Returns 0 or WG_ERR_MEMORY. */
int wg_jury_settle(struct wg_jury *jury);

#endif
