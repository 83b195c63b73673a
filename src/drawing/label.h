/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Labels of axes and lines; text/show.h formats numbers and weights.
 */
#ifndef WG_DRAWING_LABEL_H
#define WG_DRAWING_LABEL_H

#include "text/show.h"

#include <stdbool.h>

#define WG_LABEL_SIZE WG_SHOWN_SIZE

/** Formats a tick exactly: "0.5", "10,000", "1 million", from 10^15 "10¹⁵" and "2×10¹⁵". */
void wg_label_tick(double value, char out[WG_LABEL_SIZE]);
/** "-3.2 °C (26 °F)" */
void wg_label_temperature(double celsius, char out[WG_LABEL_SIZE]);
/** "12 May 2027" */
void wg_label_date(int32_t first_day, double day, char out[WG_LABEL_SIZE]);
/** "7 April to 16 May 2027", "30 December 2026 to 2 January 2027", one date if both are equal. */
void wg_label_dates(int32_t first_day, double from, double to, char out[WG_LABEL_SIZE]);
/** "1 possible year", "10,000 possible futures" */
void wg_label_futures(int64_t n, int n_days, char out[WG_LABEL_SIZE]);
/** Describes a line: "median of 10,000 possible futures"; "the one possible year". */
void wg_label_median(int64_t n, int n_days, char out[WG_LABEL_SIZE]);
/** Returns "years" for a period of about one year, else "futures", as the forecast does. */
const char *wg_label_noun(int n_days);

/* ---- the width of text: from a table, so that a layout is the same on a machine without the font ---- */

/** Returns the width of a line of UTF-8 in DejaVu Sans of that size, without kerning; an estimate outside Latin. */
double wg_letters_width(const char *text, double size, bool is_bold);

#endif
