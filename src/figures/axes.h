/**
 * A frame with dates along its foot and values up its sides.
 */
#ifndef WG_FIGURES_AXES_H
#define WG_FIGURES_AXES_H

#include "figures/canvas.h"

#include <stdint.h>

/* Sizes of letters: a fortieth of the height or more can be read from the last row of a room seven times as deep as the
 * screen is high (common practice). */
#define WG_FONT_TITLE 30.0
#define WG_FONT_MIN_TITLE 26.0  /* if then one line is enough */
#define WG_FONT_LONG_TITLE 20.0 /* if two lines are not enough otherwise */
#define WG_FONT_LABEL 21.0
#define WG_FONT_MIN_LABEL 17.0
#define WG_FONT_TICK 19.0
#define WG_FONT_NOTE 19.0
#define WG_FONT_FOOT 14.0
#define WG_FONT_MIN_FOOT 11.0 /* where it comes from is read close by */

struct wg_axes {
    double left, right, top, bottom; /* on the page */
    double low, high;                /* values at bottom and top */
    /**
     * 1: each step up is ten times as much; below one individual the scale goes on evenly down to zero (a shorter step),
     * so that nothing is nothing and not infinitely far down. `low` is then 0.
     */
    bool is_log;
    int32_t first_day;
    int n_days;
    bool has_width; /* of days: bars, from the morning of the first to the evening of the last */
};

/** Between the first day (0) and the last (n_days - 1), one day alone in the middle; or, with width, where a day begins. */
double wg_axes_x(const struct wg_axes *axes, double day);
/** NaN stays NaN. */
double wg_axes_y(const struct wg_axes *axes, double value);
/** The same of n values, into out. */
void wg_axes_ys(const struct wg_axes *axes, int n, const double *values, double *out);
/** Days 0, step, 2 step, ... into out. */
void wg_axes_xs(const struct wg_axes *axes, int n, int step, double *out);

/** A line for each month (or quarter, year, week, as there is room), with its name below if `named`. */
void wg_axes_dates(struct wg_canvas *canvas, const struct wg_axes *axes, bool named);
/** 1, 2 or 5 times a power of ten, so that steps of it over `span` are `apart` or more of `length` from each other. */
double wg_axes_step(double span, double length, double apart);
/** The value at the top so that the largest tick is near `most`; 1 if that is 0. */
double wg_axes_round_up(double most);

/** The unit on one side: shown = scale * value + shift. */
struct wg_axis_scale {
    const char *unit; /* above the ticks; "" for none */
    double scale, shift;
};
/** Ticks and lines across on the left; `right`, if not NULL, has its own ticks. */
void wg_axes_values(struct wg_canvas *canvas, const struct wg_axes *axes, const struct wg_axis_scale *left,
                    const struct wg_axis_scale *right);

/** The same for weights in kg: kg and lb, or g and oz where all are light, as wg_show_mass() has it. */
void wg_axes_masses(struct wg_canvas *canvas, const struct wg_axes *axes);

/** Moves at most 32 places apart until they are `gap` or more from each other, within low..high if they fit; of equal ones the first stays above. */
void wg_axes_spread(int n, double *y, double gap, double low, double high);

#endif
