/**
 * A web page that stands alone: one file, no network, no scripts; light and dark, phone and paper.
 */
#ifndef WG_FIGURES_HTML_H
#define WG_FIGURES_HTML_H

#include "figures/figures.h"
#include "figures/table.h"
#include "text/bytes.h"

/** Head, style, the heading `title`, and links to the sections that will follow: their headings, NULL last. */
void wg_page_begin(struct wg_bytes *page, const char *title, const char *const *headings);
void wg_page_end(struct wg_bytes *page);

/** <h2> with a section around what follows, until the next or the end. */
void wg_page_section(struct wg_bytes *page, const char *heading);
/** <p>; `kind` is a class of the style, "answer", "warning", "note", or NULL. */
void wg_page_paragraph(struct wg_bytes *page, const char *kind, const char *text);
/** Text as it is, in letters of one width. With `summary` it is folded away below that word. */
void wg_page_preformatted(struct wg_bytes *page, const char *summary, const char *text);

/** A table: begin, head cells, rows of cells, end. The first cell of a row is its head. On a phone each row is a card: the
 * cells stand below each other, with their column's name where a row is given `head`, else behind each other. */
void wg_page_table_begin(struct wg_bytes *page, const char *caption, const char *const *head, int n);
void wg_page_table_row(struct wg_bytes *page, const char *const *head, const char *const *cell, int n);
void wg_page_table_end(struct wg_bytes *page);

/** What a figure says, its drawing in the shape that fits the screen, and its numbers folded away (one row in seven of daily ones). */
int wg_page_figure(struct wg_bytes *page, const struct wg_figure *figure, struct wg_error *err);

/** Writes a file that appears whole or not at all. WG_ERR_EXISTS unless `force`, WG_ERR_FILE. */
int wg_page_save(const struct wg_bytes *page, const char *path, int force, struct wg_error *err);

#endif
