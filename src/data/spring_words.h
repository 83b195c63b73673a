/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Words why some replicates have no date of the spring flies.
 */
#ifndef WG_DATA_SPRING_WORDS_H
#define WG_DATA_SPRING_WORDS_H

#include "text/show.h"

/** The springs of all replicates. */
struct wg_spring_counts {
    int64_t all, dated; /* replicates; those with a date */
    int64_t all_winter; /* those without one because flies emerge all winter; -1: not counted */
};

#define WG_SPRING_TEXT 200
/**
 * "in 121 of 512 years flies emerge in winter too, so the spring flies have no date; in 27 no spring fly emerges";
 * empty if all have a date. `noun` is "years" or "futures", "year" or "future" for one.
 */
void wg_spring_words(const struct wg_spring_counts *counts, const char *noun, char out[WG_SPRING_TEXT]);

#endif
