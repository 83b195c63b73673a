/**
 * Daily highs and lows from the files people have.
 *
 * Six layouts are recognised by their content, not by their name:
 *   - a header with a date, a low and a high: "date,tmin_C,tmax_C" (also _F, also tmin, low, daily_low, ...);
 *     lines that begin with # are comments;
 *   - GHCN-Daily, one station, CSV: header with STATION, DATE, TMAX, TMAX_ATTRIBUTES, ...: tenths of degC, unless the
 *     numbers are none: then it was ordered in degC or degF with its attributes;
 *   - GHCN-Daily by year or station, CSV, with or without a header: ID,yyyymmdd,ELEMENT,VALUE,M,Q,S,TIME: tenths;
 *   - GHCN-Daily .dly, fixed columns, -9999 missing: tenths;
 *   - NCEI daily summaries, CSV: header with STATION, DATE, TMAX, TMIN and no attributes: degC or degF as ordered;
 *   - EPW, hourly: eight header lines, then 35 fields an hour: degC; its year stands for itself whatever years it is
 *     made of (Crawley, Hand & Lawrie 1999, Improving the weather information available to simulation programs).
 * GHCN-Daily: Menne et al. 2012, J. Atmos. Ocean. Technol. 29:897; a value whose quality flag is not blank failed a
 * check and counts as missing.
 *
 * Up to three missing days in a row are filled in along a straight line; more are refused with their dates. So are a
 * low above its high, temperatures outside -70..60 degC, repeated days that differ, and more than one station.
 */
#ifndef WG_RECORDS_WEATHER_FILE_H
#define WG_RECORDS_WEATHER_FILE_H

#include "climate/weather.h"

#include <stdbool.h>

#define WG_WEATHER_RECORD_MAX_BYTES (64 * 1024 * 1024)

/** The unit a keeper names, where a file does not say. */
enum wg_weather_record_unit { WG_WEATHER_RECORD_UNIT_GUESSED, WG_WEATHER_RECORD_DEGC, WG_WEATHER_RECORD_DEGF };

/** What was understood. */
struct wg_weather_record_note {
    char text[400];    /* one line: layout, days, unit and how it is known, days filled in */
    bool is_guessed;   /* the unit */
    bool is_typical;   /* one year, made of months of several: nothing to draw years from */
    bool has_latitude; /* the file names where it was measured */
    double latitude_deg;
    bool has_elevation;
    double elevation_m;
};

/**
 * Reads a text. `name` is the file's name for messages. 0; WG_ERR_INPUT with the
 * line or the dates that are wrong; WG_ERR_MEMORY. *record must be freed with
 * wg_weather_record_free() in every case, *note is filled on success.
 */
int wg_weather_record_parse(struct wg_weather_record *record, const char *name, const char *text, size_t size,
                            enum wg_weather_record_unit unit, struct wg_weather_record_note *note,
                            struct wg_error *err);

#endif
