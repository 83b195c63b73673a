/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * What a plan's years tell: odds, amounts, differences between two plans (private to search/).
 */
#ifndef WG_SEARCH_YEARS_H
#define WG_SEARCH_YEARS_H

#include "search/search.h"

/** Returns how many of n years met a goal; WG_GOALS_ALL: every goal, WG_GOALS_ALIVE: alive at the end. */
int64_t wg_years_hits(const struct wg_search_question *question, const struct wg_search_year *year, int64_t n,
                      int goal);
/** Finds the chance of a goal (as above) in years 0 .. n - 1 of a stream. Returns 0 or WG_ERR_MEMORY. */
int wg_years_chance(const struct wg_search_question *question, enum wg_search_stream stream,
                    const struct wg_search_year *year, int64_t n, int goal, double confidence,
                    struct wg_goal_chance *chance, struct wg_error *err);

/** An amount of a year. */
enum wg_year_amount { WG_YEAR_MONEY, WG_YEAR_HARVEST, WG_YEAR_LEFT };
int wg_years_amount(const struct wg_search_question *question, enum wg_search_stream stream,
                    const struct wg_search_year *year, int64_t n, enum wg_year_amount which,
                    struct wg_search_amount *amount, struct wg_error *err);
/** Finds how much more the second plan has than the first in years 0 .. n - 1 of a stream. */
int wg_years_gap(const struct wg_search_question *question, enum wg_search_stream stream,
                 const struct wg_search_year *first, const struct wg_search_year *second, int64_t n,
                 enum wg_year_amount which, struct wg_search_gap *gap, struct wg_error *err);
/** Does so for the odds of meeting every goal. */
int wg_years_odds_gap(const struct wg_search_question *question, enum wg_search_stream stream,
                      const struct wg_search_year *first, const struct wg_search_year *second, int64_t n,
                      struct wg_search_gap *gap, struct wg_error *err);
/**
 * Returns the share of animals whose own chance of a goal is at least the wanted one, NaN without animals: of a Beta distribution
 * with the mean and the variance of animals. A few misses do not tell how animals differ: their variance is averaged with a
 * usual one (0.15 of that of a year; judgement, see variance_split.c), which counts as two misses.
 */
double wg_years_animals(const struct wg_goal_chance *chance, double wanted);

#endif
