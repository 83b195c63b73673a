/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Shows on one line of a terminal how far a long run is and how long it still takes; says before a run of more than ten
 * seconds how long it will take.
 */
#ifndef WG_CLI_PROGRESS_H
#define WG_CLI_PROGRESS_H

#include <stdbool.h>
#include <stdint.h>

#define WG_PROGRESS_PARTS 8
#define WG_LONG_RUN_S 10.0 /* a run of more seconds is announced */

/**
 * A run of one or more parts, each of which counts from 1 to its own end; the line counts over all of them. Set by
 * wg_progress_begin(); the members below may be set behind it.
 */
struct wg_progress {
    const char *what;
    bool is_shown;                  /* on standard error, a terminal */
    bool announces;                 /* says once how long the run will take, if that is long; at first: on a terminal */
    bool is_open;                   /* nobody knows how much is to do, while `expected` is 0 */
    int64_t expected;               /* replicates of all parts; 0: those of the parts begun */
    int n_costs;                    /* equal shares of the run that take unequal time; 0: one */
    double cost[WG_PROGRESS_PARTS]; /* of a replicate in each */
    /* private */
    int64_t before, last_done, last_count, skipped;
    double began_s, drawn_s;
};

typedef void wg_progress_function(void *self, int64_t done, int64_t count);
/** Prints a first line, "simulating ...". Shows nothing if quiet or if standard error is not a terminal. */
void wg_progress_begin(struct wg_progress *progress, const char *what, bool quiet);
/** Counts replicate number `done` of `count` of a part; a smaller number than before begins the next part. */
wg_progress_function wg_progress_count;
/** Counts replicates that are done already and take no time. */
void wg_progress_skip(struct wg_progress *progress, int64_t count);
/** Clears the line, so that something else can be printed; the next replicate draws it again. Async-signal-safe. */
void wg_progress_clear(void);
/** Clears the line for good. */
void wg_progress_end(struct wg_progress *progress);

/** Prints "this will take about 40 seconds." at a terminal if `seconds` are many: a pipe gets the same bytes each time. `how`: "about", "up to"; `more`: "" or " more". */
bool wg_progress_announce(const char *how, double seconds, const char *more);
/** Returns the seconds of a monotonic clock. */
double wg_monotonic_s(void);

#endif
