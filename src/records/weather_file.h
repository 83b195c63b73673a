/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Reads daily highs and lows from weather files.
 *
 * Recognises six layouts by content, not by file name:
 *   - a header with a date, a low and a high: "date,tmin_C,tmax_C" (also _F, also tmin, low, daily_low, ...);
 *     lines that begin with # are comments; columns separated by commas, semicolons or tabs; decimal points or commas;
 *     dates 2026-03-15, 15.03.2026, or 03/15/2026 and 15/03/2026 where some day over 12 tells the order for all;
 *   - GHCN-Daily, one station, CSV: header with STATION, DATE, TMAX, TMAX_ATTRIBUTES, ...: tenths of degC, unless the
 *     numbers rule tenths out: then an order in degC or degF with attributes;
 *   - GHCN-Daily by year or station, CSV, with or without a header: ID,yyyymmdd,ELEMENT,VALUE,M,Q,S,TIME: tenths;
 *   - GHCN-Daily .dly, fixed columns, -9999 missing: tenths;
 *   - NCEI daily summaries, CSV: header with STATION, DATE, TMAX, TMIN and no attributes: degC or degF as ordered;
 *   - EPW, hourly: eight header lines, then 35 fields an hour: degC; a single year, whatever years its months come
 *     from (Crawley, Hand & Lawrie 1999, Improving the weather information available to simulation programs).
 * GHCN-Daily: Menne et al. 2012, J. Atmos. Ocean. Technol. 29:897; a value whose quality flag is not blank failed a
 * check and counts as missing.
 *
 * Interpolates up to three missing days in a row; longer gaps are an error that names their dates. So are a low above its
 * high, temperatures outside -70..60 degC, repeated days that differ, and more than one station.
 */
#ifndef WG_RECORDS_WEATHER_FILE_H
#define WG_RECORDS_WEATHER_FILE_H

#include "climate/weather.h"

#include <stdbool.h>

#define WG_WEATHER_RECORD_MAX_BYTES (64 * 1024 * 1024)

/** The unit from the scenario, for files without one. */
enum wg_weather_record_unit { WG_WEATHER_RECORD_UNIT_GUESSED, WG_WEATHER_RECORD_DEGC, WG_WEATHER_RECORD_DEGF };

/** A summary of the file as read. */
struct wg_weather_record_note {
    char text[400];    /* one line: layout, days, unit and its source, days filled in */
    bool is_guessed;   /* the unit is a guess */
    bool is_typical;   /* one year made of months from several: no years to draw from */
    bool has_latitude; /* the file gives the station's position */
    double latitude_deg;
    bool has_elevation;
    double elevation_m;
};

/**
 * Parses a text. `name` is the file's name for messages. Returns 0; WG_ERR_INPUT with the wrong line or dates;
 * or WG_ERR_MEMORY. Free *record with wg_weather_record_free() in every case; *note is set on success.
 */
int wg_weather_record_parse(struct wg_weather_record *record, const char *name, const char *text, size_t size,
                            enum wg_weather_record_unit unit, struct wg_weather_record_note *note,
                            struct wg_error *err);

#endif
