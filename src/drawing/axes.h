/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Draws a frame with dates on the x axis and values on the y axes.
 */
#ifndef WG_DRAWING_AXES_H
#define WG_DRAWING_AXES_H

#include "drawing/canvas.h"

#include <stdint.h>

/* Font sizes: a fortieth of the screen height is legible from seven screen heights away (common practice). */
#define WG_FONT_TITLE 30.0
#define WG_FONT_MIN_TITLE 26.0  /* if it fits one line */
#define WG_FONT_LONG_TITLE 20.0 /* if it needs two lines */
#define WG_FONT_LABEL 21.0
#define WG_FONT_MIN_LABEL 17.0
#define WG_FONT_TICK 19.0
#define WG_FONT_SMALL_TICK 17.0 /* where frames are low */
#define WG_FONT_NOTE 19.0
#define WG_FONT_FOOT 14.0
#define WG_FONT_MIN_FOOT 11.0 /* readers look at the source from close by */

struct wg_axes {
    double left, right, top, bottom; /* on the page */
    double low, high;                /* values at bottom and top */
    /**
     * Logarithmic above 1, linear from 1 down to 0 (a shorter step), so that 0 has a position. `low` is then 0.
     */
    bool is_log;
    int32_t first_day;
    int n_days;
    bool has_width; /* days have width, as bars: from the start of the first to the end of the last */
};

/** Returns the x of a day, 0 .. n_days - 1; a single day is centred. With has_width, the start of the day. */
double wg_axes_x(const struct wg_axes *axes, double day);
/** Returns the y of a value; NaN for NaN. */
double wg_axes_y(const struct wg_axes *axes, double value);
/** Computes the y of n values. */
void wg_axes_ys(const struct wg_axes *axes, int n, const double *values, double *out);
/** Computes the x of days 0, step, 2 step, ... */
void wg_axes_xs(const struct wg_axes *axes, int n, int step, double *out);

/** Draws a grid line for each month (or quarter, year, week, as space allows), with its name below if `named`. */
void wg_axes_dates(struct wg_canvas *canvas, const struct wg_axes *axes, bool named);
/** Returns a tick step of 1, 2 or 5 times a power of ten, so that ticks of `span` over `length` are at least `apart`. */
double wg_axes_step(double span, double length, double apart);
/** Returns an axis maximum with a tick near `max`; 1 if `max` is 0. */
double wg_axes_round_up(double max);

/** The unit of one side: shown = scale * value + shift. */
struct wg_axis_scale {
    const char *unit; /* above the ticks; "" for none */
    double scale, shift;
};
/** Draws ticks and grid lines at the left; `right`, if not NULL, gets its own ticks. */
void wg_axes_values(struct wg_canvas *canvas, const struct wg_axes *axes, const struct wg_axis_scale *left,
                    const struct wg_axis_scale *right);

/** The same for weights in kg: kg and lb, or g and oz if all are light, as in wg_show_mass(). */
void wg_axes_masses(struct wg_canvas *canvas, const struct wg_axes *axes);

/** Moves at most 32 positions until they are at least `gap` apart, within low..high if they fit; keeps the order of equals. */
void wg_axes_spread(int n, double *y, double gap, double low, double high);

#endif
