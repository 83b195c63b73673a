/*
 * Writes an accessible, self-contained HTML page: headings, tables with header cells, figures with titles and numbers.
 * Text has a contrast of at least 4.5 to 1 (WCAG 2.1, success criterion 1.4.3) in both colour schemes.
 */
#include "figures/html.h"

#include "figures/figure.h"
#include "figures/svg.h"

#include <stdio.h>
#include <string.h>

#define MOST_ROWS 27         /* of a table of days in a page; a figure's SVG file has all */
#define WG_DIGEST_LETTERS 64 /* of SHA-256 */

/* "The answer" -> "the-answer" */
static void put_anchor_name(struct wg_bytes *page, const char *heading) {
    for (; *heading != '\0'; heading++)
        wg_bytes_printf(page, "%c",
                        *heading >= 'A' && *heading <= 'Z' ? *heading + 32
                        : *heading == ' '                  ? '-'
                                                           : *heading);
}

/* A screen shows the legible one of the two shapes of a figure, wide or narrow. */
#define IF_NARROW "@media screen and (max-width:48rem)"

static const char style[] =
    ":root{color-scheme:light dark;--ground:#fff;--words:#1a1a1a;--soft:#595959;--line:#c8c8c8;--warn:#fff3d6;"
    "--answer:#e8f4ef;--link:#005a8c}\n"
    "@media (prefers-color-scheme:dark){:root{--ground:#16191c;--words:#ececec;--soft:#b4b4b4;--line:#4d5358;"
    "--warn:#41330a;--answer:#12352a;--link:#7cc4ef}}\n"
    "body{margin:0 auto;padding:1rem;max-width:64rem;background:var(--ground);color:var(--words);"
    "font:1.05rem/1.5 \"DejaVu Sans\",Verdana,sans-serif;overflow-wrap:break-word}\n"
    "h1{font-size:1.7rem;line-height:1.25}h2{font-size:1.3rem;margin-top:2rem;border-bottom:2px solid var(--line)}"
    "h3{font-size:1.15rem;line-height:1.3;margin:0 0 .2rem}a{color:var(--link)}\n"
    "nav ul{list-style:none;display:flex;flex-wrap:wrap;gap:.2rem 1.2rem;padding:0}"
    "nav a{display:inline-block;padding:.3rem 0}\n"
    ":focus-visible{outline:3px solid var(--link);outline-offset:2px}\n"
    ".note,figcaption p{color:var(--soft);margin:.2rem 0 .6rem}.answer{font-size:1.15rem;background:var(--answer);"
    "padding:.6rem .9rem;border-left:6px solid #009e73}\n"
    ".warning{background:var(--warn);padding:.5rem .9rem;border-left:6px solid #d55e00}\n"
    "figure{margin:2rem 0}.scroll{overflow-x:auto}\n"
    "figure>svg{display:block;width:100%;aspect-ratio:var(--wide);background:#fff;fill:none;stroke-linejoin:round}"
    "svg path{vector-effect:non-scaling-stroke}svg.narrow{display:none}\n"
    "pre{overflow-x:auto;font:.85rem/1.4 \"DejaVu Sans Mono\",monospace;border:1px solid var(--line);padding:.6rem}\n"
    "summary{cursor:pointer;padding:.3rem 0}\n"
    "table{border-collapse:collapse;margin-bottom:1.2rem;font-size:.9rem;line-height:1.35;"
    "font-variant-numeric:tabular-nums}\n"
    "caption{text-align:left;font-weight:bold;padding:.3rem 0}\n"
    "th,td{border:1px solid var(--line);padding:.2rem .5rem;text-align:right;vertical-align:top}\n"
    "th:first-child,td.text{text-align:left}tbody th{min-width:7.5rem}thead th{text-align:left}\n" IF_NARROW
    "{body{padding:.6rem}figure>svg{max-width:36rem;margin:0 auto;aspect-ratio:var(--narrow)}svg.wide{display:none}"
    "svg.narrow{display:block}pre{white-space:pre-wrap;font-size:.8rem}"
    "table.cards,.cards tbody,.cards tr,.cards caption{display:block}.cards thead{display:none}"
    ".cards tr{padding:.4rem 0;border-bottom:1px solid var(--line)}"
    ".cards th,.cards td{display:inline;border:0;padding:0 .5rem 0 0;white-space:normal;overflow-wrap:anywhere}"
    ".cards th,.cards td{text-align:left}.cards th{display:block}.cards td[data-head]::before{content:attr(data-head) "
    "\": \";color:var(--soft)}"
    ".cards td:empty{display:none}.cards td[data-head]{display:block}}\n"
    "@page{margin:15mm}\n"
    "@media print{:root{--ground:#fff;--words:#000;--soft:#444;--line:#999;--warn:#fff;--answer:#fff}"
    "body{max-width:none;padding:0;font-size:10pt}h1{font-size:16pt}h2{font-size:13pt}h3{font-size:11pt}"
    ".answer{font-size:11pt;padding:.2rem .6rem}.warning{padding:.1rem .6rem}nav{display:none}"
    "figure,.answer,.warning{break-inside:avoid}figure{margin:1rem "
    "0}figure>svg{max-width:165mm}.scroll,pre{overflow:visible}"
    "pre{white-space:pre-wrap;font-size:7.5pt}details:not([open]){display:none}"
    "h2,h3,caption,thead{break-after:avoid}tr{break-inside:avoid}"
    "table{font-size:7.5pt;line-height:1.25}th,td{padding:.1rem .3rem}}\n";

/*
 * The work week by week. On paper it is a sheet of one page, A4 or letter, with boxes to tick and room for notes; when the
 * address names the sheet, nothing else is printed.
 */
static const char work_style[] =
    ".work td{text-align:left}.work i{font-weight:bold}.work s,.work u{text-decoration:none}.notes{display:none}"
    ".work strong,.work u,.work small,.work td:nth-child(2){white-space:nowrap}.work .do{min-width:11rem}"
    ".work.most u{display:none}.work caption{font-weight:normal;color:var(--soft)}\n" IF_NARROW
    "{.cards.work th,.cards.work td:nth-child(2){display:inline}.work .do{min-width:0}}\n"
    "@page sheet{margin:8mm 10mm}\n"
    "@media print{.screen{display:none}section:has(#sheet){page:sheet;break-before:page;break-after:page}"
    "section:has(#sheet)>h2{margin:0;padding:0;border:0;font-size:8pt}#sheet{outline:0}#sheet h3{margin:0}#sheet "
    "ul{margin:.5mm "
    "0;padding-left:4mm;columns:2;font-size:6.5pt;line-height:1.2}"
    "#sheet table{width:100%;margin:0;font-size:6.2pt;line-height:1.1}#sheet caption{font-size:6.2pt;padding:0 0 1mm}"
    "#sheet th,#sheet td{padding:.2mm .8mm;height:3.4mm;vertical-align:middle;white-space:nowrap}"
    "#sheet thead th,#sheet td.do{white-space:normal}#sheet td.do{font-size:5.6pt;min-width:30mm}#sheet s{display:none}"
    "#sheet tbody th{min-width:0}#sheet tbody th::before{content:\"\";display:inline-block;width:2.2mm;height:2.2mm;"
    "margin-right:1mm;border:.3mm solid #000;vertical-align:-.4mm}"
    "#sheet .notes{display:table-cell;min-width:26mm}#sheet .many small{display:none}"
    "#sheet table:not(:has(tbody tr:nth-child(37))){font-size:7pt}"
    "#sheet table:not(:has(tbody tr:nth-child(37))) tbody :is(th,td){height:5.4mm}"
    "body:has(#sheet:target) section:not(:has(#sheet)),section:has(#sheet:target)>:not(#sheet){display:none}"
    "section:has(#sheet:target){break-before:auto;break-after:auto}}\n";

/* The Content Security Policy (W3C, Level 3) forbids scripts, images and fonts, whatever a title contains. */
void wg_page_begin(struct wg_bytes *page, const char *title, const char *const *headings) {
    wg_bytes_put(page, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
                       "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src "
                       "'unsafe-inline'\">\n"
                       "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>");
    wg_bytes_escape(page, title);
    wg_bytes_put(page, "</title>\n<style>\n");
    wg_bytes_put(page, style);
    wg_bytes_put(page, work_style);
    wg_bytes_put(page, "</style>\n</head>\n<body>\n<main>\n<section>\n<h1>");
    wg_bytes_escape(page, title);
    wg_bytes_put(page, "</h1>\n<nav aria-label=\"contents\">\n<ul>\n");
    for (; *headings != NULL; headings++) {
        wg_bytes_put(page, "<li><a href=\"#");
        put_anchor_name(page, *headings);
        wg_bytes_put(page, "\">");
        wg_bytes_escape(page, *headings);
        wg_bytes_put(page, "</a></li>\n");
    }
    wg_bytes_put(page, "</ul>\n</nav>\n");
}

void wg_page_end(struct wg_bytes *page) {
    wg_bytes_put(page, "</section>\n</main>\n</body>\n</html>\n");
}

void wg_page_section(struct wg_bytes *page, const char *heading) {
    wg_bytes_put(page, "</section>\n<section id=\"");
    put_anchor_name(page, heading);
    wg_bytes_put(page, "\">\n<h2>");
    wg_bytes_escape(page, heading);
    wg_bytes_put(page, "</h2>\n");
}

void wg_page_paragraph(struct wg_bytes *page, const char *kind, const char *text) {
    wg_bytes_put(page, "<p");
    if (kind != NULL)
        wg_bytes_printf(page, " class=\"%s\"", kind);
    wg_bytes_put(page, ">");
    wg_bytes_escape(page, text);
    wg_bytes_put(page, "</p>\n");
}

void wg_page_fold_begin(struct wg_bytes *page, const char *summary) {
    wg_bytes_put(page, "<details>\n<summary>");
    wg_bytes_escape(page, summary);
    wg_bytes_put(page, "</summary>\n");
}

void wg_page_fold_end(struct wg_bytes *page) {
    wg_bytes_put(page, "</details>\n");
}

void wg_page_preformatted(struct wg_bytes *page, const char *summary, const char *text) {
    if (summary != NULL)
        wg_page_fold_begin(page, summary);
    wg_bytes_put(page, "<pre tabindex=\"0\">");
    wg_bytes_escape(page, text);
    wg_bytes_put(page, "</pre>\n");
    if (summary != NULL)
        wg_page_fold_end(page);
}

/* Opens a box that scrolls when its content is too wide, with keyboard focus. */
static void put_box(struct wg_bytes *page, const char *name) {
    wg_bytes_put(page, "<div class=\"scroll\" tabindex=\"0\" role=\"group\" aria-label=\"");
    wg_bytes_escape(page, name);
    wg_bytes_put(page, "\">\n");
}

void wg_page_table_begin(struct wg_bytes *page, const char *caption, const char *const *head, int n) {
    wg_bytes_put(page, "<table class=\"cards\">\n<caption>");
    wg_bytes_escape(page, caption);
    wg_bytes_put(page, "</caption>\n<thead><tr>");
    for (int i = 0; i < n; i++) {
        wg_bytes_put(page, "<th scope=\"col\">");
        wg_bytes_escape(page, head[i]);
        wg_bytes_put(page, "</th>");
    }
    wg_bytes_put(page, "</tr></thead>\n<tbody>\n");
}

/* Numbers are right-aligned; words, digests that begin with a digit, and all values of a table of two columns are not. */
static int is_words(const char *cell) {
    return strlen(cell) == WG_DIGEST_LETTERS || (*cell >= 'a' && *cell <= 'z') || (*cell >= 'A' && *cell <= 'Z');
}

void wg_page_table_row(struct wg_bytes *page, const char *const *head, const char *const *cell, int n) {
    wg_bytes_put(page, "<tr>");
    for (int i = 0; i < n; i++) {
        wg_bytes_put(page, i == 0 ? "<th scope=\"row\"" : n == 2 || is_words(cell[i]) ? "<td class=\"text\"" : "<td");
        if (i > 0 && head != NULL && *cell[i] != '\0') {
            wg_bytes_put(page, " data-head=\"");
            wg_bytes_escape(page, head[i]);
            wg_bytes_put(page, "\"");
        }
        wg_bytes_put(page, ">");
        wg_bytes_escape(page, cell[i]);
        wg_bytes_put(page, i == 0 ? "</th>" : "</td>");
    }
    wg_bytes_put(page, "</tr>\n");
}

void wg_page_table_end(struct wg_bytes *page) {
    wg_bytes_put(page, "</tbody>\n</table>\n");
}

static void put_caption(struct wg_bytes *page, const struct wg_figure *figure) {
    wg_bytes_printf(page, "<figure>\n<figcaption>\n<h3 id=\"%s-title\">", figure->name);
    wg_bytes_escape(page, figure->title);
    wg_bytes_printf(page, "</h3>\n<p id=\"%s-note\">", figure->name);
    wg_bytes_escape(page, figure->note);
    wg_bytes_put(page, "</p>\n</figcaption>\n");
}

/* Returns the days from one row of a page's table to the next: whole weeks, so that it has at most MOST_ROWS. */
static int table_step(const struct wg_figure *figure) {
    const bool is_daily = figure->n_days > 0 && figure->step == 1 && figure->table.n_rows > 30;
    const int weeks = (figure->table.n_rows + 6) / 7;
    return is_daily ? 7 * ((weeks + MOST_ROWS - 1) / MOST_ROWS) : 1;
}

int wg_page_figure(struct wg_bytes *page, const struct wg_figure *figure, struct wg_error *err) {
    const int step = table_step(figure);
    char summary[64] = "The numbers of this figure";
    put_caption(page, figure);
    const int code = wg_figure_inline(figure, page, err);
    if (code < 0)
        return code;
    if (step > 1)
        (void)snprintf(summary, sizeof summary, "The numbers of this figure, one day in %d", step);
    wg_page_fold_begin(page, summary);
    put_box(page, "numbers");
    wg_table_html(&figure->table, step, figure->title, page);
    wg_bytes_put(page, "</div>\n");
    wg_page_fold_end(page);
    wg_bytes_put(page, "</figure>\n");
    return wg_bytes_failed(page, err);
}
