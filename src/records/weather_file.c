/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Turns the values that weather_layouts.c reads into a record: sorts them by day, converts them to degC, checks them and
 * interpolates short gaps.
 */
#include "records/weather_file.h"

#include "base/utf8.h"
#include "records/weather_layouts.h"
#include "text/units.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define MAX_DAYS 150000 /* four hundred years */
#define MAX_FILLED 3    /* days in a row: weather is correlated over about as long. Judgement */
/*
 * Just below the record between 66 degrees south and north, -67.7 degC (Oymyakon 1933, MEMORY), so that -99 degF
 * (-72.8 degC), a common code for a missing value, is rejected.
 */
#define MIN_C (-70.0)
#define MAX_C 60.0 /* above the record, 56.7 degC (WMO archive of extremes) */

static int refuse_day(const struct wg_weather_text *file, int32_t day, const char *what) {
    char date[11];
    wg_day_format(day, date);
    return wg_fail(file->err, WG_ERR_INPUT, file->name, "On %s %s", date, what);
}

/* ---- days ---- */

static int find_span(const struct wg_weather_text *file, struct wg_weather_record *record) {
    if (file->n == 0)
        return wg_fail(file->err, WG_ERR_INPUT, file->name, "The file has no daily highs and lows.");
    int32_t first = file->items[0].day, last = first;
    for (size_t i = 1; i < file->n; i++) {
        first = file->items[i].day < first ? file->items[i].day : first;
        last = file->items[i].day > last ? file->items[i].day : last;
    }
    if (last - first >= MAX_DAYS)
        return wg_fail(file->err, WG_ERR_INPUT, file->name,
                       "The dates are more than four hundred years apart. Is a year wrong?");
    record->first_day = first;
    record->n_days = last - first + 1;
    return 0;
}

static int fill_record_days(const struct wg_weather_text *file, struct wg_weather_record *record) {
    const size_t n = (size_t)record->n_days;
    record->low_c = calloc(n, sizeof *record->low_c);
    record->high_c = calloc(n, sizeof *record->high_c);
    if (record->low_c == NULL || record->high_c == NULL)
        return wg_no_memory(file->err, file->name);
    for (size_t i = 0; i < n; i++)
        record->low_c[i] = record->high_c[i] = (double)NAN;
    for (size_t i = 0; i < file->n; i++) {
        const struct wg_observation *const item = &file->items[i];
        double *const at =
            (item->element == WG_ELEMENT_LOW ? record->low_c : record->high_c) + (item->day - record->first_day);
        if (!isnan(*at) && *at != item->value)
            return refuse_day(file, item->day, "there are two different values. Each day may occur once.");
        *at = item->value;
    }
    return 0;
}

/* ---- units ---- */

#define GUESSED "guessed from the numbers"

static int compare_record_values(const void *a, const void *b) {
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Sorts the numbers and returns the quantile of a share. */
static double record_quantile(double *numbers, size_t n, double share) {
    qsort(numbers, n, sizeof *numbers, compare_record_values);
    return numbers[(size_t)(share * (double)(n - 1))];
}

/*
 * Guesses the unit from highs and daily ranges: highs above 140 or a median range above 60 cannot be degrees, so tenths;
 * highs above 60 are degF (no place is that hot in degC, and in this animal's range every year has them in degF); the
 * rest is degC. Ranges do not distinguish degF from degC: a dry site in degC looks like a humid one in degF. Judgement.
 */
static int guess_unit(const struct wg_weather_text *file, const struct wg_weather_record *record,
                      enum wg_file_unit *unit) {
    double *const range = malloc(2 * (size_t)record->n_days * sizeof *range);
    if (range == NULL)
        return wg_no_memory(file->err, file->name);
    double *const high = range + record->n_days;
    size_t n = 0;
    for (int32_t i = 0; i < record->n_days; i++) {
        if (isnan(record->low_c[i]) || isnan(record->high_c[i]))
            continue;
        range[n] = fabs(record->high_c[i] - record->low_c[i]);
        high[n++] = record->high_c[i];
    }
    if (n > 0) {
        const double usual_range = record_quantile(range, n, 0.5), hot = record_quantile(high, n, 0.99);
        *unit = usual_range > 60 || hot > 140 ? WG_FILE_TENTHS : hot > 60 ? WG_FILE_DEGF : WG_FILE_DEGC;
    }
    free(range);
    return 0;
}

static void to_degc(struct wg_weather_record *record, enum wg_file_unit unit) {
    for (int32_t i = 0; i < record->n_days; i++)
        for (int v = 0; v < 2; v++) {
            double *const value = v == 0 ? &record->low_c[i] : &record->high_c[i];
            *value = unit == WG_FILE_TENTHS ? *value / 10
                     : unit == WG_FILE_DEGF ? wg_units_convert(*value, "degF", "degC", true)
                                            : *value;
        }
}

static const char *unit_text(enum wg_file_unit unit) {
    return unit == WG_FILE_TENTHS ? "tenths of degC" : unit == WG_FILE_DEGF ? "degF" : "degC";
}

/* Rejects a unit in the scenario that contradicts the file. */
static int check_declared_unit(const struct wg_weather_text *file, enum wg_weather_record_unit declared,
                               enum wg_file_unit unit, const char *source) {
    const bool degf = unit == WG_FILE_DEGF;
    if ((declared == WG_WEATHER_RECORD_DEGF && !degf) || (declared == WG_WEATHER_RECORD_DEGC && degf))
        return wg_fail(file->err, WG_ERR_INPUT, file->name, "The scenario says %s, but the file is in %s %s.",
                       degf ? "degC" : "degF", unit_text(unit), source);
    return 0;
}

/*
 * Finds the unit: from the file, else from the scenario, else by a guess; *source says which. A table with attributes has
 * tenths if it is a station file from the server; ordered with attributes it has degC or degF and the same layout, but
 * then its numbers cannot be tenths.
 */
static int find_unit(const struct wg_weather_text *file, const struct wg_weather_record *record,
                     enum wg_weather_record_unit declared, enum wg_file_unit *unit, const char **source) {
    *unit = file->unit;
    *source = file->unit_known;
    if (file->unit != WG_FILE_UNIT_UNKNOWN)
        return check_declared_unit(file, declared, *unit, *source);
    *unit = file->tenths_unless_ordered ? WG_FILE_TENTHS : WG_FILE_DEGC;
    *source = GUESSED " (write unit: degC or unit: degF to be sure)";
    const int code = guess_unit(file, record, unit);
    if (code < 0)
        return code;
    if (file->tenths_unless_ordered && *unit == WG_FILE_TENTHS) {
        *source = "by its layout";
        return check_declared_unit(file, declared, *unit, *source);
    }
    if (declared != WG_WEATHER_RECORD_UNIT_GUESSED) {
        *unit = declared == WG_WEATHER_RECORD_DEGF ? WG_FILE_DEGF : WG_FILE_DEGC;
        *source = "as the scenario says";
    }
    return 0;
}

/* ---- checks ---- */

static int check_values(const struct wg_weather_text *file, const struct wg_weather_record *record) {
    int32_t both = 0, swapped = 0, first_swapped = -1;
    for (int32_t i = 0; i < record->n_days; i++) {
        const double low = record->low_c[i], high = record->high_c[i];
        if (low < MIN_C || low > MAX_C || high < MIN_C || high > MAX_C)
            return refuse_day(
                file, record->first_day + i,
                "a temperature is below -70 or above 60 degC, beyond the records between 66 degrees south and "
                "north. Is the unit right, or is the number a code for a missing value?");
        both += !isnan(low) && !isnan(high);
        if (low > high) {
            first_swapped = swapped == 0 ? i : first_swapped;
            swapped++;
        }
    }
    if (swapped > 0 && swapped * 2 > both)
        return wg_fail(file->err, WG_ERR_INPUT, file->name,
                       "The lows are above the highs on %d of %d days: the two columns are swapped.", (int)swapped,
                       (int)both);
    return swapped == 0 ? 0 : refuse_day(file, record->first_day + first_swapped, "the low is above the high.");
}

/* Removes incomplete days at both ends. */
static int trim_ends(const struct wg_weather_text *file, struct wg_weather_record *record) {
    int32_t first = 0, last = record->n_days - 1;
    while (first <= last && (isnan(record->low_c[first]) || isnan(record->high_c[first])))
        first++;
    while (last > first && (isnan(record->low_c[last]) || isnan(record->high_c[last])))
        last--;
    if (first > last)
        return wg_fail(file->err, WG_ERR_INPUT, file->name, "No day in the file has both a low and a high.");
    record->n_days = last - first + 1;
    memmove(record->low_c, record->low_c + first, (size_t)record->n_days * sizeof *record->low_c);
    memmove(record->high_c, record->high_c + first, (size_t)record->n_days * sizeof *record->high_c);
    record->first_day += first;
    return 0;
}

/* ---- gaps ---- */

static bool is_missing_day(const struct wg_weather_record *record, int32_t i) {
    return isnan(record->low_c[i]) || isnan(record->high_c[i]);
}

/* Appends "2023-01-05 to 2023-01-12" to a list of at most three. */
static void append_gap(char *list, size_t size, int n, int32_t from, int32_t to) {
    char a[11], b[11];
    const size_t used = strlen(list);
    wg_day_format(from, a);
    wg_day_format(to, b);
    if (n <= 3)
        (void)snprintf(list + used, size - used, "%s%s to %s", n > 1 ? ", " : "", a, b);
    else if (n == 4)
        (void)snprintf(list + used, size - used, " and more");
}

/* Rejects gaps that are too long, and names the longest usable part. */
static int refuse_long_gaps(const struct wg_weather_text *file, const struct wg_weather_record *record) {
    char list[160] = "";
    int n = 0;
    int32_t start = 0, best_from = 0, best_days = 0;
    for (int32_t i = 0; i < record->n_days; i++) {
        if (!is_missing_day(record, i))
            continue;
        const int32_t from = i;
        while (is_missing_day(record, i)) /* the last day is complete */
            i++;
        if (i - from <= MAX_FILLED)
            continue;
        append_gap(list, sizeof list, ++n, record->first_day + from, record->first_day + i - 1);
        if (from - start > best_days) {
            best_from = start;
            best_days = from - start;
        }
        start = i;
    }
    if (n == 0)
        return 0;
    if (record->n_days - start > best_days) {
        best_from = start;
        best_days = record->n_days - start;
    }
    char a[11], b[11];
    wg_day_format(record->first_day + best_from, a);
    wg_day_format(record->first_day + best_from + best_days - 1, b);
    return wg_fail(
        file->err, WG_ERR_INPUT, file->name,
        "More than %d days in a row are missing: %s. Keep a part without such gaps; the longest runs from %s to %s.",
        MAX_FILLED, list, a, b);
}

static void interpolate_gaps(double *values, int32_t n) {
    for (int32_t i = 1; i < n; i++) { /* the first and the last day are complete */
        if (!isnan(values[i]))
            continue;
        int32_t next = i;
        while (isnan(values[next]))
            next++;
        const double before = values[i - 1], step = (values[next] - before) / (double)(next - i + 1);
        for (int32_t k = i; k < next; k++)
            values[k] = before + step * (double)(k - i + 1);
        i = next;
    }
}

/* Clamps an interpolated value to the measured one of its day. */
static void fill_gaps(struct wg_weather_record *record) {
    interpolate_gaps(record->low_c, record->n_days);
    for (int32_t i = 0; i < record->n_days; i++)
        if (record->low_c[i] > record->high_c[i]) /* false if the high is missing */
            record->low_c[i] = record->high_c[i];
    interpolate_gaps(record->high_c, record->n_days);
    for (int32_t i = 0; i < record->n_days; i++)
        record->high_c[i] = fmax(record->high_c[i], record->low_c[i]);
}

/* ---- the record ---- */

static int count_gaps(const struct wg_weather_record *record) {
    int n = 0;
    for (int32_t i = 0; i < record->n_days; i++)
        n += is_missing_day(record, i);
    return n;
}

static void write_note(const struct wg_weather_text *file, const struct wg_weather_record *record,
                       enum wg_file_unit unit, const char *source, int filled, struct wg_weather_record_note *note) {
    char from[11], to[11], failed[60] = "", gaps[60] = "no day missing", dates[40] = "";
    wg_day_format(record->first_day, from);
    wg_day_format(record->first_day + record->n_days - 1, to);
    if (file->failed_checks > 0)
        (void)snprintf(failed, sizeof failed, ", %d values left out for their quality flag", file->failed_checks);
    if (filled > 0)
        (void)snprintf(gaps, sizeof gaps, "%d missing day%s filled in", filled, filled == 1 ? "" : "s");
    if (file->has_order)
        (void)snprintf(dates, sizeof dates, ", dates %s first", file->order == WG_DATE_MONTH_FIRST ? "month" : "day");
    (void)snprintf(note->text, sizeof note->text, "%.80s: %s, %d days from %s to %s, in %s %s%s%s%s, %s", file->name,
                   file->layout, (int)record->n_days, from, to, unit_text(unit), source, dates,
                   file->comma_line != 0 ? ", decimal commas" : "", failed, gaps);
    note->is_guessed = strncmp(source, GUESSED, strlen(GUESSED)) == 0;
    note->is_typical = file->is_typical;
    note->has_latitude = file->has_latitude;
    note->latitude_deg = file->latitude_deg;
    note->has_elevation = file->has_elevation;
    note->elevation_m = file->elevation_m;
}

static int make_record(struct wg_weather_record *record, const struct wg_weather_text *file,
                       enum wg_weather_record_unit declared, struct wg_weather_record_note *note) {
    enum wg_file_unit unit = WG_FILE_DEGC;
    const char *source = "";
    int code = find_span(file, record);
    if (code == 0)
        code = fill_record_days(file, record);
    if (code == 0)
        code = find_unit(file, record, declared, &unit, &source);
    if (code == 0)
        to_degc(record, unit);
    if (code == 0)
        code = check_values(file, record);
    if (code == 0)
        code = trim_ends(file, record);
    if (code == 0)
        code = refuse_long_gaps(file, record);
    if (code < 0)
        return code;
    const int gaps = count_gaps(record);
    fill_gaps(record);
    write_note(file, record, unit, source, gaps, note);
    return 0;
}

int wg_weather_record_parse(struct wg_weather_record *record, const char *name, const char *text, size_t size,
                            enum wg_weather_record_unit unit, struct wg_weather_record_note *note,
                            struct wg_error *err) {
    *record = (struct wg_weather_record){0};
    *note = (struct wg_weather_record_note){0};
    if (size > WG_WEATHER_RECORD_MAX_BYTES)
        return wg_fail(err, WG_ERR_INPUT, name, "The weather file is larger than 64 MB.");
    struct wg_weather_text file = {
        .name = name, .text = text + wg_utf8_mark(text, size), .end = text + size, .err = err};
    int code = wg_weather_text_read(&file);
    if (code == 0)
        code = make_record(record, &file, unit, note);
    free(file.items);
    if (code < 0)
        wg_weather_record_free(record);
    return code;
}
