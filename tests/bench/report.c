#include "bench/report.h"

#include <math.h>
#include <string.h>

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
        return report->missed;
    (void)fputs("\n]\n", report->json);
    const int failed = ferror(report->json);
    return fclose(report->json) != 0 || failed ? -1 : report->missed;
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

void report_measured(struct report *report, const char *what, const char *quantity, double value, const char *unit) {
    char line[80];
    (void)snprintf(line, sizeof line, "%s: %s", what, quantity);
    (void)printf("  %-62s %9.4g %-2s  measured\n", line, value, unit);
    report_value(report, what, quantity, value, unit);
}

void report_verdict(struct report *report, const char *check, double value, enum report_wish wish, double wanted,
                    const char *unit) {
    const int holds = wish == AT_LEAST ? value >= wanted : value <= wanted;
    const char *const word = wish == AT_LEAST ? "at least" : "at most";
    (void)printf("  %-62s %9.4g %-2s  wanted: %s %g: %s\n", check, value, unit, word, wanted,
                 holds ? "holds" : "does not hold");
    report->missed += !holds;
    if (report->json == NULL)
        return;
    begin_row(report);
    (void)fprintf(report->json, "\"check\": \"%s\", ", check);
    put_number(report->json, "value", value);
    (void)fprintf(report->json, "\"unit\": \"%s\", \"wanted\": \"%s %g\", \"verdict\": \"%s\"}", unit, word, wanted,
                  holds ? "holds" : "does not hold");
}
