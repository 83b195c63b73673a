/**
 * The engine with the hours given, as the plain engine and numpy have them: neither weather nor housing is worked out.
 *
 * What stays in: a day's hours copied, the skies of the days before the first one (about a microsecond each), and the
 * mass of the larvae, which the colony sums up for the housing in every step.
 */
#ifndef WG_BENCH_GIVEN_H
#define WG_BENCH_GIVEN_H

#include "bench/subject.h"

/**
 * Lives every replicate in its own noted hours, and ends the program unless it is the very life of the engine that
 * works them out itself: the same counts on every day. Nothing is checked where no hours are noted.
 */
void given_check(struct subject *subject);
/** Milliseconds for one replicate and year, as time_engine(); NaN: no hours are noted. */
double time_given(struct subject *subject);

#endif
