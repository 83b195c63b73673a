/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/** Declares the table of all keys. */
#ifndef WG_SCHEMA_SCHEMA_TABLE_H
#define WG_SCHEMA_SCHEMA_TABLE_H

#include "schema/schema.h"

extern const struct wg_group wg_schema_groups[WG_N_GROUPS];

#endif
