/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The engine with the hours given, as the plain engine and numpy have them: without weather and housing.
 *
 * Still included: copying a day's hours, the skies of the spin-up days (about a microsecond each), and the mass of the
 * larvae, which the colony sums for the housing in every step.
 */
#ifndef WG_BENCH_GIVEN_H
#define WG_BENCH_GIVEN_H

#include "bench/subject.h"

/**
 * Simulates every replicate in its own recorded hours; exits the program unless the counts of every day equal those of
 * the engine with weather and housing. Checks nothing without recorded hours.
 */
void given_check(struct subject *subject);
/** Milliseconds per replicate-year, as time_engine(); NaN without recorded hours. */
double time_given(struct subject *subject);

#endif
