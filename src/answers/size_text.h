/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * What `size` found, as text and as JSON.
 */
#ifndef WG_ANSWERS_SIZE_TEXT_H
#define WG_ANSWERS_SIZE_TEXT_H

#include "forecast/warnings.h"
#include "report/goals_report.h"
#include "sizing/size.h"
#include "variants/vary.h"

struct wg_size_output {
    const struct wg_scenario *scenario;
    const struct wg_vary *vary;
    const struct wg_size_question *question;
    const struct wg_size *size;
    uint64_t seed;
    const char *why;                    /* why no value is enough; "": nothing to say */
    const struct wg_warnings *warnings; /* at wg_size_recommended() */
};

/** Prints the answer in words and the chance at each value tried. */
void wg_size_output_print(const struct wg_size_output *sizing, FILE *to);
/** Prints the same as JSON. Returns 0 or WG_ERR_MEMORY. */
int wg_size_output_print_json(const struct wg_size_output *sizing, FILE *to, struct wg_error *err);

#endif
