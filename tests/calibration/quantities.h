/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * What an animal's numbers say about the quantities of the findings, in closed form from the model's own laws.
 */
#ifndef WG_TESTS_CALIBRATION_QUANTITIES_H
#define WG_TESTS_CALIBRATION_QUANTITIES_H

#include "species/species.h"

/** Returns the number of the quantity of a finding, or -1. */
int quantity_find(const char *key);
/** Name of quantity i, NULL past the last. */
const char *quantity_key(int i);
/** Its value for an animal, in the unit of findings.tsv. */
double quantity_of(const struct wg_species *species, int i);

#endif
