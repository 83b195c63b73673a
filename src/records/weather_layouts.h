/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Parses the layouts of weather files into observations, and checks only the layout.
 */
#ifndef WG_RECORDS_WEATHER_LAYOUTS_H
#define WG_RECORDS_WEATHER_LAYOUTS_H

#include "records/weather_file.h"
#include "text/written_date.h"

#include <stdbool.h>
#include <stddef.h>

enum wg_element { WG_ELEMENT_LOW, WG_ELEMENT_HIGH };

/** One value in the file's unit. */
struct wg_observation {
    int32_t day;
    enum wg_element element;
    int line;
    double value;
};

enum wg_file_unit { WG_FILE_UNIT_UNKNOWN, WG_FILE_TENTHS, WG_FILE_DEGC, WG_FILE_DEGF };

struct wg_weather_text {
    /* in */
    const char *name;
    const char *text, *end;
    struct wg_error *err;
    /* out */
    const char *layout; /* its name for messages */
    enum wg_file_unit unit;
    const char *unit_known; /* "by its layout", "as its header says"; NULL if unknown */
    /* Unit unknown: the layout has tenths as a station file, degC or degF as an order with attributes. */
    bool tenths_unless_ordered;
    bool is_typical;   /* one year made of months from several */
    int failed_checks; /* values omitted for their quality flag */
    bool has_order;    /* some dates have the year at their end; `order` was found from all of them */
    enum wg_date_order order;
    int comma_line, point_line; /* of the first number with a decimal comma, and with a decimal point; 0: none */
    bool has_latitude, has_elevation;
    double latitude_deg, elevation_m;
    struct wg_observation *items;
    size_t n, capacity;
    /* while reading */
    int line;
    char separator;   /* of the columns */
    char station[32]; /* some files prefix the eleven characters by GHCND: */
};

/** Fills the out part. Returns 0, WG_ERR_INPUT or WG_ERR_MEMORY; free items in every case. */
int wg_weather_text_read(struct wg_weather_text *file);

#endif
