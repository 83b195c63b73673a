/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Writes an accessible, self-contained HTML page or its body: headings, tables with header cells, figures with titles and numbers.
 * Text has a contrast of at least 4.5 to 1 (WCAG 2.1, success criterion 1.4.3) in both colour schemes.
 */
#include "figures/html.h"

#include "figures/figure.h"
#include "figures/report_style.h"
#include "figures/svg.h"

#include <stdio.h>
#include <string.h>

#define MOST_ROWS 27         /* of a table of days in a page; a figure's SVG file has all */
#define WG_DIGEST_LETTERS 64 /* of SHA-256 */

/* "The answer" -> "the-answer" */
static void put_anchor_name(const struct wg_page *page, const char *heading) {
    for (; *heading != '\0'; heading++)
        wg_bytes_printf(page->to, "%c",
                        *heading >= 'A' && *heading <= 'Z' ? *heading + 32
                        : *heading == ' '                  ? '-'
                                                           : *heading);
}

/* The Content Security Policy (W3C, Level 3) forbids scripts, images and fonts, whatever a title contains. */
static void put_page_head(const struct wg_page *page, const char *title) {
    wg_bytes_put(page->to, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
                           "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src "
                           "'unsafe-inline'\">\n"
                           "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>");
    wg_bytes_escape(page->to, title);
    wg_bytes_put(page->to, "</title>\n<style>\n");
    wg_bytes_add(page->to, wg_report_page_style, wg_report_page_style_size);
    wg_bytes_add(page->to, wg_report_style, wg_report_style_size);
    wg_bytes_put(page->to, "</style>\n</head>\n<body>\n<main>\n");
}

static void put_contents(const struct wg_page *page, const char *const *headings) {
    wg_bytes_put(page->to, "<nav aria-label=\"contents\">\n<ul>\n");
    for (; *headings != NULL; headings++) {
        wg_bytes_printf(page->to, "<li><a href=\"#%s", page->prefix);
        put_anchor_name(page, *headings);
        wg_bytes_put(page->to, "\">");
        wg_bytes_escape(page->to, *headings);
        wg_bytes_put(page->to, "</a></li>\n");
    }
    wg_bytes_put(page->to, "</ul>\n</nav>\n");
}

void wg_page_begin(const struct wg_page *page, const char *title, const char *const *headings) {
    if (!page->is_body)
        put_page_head(page, title);
    wg_bytes_put(page->to, "<div class=\"report\">\n<section>\n");
    if (!page->is_body) {
        wg_bytes_put(page->to, "<h1>");
        wg_bytes_escape(page->to, title);
        wg_bytes_put(page->to, "</h1>\n");
    }
    put_contents(page, headings);
}

void wg_page_end(const struct wg_page *page) {
    wg_bytes_put(page->to, "</section>\n</div>\n");
    if (!page->is_body)
        wg_bytes_put(page->to, "</main>\n</body>\n</html>\n");
}

void wg_page_section(const struct wg_page *page, const char *heading) {
    wg_bytes_printf(page->to, "</section>\n<section id=\"%s", page->prefix);
    put_anchor_name(page, heading);
    wg_bytes_put(page->to, "\">\n<h2>");
    wg_bytes_escape(page->to, heading);
    wg_bytes_put(page->to, "</h2>\n");
}

void wg_page_paragraph(const struct wg_page *page, const char *kind, const char *text) {
    wg_bytes_put(page->to, "<p");
    if (kind != NULL)
        wg_bytes_printf(page->to, " class=\"%s\"", kind);
    wg_bytes_put(page->to, ">");
    wg_bytes_escape(page->to, text);
    wg_bytes_put(page->to, "</p>\n");
}

void wg_page_fold_begin(const struct wg_page *page, const char *summary) {
    wg_bytes_put(page->to, "<details>\n<summary>");
    wg_bytes_escape(page->to, summary);
    wg_bytes_put(page->to, "</summary>\n");
}

void wg_page_fold_end(const struct wg_page *page) {
    wg_bytes_put(page->to, "</details>\n");
}

void wg_page_preformatted(const struct wg_page *page, const char *summary, const char *text) {
    if (summary != NULL)
        wg_page_fold_begin(page, summary);
    wg_bytes_put(page->to, "<pre tabindex=\"0\">");
    wg_bytes_escape(page->to, text);
    wg_bytes_put(page->to, "</pre>\n");
    if (summary != NULL)
        wg_page_fold_end(page);
}

/* Opens a box that scrolls when its content is too wide, with keyboard focus. */
static void put_box(const struct wg_page *page, const char *name) {
    wg_bytes_put(page->to, "<div class=\"scroll\" tabindex=\"0\" role=\"group\" aria-label=\"");
    wg_bytes_escape(page->to, name);
    wg_bytes_put(page->to, "\">\n");
}

void wg_page_table_begin(const struct wg_page *page, const char *caption, const char *const *head, int n) {
    wg_bytes_put(page->to, "<table class=\"cards\">\n<caption>");
    wg_bytes_escape(page->to, caption);
    wg_bytes_put(page->to, "</caption>\n<thead><tr>");
    for (int i = 0; i < n; i++) {
        wg_bytes_put(page->to, "<th scope=\"col\">");
        wg_bytes_escape(page->to, head[i]);
        wg_bytes_put(page->to, "</th>");
    }
    wg_bytes_put(page->to, "</tr></thead>\n<tbody>\n");
}

/* Numbers are right-aligned; words, digests that begin with a digit, and all values of a table of two columns are not. */
static int is_words(const char *cell) {
    return strlen(cell) == WG_DIGEST_LETTERS || (*cell >= 'a' && *cell <= 'z') || (*cell >= 'A' && *cell <= 'Z');
}

void wg_page_table_row(const struct wg_page *page, const char *const *head, const char *const *cell, int n) {
    wg_bytes_put(page->to, "<tr>");
    for (int i = 0; i < n; i++) {
        wg_bytes_put(page->to, i == 0                        ? "<th scope=\"row\""
                               : n == 2 || is_words(cell[i]) ? "<td class=\"text\""
                                                             : "<td");
        if (i > 0 && head != NULL && *cell[i] != '\0') {
            wg_bytes_put(page->to, " data-head=\"");
            wg_bytes_escape(page->to, head[i]);
            wg_bytes_put(page->to, "\"");
        }
        wg_bytes_put(page->to, ">");
        wg_bytes_escape(page->to, cell[i]);
        wg_bytes_put(page->to, i == 0 ? "</th>" : "</td>");
    }
    wg_bytes_put(page->to, "</tr>\n");
}

void wg_page_table_end(const struct wg_page *page) {
    wg_bytes_put(page->to, "</tbody>\n</table>\n");
}

static void put_caption(const struct wg_page *page, const struct wg_figure *figure) {
    wg_bytes_printf(page->to, "<figure>\n<figcaption>\n<h3 id=\"%s%s-title\">", page->prefix, figure->name);
    wg_bytes_escape(page->to, figure->title);
    wg_bytes_printf(page->to, "</h3>\n<p id=\"%s%s-note\">", page->prefix, figure->name);
    wg_bytes_escape(page->to, figure->note);
    wg_bytes_put(page->to, "</p>\n</figcaption>\n");
}

/* Returns the days from one row of a page's table to the next: whole weeks, so that it has at most MOST_ROWS. */
static int table_step(const struct wg_figure *figure) {
    const bool is_daily = figure->n_days > 0 && figure->step == 1 && figure->table.n_rows > 30;
    const int weeks = (figure->table.n_rows + 6) / 7;
    return is_daily ? 7 * ((weeks + MOST_ROWS - 1) / MOST_ROWS) : 1;
}

int wg_page_figure(const struct wg_page *page, const struct wg_figure *figure, struct wg_error *err) {
    const int step = table_step(figure);
    char summary[64] = "The numbers of this figure";
    put_caption(page, figure);
    const int code = wg_figure_inline(figure, page->prefix, page->to, err);
    if (code < 0)
        return code;
    if (step > 1)
        (void)snprintf(summary, sizeof summary, "The numbers of this figure, one day in %d", step);
    wg_page_fold_begin(page, summary);
    put_box(page, "numbers");
    wg_table_html(&figure->table, step, figure->title, page->to);
    wg_bytes_put(page->to, "</div>\n");
    wg_page_fold_end(page);
    wg_bytes_put(page->to, "</figure>\n");
    return wg_bytes_failed(page->to, err);
}
