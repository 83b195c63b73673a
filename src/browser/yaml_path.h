/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Finds the path of the value at a position of a plan, so that a form can show a mistake at its field.
 */
#ifndef WG_BROWSER_YAML_PATH_H
#define WG_BROWSER_YAML_PATH_H

#include <stddef.h>

#define WG_YAML_PATH 240

/**
 * Writes the path of the innermost key or value that begins at a line and column: "places.1.heater.set_point", items by
 * their number. "" if there is none, or the text is not YAML.
 */
void wg_yaml_path_at(const char *text, size_t size, int line, int column, char out[WG_YAML_PATH]);

#endif
