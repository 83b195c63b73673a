/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Formats labels of axes and lines.
 */
#include "drawing/label.h"

#include "base/calendar.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static void format_power_of_ten(int power, char out[WG_LABEL_SIZE]) {
    static const char *const superscript_digits[] = {"⁰", "¹", "²", "³", "⁴", "⁵", "⁶", "⁷", "⁸", "⁹"};
    (void)snprintf(out, WG_LABEL_SIZE, "10%s%s", superscript_digits[power / 10 % 10], superscript_digits[power % 10]);
}

/* "2×10¹⁷": ticks are 1, 2 or 5 times a power of ten, or sums of those. */
static void format_large_tick(double value, char out[WG_LABEL_SIZE]) {
    char power_of_ten[WG_LABEL_SIZE];
    const int power = (int)floor(log10(fabs(value)) + 1e-9);
    const double times = value / pow(10, power);
    format_power_of_ten(power, power_of_ten);
    if (fabs(times - 1) < 1e-6)
        (void)snprintf(out, WG_LABEL_SIZE, "%s", power_of_ten);
    else
        (void)snprintf(out, WG_LABEL_SIZE, "%.3g×%.40s", times, power_of_ten);
}

void wg_label_tick(double value, char out[WG_LABEL_SIZE]) {
    const double size = fabs(value);
    if (size >= 1e15)
        format_large_tick(value, out);
    else if (size >= 1e6)
        wg_show_number(value, out);
    else if (value == round(value))
        wg_show_whole((int64_t)value, out);
    else
        (void)snprintf(out, WG_LABEL_SIZE, "%.10g", value);
}

void wg_label_temperature(double celsius, char out[WG_LABEL_SIZE]) {
    const double c = round(celsius), f = round(wg_units_convert(celsius, "degC", "degF", true));
    (void)snprintf(out, WG_LABEL_SIZE, "%.0f °C (%.0f °F)", c == 0 ? 0 : c, f == 0 ? 0 : f);
}

void wg_label_date(int32_t first_day, double day, char out[WG_LABEL_SIZE]) {
    char date[24];
    wg_day_format_long(first_day + (int32_t)floor(day + 0.5), date);
    (void)snprintf(out, WG_LABEL_SIZE, "%s", date);
}

void wg_label_dates(int32_t first_day, double from, double to, char out[WG_LABEL_SIZE]) {
    char low[WG_LABEL_SIZE], high[WG_LABEL_SIZE];
    wg_label_date(first_day, from, low);
    wg_label_date(first_day, to, high);
    char *const low_year = strrchr(low, ' '), *const high_year = strrchr(high, ' ');
    if (strcmp(low, high) == 0)
        (void)snprintf(out, WG_LABEL_SIZE, "%s", high);
    else if (strcmp(low_year, high_year) == 0)
        (void)snprintf(out, WG_LABEL_SIZE, "%.*s to %.40s", (int)(low_year - low), low, high);
    else
        (void)snprintf(out, WG_LABEL_SIZE, "%.40s to %.40s", low, high);
}

void wg_label_futures(int64_t n, int n_days, char out[WG_LABEL_SIZE]) {
    char number[WG_LABEL_SIZE];
    const char *const noun = wg_label_noun(n_days);
    wg_show_whole(n, number);
    (void)snprintf(out, WG_LABEL_SIZE, "%.40s possible %.*s", number, (int)strlen(noun) - (n == 1), noun);
}

void wg_label_median(int64_t n, int n_days, char out[WG_LABEL_SIZE]) {
    char futures[WG_LABEL_SIZE];
    wg_label_futures(n, n_days, futures);
    if (n == 1)
        (void)snprintf(out, WG_LABEL_SIZE, "the one%.60s", strchr(futures, ' '));
    else
        (void)snprintf(out, WG_LABEL_SIZE, "median of %.60s", futures);
}

const char *wg_label_noun(int n_days) {
    return n_days >= 360 && n_days <= 370 ? "years" : "futures";
}
