/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Parses units ("lb", "Btu/(h ft2 degF)", "per week") and converts between them, by one table (units.c).
 *
 * Factors are ratios of integers and powers of ten, and a number keeps its decimal digits, so a conversion rounds once:
 * 80.6 degF equals 27 degC to the last bit, and 3 lb equals 1.36077711 kg. Any thread, any locale.
 */
#ifndef WG_TEXT_UNITS_H
#define WG_TEXT_UNITS_H

#include <stdbool.h>
#include <stdint.h>

/** A decimal number: whole x 10^tens. */
struct wg_decimal {
    double whole;
    int tens;
};

/** Returns the text behind its leading spaces and tabs. */
const char *wg_skip_blanks(const char *text);

/** The base units; money, animals and shares are plain numbers. */
enum wg_unit_base { WG_UNIT_METRE, WG_UNIT_KILOGRAM, WG_UNIT_SECOND, WG_UNIT_KELVIN, WG_UNIT_DEGREE, WG_UNIT_N_BASES };

/** A unit of up / down x 10^tens m^.. kg^.. s^.. K^.. degree^.. */
struct wg_unit {
    signed char power[WG_UNIT_N_BASES];
    uint64_t up, down;
    int tens;
    bool has_zero;          /* a temperature scale, alone */
    struct wg_decimal zero; /* its reading at 0 degC */
};

#define WG_UNIT_MESSAGE 200
/** The result of wg_unit_read(). */
enum wg_unit_read {
    WG_UNIT_GOOD = 0,
    WG_UNIT_BAD = -1,   /* the message says what is wrong; empty: not a unit */
    WG_UNIT_MEANT = -2, /* the message suggests the intended unit */
};
/** Parses the whole of `text`; `number` is the text before it, for the message. */
enum wg_unit_read wg_unit_read(const char *text, const char *number, struct wg_unit *unit,
                               char message[WG_UNIT_MESSAGE]);
/** True if the two have the same dimension. */
bool wg_unit_is_alike(const struct wg_unit *a, const struct wg_unit *b);
/** Converts between units of the same dimension. `is_reading`: a thermometer reading, else a difference. */
double wg_unit_convert(struct wg_decimal value, const struct wg_unit *from, const struct wg_unit *to, bool is_reading);
/** The same for two unit texts, which must be valid. */
double wg_units_convert(double value, const char *from, const char *to, bool is_reading);

/** Returns the counterpart of a unit in the other system (lb and kg, gal and L, ...), or NULL. Reads `length` bytes. */
const char *wg_unit_other(const char *word, int length);
/** Returns word i of the table, NULL after the last. */
const char *wg_unit_word(int i);

#endif
