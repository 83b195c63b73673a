/* layer: figures, private */
/**
 * A figure: words, a table, and a routine that draws the table.
 */
#ifndef WG_FIGURES_FIGURE_H
#define WG_FIGURES_FIGURE_H

#include "figures/axes.h"
#include "figures/bands.h"
#include "figures/label.h"

#include <wintergrub/figures.h>

#define WG_FIGURE_MOST_PARTS 16
#define WG_SENTENCES 512

/** One thing drawn: a line with its band, a layer, a ridge. */
struct wg_part {
    char label[80], more[80]; /* its name, and a smaller line beneath */
    struct wg_colour colour;
    enum wg_pattern pattern;
    int column; /* the first of its columns in the table */
};

struct wg_figure {
    char name[40];            /* of the file, without the ending */
    char title[WG_SENTENCES]; /* one sentence: what is seen */
    char note[WG_SENTENCES];  /* how to read it */
    char foot[WG_SENTENCES];  /* where it comes from */
    char date[32];            /* of the result, ISO 8601 */
    struct wg_table table;
    int32_t first_day; /* of the first row */
    int n_days, step;  /* days from the first row to the last, and between rows */
    int n_parts;
    struct wg_part part[WG_FIGURE_MOST_PARTS];
    double number[4]; /* what else the drawing needs; each chart says what */
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
/** Takes the last one back. */
void wg_figures_drop(struct wg_figures *figures);

/** Title, note and foot. Gives the y from which on the page is free (to WG_PAGE_FREE_TO). */
double wg_figure_words(struct wg_canvas *canvas, const struct wg_figure *figure);
#define WG_PAGE_FREE_TO 682.0
/** The frame of the figure's dates. */
struct wg_axes wg_figure_axes(const struct wg_figure *figure, double top, double bottom, double low, double high);
/** Five columns as two bands and a line. */
void wg_figure_bands(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes,
                     const struct wg_part *part, bool is_shared);
/** A part's name at a place right of the frame, with a sample of its line or a patch, and its second line. */
void wg_figure_label(struct wg_canvas *canvas, const struct wg_part *part, double x, double y, bool is_patch);

#endif
