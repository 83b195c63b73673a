/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Numbers of a state and what they may be: what the wg_..._verify() functions are made of.
 */
#ifndef WG_BASE_BOUNDS_H
#define WG_BASE_BOUNDS_H

#include "base/error.h"

#include <stddef.h>

/** One number. */
struct wg_bound {
    const char *name;
    double value, least, most;
};

/** Whose numbers they are: "bin 0, larvae 3". */
struct wg_bound_owner {
    const char *what; /* "bin" */
    int number;       /* -1: there is one only */
    const char *part; /* "larvae"; NULL: the thing itself */
    int item;
};

/** Returns 0, or WG_ERR_INTERNAL with the owner, name and value of the first of `n` that is out of its limits or NaN. */
int wg_bounds_check(const struct wg_bound_owner *owner, const struct wg_bound *bound, size_t n, struct wg_error *err);

#endif
