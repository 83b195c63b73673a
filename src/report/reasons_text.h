/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The reasons behind a forecast as sentences and as JSON.
 */
#ifndef WG_REPORT_REASONS_TEXT_H
#define WG_REPORT_REASONS_TEXT_H

#include "analysis/reasons.h"
#include "data/result_data.h"
#include "text/bytes.h"
#include "json/json.h"

#include <stdio.h>

/** Returns the answer's first sentences, or adds nothing if the forecast needs no reason. `reasons` may be NULL. */
void wg_reasons_words(const struct wg_reasons *reasons, const struct wg_plan *plan, struct wg_bytes *out);
/** The same about a value that `size` tried: `at`, such as " at 80 degF", stands in the question. */
void wg_reasons_at_words(const struct wg_reasons *reasons, const struct wg_plan *plan, const char *at,
                         struct wg_bytes *out);
/**
 * Adds how many live without newcomers, and the defaults on which the answer hangs; nothing if there are none. `reasons` may
 * be NULL.
 */
void wg_reasons_check_words(const struct wg_reasons *reasons, const struct wg_plan *plan, struct wg_bytes *out);
/**
 * Words both for a result (wg_result_words_free()): none if the reasons tell of lives other than those of the summary, as those
 * of another version. Returns 0 or WG_ERR_MEMORY.
 */
int wg_reasons_result_words(const struct wg_reasons *reasons, const struct wg_plan *plan,
                            const struct wg_summary *summary, struct wg_result_words *words, struct wg_error *err);
/** The same in two sentences: "Why B dies: ..." for the name "B" of a setup, and its own line and newcomers. */
void wg_reasons_line(const struct wg_reasons *reasons, const struct wg_plan *plan, const char *name,
                     struct wg_bytes *out);
/** Prints the words, or the line of a setup if `name` is not NULL. Returns 0 or WG_ERR_MEMORY. */
int wg_reasons_print(const struct wg_reasons *reasons, const struct wg_plan *plan, const char *name, FILE *to,
                     struct wg_error *err);
/**
 * Writes "why", the question with its sentences, or null; the list "reasons", every trial with its numbers; "check_first" and
 * the list "checks" likewise.
 */
void wg_reasons_put_json(const struct wg_reasons *reasons, const struct wg_plan *plan, struct wg_json *json);

#endif
