/**
 * Quantities as people write them ("65 degF", "3 lb", "R-13", "80 %") and as the
 * model wants them (degC, kg, m2 K/W, a share of 1).
 *
 * No nan, inf, hexadecimal or arithmetic gets in. Units are those of units.h.
 */
#ifndef WG_TEXT_QUANTITY_H
#define WG_TEXT_QUANTITY_H

#include "base/error.h"

#include <stdbool.h>

/** What a quantity measures; the comment is the unit of its value. */
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
    WG_PRICE,            /* per kWh, in whatever money */
    WG_DAYS,             /* day */
    WG_HOURS,            /* h */
    WG_SHARE,            /* 1; must be written with a per cent sign */
    WG_PURE,             /* 1; a bare number or per cent */
    WG_COUNT,            /* individuals; a bare number will do */
    WG_NUMBER_RATE,      /* 1/day */
    WG_PER_YEAR,         /* 1/year; a bare number will do */
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
/** How to write one: "65 degF or 18.3 degC". */
const char *wg_dimension_example(enum wg_dimension dimension);
/** Whether a number without a unit will do. */
bool wg_dimension_is_bare(enum wg_dimension dimension);
/** The dimension of a unit as the table of the animal's numbers writes it ("1/day", "degC day"); -1 if none fits. */
int wg_dimension_of_unit(const char *unit);

#define WG_QUANTITY_MESSAGE 400

/**
 * Reads a whole text. 0 and *value; or -1 with *value untouched and in `message`
 * one or two sentences that say what is wrong and how to write it. `text` is
 * NUL-terminated, not NULL.
 */
int wg_quantity_read(const char *text, enum wg_dimension dimension, double *value, char message[WG_QUANTITY_MESSAGE]);

/**
 * A number at the start of a text: sign, digits, a decimal point, an exponent.
 * 0, *value and *rest (the first character after it); or -1 if none is there or
 * it is too large, nothing changed.
 */
int wg_number_read(const char *text, double *value, const char **rest);

/** The unit of the other system for a value of that dimension written in `unit`; NULL: there is none, or no unit is written. */
const char *wg_quantity_other_unit(enum wg_dimension dimension, const char *unit);

#define WG_QUANTITY_SHOWN_SIZE 80

/** In both unit systems, short: "18.3 degC (65 degF)", "150 L (39.6 gal)"; what has one unit only is shown once. */
void wg_quantity_show(enum wg_dimension dimension, double value, char out[WG_QUANTITY_SHOWN_SIZE]);

#endif
