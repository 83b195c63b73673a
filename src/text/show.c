/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Formats numbers with three significant figures, or two: a forecast is not known better.
 */
#include "text/show.h"

#include "base/calendar.h"
#include "base/utf8.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

/* Copies a number with commas between thousands. */
static void group_digits(const char *plain, char out[WG_SHOWN_SIZE]) {
    const size_t sign = *plain == '-' ? 1 : 0;
    const size_t digits = strspn(plain + sign, "0123456789");
    size_t n = 0;
    for (size_t i = 0; plain[i] != '\0' && n + 2 < WG_SHOWN_SIZE; i++) {
        if (i > sign && i < sign + digits && (sign + digits - i) % 3 == 0)
            out[n++] = ',';
        out[n++] = plain[i];
    }
    out[n] = '\0';
}

static void strip_trailing_zeros(char *plain) {
    if (strchr(plain, '.') == NULL)
        return;
    char *end = plain + strlen(plain);
    while (end[-1] == '0')
        *--end = '\0';
    if (end[-1] == '.')
        end[-1] = '\0';
}

/* Rounds to 2 or 3 significant figures, at most 3 decimals, and strips trailing zeros. */
static void significant_figures(double value, int digits, char out[WG_SHOWN_SIZE]) {
    char plain[64];
    const double size = fabs(value);
    const double tens = digits == 2 ? 9.95 : 99.95; /* from here on without decimals */
    if (size >= 10.0 * tens) {
        const double step = pow(10.0, floor(log10(size)) - (digits - 1));
        (void)snprintf(plain, sizeof plain, "%.0f", step < 1.0 ? round(value) : round(value / step) * step);
    } else {
        const int decimals = size >= tens ? 0 : size >= tens / 10 ? 1 : size >= 0.0995 ? 2 : 3;
        (void)snprintf(plain, sizeof plain, "%.*f", decimals, value);
    }
    strip_trailing_zeros(plain);
    group_digits(strcmp(plain, "-0") == 0 ? "0" : plain, out);
}

void wg_show_number(double value, char out[WG_SHOWN_SIZE]) {
    wg_show_rounded(value, 3, out);
}

/* A third figure of a range that is a tenth as wide as its larger end says nothing (judgement). */
int wg_range_digits(double low, double high) {
    return isfinite(low) && isfinite(high) && high - low >= 0.1 * fmax(fabs(low), fabs(high)) && high > low ? 2 : 3;
}

void wg_show_rounded(double value, int digits, char out[WG_SHOWN_SIZE]) {
    static const struct {
        double from, unit;
        const char *name;
    } step[] = {{1e12, 1e12, " trillion"}, {1e9, 1e9, " billion"}, {1e6, 1e6, " million"}};
    const double size = fabs(value);
    if (isnan(value)) {
        (void)snprintf(out, WG_SHOWN_SIZE, "-");
    } else if (isinf(value)) {
        (void)snprintf(out, WG_SHOWN_SIZE, "never");
    } else if (size >= 9.995e14) {
        int power = (int)floor(log10(size));
        if (size / pow(10.0, power) >= 9.95)
            power++;
        (void)snprintf(out, WG_SHOWN_SIZE, "%.1f x 10^%d", value / pow(10.0, power), power);
    } else {
        double unit = 1.0;
        const char *name = "";
        for (int i = 0; i < 3 && unit == 1.0; i++)
            if (size >= (digits == 2 ? 0.995 : 0.9995) * step[i].from) {
                unit = step[i].unit;
                name = step[i].name;
            }
        significant_figures(value / unit, digits, out);
        (void)strncat(out, name, WG_SHOWN_SIZE - strlen(out) - 1);
    }
}

/* Smaller values are rounding error. */
#define NEGLIGIBLE 1e-9

void wg_show_plain(double value, char out[WG_SHOWN_SIZE]) {
    char plain[64];
    const double size = fabs(value);
    const int decimals = size >= 99.95    ? 0
                         : size >= 9.995  ? 1
                         : size >= 0.9995 ? 2
                         : size >= 0.1    ? 3
                         : size >= 0.01   ? 4
                                          : 5;
    if (size >= 1e15 || (size > NEGLIGIBLE && size < 1e-3)) {
        (void)snprintf(out, WG_SHOWN_SIZE, "%.3g", value);
        return;
    }
    (void)snprintf(plain, sizeof plain, "%.*f", decimals, size > NEGLIGIBLE ? value : 0.0);
    strip_trailing_zeros(plain);
    group_digits(plain, out);
}

void wg_show_whole(int64_t value, char out[WG_SHOWN_SIZE]) {
    char plain[32];
    (void)snprintf(plain, sizeof plain, "%lld", (long long)value);
    group_digits(plain, out);
}

/* Larger than any keeper's weights: shown in one unit, so that it fits. */
#define HUGE_KG 999500.0

void wg_show_mass(double kg, char out[WG_SHOWN_SIZE]) {
    wg_show_mass_range(kg, kg, out);
}

/* "10 to 15"; one number if both ends round to it */
static void join_range(double low, double high, int digits, char out[WG_SHOWN_SIZE]) {
    char from[WG_SHOWN_SIZE], to[WG_SHOWN_SIZE];
    wg_show_rounded(low, digits, from);
    wg_show_rounded(high, digits, to);
    const char *const unit = strchr(from, ' '), *const same = strchr(to, ' ');
    if (strcmp(from, to) == 0)
        (void)snprintf(out, WG_SHOWN_SIZE, "%s", from);
    else if (unit != NULL && same != NULL && strcmp(unit, same) == 0) /* both in millions */
        (void)snprintf(out, WG_SHOWN_SIZE, "%.*s to %.40s", (int)(unit - from), from, to);
    else
        (void)snprintf(out, WG_SHOWN_SIZE, "%.40s to %.40s", from, to);
}

void wg_show_range(double low, double high, const char *unit, char out[WG_SHOWN_SIZE]) {
    wg_show_rounded_range(low, high, 3, unit, out);
}

void wg_show_rounded_range(double low, double high, int digits, const char *unit, char out[WG_SHOWN_SIZE]) {
    char both[WG_SHOWN_SIZE];
    join_range(low, high, digits, both);
    (void)snprintf(out, WG_SHOWN_SIZE, "%.60s%.30s", both, unit);
}

void wg_show_animals(double low, double high, int digits, char out[WG_SHOWN_SIZE]) {
    join_range(round(low), round(high), digits, out);
}

int wg_spread_digits(double low, double middle, double high) {
    char shown[3][WG_SHOWN_SIZE];
    const int digits = wg_range_digits(low, high);
    wg_show_rounded(low, digits, shown[0]);
    wg_show_rounded(middle, digits, shown[1]);
    wg_show_rounded(high, digits, shown[2]);
    const bool is_like_end =
        (middle > low && strcmp(shown[1], shown[0]) == 0) || (middle < high && strcmp(shown[1], shown[2]) == 0);
    return is_like_end ? 3 : digits;
}

void wg_show_mass_range(double low_kg, double high_kg, char out[WG_SHOWN_SIZE]) {
    wg_show_rounded_mass(low_kg, high_kg, 3, out);
}

void wg_show_rounded_mass(double low_kg, double high_kg, int digits, char out[WG_SHOWN_SIZE]) {
    char metric[WG_SHOWN_SIZE], us[WG_SHOWN_SIZE];
    const int light = high_kg > 0 && high_kg < 0.0995;
    join_range(light ? 1000.0 * low_kg : low_kg, light ? 1000.0 * high_kg : high_kg, digits, metric);
    const char *const unit = light ? "oz" : "lb";
    join_range(wg_units_convert(low_kg, "kg", unit, false), wg_units_convert(high_kg, "kg", unit, false), digits, us);
    if (high_kg >= HUGE_KG)
        (void)snprintf(out, WG_SHOWN_SIZE, "%.80s kg", metric);
    else if (high_kg > 0 && strcmp(us, "0") == 0) /* too light for ounces */
        (void)snprintf(out, WG_SHOWN_SIZE, "%.80s g", metric);
    else
        (void)snprintf(out, WG_SHOWN_SIZE, "%.40s %s (%.40s %s)", metric, light ? "g" : "kg", us, unit);
}

void wg_show_power(double watts, char out[WG_SHOWN_SIZE]) {
    char metric[WG_SHOWN_SIZE], us[WG_SHOWN_SIZE];
    const int kilo = watts >= 999.5;
    wg_show_number(kilo ? watts / 1000.0 : watts, metric);
    wg_show_number(wg_units_convert(watts, "W", "Btu/h", false), us);
    (void)snprintf(out, WG_SHOWN_SIZE, "%.30s %s (%.30s Btu/h)", metric, kilo ? "kW" : "W", us);
}

void wg_show_temperature(double celsius, char out[WG_SHOWN_SIZE]) {
    char metric[WG_SHOWN_SIZE], us[WG_SHOWN_SIZE];
    wg_show_number(celsius, metric);
    wg_show_number(wg_units_convert(celsius, "degC", "degF", true), us);
    (void)snprintf(out, WG_SHOWN_SIZE, "%.30s °C (%.30s °F)", metric, us);
}

/* Rounds to the nearest day: a quantile may fall between two. */
static int32_t nearest_day(int32_t first_day, double day) {
    return first_day + (int32_t)floor(day + 0.5);
}

void wg_show_date(int32_t first_day, double day, const char *never, char out[WG_SHOWN_SIZE]) {
    static const char *const month[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                        "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    if (!isfinite(day)) {
        (void)snprintf(out, WG_SHOWN_SIZE, "%s", never);
        return;
    }
    const struct wg_date date = wg_date_from_day(nearest_day(first_day, day));
    (void)snprintf(out, WG_SHOWN_SIZE, "%d %s %d", date.day, month[date.month - 1], date.year);
}

int wg_show_iso_date(int32_t first_day, double day, char out[WG_SHOWN_SIZE]) {
    char date[11] = "";
    if (isfinite(day))
        wg_day_format(nearest_day(first_day, day), date);
    (void)snprintf(out, WG_SHOWN_SIZE, "%s", date);
    return isfinite(day) ? 0 : -1;
}

int wg_show_percent_decimals(double share) {
    const double smaller = fmin(share, 1.0 - share);
    int decimals = smaller > 0.0 && smaller < 0.01;
    for (double shown = 0.0005; decimals > 0 && decimals < 3 && smaller < shown; shown /= 10)
        decimals++;
    return decimals;
}

void wg_show_share(double share, char out[WG_SHOWN_SIZE]) {
    wg_show_percent(share, wg_show_percent_decimals(share), out);
}

void wg_show_percent(double share, int decimals, char out[WG_SHOWN_SIZE]) {
    (void)snprintf(out, WG_SHOWN_SIZE, "%.*f", decimals, 100.0 * share);
    strip_trailing_zeros(out);
}

int wg_show_columns(const char *text) {
    int columns = 0;
    for (; *text != '\0'; text++)
        columns += wg_utf8_starts(*text);
    return columns;
}

#define COLUMNS 79

void wg_show_months(struct wg_month_span span, char out[WG_SHOWN_SIZE]) {
    const char *const first = wg_month_name(span.first % WG_MONTHS);
    const char *const last = wg_month_name((span.first + span.months + WG_MONTHS - 1) % WG_MONTHS);
    if (span.months == 1)
        (void)snprintf(out, WG_SHOWN_SIZE, "in %s", first);
    else if (span.months == 2)
        (void)snprintf(out, WG_SHOWN_SIZE, "in %s and %s", first, last);
    else if (span.months < WG_MONTHS)
        (void)snprintf(out, WG_SHOWN_SIZE, "from %s to %s", first, last);
    else
        (void)snprintf(out, WG_SHOWN_SIZE, "all year");
}

/*
 * Returns the length in bytes of the longest prefix that fits and ends before a space after `indent`; the whole line if
 * there is none. Never breaks before a %.
 */
static size_t fitting_line_length(const char *line, size_t length, int columns, size_t indent) {
    size_t fits = 0;
    int at = 0;
    for (size_t i = 0; i < length; i++) {
        const bool is_kept_together = i + 1 < length && line[i + 1] == '%';
        if (line[i] == ' ' && i > indent && !is_kept_together && (at <= columns || fits == 0))
            fits = i;
        at += wg_utf8_starts(line[i]); /* columns are characters, not bytes */
    }
    return at <= columns || fits == 0 ? length : fits;
}

static void print_wrapped(FILE *to, int indent, const char *line, size_t length) {
    const size_t blank = strspn(line, " ");
    size_t n = fitting_line_length(line, length, COLUMNS, blank);
    (void)fprintf(to, "%.*s\n", (int)n, line);
    while (n < length) {
        line += n + 1;
        length -= n + 1;
        n = fitting_line_length(line, length, COLUMNS - indent, 0);
        (void)fprintf(to, "%*s%.*s\n", indent, "", (int)n, line);
    }
}

void wg_show_lines(FILE *to, int indent, const char *text) {
    while (*text != '\0') {
        const size_t length = strcspn(text, "\n");
        print_wrapped(to, indent, text, length);
        text += length;
        text += *text == '\n';
    }
}
