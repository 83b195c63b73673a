/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Sketches of climates: monthly normals by kind and latitude, for a keeper without a weather file.
 *
 * A sketch is invented: no station has these normals. Each kind is a curve through published normals of stations of its
 * kind (sketch.c), within about 4 K of most of them.
 */
#ifndef WG_CLIMATE_SKETCH_H
#define WG_CLIMATE_SKETCH_H

#include <stdbool.h>

struct wg_sketch {
    const char *name, *meaning; /* "mild coast", at most 20 letters on what it is like */
    double least_deg, most_deg; /* of latitude, north or south, for which it is meant */
    bool is_coast;
    const char *spread; /* its day-to-day variability: wg_climate_spread() */
    /* at `at_deg`, and the change per degree towards the pole; degC and K */
    double at_deg, mean_c, mean_slope, swing_k, swing_slope; /* swing: half of July minus January */
    double winter_range_k, summer_range_k;                   /* daily high minus daily low */
    double lag_days;                                         /* from the solstice to the warmest day */
};

/** Returns sketch number i, NULL after the last. */
const struct wg_sketch *wg_sketch_at(int i);
/** Returns the sketch of that name, NULL if there is none. */
const struct wg_sketch *wg_sketch_find(const char *name);
/** True if the sketch is meant for that latitude. */
bool wg_sketch_fits(const struct wg_sketch *sketch, double latitude_deg);
/**
 * Fills the twelve monthly means and standard deviations, January first, rounded to 0.1 K. North is positive; the
 * seasons are those of the hemisphere. Height above sea level cools by 5.5 K per km.
 */
void wg_sketch_normals(const struct wg_sketch *sketch, double latitude_deg, double elevation_m, double high_c[12],
                       double low_c[12], double high_sd_c[12], double low_sd_c[12]);

#endif
