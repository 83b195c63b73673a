/**
 * A figure: words, a table, and a routine that draws the table.
 */
#ifndef WG_FIGURES_FIGURE_H
#define WG_FIGURES_FIGURE_H

#include "figures/axes.h"
#include "figures/bands.h"
#include "figures/figures.h"
#include "figures/label.h"

#define WG_FIGURE_MAX_PARTS 66 /* a ridge for each generation that is told apart, and two more */
#define WG_SENTENCES_SIZE 512

/** One thing drawn: a line with its band, a layer, a ridge. */
struct wg_figure_part {
    char label[160], more[80]; /* its name, and a smaller line beneath */
    char brief[160];           /* what the name is where there is no room for it whole; "": its ends */
    struct wg_colour colour;
    enum wg_pattern pattern;
    int column;          /* the first of its columns in the table */
    double low, low_day; /* temperatures: on its coldest day, the middle of all replicates; and which day that is */
};

struct wg_figure {
    char name[40];                 /* of the file, without the ending */
    char title[WG_SENTENCES_SIZE]; /* one sentence: what is seen */
    char note[WG_SENTENCES_SIZE];  /* how to read it */
    char foot[WG_SENTENCES_SIZE];  /* where it comes from */
    char date[32];                 /* of the result, ISO 8601 */
    struct wg_table table;
    int32_t first_day; /* of the first row */
    int n_days, step;  /* days from the first row to the last, and between rows */
    int n_parts;
    struct wg_figure_part part[WG_FIGURE_MAX_PARTS];
    double number[4]; /* what else the drawing needs; each chart says what */
    double tall;      /* height of its narrow shape, on a phone */
    void (*draw)(struct wg_canvas *canvas, const struct wg_figure *figure);
};

/* The charts: each adds its figures, none if there is nothing to see. 0 or a negative error. */
int wg_chart_stages(struct wg_figures *figures, struct wg_result_data *data, struct wg_error *err);
int wg_chart_stack(struct wg_figures *figures, struct wg_result_data *data, struct wg_error *err);
int wg_chart_generations(struct wg_figures *figures, struct wg_result_data *data, struct wg_error *err);
int wg_chart_temperatures(struct wg_figures *figures, struct wg_result_data *data, struct wg_error *err);
int wg_chart_crawl_off(struct wg_figures *figures, struct wg_result_data *data, struct wg_error *err);
int wg_chart_spring(struct wg_figures *figures, struct wg_result_data *data, struct wg_error *err);

/** Another figure, of the whole period day by day, with its foot. NULL without memory (*err is set). */
struct wg_figure *wg_figures_add(struct wg_figures *figures, const struct wg_result_data *data, const char *name,
                                 struct wg_error *err);
/** The same of any file, by its title and the days of its period; without dates. */
struct wg_figure *wg_figures_add_of(struct wg_figures *figures, const struct wg_stored_file *in, const char *title,
                                    int n_days, const char *name, struct wg_error *err);
/** Takes the last one back. */
void wg_figures_drop(struct wg_figures *figures);

/*
 * What a chart draws with. `draw` is called for three sheets: a slide, which holds the words, and a wide and a narrow one
 * for a web page, which has the words around them. Where wg_canvas_is_narrow(), names do not stand at the side.
 */

/** Title, note and foot, if the sheet has words. Gives the y from which on it is free. */
double wg_figure_draw_text(struct wg_canvas *canvas, const struct wg_figure *figure);
/** The y to which it is free. */
double wg_figure_free_to(const struct wg_canvas *canvas);
/** The frame of the figure's dates. Right of it is room for names, in a narrow sheet none. */
struct wg_axes wg_figure_axes(const struct wg_canvas *canvas, const struct wg_figure *figure, double top, double bottom,
                              double low, double high);
/** Five columns as two bands and a line. */
void wg_figure_bands(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes,
                     const struct wg_figure_part *part, bool is_shared);
/** A part's name at a place right of the frame, with a sample of its line or a patch, and its second line. */
void wg_figure_label(struct wg_canvas *canvas, const struct wg_figure_part *part, double x, double y, bool is_patch);
/** The same on one line from x0 to x1, the second line at its right end. */
void wg_figure_heading(struct wg_canvas *canvas, const struct wg_figure_part *part, double x0, double x1, double y,
                       bool is_patch);
/** All parts as headings below each other in columns, the first centred at y; WG_KEY_LINE from one to the next. */
void wg_figure_key(struct wg_canvas *canvas, const struct wg_figure *figure, int n_columns, double y, bool is_patch);
#define WG_KEY_LINE 29.0

#endif
