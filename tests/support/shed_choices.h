/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * A shed in winter with open numbers: set point, date of warming up, season of the lamps, insulation. For searches of the
 * cheapest plan.
 */
#ifndef WG_TESTS_SHED_CHOICES_H
#define WG_TESTS_SHED_CHOICES_H

#include "scenario/scenario.h"
#include "search/plan_lives.h"

#define SHED_NUMBERS 4

struct shed_choices {
    struct wg_scenario base;
    struct wg_search_maker maker;
    struct wg_search_number number[SHED_NUMBERS];
    const double *set_point_f; /* NaN: no heater */
    const int *warm_day;       /* day of the year from which it is 75 degF, to the end of May; 0: never */
    const int (*lamps)[2];     /* first and last day of the year; 0: all year */
    const double *r_value;
};

/** The whole problem: 10 x 7 x 4 x 2 = 560 plans. Free with shed_choices_free(). */
void shed_choices_init(struct shed_choices *choices);
/** A small one, with set points at which the cheapest plans hardly live: 6 x 2 x 3 = 36 plans. */
void shed_choices_init_small(struct shed_choices *choices);
void shed_choices_free(struct shed_choices *choices);

#endif
