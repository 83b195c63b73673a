/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Opens what usually decides about a winter, in a plan that leaves nothing open itself: the set point, a warm-up in spring
 * and the lamps of the first heated place.
 */
#ifndef WG_VARIANTS_USUAL_OPENINGS_H
#define WG_VARIANTS_USUAL_OPENINGS_H

#include "records/yaml.h"
#include "text/bytes.h"

#include <stdbool.h>
#include <stdint.h>

/** What the caller knows of the plan. */
struct wg_usual {
    int32_t first_day, last_day;
    bool is_south; /* seasons are half a year later */
    bool is_dear;  /* years take long: open every second value, for less than a third of the plans */
};

enum wg_usual_part { WG_USUAL_SET_POINT = 1, WG_USUAL_WARM_UP = 2, WG_USUAL_LAMPS = 4, WG_USUAL_FEWER = 8 };

/**
 * Writes the text of the plan with openings in it. `text` is that of a plan without mistakes and openings. *opened is what was
 * opened (enum wg_usual_part), 0: the plan has nothing of the kind. Returns 0 or WG_ERR_MEMORY.
 */
int wg_usual_openings(const struct wg_usual *usual, const char *text, size_t size, struct wg_bytes *out, int *opened);

#endif
