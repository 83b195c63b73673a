/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * A figure: text, a table, and a function that draws the table.
 */
#ifndef WG_FIGURES_FIGURE_H
#define WG_FIGURES_FIGURE_H

#include "drawing/axes.h"
#include "drawing/label.h"
#include "figures/bands.h"
#include "figures/figures.h"

#define WG_FIGURE_MAX_PARTS 66 /* a ridge for each generation number, and two more */
#define WG_SENTENCES_SIZE 512

/** One element: a line with its band, a layer, a ridge. */
struct wg_figure_part {
    char label[160], more[80]; /* its name, and a smaller second line */
    char brief[160];           /* a short name, where the label does not fit; "": the label's ends */
    struct wg_colour colour;
    enum wg_pattern pattern;
    int column;          /* the first of its columns in the table */
    double low, low_day; /* temperatures: medians over replicates of the coldest day's value and date */
    double number[6];    /* further parameters of its drawing, defined by each chart */
};

struct wg_figure {
    char name[40];                 /* of the file, without extension */
    char title[WG_SENTENCES_SIZE]; /* one sentence: the finding */
    char note[WG_SENTENCES_SIZE];  /* how to read it */
    char foot[WG_SENTENCES_SIZE];  /* the source */
    char date[32];                 /* of the result, ISO 8601 */
    struct wg_table table;
    int32_t first_day; /* of the first row */
    int n_days, step;  /* days from the first row to the last, and between rows */
    bool has_animals;  /* the inner bands are those of the animals' medians (wg_bands_use_animals()) */
    int n_parts;
    struct wg_figure_part part[WG_FIGURE_MAX_PARTS];
    double number[8];     /* further parameters of the drawing, defined by each chart */
    double narrow_height; /* height of the narrow shape, for phones */
    double wide_height;   /* height of the wide shape in a page, 0: WG_PAGE_H; a slide is always WG_SLIDE_H high */
    void (*draw)(struct wg_canvas *canvas, const struct wg_figure *figure);
};

/* The charts: each adds its figures, none if there is nothing to show. Return 0 or a negative error. */
int wg_chart_stages(struct wg_figures *figures, struct wg_result_data *data, struct wg_error *err);
int wg_chart_stack(struct wg_figures *figures, struct wg_result_data *data, struct wg_error *err);
int wg_chart_generations(struct wg_figures *figures, struct wg_result_data *data, struct wg_error *err);
int wg_chart_temperatures(struct wg_figures *figures, struct wg_result_data *data, struct wg_error *err);
int wg_chart_crawl_off(struct wg_figures *figures, struct wg_result_data *data, struct wg_error *err);
int wg_chart_spring(struct wg_figures *figures, struct wg_result_data *data, struct wg_error *err);
/** The first winter: dormant and awake, temperatures, years alive. Adds nothing for a period or place without a winter. */
int wg_chart_winter(struct wg_figures *figures, struct wg_result_data *data, struct wg_error *err);

/** Adds a figure of the whole period, day by day, with its foot. Returns NULL and sets *err without memory. */
struct wg_figure *wg_figures_add(struct wg_figures *figures, const struct wg_result_data *data, const char *name,
                                 struct wg_error *err);
/** Adds a figure of any file, by its title and the days of its period; without dates. */
struct wg_figure *wg_figures_add_of(struct wg_figures *figures, const struct wg_run_facts *in, const char *title,
                                    int n_days, const char *name, struct wg_error *err);
/** Removes the last one. */
void wg_figures_drop(struct wg_figures *figures);

/*
 * Drawing functions of the charts. `draw` runs for three sheets: a slide with its text, and a wide and a narrow one
 * for a web page, which has the text around them. If wg_canvas_is_narrow(), the sides have no space for names.
 */

/** Draws title, note and foot, if the sheet has text. Returns the y at which free space begins. */
double wg_figure_draw_text(struct wg_canvas *canvas, const struct wg_figure *figure);
/** Returns the y at which free space ends. */
double wg_figure_free_to(const struct wg_canvas *canvas);
/** Returns the frame of the figure's dates, with space for names at its right unless the sheet is narrow. */
struct wg_axes wg_figure_axes(const struct wg_canvas *canvas, const struct wg_figure *figure, double top, double bottom,
                              double low, double high);
/** Draws five columns as two bands and a line; in a frame that parts share as one band and a line. */
void wg_figure_bands(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes,
                     const struct wg_figure_part *part, bool is_shared);
/** Draws the median alone. */
void wg_figure_median(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes,
                      const struct wg_figure_part *part);
/** Draws a part's name at (x, y) with a sample of its line or a patch, and its second line. */
void wg_figure_label(struct wg_canvas *canvas, const struct wg_figure_part *part, double x, double y, bool is_patch);
/** Draws the same on one line from x0 to x1, the second text right-aligned. */
void wg_figure_heading(struct wg_canvas *canvas, const struct wg_figure_part *part, double x0, double x1, double y,
                       bool is_patch);
/** Draws a key of all parts in columns, the first row centred at y; rows are WG_KEY_LINE apart. */
void wg_figure_key(struct wg_canvas *canvas, const struct wg_figure *figure, int n_columns, double y, bool is_patch);
#define WG_KEY_LINE 29.0

/** The temperature below which nothing grows: t0_c of prepupa and pupa (judgement), near that of the larva (11.7). */
#define WG_TOO_COLD_TO_GROW 12.0
/** Draws ticks of a frame in degC, at the left, and degF. */
void wg_figure_temperature_axes(struct wg_canvas *canvas, const struct wg_axes *axes);
/** Draws lines at WG_TOO_COLD_TO_GROW and at freezing, if the frame has them, named where the last part is warmer. */
void wg_figure_cold_lines(struct wg_canvas *canvas, const struct wg_axes *axes, const struct wg_figure *figure);

#endif
