/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Words warnings and cautions, for every renderer.
 */
#ifndef WG_TEXT_WARNING_SENTENCES_H
#define WG_TEXT_WARNING_SENTENCES_H

#include "forecast/warnings.h"

#define WG_WARNING_TEXT 512

/** Returns the name in files and JSON: "heater too weak", "mat too weak", "bin too hot", "underfed", "overfed", ... */
const char *wg_warning_name(enum wg_warning_kind kind);
/** Writes warning number i as one sentence with its full stop. */
void wg_warning_text(const struct wg_warnings *warnings, int i, char out[WG_WARNING_TEXT]);
/** Returns true if any of them concerns weeks, which the work calendar shows. */
bool wg_warnings_of_weeks(const struct wg_warnings *warnings);
const char *wg_caution_text(enum wg_caution caution);
/** True for a period of 360 to 370 days, whose replicates are called years (judgement). */
bool wg_is_about_a_year(int n_days);
/** Returns "year" or "years" for a period of about one year, else "future" or "futures". */
const char *wg_replicates_noun(int n_days, int64_t n);

#endif
