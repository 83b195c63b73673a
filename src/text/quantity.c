/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads and formats quantities such as "3 lbs" or "1.2 Btu/(h ft2 degF)": a number and a unit of the table in units.c.
 */
#include "text/quantity.h"

#include "text/money.h"

#include "text/show.h"
#include "text/units.h"

#include <ctype.h>
#include <math.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- the dimensions ---- */

struct dimension {
    const char *name, *core, *example;
    bool bare;               /* a number without a unit is valid */
    const char *metric, *us; /* units of output; us NULL: metric only */
};

static const struct dimension dimensions[WG_N_DIMENSIONS] = {
    [WG_TEMPERATURE] = {"a temperature", "degC", "65 degF or 18.3 degC", false, "degC", "degF"},
    [WG_TEMPERATURE_STEP] = {"a temperature difference", "K", "5 degF or 3 degC", false, "degC", "degF"},
    [WG_MASS] = {"a weight", "kg", "3 lb or 1.4 kg", false, "kg", "lb"},
    [WG_INSECT_MASS] = {"a weight", "g", "0.2 g", false, "g", NULL},
    [WG_MASS_RATE] = {"a weight per time", "kg/day", "12 lb/week", false, "kg/day", "lb/day"},
    [WG_VOLUME] = {"a volume", "m3", "150 L or 40 gal", false, "L", "gal"},
    [WG_SPACE] = {"a volume", "m3", "28 m3 or 1000 ft3", false, "m3", "ft3"},
    [WG_LENGTH] = {"a length", "m", "25 mm or 1 in", false, "mm", "in"},
    [WG_HEIGHT] = {"a height", "m", "60 m or 200 ft", false, "m", "ft"},
    [WG_AREA] = {"an area", "m2", "18 m2 or 200 ft2", false, "m2", "ft2"},
    [WG_POWER] = {"a heating power", "W", "1500 W, 5 kW or 17000 Btu/h", false, "W", "Btu/h"},
    [WG_U_VALUE] = {"a U value", "W/(m2 K)", "4 W/(m2 K) or 0.7 Btu/(h ft2 degF)", false, "W/(m2 K)",
                    "Btu/(h ft2 degF)"},
    [WG_R_VALUE] = {"an R value", "m2 K/W", "R-13 or 2.3 m2 K/W", false, "m2 K/W", "h ft2 degF/Btu"},
    [WG_CONDUCTANCE] = {"a heat flow per degree", "W/K", "90 W/K", false, "W/K", NULL},
    [WG_HEAT_CAPACITY] = {"a heat capacity", "J/K", "5 MJ/K", false, "MJ/K", NULL},
    [WG_PRICE] = {"a price of energy", "per kWh", "0.15 per kWh", false, "per kWh", NULL},
    [WG_PRICE_OF_MASS] = {"a price per weight", "per kg", "0.20 per kg or 0.09 per lb", false, "per kg", "per lb"},
    [WG_PRICE_OF_ANIMALS] = {"a price of animals", "times", "2 per 1000", false, "per 1000", NULL},
    [WG_PRICE_OF_FOAM] = {"a price of insulation", "per m2 and R", "0.90 per m2 and R", false, "per m2 and R",
                          "per ft2 and R"},
    [WG_DAYS] = {"a time", "day", "3 days", false, "days", NULL},
    [WG_HOURS] = {"a time", "hour", "12 hours", false, "hours", NULL},
    [WG_YEARS] = {"a number of years", "year", "10 years", false, "years", NULL},
    [WG_SHARE] = {"a share", "times", "80 %", false, "%", NULL},
    [WG_PURE] = {"a plain number", "times", "0.25 or 25 %", true, "", NULL},
    [WG_COUNT] = {"a number of animals", "times", "10000", true, "", NULL},
    [WG_NUMBER_RATE] = {"a number per day", "per day", "3 per day", false, "per day", NULL},
    [WG_PER_YEAR] = {"a number per year", "per year", "2 or 2 per year", true, "per year", NULL},
    [WG_PER_HOUR] = {"a number of air changes", "per hour", "1.5 per hour", false, "per hour", NULL},
    [WG_PER_KELVIN] = {"a number per degree", "per K", "0.02 per degC", false, "per degC", NULL},
    [WG_ANGLE] = {"an angle", "degrees", "32.4 degrees", false, "degrees", NULL},
    [WG_LIGHT] = {"a strength of light", "W/m2", "100 W/m2", false, "W/m2", NULL},
    [WG_HEAT_PER_MASS] = {"a heat per weight", "J/kg", "4.2 MJ/kg", false, "MJ/kg", NULL},
    [WG_DEGREE_DAYS] = {"a heat sum", "K day", "80 degC day", false, "degC day", "degF day"},
};

const char *wg_dimension_name(enum wg_dimension dimension) {
    return dimensions[dimension].name;
}

const char *wg_dimension_example(enum wg_dimension dimension) {
    return dimensions[dimension].example;
}

bool wg_dimension_is_price(enum wg_dimension dimension) {
    return dimension >= WG_PRICE && dimension <= WG_PRICE_OF_FOAM;
}

bool wg_dimension_is_bare(enum wg_dimension dimension) {
    return dimensions[dimension].bare;
}

/* A unit with a factor other than a power of ten is a US unit. */
const char *wg_quantity_other_unit(enum wg_dimension dimension, const char *unit) {
    const struct dimension *const d = &dimensions[dimension];
    struct wg_unit read;
    char message[WG_UNIT_MESSAGE];
    if (d->us == NULL)
        return NULL;
    if (dimension == WG_R_VALUE && *unit == '\0') /* R-13 */
        return d->metric;
    if (wg_unit_read(unit, "", &read, message) != WG_UNIT_GOOD)
        return NULL;
    return read.up == 1 && read.down == 1 ? d->us : d->metric;
}

int wg_dimension_of_unit(const char *unit) {
    static const struct {
        const char *unit;
        enum wg_dimension dimension;
    } table[] = {
        {"degC", WG_TEMPERATURE},
        {"K", WG_TEMPERATURE_STEP},
        {"day", WG_DAYS},
        {"1/day", WG_NUMBER_RATE},
        {"1", WG_PURE},
        {"g", WG_INSECT_MASS},
        {"1/K", WG_PER_KELVIN},
        {"W/m2", WG_LIGHT},
        {"h", WG_HOURS},
        {"J/kg", WG_HEAT_PER_MASS},
        {"degC day", WG_DEGREE_DAYS},
        {"eggs", WG_COUNT},
    };
    for (size_t i = 0; i < sizeof table / sizeof *table; i++)
        if (strcmp(table[i].unit, unit) == 0)
            return (int)table[i].dimension;
    return -1;
}

/* ---- numbers ---- */

static const char *skip_digits(const char *p) {
    while (isdigit((unsigned char)*p))
        p++;
    return p;
}

/* Digits and powers of ten that a double holds exactly. */
#define EXACT_DIGITS 15
#define EXACT_TENS 22

/* Returns 80.6 as 806 x 10^-1 if a double holds the digits exactly, else the value itself. */
static struct wg_decimal decimal_of(const char *digits, double value) {
    struct wg_decimal d = {0, 0};
    int n = 0;
    bool is_fraction = false;
    const char *p = digits;
    for (; isdigit((unsigned char)*p) || *p == '.'; p++) {
        is_fraction |= *p == '.';
        if (*p == '.')
            continue;
        n += n > 0 || *p != '0';
        d.whole = 10 * d.whole + (*p - '0');
        d.tens -= is_fraction;
    }
    const long exponent = *p == '\0' ? 0 : strtol(p + 1, NULL, 10);
    if (n > EXACT_DIGITS || exponent > EXACT_TENS || exponent < -EXACT_TENS || d.tens + exponent > EXACT_TENS ||
        d.tens + exponent < -EXACT_TENS)
        return (struct wg_decimal){value, 0};
    d.tens += (int)exponent;
    return d;
}

static int read_number(const char *text, double *value, struct wg_decimal *decimal, const char **rest) {
    char digits[64];
    static const char minus[] = "\xE2\x88\x92"; /* U+2212 MINUS SIGN */
    const bool is_unicode_minus = strncmp(text, minus, 3) == 0;
    const char *const start = is_unicode_minus ? text + 3 : text + (*text == '-' || *text == '+');
    const char *p = skip_digits(start);
    size_t n = (size_t)(p - start);
    if (*p == '.') {
        const char *const fraction = p + 1;
        p = skip_digits(fraction);
        n += (size_t)(p - fraction);
    }
    if (n == 0)
        return -1;
    if (*p == 'e' || *p == 'E') {
        const char *const exponent = p + 1 + (p[1] == '-' || p[1] == '+');
        if (isdigit((unsigned char)*exponent))
            p = skip_digits(exponent);
    }
    if ((size_t)(p - start) >= sizeof digits)
        return -1;
    memcpy(digits, start, (size_t)(p - start));
    digits[p - start] = '\0';
    const double size = strtod(digits, NULL); /* gets only digits, point and exponent */
    if (!isfinite(size))
        return -1;
    const double sign = is_unicode_minus || *text == '-' ? -1 : 1;
    *value = sign * size;
    *decimal = decimal_of(digits, size);
    decimal->whole *= sign;
    *rest = p;
    return 0;
}

int wg_number_read(const char *text, double *value, const char **rest) {
    struct wg_decimal decimal;
    return read_number(text, value, &decimal, rest);
}

/* ---- formatting ---- */

/* Converts to a unit; "" leaves the plain number. */
static double in_unit(const struct dimension *d, const char *unit, double value) {
    return unit[0] == '\0' ? value : wg_units_convert(value, d->core, unit, d == &dimensions[WG_TEMPERATURE]);
}

static void show_in(const struct dimension *d, const char *unit, double value, char out[WG_QUANTITY_SHOWN_SIZE]) {
    char number[WG_SHOWN_SIZE];
    wg_show_plain(in_unit(d, unit, value), number);
    const size_t length = strlen(unit);
    const bool one_day = strcmp(number, "1") == 0 && length > 0 && unit[length - 1] == 's';
    (void)snprintf(out, WG_QUANTITY_SHOWN_SIZE, "%.30s%s%.*s", number, length > 0 ? " " : "",
                   (int)(one_day ? length - 1 : length), unit);
}

void wg_quantity_show(enum wg_dimension dimension, double value, char out[WG_QUANTITY_SHOWN_SIZE]) {
    const struct dimension *const d = &dimensions[dimension];
    char metric[WG_QUANTITY_SHOWN_SIZE], us[WG_QUANTITY_SHOWN_SIZE];
    show_in(d, d->metric, value, metric);
    if (d->us != NULL)
        show_in(d, d->us, value, us);
    (void)snprintf(out, WG_QUANTITY_SHOWN_SIZE, d->us != NULL ? "%.36s (%.36s)" : "%.36s", metric, us);
}

/* ---- reading ---- */

static int fail_quantity(char *message, const char *format, ...) __attribute__((format(printf, 2, 3)));
static int fail_quantity(char *message, const char *format, ...) {
    va_list args;
    va_start(args, format);
    (void)vsnprintf(message, WG_QUANTITY_MESSAGE, format, args);
    va_end(args);
    return -1;
}

/* "R-13", "R 13", "R13": the label of US insulation, h ft2 degF/Btu. */
static bool read_printed_r(const char *text, double *value) {
    if (*text != 'R' && *text != 'r')
        return false;
    const char *p = wg_skip_blanks(text + 1);
    p = wg_skip_blanks(p + (*p == '-'));
    double number;
    const char *rest;
    if (!isdigit((unsigned char)*p) || wg_number_read(p, &number, &rest) < 0 || *wg_skip_blanks(rest) != '\0')
        return false;
    const double converted = wg_units_convert(number, "h ft2 degF/Btu", dimensions[WG_R_VALUE].core, false);
    if (!isfinite(converted))
        return false;
    *value = converted;
    return true;
}

static int no_number(const char *text, enum wg_dimension dimension, char *message) {
    const char *const example = dimensions[dimension].example;
    if (*text == '\0')
        return fail_quantity(message, "Nothing is written here; %s is needed, for example %s.",
                             dimensions[dimension].name, example);
    if (isdigit((unsigned char)text[*text == '-' || *text == '+']))
        return fail_quantity(message, "\"%.40s\" is too large.", text);
    return fail_quantity(message, "\"%.60s\" is not %s: write for example %s.", text, dimensions[dimension].name,
                         example);
}

/* Rejects numbers with a comma, a fraction, a range or the like. */
static int bad_number(const char *text, const char *rest, enum wg_dimension dimension, char *message) {
    const char *const example = dimensions[dimension].example;
    if (*rest == ',')
        return fail_quantity(
            message,
            "There is a comma in \"%.40s\": write the number without it (10000), with a point for decimals (0.5).",
            text);
    if (*rest == '/' && isdigit((unsigned char)rest[1]))
        return fail_quantity(message, "\"%.40s\" is a fraction: write it with a decimal point, 0.5 for a half.", text);
    if (*rest == '-' && isdigit((unsigned char)rest[1]))
        return fail_quantity(message, "\"%.40s\" is a range, but one value is needed: write for example %s.", text,
                             example);
    if (isdigit((unsigned char)*rest) || *rest == '.' || *rest == '_' || *rest == '\'')
        return fail_quantity(message, "\"%.40s\" is not a plain number: write for example %s.", text, example);
    return 0;
}

static int fail_without_unit(const char *text, double number, enum wg_dimension dimension, char *message) {
    char shown[WG_SHOWN_SIZE];
    if (dimension != WG_SHARE)
        return fail_quantity(message, "\"%.40s\" needs a unit: write for example %s.", text,
                             dimensions[dimension].example);
    wg_show_plain(number > 0 && number <= 1 ? 100 * number : number, shown);
    return fail_quantity(message, "\"%.40s\" is not a share: write it per cent, %s %%.", text, shown);
}

/* A thermometer reading needs a temperature scale; a difference takes any unit of temperature. */
static int convert(const struct wg_unit *unit, enum wg_dimension dimension, struct wg_decimal number, double *value) {
    struct wg_unit core;
    char message[WG_UNIT_MESSAGE];
    const bool is_reading = dimension == WG_TEMPERATURE;
    const enum wg_unit_read read = wg_unit_read(dimensions[dimension].core, "", &core, message);
    wg_assert(read == WG_UNIT_GOOD);
    if (!wg_unit_is_alike(unit, &core) || (is_reading && !unit->has_zero))
        return -1;
    const double converted = wg_unit_convert(number, unit, &core, is_reading);
    if (!isfinite(converted))
        return -1;
    *value = converted;
    return 0;
}

static int read_quantity_unit(const char *text, const char *unit_text, const char *digits, const char *rest,
                              struct wg_unit *unit, enum wg_dimension dimension, char *message) {
    const struct dimension *const d = &dimensions[dimension];
    char number[64], reason[WG_UNIT_MESSAGE];
    const char *const to = strstr(text, " to ");
    if (to != NULL && isdigit((unsigned char)to[4 + (to[4] == '-')]))
        return fail_quantity(message,
                             "\"%.40s\" is a range, but one value is needed. To have several tried by cheapest, write "
                             "{now: 70 degF, try: 40 to 80 degF by 5}.",
                             text);
    (void)snprintf(number, sizeof number, "%.*s", (int)(rest - digits), digits);
    switch (wg_unit_read(unit_text, number, unit, reason)) {
    case WG_UNIT_GOOD:
        return 0;
    case WG_UNIT_MEANT:
        return fail_quantity(message, "%s", reason);
    case WG_UNIT_BAD:
        break;
    }
    if (reason[0] != '\0')
        return fail_quantity(message, "%s Write for example %s.", reason, d->example);
    return fail_quantity(message, "\"%.40s\" is not %s: write for example %s.", text, d->name, d->example);
}

int wg_quantity_read(const char *text, enum wg_dimension dimension, double *value, char message[WG_QUANTITY_MESSAGE]) {
    const struct dimension *const d = &dimensions[dimension];
    text = wg_skip_blanks(text);
    if (dimension == WG_R_VALUE && read_printed_r(text, value))
        return 0;
    const char *const digits = wg_dimension_is_price(dimension) ? text + wg_money_prefix(text) : text;
    double number;
    struct wg_decimal decimal;
    const char *rest;
    if (read_number(digits, &number, &decimal, &rest) < 0)
        return no_number(text, dimension, message);
    if (bad_number(text, rest, dimension, message) < 0)
        return -1;
    const char *unit_text = wg_skip_blanks(rest);
    if (*unit_text == '\0') {
        if (!d->bare)
            return fail_without_unit(text, number, dimension, message);
        *value = number;
        return 0;
    }
    if (unit_text != rest && unit_text[0] == '1' && unit_text[1] == '/') /* "0.06 1/day" is 0.06 per day */
        unit_text++;
    struct wg_unit unit;
    if (read_quantity_unit(text, unit_text, digits, rest, &unit, dimension, message) < 0)
        return -1;
    const bool lacks_per =
        dimension == WG_PRICE_OF_ANIMALS && strstr(unit_text, "per") == NULL && strchr(unit_text, '/') == NULL;
    if (lacks_per || convert(&unit, dimension, decimal, value) < 0)
        return fail_quantity(message, "\"%.40s\" is not %s: write for example %s.", text, d->name, d->example);
    return 0;
}
