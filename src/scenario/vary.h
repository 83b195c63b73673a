/**
 * One number of a scenario's text, found by its path, and the text with another
 * number in its place. So whatever can be written in a scenario can be varied,
 * and every check of the reader applies to it.
 *
 * A path names keys from the top, parted by dots; in a list the item is its number
 * from 1 or its name: "starter.1.count", "places.hoop house.heater.set_point",
 * "places.hoop house.bins.trough.volume", "species.clutch.1".
 */
#ifndef WG_SCENARIO_VARY_H
#define WG_SCENARIO_VARY_H

#include "base/error.h"
#include "scenario/scenario.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct wg_vary {
    char path[160];
    size_t at, length; /* bytes of the text that are the number or date */
    double value;      /* as written, in the unit written; of a date its day number (calendar.h) */
    bool is_date;
    double step;        /* 1 where only whole numbers make sense (counts, dates, days of work), else 0 */
    char unit[48];      /* what stands behind the number: " degF", " lb/week", "" */
    char prefix[4];     /* what stands before it: "R-" of insulation, "" */
    bool is_measured;   /* dimension is known */
    int dimension;      /* by the row of its key (quantity.h) */
    bool is_difference; /* of temperatures: 4 degF are 2.22 degC */
};

/**
 * Finds what a path names in a text that is good YAML. WG_ERR_INPUT, with
 * err->where the path and the known keys in the text, if there is no such thing
 * or it is no single plain number with a unit, or date.
 */
int wg_vary_find(struct wg_vary *vary, const char *text, size_t size, const char *path, struct wg_error *err);
/** The text with another value in that place, malloc'ed and ended by a NUL that *new_size does not count; NULL: no memory. */
char *wg_vary_text(const struct wg_vary *vary, const char *text, size_t size, double value, size_t *new_size);
#define WG_VARY_SHOWN_SIZE 80
/** A value as it is written into the text: "12.5 degF", "2026-11-15". */
void wg_vary_show(const struct wg_vary *vary, double value, char out[WG_VARY_SHOWN_SIZE]);
/**
 * The value in the other unit system, where there is one: lb and kg, degF and degC, gal and L, ...; a rate keeps what
 * stands behind its slash. Writes the unit ("kg/day") and scale and shift: other = scale * value + shift. False: there
 * is none.
 */
bool wg_vary_other_unit(const struct wg_vary *vary, char unit[48], double *scale, double *shift);
/** To be read by people: "12.5 lb/day (5.67 kg/day)", "8,705", "15 November 2026"; the other unit where there is one. */
void wg_vary_show_both(const struct wg_vary *vary, double value, char out[2 * WG_VARY_SHOWN_SIZE]);
#define WG_VARY_LABEL 176
/** What the number is, in words: "number to start with", "hoop house: heater set point", "feeding 1: amount". */
void wg_vary_label(const struct wg_vary *vary, char out[WG_VARY_LABEL]);
/** Reads a value as a person writes it: in the unit of the number, in another of its kind, or without. 0 or -1. */
int wg_vary_read(const struct wg_vary *vary, const char *text, double *value);
/** The same of a width: of a date in days, of a temperature a difference. */
int wg_vary_read_width(const struct wg_vary *vary, const char *text, double *width);

#endif
