/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Which units a keeper writes in a plan, so that answers use the same.
 */
#ifndef WG_VARIANTS_WRITTEN_UNITS_H
#define WG_VARIANTS_WRITTEN_UNITS_H

#include <stdbool.h>

/** True if the text of a plan has more degF than degC, or as many of both and at least one. */
bool wg_writes_fahrenheit(const char *plan_text);
/** The same, or, in a plan without temperatures, more of lb, gal, ft and oz than of kg, g, L and m. */
bool wg_writes_us_units(const char *plan_text);

#endif
