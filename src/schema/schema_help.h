/**
 * The schema and the model's numbers as text for people. Lines may be longer than a terminal is wide: wg_show_lines().
 */
#ifndef WG_SCHEMA_SCHEMA_HELP_H
#define WG_SCHEMA_SCHEMA_HELP_H

#include "schema/schema.h"

#include <stdio.h>

/** All groups with the names of their keys. */
void wg_schema_print_groups(FILE *to);
/** Everything about the keys or the group of that name, "power" or "heater.power"; how many keys it found. */
int wg_schema_print_key(FILE *to, const char *name);
/** All groups, keys and model numbers as Markdown. */
void wg_schema_print_markdown(FILE *to);
/** The model's numbers whose name or meaning holds a word, NULL for all of them, one line each; how many. */
int wg_numbers_print(FILE *to, const char *word);
/** The key, group, or model number that was probably meant; NULL: none is near. */
const char *wg_schema_nearest(const char *name);
const char *wg_numbers_nearest(const char *word);

#endif
