/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * One life of a plan, for the dots of a forecast and to play it day by day.
 */
#ifndef WG_BROWSER_LIFE_H
#define WG_BROWSER_LIFE_H

#include "colony/diary.h"
#include "json/json.h"

/** Writes "until", the last day with an animal, and "cause", what killed most in the season before; nothing if it lives. */
void wg_life_put_end(struct wg_json *json, const struct wg_diary *diary);

#endif
