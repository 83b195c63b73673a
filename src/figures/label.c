/*
 * What stands on an axis? Ticks are exact, with commas, in words from a million on.
 */
#include "figures/label.h"

#include <math.h>
#include <stdio.h>
#include <wintergrub/calendar.h>

static void raised_power(int power, char out[WG_LABEL]) {
    static const char *const raised[] = {"⁰", "¹", "²", "³", "⁴", "⁵", "⁶", "⁷", "⁸", "⁹"};
    (void)snprintf(out, WG_LABEL, "10%s%s", raised[power / 10 % 10], raised[power % 10]);
}

void wg_label_tick(double value, char out[WG_LABEL]) {
    const double size = fabs(value);
    if (size >= 1e15)
        raised_power((int)round(log10(size)), out);
    else if (size >= 1e6)
        wg_show_number(value, out);
    else if (value == round(value))
        wg_show_whole((int64_t)value, out);
    else
        (void)snprintf(out, WG_LABEL, "%.10g", value);
}

void wg_label_temperature(double celsius, char out[WG_LABEL]) {
    const double c = round(celsius), f = round(celsius * 1.8 + 32);
    (void)snprintf(out, WG_LABEL, "%.0f °C (%.0f °F)", c == 0 ? 0 : c, f == 0 ? 0 : f);
}

void wg_label_date(int32_t first_day, double day, char out[WG_LABEL]) {
    char date[24];
    wg_day_format_long(first_day + (int32_t)floor(day + 0.5), date);
    (void)snprintf(out, WG_LABEL, "%s", date);
}

const char *wg_label_noun(int n_days) {
    return n_days >= 360 && n_days <= 370 ? "years" : "futures";
}
