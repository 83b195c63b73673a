/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * What a log can tell of an animal, as numbers that a keeper can picture.
 */
#ifndef WG_INFERENCE_LEARNT_H
#define WG_INFERENCE_LEARNT_H

#include "plan/plan.h"

enum wg_learnt {
    WG_LEARNT_LARVAL_DAYS,   /* mean days from hatching to crawl-off, well fed at 27 degC */
    WG_LEARNT_GRUB_MASS,     /* g, a full-grown grub, well fed at 27 degC */
    WG_LEARNT_DEATHS,        /* share that dies between egg and fly at 27 degC, of no particular cause */
    WG_LEARNT_EGGS_PER_FLY,  /* eggs laid within reach for each fly that emerges and finds sun (or lamps) and warmth */
    WG_LEARNT_DORMANCY_HEAT, /* degree days that end the sleep of half of the dormant prepupae */
    WG_LEARNT_COLD,          /* share of prepupae alive after 28 days at 2 degC */
    WG_N_LEARNT
};
/** "days from hatching to crawl-off", ... */
const char *wg_learnt_name(enum wg_learnt learnt);
/** "day", "g", "1", "eggs", "degC day" */
const char *wg_learnt_unit(enum wg_learnt learnt);
/** Returns the value of an animal, at the plan's first place. */
double wg_learnt_value(enum wg_learnt learnt, const struct wg_plan *plan, const struct wg_species *animal);

#endif
