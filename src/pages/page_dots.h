/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Dots that can be counted: a share as so many of 100 years, and a quantity as twenty equally likely years.
 */
#ifndef WG_PAGES_PAGE_DOTS_H
#define WG_PAGES_PAGE_DOTS_H

#include "figures/html.h"
#include "report/dots.h"

/** Draws the dots, filled and as rings, and says below what each kind means. `noun`: "year". */
void wg_report_dots(const struct wg_dots *dots, const char *some, const char *others, const char *noun,
                    const struct wg_page *page);

#define WG_QUANTILE_DOTS 20
/**
 * Draws a weight as twenty equally likely years, stacked over an axis in kg and lb (Kay et al. 2016, CHI: quantile dot
 * plots), with a sentence that counts some of them: "In 4 of these 20 years less than 5 kg (11 lb) is taken out." `verb`: "is
 * taken out". Nothing if fewer than twenty values are given or all are 0. Returns 0 or WG_ERR_MEMORY.
 */
int wg_report_quantile_dots(const double *kg, int64_t n, const char *verb, const char *noun,
                            const struct wg_page *page);

#endif
