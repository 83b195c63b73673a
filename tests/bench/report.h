/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Measurements and targets, as text on standard output and as a JSON file.
 */
#ifndef WG_BENCH_REPORT_H
#define WG_BENCH_REPORT_H

#include <stdio.h>

#define MAX_ROUNDS 25

struct report {
    FILE *json; /* NULL: text only */
    int rows, missed, noisy;
};

/** Minimum, median and maximum of n rounds; all NaN: not measured. */
struct range {
    double low, middle, high;
    int n;
};
/** Range of n values without NaN; sorts them. */
struct range range_of(double *values, int n);
/** Range of ratios of values measured in the same round, where both were measured. */
struct range range_of_ratios(const double *above, const double *below, int n);

/** Opens the JSON file, NULL for none. Returns 0 or -1. */
int report_open(struct report *report, const char *path);
/** Closes it; returns 0, or -1 if the file could not be written. */
int report_close(struct report *report);
/** Writes one number to the JSON file: subject, quantity, value and unit; a range with its minimum and maximum. */
void report_value(struct report *report, const char *what, const char *quantity, double value, const char *unit);
void report_range(struct report *report, const char *what, const char *quantity, struct range range, const char *unit);
/** The same with a line of text: a measured value without a target. */
void report_measured(struct report *report, const char *what, const char *quantity, double value, const char *unit);
enum report_target { AT_LEAST, AT_MOST };
/**
 * Prints a line with the verdict and writes it to the JSON file: "met" if every round meets the target, "missed" if
 * none does, else "within noise".
 */
void report_verdict(struct report *report, const char *check, struct range range, enum report_target target,
                    double wanted, const char *unit);

#endif
