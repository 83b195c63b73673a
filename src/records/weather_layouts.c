/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Recognises the layout of a weather file (see src/records/weather_file.h) and reads its values, unsorted and unchecked.
 */
#include "records/weather_layouts.h"

#include "base/utf8.h"
#include "text/quantity.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

/* ---- lines and fields ---- */

#define LINE_SIZE 16384
#define MAX_FIELDS 300

#define DATE_SIZE 16
#define NUMBER_SIZE 32

struct text_row {
    char text[LINE_SIZE];
    char *field[MAX_FIELDS];
    int n;
};

static int refuse_weather_line(struct wg_weather_text *file, const char *what) {
    char where[160];
    (void)snprintf(where, sizeof where, "%.120s, line %d", file->name, file->line);
    return wg_fail(file->err, WG_ERR_INPUT, where, "%s", what);
}

/* Returns 1 and the line without its line ending; 0 at the end of the text; negative for an invalid line. */
static int next_text_line(struct wg_weather_text *file, char line[LINE_SIZE]) {
    if (file->text >= file->end)
        return 0;
    file->line++;
    const size_t left = (size_t)(file->end - file->text);
    const char *const stop = memchr(file->text, '\n', left);
    size_t n = stop == NULL ? left : (size_t)(stop - file->text);
    if (n >= LINE_SIZE || memchr(file->text, '\0', n) != NULL)
        return refuse_weather_line(file, "This is not a weather file: the line is too long or not text.");
    memcpy(line, file->text, n);
    file->text = stop == NULL ? file->end : stop + 1;
    if (n > 0 && line[n - 1] == '\r')
        n--;
    line[n] = '\0';
    return 1;
}

static char *trim_blanks(char *text) {
    while (*text == ' ' || *text == '\t')
        text++;
    char *end = text + strlen(text);
    while (end > text && (end[-1] == ' ' || end[-1] == '\t'))
        *--end = '\0';
    return text;
}

/* Splits a line into its columns in place; quotes may hold separators, "" is a quote (RFC 4180). */
static void split_row(struct text_row *row, char separator) {
    char *p = row->text;
    row->n = 0;
    while (row->n < MAX_FIELDS) {
        char *out = p, *const start = p;
        bool quoted = false;
        for (; *p != '\0' && (quoted || *p != separator); p++) {
            if (*p == '"' && quoted && p[1] == '"')
                *out++ = *++p;
            else if (*p == '"')
                quoted = !quoted;
            else
                *out++ = *p;
        }
        const bool last = *p == '\0';
        *out = '\0';
        row->field[row->n++] = trim_blanks(start);
        if (last)
            return;
        p++;
    }
}

static int next_row(struct wg_weather_text *file, struct text_row *row) {
    for (;;) {
        const int status = next_text_line(file, row->text);
        if (status <= 0)
            return status;
        const char *const start = trim_blanks(row->text);
        if (*start == '\0' || *start == '#')
            continue;
        split_row(row, file->separator);
        return 1;
    }
}

/* ---- values ---- */

static bool all_digits(const char *text, size_t n) {
    for (size_t i = 0; i < n; i++)
        if (!isdigit((unsigned char)text[i]))
            return false;
    return true;
}

/* Reads 2026-11-15, 2026-11-15T00:00, 20261115, 11/15/2026, 15.11.2026 0:00. Returns as wg_written_date_read(). */
static int read_weather_date(const char *text, char date[DATE_SIZE], struct wg_written_date *read) {
    const size_t n = strlen(text), end = strcspn(text, " T");
    if (n == 8 && all_digits(text, 8))
        (void)snprintf(date, DATE_SIZE, "%.4s-%.2s-%.2s", text, text + 4, text + 6);
    else
        (void)snprintf(date, DATE_SIZE, "%.*s", end < DATE_SIZE ? (int)end : 0, text);
    return wg_written_date_read(date, read);
}

static int read_weather_day(struct wg_weather_text *file, const char *text, int32_t *day) {
    char date[DATE_SIZE];
    struct wg_written_date read;
    const int code = read_weather_date(text, date, &read);
    if (code == -2)
        return refuse_weather_line(file, "The date in this line does not exist.");
    if (code < 0 || (read.has_order && !file->has_order))
        return refuse_weather_line(file, "A date such as 2026-11-15 (year-month-day) is expected in this line.");
    *day = read.day[file->order]; /* it exists in the order of the file, because all dates were seen */
    return 0;
}

static bool is_missing(const char *text) {
    static const char *const words[] = {"",    "-9999", "-9999.0", "9999", "9999.9", "NA",   "NaN",
                                        "nan", "null",  "M",       "-",    "-99.9",  "999.9"};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (strcmp(text, words[i]) == 0)
            return true;
    return false;
}

static int add_observation(struct wg_weather_text *file, int32_t day, enum wg_element element, double value) {
    if (file->n == file->capacity) {
        const size_t capacity = file->capacity == 0 ? 1024 : 2 * file->capacity;
        struct wg_observation *const items = realloc(file->items, capacity * sizeof *items);
        if (items == NULL)
            return wg_no_memory(file->err, file->name);
        file->items = items;
        file->capacity = capacity;
    }
    file->items[file->n++] =
        (struct wg_observation){.day = day, .element = element, .line = file->line, .value = value};
    return 0;
}

/* Replaces a decimal comma by a point. */
static void copy_number(struct wg_weather_text *file, const char *text, char number[NUMBER_SIZE]) {
    (void)snprintf(number, NUMBER_SIZE, "%s", text);
    char *const comma = strchr(number, ',');
    if (strchr(number, '.') != NULL)
        file->point_line = file->point_line == 0 ? file->line : file->point_line;
    else if (comma != NULL) {
        *comma = '.';
        file->comma_line = file->comma_line == 0 ? file->line : file->comma_line;
    }
}

static int add_temperature_text(struct wg_weather_text *file, int32_t day, enum wg_element element, const char *text) {
    char number[NUMBER_SIZE];
    double value;
    const char *rest;
    copy_number(file, text, number);
    if (is_missing(number))
        return 0;
    if (strlen(text) >= NUMBER_SIZE || wg_number_read(number, &value, &rest) < 0 || *rest != '\0')
        return refuse_weather_line(file, "A temperature in this line is not a plain number.");
    if (file->comma_line != 0 && file->point_line != 0)
        return refuse_weather_line(file, "The file has decimal points and decimal commas. Write all with a point.");
    return add_observation(file, day, element, value);
}

/* Requires that all values are from one station. */
static int check_station(struct wg_weather_text *file, const char *station) {
    if (file->station[0] == '\0')
        (void)snprintf(file->station, sizeof file->station, "%.31s", station);
    else if (strncmp(file->station, station, sizeof file->station - 1) != 0)
        return refuse_weather_line(file, "A second weather station begins here. Keep the lines of one station only.");
    return 0;
}

/* ---- tables with a header ---- */

struct weather_columns {
    int date, low, high, low_flags, high_flags, station, latitude, elevation;
    int n; /* in the header */
    enum wg_file_unit unit;
    bool units_differ; /* low and high have different units */
};

/* Reduces a column's name to lowercase letters and digits: "TMIN (degC)" becomes "tmindegc". */
static void plain_name(const char *name, char out[32]) {
    size_t n = 0;
    for (name += wg_utf8_mark(name, strlen(name)); *name != '\0' && n + 1 < 32; name++)
        if (isalnum((unsigned char)*name))
            out[n++] = (char)tolower((unsigned char)*name);
    out[n] = '\0';
}

/* True if a name is in the list, with or without a unit after it. */
static bool is_column(const char *name, const char *const *names, enum wg_file_unit *unit) {
    static const struct {
        const char *written;
        enum wg_file_unit unit;
    } units[] = {{"", WG_FILE_UNIT_UNKNOWN},  {"c", WG_FILE_DEGC}, {"degc", WG_FILE_DEGC},
                 {"celsius", WG_FILE_DEGC},   {"f", WG_FILE_DEGF}, {"degf", WG_FILE_DEGF},
                 {"fahrenheit", WG_FILE_DEGF}};
    for (size_t i = 0; names[i] != NULL; i++) {
        const size_t n = strlen(names[i]);
        for (size_t u = 0; strncmp(name, names[i], n) == 0 && u < sizeof units / sizeof *units; u++)
            if (strcmp(name + n, units[u].written) == 0) {
                *unit = units[u].unit;
                return true;
            }
    }
    return false;
}

static void find_columns(const struct text_row *row, struct weather_columns *columns) {
    static const char *const lows[] = {"tmin", "low", "dailylow", "min", "mintemp", "tempmin", "minimum", NULL};
    static const char *const highs[] = {"tmax", "high", "dailyhigh", "max", "maxtemp", "tempmax", "maximum", NULL};
    enum wg_file_unit high_unit = WG_FILE_UNIT_UNKNOWN;
    *columns = (struct weather_columns){-1, -1, -1, -1, -1, -1, -1, -1, row->n, WG_FILE_UNIT_UNKNOWN, false};
    for (int i = 0; i < row->n; i++) {
        char name[32];
        enum wg_file_unit unit;
        plain_name(row->field[i], name);
        if (strcmp(name, "date") == 0 || strcmp(name, "day") == 0)
            columns->date = i;
        else if (is_column(name, lows, &unit))
            columns->low = i, columns->unit = unit;
        else if (is_column(name, highs, &unit))
            columns->high = i, high_unit = unit;
        else if (strcmp(name, "tminattributes") == 0)
            columns->low_flags = i;
        else if (strcmp(name, "tmaxattributes") == 0)
            columns->high_flags = i;
        else if (strcmp(name, "station") == 0)
            columns->station = i;
        else if (strcmp(name, "latitude") == 0)
            columns->latitude = i;
        else if (strcmp(name, "elevation") == 0)
            columns->elevation = i;
    }
    columns->units_differ = columns->low >= 0 && columns->high >= 0 && columns->unit != high_unit;
}

static const char *field_text(const struct text_row *row, int i) {
    return i >= 0 && i < row->n ? row->field[i] : "";
}

/* Attributes are "measurement,quality,source": a value with a nonblank quality flag failed a check. */
static bool failed_check(const char *attributes) {
    const char *const comma = strchr(attributes, ',');
    return comma != NULL && comma[1] != '\0' && comma[1] != ',' && comma[1] != ' ';
}

static void read_station_site(struct wg_weather_text *file, const struct text_row *row, int latitude, int elevation) {
    char number[NUMBER_SIZE];
    const char *rest;
    double value;
    copy_number(file, field_text(row, latitude), number);
    if (!file->has_latitude && wg_number_read(number, &value, &rest) == 0 && fabs(value) <= 66) {
        file->has_latitude = true;
        file->latitude_deg = value;
    }
    copy_number(file, field_text(row, elevation), number);
    if (!file->has_elevation && wg_number_read(number, &value, &rest) == 0 && value > -430 && value < 6000) {
        file->has_elevation = true;
        file->elevation_m = value;
    }
}

static int read_table_values(struct wg_weather_text *file, const struct text_row *row,
                             const struct weather_columns *columns, int32_t day) {
    read_station_site(file, row, columns->latitude, columns->elevation);
    const bool low_failed = failed_check(field_text(row, columns->low_flags));
    const bool high_failed = failed_check(field_text(row, columns->high_flags));
    file->failed_checks += low_failed + high_failed;
    int code = 0;
    if (!low_failed)
        code = add_temperature_text(file, day, WG_ELEMENT_LOW, field_text(row, columns->low));
    if (code == 0 && !high_failed)
        code = add_temperature_text(file, day, WG_ELEMENT_HIGH, field_text(row, columns->high));
    return code;
}

/* 2026-11-15,-1,5,6,2 below date,low,high would be read as -1 and 5 degrees. */
static int check_width(struct wg_weather_text *file, const struct text_row *row,
                       const struct weather_columns *columns) {
    for (int i = columns->n; i < row->n; i++)
        if (row->field[i][0] != '\0')
            return refuse_weather_line(file,
                                       "This line has more values than the first line has columns. If numbers are "
                                       "written with a decimal comma, separate the columns with semicolons.");
    return 0;
}

static int read_table_row(struct wg_weather_text *file, const struct text_row *row,
                          const struct weather_columns *columns) {
    int32_t day = 0;
    const int width = check_width(file, row, columns);
    if (width < 0)
        return width;
    int code = columns->station >= 0 ? check_station(file, field_text(row, columns->station)) : 0;
    if (code == 0)
        code = read_weather_day(file, field_text(row, columns->date), &day);
    return code == 0 ? read_table_values(file, row, columns, day) : code;
}

/* Finds the order of day and month from all dates, if any has its year at the end. Goes back to the first row. */
static int find_date_order(struct wg_weather_text *file, struct text_row *row, const struct weather_columns *columns) {
    const char *const before = file->text;
    const int line_before = file->line;
    struct wg_date_evidence evidence = {.open_line = 0};
    char message[WG_DATE_MESSAGE], date[DATE_SIZE];
    struct wg_written_date read;
    int status = next_row(file, row);
    for (; status > 0; status = next_row(file, row))
        if (read_weather_date(field_text(row, columns->date), date, &read) == 0 && read.has_order) {
            file->has_order = true;
            wg_date_evidence_add(&evidence, &read, date, file->line);
        }
    file->line = wg_date_evidence_decide(&evidence, &file->order, message);
    if (status == 0 && file->line != 0)
        return refuse_weather_line(file, message);
    file->text = before;
    file->line = line_before;
    return status;
}

static int read_weather_table(struct wg_weather_text *file, struct text_row *row,
                              const struct weather_columns *columns) {
    if (columns->units_differ)
        return refuse_weather_line(file, "The columns of lows and highs have different units. Give both the same.");
    const bool attributes = columns->low_flags >= 0 || columns->high_flags >= 0;
    file->layout = attributes              ? "GHCN-Daily table of a station"
                   : columns->station >= 0 ? "NCEI daily summaries"
                                           : "table of daily highs and lows";
    file->unit = columns->unit;
    file->unit_known = file->unit != WG_FILE_UNIT_UNKNOWN ? "as its header says" : NULL;
    file->tenths_unless_ordered = attributes;
    int status = find_date_order(file, row, columns);
    if (status < 0)
        return status;
    while ((status = next_row(file, row)) > 0) {
        const int code = read_table_row(file, row, columns);
        if (code < 0)
            return code;
    }
    return status;
}

/* ---- GHCN-Daily, one value a line ---- */

static bool element_of(const char *text, enum wg_element *element) {
    const bool low = strncmp(text, "TMIN", 4) == 0;
    if (!low && strncmp(text, "TMAX", 4) != 0)
        return false;
    *element = low ? WG_ELEMENT_LOW : WG_ELEMENT_HIGH;
    return true;
}

static bool is_by_year(const struct text_row *row) {
    return row->n >= 4 && strlen(row->field[0]) == 11 && strlen(row->field[1]) == 8 && all_digits(row->field[1], 8) &&
           strlen(row->field[2]) == 4;
}

/* Current lists begin with ID,DATE,ELEMENT,DATA_VALUE,...; concatenated ones repeat it. */
static bool is_by_year_header(const struct text_row *row) {
    return row->n >= 4 && strcmp(row->field[0], "ID") == 0 && strcmp(row->field[1], "DATE") == 0 &&
           strcmp(row->field[2], "ELEMENT") == 0;
}

static int read_by_year_row(struct wg_weather_text *file, const struct text_row *row) {
    enum wg_element element;
    int32_t day = 0;
    if (is_by_year_header(row))
        return 0;
    if (!is_by_year(row))
        return refuse_weather_line(
            file, "This line differs in layout from the first: station, yyyymmdd, element, value, flags.");
    if (!element_of(row->field[2], &element))
        return 0;
    int code = check_station(file, row->field[0]);
    if (code == 0)
        code = read_weather_day(file, row->field[1], &day);
    const bool has_failed_check = field_text(row, 5)[0] != '\0';
    if (code == 0)
        file->failed_checks += has_failed_check;
    if (code == 0 && !has_failed_check)
        code = add_temperature_text(file, day, element, row->field[3]);
    return code;
}

static int read_by_year(struct wg_weather_text *file, struct text_row *row) {
    file->layout = "GHCN-Daily list of values";
    file->unit = WG_FILE_TENTHS;
    file->unit_known = "by its layout";
    int status = 1;
    for (; status > 0; status = next_row(file, row)) {
        const int code = read_by_year_row(file, row);
        if (code < 0)
            return code;
    }
    return status;
}

/* Columns from 1: station 1-11, year 12-15, month 16-17, element 18-21, then 31 x (value 5, flags M Q S). */
static bool is_dly(const char *line) {
    return strlen(line) >= 29 && strchr(line, ',') == NULL && all_digits(line + 11, 6) &&
           isupper((unsigned char)line[17]);
}

static int read_dly_value(struct wg_weather_text *file, const char *line, int d, int32_t day, enum wg_element element) {
    const size_t at = 21 + 8 * (size_t)d, length = strlen(line);
    if (at + 5 > length) /* trailing blanks are easily lost */
        return 0;
    char value[6];
    memcpy(value, line + at, 5);
    value[5] = '\0';
    const char *const trimmed = trim_blanks(value);
    if (is_missing(trimmed))
        return 0;
    if (at + 6 < length && line[at + 6] != ' ') {
        file->failed_checks++;
        return 0;
    }
    return add_temperature_text(file, day, element, trimmed);
}

static int read_dly_line(struct wg_weather_text *file, const char *line) {
    enum wg_element element;
    if (!is_dly(line))
        return refuse_weather_line(file, "This line differs in layout from the first: fixed columns of station, year, "
                                         "month, element and 31 values.");
    if (!element_of(line + 17, &element))
        return 0;
    char station[12], text[12];
    (void)snprintf(station, sizeof station, "%.11s", line);
    int code = check_station(file, station);
    int32_t first = 0;
    (void)snprintf(text, sizeof text, "%.6s01", line + 11);
    if (code == 0)
        code = read_weather_day(file, text, &first);
    const struct wg_date date = wg_date_from_day(first);
    const int days = wg_month_length(date.year, date.month);
    for (int d = 0; code == 0 && d < days; d++)
        code = read_dly_value(file, line, d, first + d, element);
    return code;
}

static int read_dly(struct wg_weather_text *file, char *line) {
    file->layout = "GHCN-Daily .dly";
    file->unit = WG_FILE_TENTHS;
    file->unit_known = "by its layout";
    int status = 1;
    for (; status > 0; status = next_text_line(file, line)) {
        const int code = line[0] == '\0' ? 0 : read_dly_line(file, line);
        if (code < 0)
            return code;
    }
    return status;
}

/* ---- EPW ---- */

#define EPW_HEADER_LINES 8
#define EPW_MIN_HOURS 20 /* hours that a day needs for a valid low and high: judgement */

/* A typical year has months from several years, so it gets a year of ours: common, or with 29 February. */
#define EPW_YEAR 2001
#define EPW_LEAP_YEAR 2004

struct epw_day {
    int hours;
    double low, high;
};

static int read_epw_row(struct wg_weather_text *file, const struct text_row *row, struct epw_day days[366]) {
    double month, day, temp;
    const char *rest;
    if (row->n < 7 || wg_number_read(row->field[1], &month, &rest) < 0 ||
        wg_number_read(row->field[2], &day, &rest) < 0 || wg_number_read(row->field[6], &temp, &rest) < 0)
        return refuse_weather_line(
            file,
            "An hour of an EPW file has 35 values separated by commas; the month, day or temperature is missing here.");
    const struct wg_date date = {EPW_LEAP_YEAR, (int)fmin(fmax(month, 0), 13), (int)fmin(fmax(day, 0), 32)};
    if (!wg_date_exists(date))
        return refuse_weather_line(file, "The date in this line does not exist.");
    if (temp >= 99.9) /* missing */
        return 0;
    struct epw_day *const epw_day_of = &days[wg_day_of_year(wg_day_from_date(date)) - 1];
    if (epw_day_of->hours == 24)
        return refuse_weather_line(
            file, "This day has more than 24 hours: an EPW file must be one year by the hour, not several years or "
                  "shorter steps.");
    epw_day_of->low = epw_day_of->hours == 0 ? temp : fmin(epw_day_of->low, temp);
    epw_day_of->high = epw_day_of->hours == 0 ? temp : fmax(epw_day_of->high, temp);
    epw_day_of->hours++;
    return 0;
}

static int add_epw_days(struct wg_weather_text *file, const struct epw_day days[366]) {
    const bool leap = days[59].hours > 0;
    int code = 0;
    for (int i = 0; i < 366 && code == 0; i++) {
        if (days[i].hours < EPW_MIN_HOURS)
            continue;
        struct wg_date date = wg_date_from_day(wg_day_from_date((struct wg_date){EPW_LEAP_YEAR, 1, 1}) + i);
        date.year = leap ? EPW_LEAP_YEAR : EPW_YEAR;
        const int32_t day = wg_day_from_date(date);
        code = add_observation(file, day, WG_ELEMENT_LOW, days[i].low);
        if (code == 0)
            code = add_observation(file, day, WG_ELEMENT_HIGH, days[i].high);
    }
    return code;
}

static int read_epw(struct wg_weather_text *file, struct text_row *row) {
    struct epw_day days[366] = {{0}};
    file->layout = "EPW, one typical year by the hour";
    file->is_typical = true;
    file->unit = WG_FILE_DEGC;
    file->unit_known = "by its layout";
    read_station_site(file, row, 6, 9);
    for (int i = 1; i < EPW_HEADER_LINES; i++)
        if (next_text_line(file, row->text) <= 0)
            return refuse_weather_line(file, "The file ends within the header of an EPW file.");
    int status;
    while ((status = next_row(file, row)) > 0) {
        const int code = read_epw_row(file, row, days);
        if (code < 0)
            return code;
    }
    return status < 0 ? status : add_epw_days(file, days);
}

/* ---- which layout ---- */

static int refuse_unknown(struct wg_weather_text *file) {
    return refuse_weather_line(
        file,
        "This is none of the known layouts. The simplest is a first line date,tmin_C,tmax_C and then a line a day "
        "such as 2026-11-15,3.5,12.1. GHCN-Daily, NCEI daily summaries and EPW files need no changes.");
}

/* Finds the separator with which the heading has the columns of a table; then the heading is read, else nothing. */
static bool find_separator(struct wg_weather_text *file, struct text_row *row, struct weather_columns *columns) {
    const char *const before = file->text;
    const int line_before = file->line;
    for (const char *separator = ",;\t"; *separator != '\0'; separator++) {
        file->separator = *separator;
        if (next_row(file, row) > 0) {
            find_columns(row, columns);
            if (columns->date >= 0 && columns->low >= 0 && columns->high >= 0)
                return true;
        }
        file->text = before;
        file->line = line_before;
    }
    file->separator = ',';
    return false;
}

static int read_first(struct wg_weather_text *file, struct text_row *row) {
    char line[LINE_SIZE];
    const char *const before = file->text;
    const int line_before = file->line;
    int status = next_text_line(file, line);
    while (status > 0 && (line[0] == '\0' || line[0] == '#'))
        status = next_text_line(file, line);
    if (status < 0)
        return status;
    if (status > 0 && is_dly(line))
        return read_dly(file, line);
    file->text = before;
    file->line = line_before;
    struct weather_columns columns;
    if (find_separator(file, row, &columns))
        return read_weather_table(file, row, &columns);
    status = next_row(file, row);
    if (status <= 0)
        return status < 0 ? status : wg_fail(file->err, WG_ERR_INPUT, file->name, "The weather file is empty.");
    if (strcmp(row->field[0], "LOCATION") == 0)
        return read_epw(file, row);
    if (is_by_year(row) || is_by_year_header(row))
        return read_by_year(file, row);
    return refuse_unknown(file);
}

int wg_weather_text_read(struct wg_weather_text *file) {
    struct text_row *const row = malloc(sizeof *row);
    if (row == NULL)
        return wg_no_memory(file->err, file->name);
    const int code = read_first(file, row);
    free(row);
    return code < 0 ? code : 0;
}
