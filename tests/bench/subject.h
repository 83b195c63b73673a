/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * One benchmark scenario: opened, changed, and simulated by the engine and by the reference engines.
 */
#ifndef WG_BENCH_SUBJECT_H
#define WG_BENCH_SUBJECT_H

#include "bench/draws.h"
#include "forecast/replicate.h"
#include "reference/recorded_hours.h"
#include "scenario/scenario.h"

#define DAYS_A_YEAR 365.25
#define REPLICATES 8 /* simulated in turn, because replicates differ */

struct subject {
    struct wg_scenario scenario;
    enum wg_animals animals; /* of the scenario; single replicates have the middle animal, whatever it says */
    struct wg_world world;
    struct wg_simulator liver;
    struct wg_diary diary;
    struct draws draws;           /* of the replicates, in order */
    struct recorded_hours *hours; /* of n_hours replicates; NULL: not recorded */
    int n_hours;
    int replicates; /* simulated in turn: REPLICATES when opened */
};

/** Changes to a scenario: 0 leaves a value as it is. */
struct change {
    int days, steps_per_day;
    double scale; /* of starters and feed */
};

/** Opens scenarios/NAME.yaml. Like all functions here, exits the program with the reason on failure. */
void subject_open(struct subject *subject, const char *name, struct change change);
void subject_close(struct subject *subject);
double subject_years(const struct subject *subject);
/** Simulates n replicates and records their hours. */
void subject_record(struct subject *subject, int n);
/** Simulates one replicate into the diary. */
void subject_live(struct subject *subject, int replicate);

/** CPU time in s; wall-clock time in s. */
double cpu_s(void);
double wall_s(void);

/**
 * Milliseconds per replicate-year of `live`, called for the subject's replicates as often as a twentieth of a second
 * allows: a shorter time would measure changes of the processor's clock rate.
 */
double time_lives(struct subject *subject, void (*live)(struct subject *subject));
/** Milliseconds per replicate-year, mean over the subject's replicates: of the engine; */
double time_engine(struct subject *subject);
/** of its draws alone; */
double time_draws(struct subject *subject);
/** of the plain engine in `n` of the recorded hours; NaN without recorded hours; */
double time_plain(struct subject *subject, int n);
/** of numpy, all recorded hours at once; NaN without recorded hours, or if it did not answer. */
double time_numpy(struct subject *subject);
/** Wall-clock milliseconds per replicate-year of `replicates` on so many threads. */
double time_threads(const struct subject *subject, int threads, int64_t replicates);
/**
 * Peak memory in MB of REPLICATES replicates on so many threads without output, in a child process, which starts with
 * what this process holds at the time: call it before opening anything large.
 */
double peak_mb(const char *name, struct change change, int threads);
/** Means over the subject's replicates: individuals and larvae alive at the end of a day, cohort-steps of a year. */
struct census {
    double alive, larvae, cohort_steps;
};
struct census take_census(struct subject *subject);
/** Runs a program to its end: its peak memory in MB, the time to its first output, and its total time. */
double child_mb(char *const words[], double *first_byte_s, double *all_s);

#endif
