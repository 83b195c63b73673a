/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Changes single numbers of the winner (private to search/).
 */
#ifndef WG_SEARCH_SINGLES_H
#define WG_SEARCH_SINGLES_H

#include "search/judge.h"

/** Lets the winner with single numbers changed live fresh years. Returns 0, WG_STOPPED or a negative error. */
int wg_singles_live(struct wg_jury *jury);

#endif
