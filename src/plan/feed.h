/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Feed types.
 */
#ifndef WG_PLAN_FEED_H
#define WG_PLAN_FEED_H

#include "species/species.h"

struct wg_feed_type {
    const char *name;   /* "kitchen scraps" */
    double moisture;    /* share of the wet weight, 0..1 */
    double usable;      /* share of the dry matter larvae and microbes can use */
    double quality;     /* 0..1, scales the final mass of larvae */
    double conversion;  /* factor on the species' conversion */
    const char *source; /* tag */
};
/** The table, ended by name == NULL. */
const struct wg_feed_type *wg_feed_types(void);
/** Number of rows of the table. */
int wg_feed_count(void);
/** Index in the table, or -1. */
int wg_feed_find(const char *name);

#endif
