/**
 * What was measured, for people on standard output and for programs in a JSON file; and what was wanted of it.
 */
#ifndef WG_BENCH_REPORT_H
#define WG_BENCH_REPORT_H

#include <stdio.h>

#define MOST_ROUNDS 25

struct report {
    FILE *json; /* NULL: for people only */
    int rows, missed, noisy;
};

/** What n rounds measured: the lowest, the middle and the highest. All NaN: nothing was. */
struct range {
    double low, middle, high;
    int n;
};
/** Of n values, NaN left out; they are sorted. */
struct range range_of(double *values, int n);
/** Round by round, one thing over another measured in the same round, as far as both were. */
struct range range_of_ratios(const double *above, const double *below, int n);

/** Begins the file, NULL for none. 0 or -1. */
int report_open(struct report *report, const char *path);
/** Ends it; 0, or -1 when the file could not be written. */
int report_close(struct report *report);
/** One number into the JSON file: what of, which, its value and unit; a range with its lowest and highest. */
void report_value(struct report *report, const char *what, const char *quantity, double value, const char *unit);
void report_range(struct report *report, const char *what, const char *quantity, struct range range, const char *unit);
/** The same with a line for people: a measured value of which nothing is wanted. */
void report_measured(struct report *report, const char *what, const char *quantity, double value, const char *unit);
enum report_wish { AT_LEAST, AT_MOST };
/**
 * A line with the verdict, and the same into the JSON file: "met" where every round meets the wish, "missed" where none
 * does, else "within noise".
 */
void report_verdict(struct report *report, const char *check, struct range range, enum report_wish wish, double wanted,
                    const char *unit);

#endif
