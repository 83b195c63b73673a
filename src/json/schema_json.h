/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The schema of a scenario as JSON Schema (draft 2020-12), for editors.
 */
#ifndef WG_JSON_SCHEMA_JSON_H
#define WG_JSON_SCHEMA_JSON_H

#include "base/error.h"

#include <stdio.h>

/** Prints the schema. Returns 0 or WG_ERR_MEMORY; a failed write is left in the stream (ferror). */
int wg_schema_print_json(FILE *to, struct wg_error *err);

#endif
