/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Writes a self-contained web page, or the body of one: one file, no network, no scripts; for light and dark mode, phone and
 * paper.
 */
#ifndef WG_FIGURES_HTML_H
#define WG_FIGURES_HTML_H

#include "figures/figures.h"
#include "figures/table.h"
#include "text/bytes.h"

/** A page that is being written, or its body alone, for a page that has the style sheet of reports (report_style.h). */
struct wg_page {
    struct wg_bytes *to;
    const char *prefix; /* of its ids, so that two bodies can stand on one page; "" for none */
    bool is_body;       /* without head, style and title */
};

/**
 * Writes head, style and the heading `title`, unless it is a body, and links to the sections by their headings
 * (NULL-terminated).
 */
void wg_page_begin(const struct wg_page *page, const char *title, const char *const *headings);
void wg_page_end(const struct wg_page *page);

/** Begins a section with an <h2>, up to the next section or the end. */
void wg_page_section(const struct wg_page *page, const char *heading);
/** Writes a <p>; `kind` is a class, "answer", "warning", "note", or NULL. */
void wg_page_paragraph(const struct wg_page *page, const char *kind, const char *text);
/** Writes text in a monospaced font, folded under `summary` unless that is NULL. */
void wg_page_preformatted(const struct wg_page *page, const char *summary, const char *text);

/** Begins a part that is folded under `summary` until somebody opens it; print leaves out what is folded. */
void wg_page_fold_begin(const struct wg_page *page, const char *summary);
void wg_page_fold_end(const struct wg_page *page);

/**
 * Writes a table: begin, rows, end. The first cell of a row is its header. On a phone each row is a card: with `head` one
 * cell per line, each with its column's name; without it the cells follow each other.
 */
void wg_page_table_begin(const struct wg_page *page, const char *caption, const char *const *head, int n);
void wg_page_table_row(const struct wg_page *page, const char *const *head, const char *const *cell, int n);
void wg_page_table_end(const struct wg_page *page);

/** Writes a figure: its text, one drawing for screens wide and narrow, and its numbers, folded (daily ones every week or few weeks). */
int wg_page_figure(const struct wg_page *page, const struct wg_figure *figure, struct wg_error *err);

#endif
