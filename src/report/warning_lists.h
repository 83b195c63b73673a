/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Warnings and cautions as lists, on the screen and in JSON.
 */
#ifndef WG_REPORT_WARNING_LISTS_H
#define WG_REPORT_WARNING_LISTS_H

#include "forecast/work.h"
#include "text/warning_sentences.h"
#include "json/json.h"

/** Prints every warning: "Warning: ...", or "Warning, B: ..." with `about` "B". */
void wg_notes_print_warnings(const struct wg_warnings *warnings, const char *about, FILE *to);
/** Prints the cautions that apply to any of n plans. */
void wg_notes_print_cautions(const struct wg_plan *const *plan, int n, FILE *to);
/** Writes the list "warnings". `work`, of the same replicates, gives the spells of weeks; may be NULL. */
void wg_notes_put_warnings(struct wg_json *json, const struct wg_warnings *warnings, const struct wg_work *work);
/** Writes the list "cautions". */
void wg_notes_put_cautions(struct wg_json *json, const struct wg_plan *plan);

#endif
