/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

#include "bench/report.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static int by_size(const void *a, const void *b) {
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

struct range range_of(double *values, int n) {
    int kept = 0;
    for (int i = 0; i < n; i++)
        if (!isnan(values[i]))
            values[kept++] = values[i];
    if (kept == 0)
        return (struct range){(double)NAN, (double)NAN, (double)NAN, 0};
    qsort(values, (size_t)kept, sizeof *values, by_size);
    const double middle = (values[(kept - 1) / 2] + values[kept / 2]) / 2;
    return (struct range){values[0], middle, values[kept - 1], kept};
}

struct range range_of_ratios(const double *above, const double *below, int n) {
    double ratio[MAX_ROUNDS];
    for (int i = 0; i < n; i++)
        ratio[i] = above[i] / below[i];
    return range_of(ratio, n);
}

int report_open(struct report *report, const char *path) {
    *report = (struct report){0};
    if (path == NULL)
        return 0;
    report->json = fopen(path, "w");
    if (report->json == NULL)
        return -1;
    (void)fputs("[", report->json);
    return 0;
}

int report_close(struct report *report) {
    if (report->json == NULL)
        return 0;
    (void)fputs("\n]\n", report->json);
    const int failed = ferror(report->json);
    return fclose(report->json) != 0 || failed ? -1 : 0;
}

static void begin_row(struct report *report) {
    (void)fprintf(report->json, "%s\n  {", report->rows++ > 0 ? "," : "");
}

static void put_number(FILE *json, const char *key, double value) {
    if (isfinite(value))
        (void)fprintf(json, "\"%s\": %.6g, ", key, value);
    else
        (void)fprintf(json, "\"%s\": null, ", key);
}

void report_value(struct report *report, const char *what, const char *quantity, double value, const char *unit) {
    if (report->json == NULL || isnan(value))
        return;
    begin_row(report);
    (void)fprintf(report->json, "\"of\": \"%s\", \"quantity\": \"%s\", ", what, quantity);
    put_number(report->json, "value", value);
    (void)fprintf(report->json, "\"unit\": \"%s\"}", unit);
}

static void put_range(FILE *json, struct range range) {
    put_number(json, "value", range.middle);
    put_number(json, "low", range.low);
    put_number(json, "high", range.high);
    (void)fprintf(json, "\"rounds\": %d, ", range.n);
}

void report_range(struct report *report, const char *what, const char *quantity, struct range range, const char *unit) {
    if (report->json == NULL || isnan(range.middle))
        return;
    begin_row(report);
    (void)fprintf(report->json, "\"of\": \"%s\", \"quantity\": \"%s\", ", what, quantity);
    put_range(report->json, range);
    (void)fprintf(report->json, "\"unit\": \"%s\"}", unit);
}

void report_measured(struct report *report, const char *what, const char *quantity, double value, const char *unit) {
    char line[80];
    (void)snprintf(line, sizeof line, "%s: %s", what, quantity);
    (void)printf("  %-62s %9.4g %-2s  measured\n", line, value, unit);
    report_value(report, what, quantity, value, unit);
}

static const char *verdict(struct range range, enum report_target target, double wanted) {
    const int low = target == AT_LEAST ? range.low >= wanted : range.low <= wanted;
    const int high = target == AT_LEAST ? range.high >= wanted : range.high <= wanted;
    return low && high ? "met" : low || high ? "within noise" : "missed";
}

void report_verdict(struct report *report, const char *check, struct range range, enum report_target target,
                    double wanted, const char *unit) {
    const char *const word = target == AT_LEAST ? "at least" : "at most", *const said = verdict(range, target, wanted);
    char measured[64];
    if (range.n > 1)
        (void)snprintf(measured, sizeof measured, "%.4g (%.4g to %.4g)", range.middle, range.low, range.high);
    else
        (void)snprintf(measured, sizeof measured, "%.4g (one round)", range.middle);
    (void)printf("  %-56s %26s %-2s  wanted: %s %g: %s\n", check, measured, unit, word, wanted, said);
    report->missed += strcmp(said, "missed") == 0;
    report->noisy += strcmp(said, "within noise") == 0;
    if (report->json == NULL)
        return;
    begin_row(report);
    (void)fprintf(report->json, "\"check\": \"%s\", ", check);
    put_range(report->json, range);
    (void)fprintf(report->json, "\"unit\": \"%s\", \"wanted\": \"%s %g\", \"verdict\": \"%s\"}", unit, word, wanted,
                  said);
}
