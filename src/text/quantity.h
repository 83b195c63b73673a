/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Reads and formats quantities ("65 degF", "3 lb", "R-13", "80 %"); values are in the model's units (degC, kg, m2 K/W,
 * a share of 1).
 *
 * Rejects nan, inf, hexadecimal numbers and arithmetic. Units are those of units.h.
 */
#ifndef WG_TEXT_QUANTITY_H
#define WG_TEXT_QUANTITY_H

#include "base/error.h"

#include <stdbool.h>

/** The kind of quantity; the comment gives the unit of its value. */
enum wg_dimension {
    WG_TEMPERATURE,      /* degC */
    WG_TEMPERATURE_STEP, /* K: a difference, so 10 degF is 5.56 K */
    WG_MASS,             /* kg */
    WG_INSECT_MASS,      /* g */
    WG_MASS_RATE,        /* kg/day */
    WG_VOLUME,           /* m3 */
    WG_SPACE,            /* m3: of a room, shown in m3 and ft3 */
    WG_LENGTH,           /* m */
    WG_HEIGHT,           /* m: shown in m and ft whatever its size */
    WG_AREA,             /* m2 */
    WG_POWER,            /* W */
    WG_U_VALUE,          /* W/(m2 K) */
    WG_R_VALUE,          /* m2 K/W; "R-13" is 13 h ft2 degF/Btu */
    WG_CONDUCTANCE,      /* W/K */
    WG_HEAT_CAPACITY,    /* J/K */
    WG_PRICE,            /* per kWh, in the plan's currency */
    WG_PRICE_OF_MASS,    /* per kg, as all prices */
    WG_PRICE_OF_ANIMALS, /* per animal */
    WG_PRICE_OF_FOAM,    /* per m2 and R (h ft2 degF/Btu) */
    WG_DAYS,             /* day */
    WG_HOURS,            /* h */
    WG_YEARS,            /* year */
    WG_SHARE,            /* 1; the percent sign is required */
    WG_PURE,             /* 1; a bare number or a percentage */
    WG_COUNT,            /* individuals; a bare number is valid */
    WG_NUMBER_RATE,      /* 1/day */
    WG_PER_YEAR,         /* 1/year; a bare number is valid */
    WG_PER_HOUR,         /* 1/h: air changes */
    WG_PER_KELVIN,       /* 1/K */
    WG_ANGLE,            /* degree */
    WG_LIGHT,            /* W/m2 */
    WG_HEAT_PER_MASS,    /* J/kg */
    WG_DEGREE_DAYS,      /* degC day */
    WG_N_DIMENSIONS
};
/** "a temperature", "a weight", ... */
const char *wg_dimension_name(enum wg_dimension dimension);
/** Returns an example: "65 degF or 18.3 degC". */
const char *wg_dimension_example(enum wg_dimension dimension);
/** Returns true for prices, which may name a currency. */
bool wg_dimension_is_price(enum wg_dimension dimension);
/** Returns true if a number may stand without a unit. */
bool wg_dimension_is_bare(enum wg_dimension dimension);
/** Returns the dimension of a unit as the species table writes it ("1/day", "degC day"); -1 if none fits. */
int wg_dimension_of_unit(const char *unit);

#define WG_QUANTITY_MESSAGE 400

/**
 * Parses the whole of a NUL-terminated text. Returns 0 and sets *value; or returns -1, leaves *value unchanged and sets
 * `message` to one or two sentences on what is wrong and how to write it.
 */
int wg_quantity_read(const char *text, enum wg_dimension dimension, double *value, char message[WG_QUANTITY_MESSAGE]);

/**
 * Parses a number at the start of a text: sign, digits, decimal point, exponent. Returns 0, *value and
 * *rest (the first character after it); or -1 if there is no number or it is too large, without changes.
 */
int wg_number_read(const char *text, double *value, const char **rest);

/** Returns the other system's unit for a value of that dimension written in `unit`; NULL if there is none, or no unit. */
const char *wg_quantity_other_unit(enum wg_dimension dimension, const char *unit);

#define WG_QUANTITY_SHOWN_SIZE 80

/** Formats a value in both unit systems: "18.3 degC (65 degF)", "150 L (39.6 gal)"; once if it has only one unit. */
void wg_quantity_show(enum wg_dimension dimension, double value, char out[WG_QUANTITY_SHOWN_SIZE]);

#endif
