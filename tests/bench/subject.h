/**
 * One scenario on the bench: opened, changed, and lived by the engine and by those it is compared with.
 */
#ifndef WG_BENCH_SUBJECT_H
#define WG_BENCH_SUBJECT_H

#include "bench/draws.h"
#include "forecast/replicate.h"
#include "reference/recorded_hours.h"
#include "scenario/scenario.h"

#define DAYS_A_YEAR 365.25
#define REPLICATES 8 /* lived in turn: one replicate is not like another */

struct subject {
    struct wg_scenario scenario;
    struct wg_world world;
    struct wg_simulator liver;
    struct wg_diary diary;
    struct draws draws;           /* of the replicates, one after another */
    struct recorded_hours *hours; /* of n_hours replicates; NULL: none are noted */
    int n_hours;
    int replicates; /* lived in turn: REPLICATES when opened */
};

/** What is changed of a scenario: 0 leaves it as it is. */
struct change {
    int days, steps_per_day;
    double scale; /* of starters and feed */
};

/** Opens scenarios/NAME.yaml. Ends the program with the reason on failure, as all here. */
void subject_open(struct subject *subject, const char *name, struct change change);
void subject_close(struct subject *subject);
double subject_years(const struct subject *subject);
/** Lives n replicates and notes their hours. */
void subject_record(struct subject *subject, int n);
/** Lives one replicate into the diary. */
void subject_live(struct subject *subject, int replicate);

/** Processor time in s; wall clock in s. */
double cpu_s(void);
double wall_s(void);

/**
 * Milliseconds for one replicate and year where `live` goes through the subject's replicates, as often as a twentieth of a
 * second allows: shorter than that a processor's changes of pace are measured.
 */
double time_lives(struct subject *subject, void (*live)(struct subject *subject));
/** Milliseconds for one replicate and year, the mean over the subject's replicates of each: by the engine; */
double time_engine(struct subject *subject);
/** by their draws alone; */
double time_draws(struct subject *subject);
/** by the plain engine in `n` of the recorded hours; NaN: no hours are noted. */
double time_plain(struct subject *subject, int n);
/** by numpy, all noted hours at once; NaN: no hours are noted, or it did not answer. */
double time_numpy(struct subject *subject);
/** Wall clock ms per replicate and year of `replicates` on so many threads. */
double time_threads(const struct subject *subject, int threads, int64_t replicates);
/**
 * Peak memory in MB of REPLICATES replicates on so many threads, nothing written: of a process of its own, which begins
 * with what this one holds at the time, so ask before anything large is opened here.
 */
double peak_mb(const char *name, struct change change, int threads);
/** Means over the subject's replicates: alive and larvae at the end of a day, cohort-steps of a year. */
struct census {
    double alive, larvae, cohort_steps;
};
struct census take_census(struct subject *subject);
/** Runs a program to its end: its peak memory in MB, the time until it wrote something to standard output, and all of it. */
double child_mb(char *const words[], double *first_byte_s, double *all_s);

#endif
