/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Prints the schema and the model's numbers as help and for manual pages. Lines of help are not wrapped; wg_show_lines() does that.
 */
#ifndef WG_SCHEMA_SCHEMA_HELP_H
#define WG_SCHEMA_SCHEMA_HELP_H

#include "schema/schema.h"

#include <stdio.h>

/** Prints all groups with the names of their keys. */
void wg_schema_print_groups(FILE *to);
/** Prints everything about the keys or the group of that name ("power", "heater.power"); returns how many it found. */
int wg_schema_print_key(FILE *to, const char *name);
/** Prints all groups, keys and model numbers as Markdown. */
void wg_schema_print_markdown(FILE *to);
/** Prints all groups and keys, or all model numbers, in the macros of man(7). */
void wg_schema_print_manual(FILE *to);
void wg_numbers_print_manual(FILE *to);
/** Prints the model's numbers whose name or meaning contains a word (NULL: all, one line each); returns how many. */
int wg_numbers_print(FILE *to, const char *word);
/** Returns the key, group or model number that was probably meant; NULL if none is similar. */
const char *wg_schema_nearest(const char *name);
const char *wg_numbers_nearest(const char *word);

#endif
