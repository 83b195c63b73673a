/*
 * How is a number written so that the back row can read it? Short, with commas,
 * and in words from a million on.
 */
#include "figures/label.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>
#include <wintergrub/calendar.h>

#define KG_PER_LB 0.45359237 /* international yard and pound agreement, 1959 */
#define OZ_PER_LB 16.0
#define SMALL_KG 0.1 /* below, grams and ounces */

/* Commas between thousands. */
static void group(const char *plain, char out[WG_LABEL]) {
    const size_t sign = *plain == '-', digits = strspn(plain + sign, "0123456789");
    size_t n = 0;
    for (size_t i = 0; plain[i] != '\0' && n + 2 < WG_LABEL; i++) {
        if (i > sign && i < sign + digits && (sign + digits - i) % 3 == 0)
            out[n++] = ',';
        out[n++] = plain[i];
    }
    out[n] = '\0';
}

/* Less than a thousandth is nothing; noughts behind the point go. */
static void three_figures(double value, char out[WG_LABEL]) {
    char plain[64];
    const double size = fabs(value), step = size >= 999.5 ? pow(10, floor(log10(size)) - 2) : 1;
    const int places = size >= 99.95 ? 0 : size >= 9.995 ? 1 : size >= 0.0995 ? 2 : 3;
    (void)snprintf(plain, sizeof plain, "%.*f", places, size >= 999.5 ? round(value / step) * step : value);
    if (places > 0) {
        char *end = plain + strlen(plain);
        while (end[-1] == '0')
            *--end = '\0';
        if (end[-1] == '.')
            end[-1] = '\0';
    }
    group(strcmp(plain, "-0") == 0 ? "0" : plain, out);
}

void wg_label_number(double value, char out[WG_LABEL]) {
    static const char *const word[] = {"", " million", " billion", " trillion"};
    const double size = fabs(value);
    int steps = 0;
    double unit = 1;
    for (double from = 999500; steps < 3 && size >= from; from *= 1000)
        unit = ++steps == 1 ? 1e6 : unit * 1000;
    if (isnan(value)) {
        (void)snprintf(out, WG_LABEL, "-");
    } else if (size >= 9.995e14) {
        const int power = (int)floor(log10(size) + 0.0022); /* 9.95 is 10 */
        (void)snprintf(out, WG_LABEL, "%.1f x 10^%d", value / pow(10, power), power);
    } else {
        three_figures(value / unit, out);
        (void)strncat(out, word[steps], WG_LABEL - strlen(out) - 1);
    }
}

static void raised_power(int power, char out[WG_LABEL]) {
    static const char *const raised[] = {"⁰", "¹", "²", "³", "⁴", "⁵", "⁶", "⁷", "⁸", "⁹"};
    (void)snprintf(out, WG_LABEL, "10%s%s", raised[power / 10 % 10], raised[power % 10]);
}

void wg_label_tick(double value, char out[WG_LABEL]) {
    char plain[64];
    const double size = fabs(value);
    if (size >= 1e15) {
        raised_power((int)round(log10(size)), out);
    } else if (size >= 1e6) {
        wg_label_number(value, out);
    } else {
        (void)snprintf(plain, sizeof plain, "%.10g", value == 0 ? 0 : value);
        group(plain, out);
    }
}

void wg_label_mass(double kg, char out[WG_LABEL]) {
    const bool is_small = kg < SMALL_KG;
    char shown[WG_LABEL], pounds[WG_LABEL];
    wg_label_number(is_small ? kg * 1000 : kg, shown);
    wg_label_number(kg / KG_PER_LB * (is_small ? OZ_PER_LB : 1), pounds);
    (void)snprintf(out, WG_LABEL, is_small ? "%.36s g (%.36s oz)" : "%.36s kg (%.36s lb)", shown, pounds);
}

void wg_label_mass_range(double low_kg, double high_kg, char out[WG_LABEL]) {
    char text[4][WG_LABEL];
    const bool is_small = high_kg < SMALL_KG;
    const double metric = is_small ? 1000 : 1, other = (is_small ? OZ_PER_LB : 1) / KG_PER_LB;
    wg_label_number(low_kg * metric, text[0]);
    wg_label_number(high_kg * metric, text[1]);
    wg_label_number(low_kg * other, text[2]);
    wg_label_number(high_kg * other, text[3]);
    (void)snprintf(out, WG_LABEL,
                   is_small ? "%.18s to %.18s g (%.18s to %.18s oz)" : "%.18s to %.18s kg (%.18s to %.18s lb)", text[0],
                   text[1], text[2], text[3]);
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
