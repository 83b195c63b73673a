/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * A collection of p-values, judged together when complete, and the output line of a check for the page of checks.
 *
 * Holm (1979, Scand. J. Stat. 6:65): of m p-values the smallest must lie above rate / m, the next above rate / (m - 1)
 * and so on. A correct program then fails with a probability of at most `rate` for the whole collection, whatever the
 * dependence. The seeds are fixed, so a collection always passes or always fails: the rate is that of the choice of
 * seeds.
 */
#ifndef P_VALUES_H
#define P_VALUES_H

#include <math.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>

enum { P_VALUES_MAX = 4000, P_NAME_MAX = 120 };

struct p_value {
    double p;
    int group; /* the check it belongs to */
    bool rejected;
    char name[P_NAME_MAX];
};

struct p_values {
    int n;
    struct p_value *entry; /* capacity P_VALUES_MAX; the owner allocates and frees it */
};

/**
 * Adds a p-value of a check. Exits the program if the collection is full or the p-value is NaN, both programming
 * errors.
 */
static inline void p_values_add(struct p_values *book, int group, double p, const char *format, ...) {
    if (book->n == P_VALUES_MAX || isnan(p)) {
        (void)fprintf(stderr, "p-values: %s\n", isnan(p) ? "not a number" : "too many");
        exit(2);
    }
    struct p_value *const entry = &book->entry[book->n++];
    va_list words;
    va_start(words, format);
    (void)vsnprintf(entry->name, sizeof entry->name, format, words);
    va_end(words);
    entry->p = p;
    entry->group = group;
}

static inline int p_value_rising(const void *left, const void *right) {
    const double a = ((const struct p_value *)left)->p, b = ((const struct p_value *)right)->p;
    return (a > b) - (a < b);
}

/** Sorts the p-values and marks those that Holm's rule rejects; returns their number. */
static inline int p_values_judge(struct p_values *book, double rate) {
    int rejected = 0;
    qsort(book->entry, (size_t)book->n, sizeof *book->entry, p_value_rising);
    for (int i = 0; i < book->n && book->entry[i].p <= rate / (book->n - i); i++, rejected++)
        book->entry[i].rejected = true;
    return rejected;
}

/** Prints one line for the page of checks; `why` may be NULL. No text may contain a quotation mark or a backslash. */
static inline void check_line(const char *check, const char *must, const char *found, const char *source,
                              const char *verdict, const char *why) {
    (void)printf("{\"check\": \"%s\", \"published\": \"%s\", \"simulated\": \"%s\", \"source\": \"%s\", "
                 "\"verdict\": \"%s\"%s%s%s}\n",
                 check, must, found, source, verdict, why != NULL ? ", \"why\": \"" : "", why != NULL ? why : "",
                 why != NULL ? "\"" : "");
}

/** Prints the result of one check: its p-values, the smallest, and whether all pass. */
static inline void p_values_line(const struct p_values *book, int group, const char *check, const char *must,
                                 const char *source) {
    const struct p_value *smallest = NULL;
    int n = 0, rejected = 0;
    char found[P_NAME_MAX + 80];
    for (int i = book->n - 1; i >= 0; i--)
        if (book->entry[i].group == group) {
            smallest = &book->entry[i];
            n++;
            rejected += smallest->rejected;
        }
    if (smallest == NULL)
        return;
    (void)snprintf(found, sizeof found, "%d tests, %d rejected; smallest p %.2g (%s)", n, rejected, smallest->p,
                   smallest->name);
    check_line(check, must, found, source, rejected == 0 ? "holds" : "does not hold", NULL);
}

/** The two-sided p-value of a standard normal deviate. */
static inline double p_of_z(double z) {
    return erfc(fabs(z) / sqrt(2));
}

#endif
