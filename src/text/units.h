/**
 * Units as people write them ("lb", "Btu/(h ft2 degF)", "per week") and how many
 * of one is another: one table (units.c) for everything that reads or shows a
 * quantity.
 *
 * Factors are ratios of whole numbers and powers of ten, and a number is taken as
 * its decimal digits stand, so a conversion is rounded once: 80.6 degF is 27 degC
 * to the last bit, and 3 lb is what 1.36077711 kg is. Any thread, any locale.
 */
#ifndef WG_TEXT_UNITS_H
#define WG_TEXT_UNITS_H

#include <stdbool.h>
#include <stdint.h>

/** A number as it was written: whole x 10^tens. */
struct wg_decimal {
    double whole;
    int tens;
};

/** The text behind its leading spaces and tabs. */
const char *wg_skip_blanks(const char *text);

/** What a unit is made of; money, animals and shares are plain numbers. */
enum wg_unit_base { WG_UNIT_METRE, WG_UNIT_KILOGRAM, WG_UNIT_SECOND, WG_UNIT_KELVIN, WG_UNIT_DEGREE, WG_UNIT_N_BASES };

/** One of it is up / down x 10^tens of m^.. kg^.. s^.. K^.. degree^.. */
struct wg_unit {
    signed char power[WG_UNIT_N_BASES];
    uint64_t up, down;
    int tens;
    bool has_zero;          /* a scale of temperature, alone */
    struct wg_decimal zero; /* ... which reads this where degC reads 0 */
};

#define WG_UNIT_MESSAGE 200
/** What wg_unit_read() gives. */
enum wg_unit_read {
    WG_UNIT_GOOD = 0,
    WG_UNIT_BAD = -1,   /* the message says what is wrong; empty: this is no unit at all */
    WG_UNIT_MEANT = -2, /* the message also says what was probably meant */
};
/** Reads a whole text; `number` is what was written before it, for the message. */
enum wg_unit_read wg_unit_read(const char *text, const char *number, struct wg_unit *unit,
                               char message[WG_UNIT_MESSAGE]);
/** Whether one can be converted to the other. */
bool wg_unit_is_alike(const struct wg_unit *a, const struct wg_unit *b);
/** `is_reading`: of a thermometer, where both have a zero; else a difference. The two units are alike. */
double wg_unit_convert(struct wg_decimal value, const struct wg_unit *from, const struct wg_unit *to, bool is_reading);
/** The same of two texts that are known to be good. */
double wg_units_convert(double value, const char *from, const char *to, bool is_reading);

/** The word for about the same in the other system (lb and kg, gal and L, ...), NULL: there is none. `length` bytes of `word` count. */
const char *wg_unit_other(const char *word, int length);
/** The words of the table in its order, NULL behind the last. */
const char *wg_unit_word(int i);

#endif
