/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The year at a glance on a terminal: larvae and crawl-off as bars of characters.
 */
#ifndef WG_REPORT_TERMINAL_CHART_H
#define WG_REPORT_TERMINAL_CHART_H

#include "forecast/ensemble.h"

#include <stdbool.h>
#include <stdio.h>

#define WG_CHART_COLUMNS 52

/** Sums over the replicates seen, a column for each fifty-second of the period. Zero-initialise all but `plan`. */
struct wg_chart {
    const struct wg_plan *plan; /* borrowed */
    int64_t n;
    double larvae[WG_CHART_COLUMNS], crawl_off_kg[WG_CHART_COLUMNS]; /* number and weight, summed over days */
    int days[WG_CHART_COLUMNS];
};
/** Returns the observer that fills it. */
struct wg_observer wg_chart_observer(struct wg_chart *chart);

/**
 * Prints six lines of 80 columns: means over replicates, each on its own scale. Prints nothing if the period has fewer
 * days than columns.
 */
void wg_chart_print(const struct wg_chart *chart, bool is_utf8, FILE *to);
/** Returns true if the locale (LC_ALL, LC_CTYPE or LANG, the first that is set) is UTF-8. */
bool wg_chart_is_utf8(void);

#endif
