/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Reads and words the conditions on which a keeper acts.
 */
#ifndef WG_TEXT_WHEN_TEXT_H
#define WG_TEXT_WHEN_TEXT_H

#include "housing/when.h"
#include "text/quantity.h"

#define WG_WHEN_TEXT 80

/** Returns the words of all conditions, terminated by NULL: "always", "flies are about", ... */
const char *const *wg_when_words(void);
/**
 * Reads a condition: one of the words, or "a night below 40 degF". Returns 0, or -1 and sets `message` to sentences on how
 * to write it.
 */
int wg_when_read(const char *text, struct wg_when *when, char message[WG_QUANTITY_MESSAGE]);
/** "flies are about", "a night below 4.4 degC (40 degF) is forecast" */
void wg_when_text(const struct wg_when *when, char out[WG_WHEN_TEXT]);

#endif
