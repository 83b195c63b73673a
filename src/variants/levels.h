/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Reads the values that a keeper wants to try: a list, or a range such as "40 to 80 degF by 5".
 */
#ifndef WG_VARIANTS_LEVELS_H
#define WG_VARIANTS_LEVELS_H

#include <stdbool.h>

#define WG_MAX_LEVELS 400 /* of one number; a year of days fits */

/** A value to try. Owned by its list. */
struct wg_level {
    char *text;       /* as a plan writes it: "45 degF", "04-25", "off", "{hours: 12 hours}" */
    double value;     /* in the unit written, for a date its day; NaN for words and groups */
    int line, column; /* in the file; 0 unless the owner sets them */
};

struct wg_levels {
    int n, capacity;
    struct wg_level *level;
    bool is_ordered; /* numbers or dates in one unit, in rising order, after any words */
};

/** Adds a value. Returns 0 or WG_ERR_MEMORY. */
int wg_levels_add(struct wg_levels *levels, const char *text);
/** Puts the last value first. */
void wg_levels_last_first(struct wg_levels *levels);
/** Returns the number of the level with this text or value; -1 if there is none. */
int wg_levels_find(const struct wg_levels *levels, const char *text);
/** Returns true if a text is a range and not a single value: it has " to " in it. */
bool wg_levels_is_range(const char *text);
#define WG_LEVELS_MESSAGE 240
/**
 * Adds the values of a range of numbers, dates or days of the year, with its last value even if the step misses it.
 * Without a step it takes about nine. `is_whole`: only whole numbers make sense. Returns 0, WG_ERR_MEMORY, or
 * WG_ERR_INPUT with a sentence in `message`.
 */
int wg_levels_add_range(struct wg_levels *levels, const char *text, bool is_whole, char message[WG_LEVELS_MESSAGE]);
/** Gives numbers without a unit the unit of `now`, as in now: 70 degF, try: [60, 65]. Returns 0 or WG_ERR_MEMORY. */
int wg_levels_share_unit(struct wg_levels *levels, const char *now);
/** Sorts numbers and dates of one unit, after the words, and sets is_ordered; leaves other lists as written. */
void wg_levels_sort(struct wg_levels *levels);
void wg_levels_free(struct wg_levels *levels);

#endif
