/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Finds one number of a scenario's text by its path and replaces it in the text, so that any number of a scenario can
 * be varied and the reader checks each value.
 *
 * A path names keys from the top, separated by dots; an item of a list is named by its number from 1 or by its name:
 * "starter.1.count", "places.hoop house.heater.set_point", "places.hoop house.bins.trough.volume", "species.clutch.1".
 */
#ifndef WG_VARIANTS_VARY_H
#define WG_VARIANTS_VARY_H

#include "base/error.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#define WG_VARY_LABEL 176
#define WG_VARY_SHOWN_SIZE 80
#define WG_VARY_MAX_WORDS 32

struct wg_yaml_node; /* records/yaml.h */

struct wg_vary {
    char path[160];
    char subject[WG_VARY_LABEL]; /* what the number is: "larvae to start with", "set point of the heater in shed" */
    size_t at, length;           /* the bytes of the number or date in the text */
    double value;                /* in the unit written; for a date, its day number (calendar.h) */
    bool is_date;
    bool is_year_day;   /* a date without its year, 05-01; value is its day in 2001 */
    double step;        /* 1 if only whole numbers make sense (counts, dates, intervals), else 0 */
    char unit[48];      /* the text after the number: " degF", " lb/week", "" */
    char prefix[4];     /* the text before it: "R-" for insulation, "" */
    bool is_measured;   /* dimension is known */
    int dimension;      /* from the row of its key (quantity.h) */
    bool is_difference; /* a difference of temperatures: 4 degF are 2.22 degC */
    int n_words; /* not 0: the value is a word, as "screen" or "flies are about", and its number is that of a word */
    char word[WG_VARY_MAX_WORDS][WG_VARY_SHOWN_SIZE];
};

/**
 * Finds the value at a path in a valid YAML text. Returns WG_ERR_INPUT, with the path in err->where and the known keys
 * in the message, if the path does not exist or its value is not a single plain number or date.
 */
int wg_vary_find(struct wg_vary *vary, const char *text, size_t size, const char *path, struct wg_error *err);
/** Does so for words, too: of a choice of words, a feed or a condition. */
int wg_vary_find_any(struct wg_vary *vary, const char *text, size_t size, const char *path, struct wg_error *err);
/** Fills in the subject, from the path and the dimension, of a value that a reader has found. */
void wg_vary_name(struct wg_vary *vary, const struct wg_yaml_node *root);
/**
 * Words a path: the names in it without the lists that hold them, "shed: heater set point". Returns where the words after
 * the colon begin; 0 without a colon.
 */
size_t wg_vary_word_path(const char *path, char out[WG_VARY_LABEL]);
/**
 * Returns the text with another value, malloc'ed and NUL-terminated (*new_size excludes the NUL); NULL: out of memory.
 */
char *wg_vary_text(const struct wg_vary *vary, const char *text, size_t size, double value, size_t *new_size);
/** Writes a value as it appears in the text: "12.5 degF", "2026-11-15". */
void wg_vary_show(const struct wg_vary *vary, double value, char out[WG_VARY_SHOWN_SIZE]);
/**
 * Finds the unit of the other unit system: lb and kg, degF and degC, gal and L, ...; a rate keeps the part after its
 * slash. Writes the unit ("kg/day"), and scale and shift: other = scale * value + shift. Returns false if there is
 * none.
 */
bool wg_vary_other_unit(const struct wg_vary *vary, char unit[48], double *scale, double *shift);
/** Writes a value for people: "12 May 2027", "8,705"; other numbers keep four significant digits. */
void wg_vary_show_plain(const struct wg_vary *vary, double value, char out[WG_VARY_SHOWN_SIZE]);
/** Writes a value for people, with the other unit if there is one: "12.5 lb/day (5.67 kg/day)", "15 November 2026". */
void wg_vary_show_both(const struct wg_vary *vary, double value, char out[2 * WG_VARY_SHOWN_SIZE]);
/** Reads a value with the number's unit, another unit of its dimension, or no unit. Returns 0 or -1. */
int wg_vary_read(const struct wg_vary *vary, const char *text, double *value);
/** Does so where the value may be a word, which is kept in `vary`. */
int wg_vary_read_any(struct wg_vary *vary, const char *text, double *value);
/** Reads the width of an interval: days for a date, a difference for a temperature. Returns 0 or -1. */
int wg_vary_read_width(const struct wg_vary *vary, const char *text, double *width);

#endif
