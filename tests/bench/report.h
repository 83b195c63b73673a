/**
 * What was measured, for people on standard output and for programs in a JSON file; and what was wanted of it.
 */
#ifndef WG_BENCH_REPORT_H
#define WG_BENCH_REPORT_H

#include <stdio.h>

struct report {
    FILE *json; /* NULL: for people only */
    int rows, missed;
};

/** Begins the file, NULL for none. 0 or -1. */
int report_open(struct report *report, const char *path);
/** Ends it; the number of wishes missed, or -1 when the file could not be written. */
int report_close(struct report *report);
/** One number into the JSON file: what of, which, its value and unit. */
void report_value(struct report *report, const char *what, const char *quantity, double value, const char *unit);
/** The same with a line for people: a measured value of which nothing is wanted. */
void report_measured(struct report *report, const char *what, const char *quantity, double value, const char *unit);
enum report_wish { AT_LEAST, AT_MOST };
/** A line with the verdict on a measured value, and the same into the JSON file. */
void report_verdict(struct report *report, const char *check, double value, enum report_wish wish, double wanted,
                    const char *unit);

#endif
