/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The style sheets of reports, which the build makes from report_page.css and report.css.
 *
 * report.css styles what stands in an element of the class "report" and may be part of another page, which must set its
 * custom properties: --ground, --words, --soft, --line, --warn, --answer, --link. report_page.css sets them, and styles the
 * page around.
 */
#ifndef WG_FIGURES_REPORT_STYLE_H
#define WG_FIGURES_REPORT_STYLE_H

#include <stddef.h>

extern const unsigned char wg_report_page_style[], wg_report_style[];
extern const size_t wg_report_page_style_size, wg_report_style_size;

#endif
