/**
 * A book of p-values, judged together when all are in, and the line of a check that the page of checks reads.
 *
 * Holm (1979, Scand. J. Stat. 6:65): of m p-values the smallest must lie above rate / m, the next above rate / (m - 1)
 * and so on. A sound program then fails with a chance of at most `rate` for the whole book, whatever depends on what.
 * The seeds are fixed, so a book is right or wrong for good: the rate is that of the day the seeds were picked.
 */
#ifndef P_VALUES_H
#define P_VALUES_H

#include <math.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>

enum { P_VALUES_MOST = 4000, P_NAME_MOST = 120 };

struct p_value {
    double p;
    int group; /* of the check it belongs to */
    bool rejected;
    char name[P_NAME_MOST];
};

struct p_values {
    int n;
    struct p_value *entry; /* room for P_VALUES_MOST; calloc and free are the owner's */
};

/** Notes one p-value of a check. A full book or a p-value that is no number ends the program: it is our mistake. */
static inline void p_values_add(struct p_values *book, int group, double p, const char *format, ...) {
    if (book->n == P_VALUES_MOST || isnan(p)) {
        (void)fprintf(stderr, "p-values: %s\n", isnan(p) ? "not a number" : "the book is full");
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

/** Sorts the book and marks what Holm's rule rejects; how many. */
static inline int p_values_judge(struct p_values *book, double rate) {
    int rejected = 0;
    qsort(book->entry, (size_t)book->n, sizeof *book->entry, p_value_rising);
    for (int i = 0; i < book->n && book->entry[i].p <= rate / (book->n - i); i++, rejected++)
        book->entry[i].rejected = true;
    return rejected;
}

/** One line of the page of checks; `why` may be NULL. No text may hold a quotation mark or a backslash. */
static inline void check_line(const char *check, const char *must, const char *found, const char *source,
                              const char *verdict, const char *why) {
    (void)printf("{\"check\": \"%s\", \"published\": \"%s\", \"simulated\": \"%s\", \"source\": \"%s\", "
                 "\"verdict\": \"%s\"%s%s%s}\n",
                 check, must, found, source, verdict, why != NULL ? ", \"why\": \"" : "", why != NULL ? why : "",
                 why != NULL ? "\"" : "");
}

/** What a judged book says of one check: its p-values, the smallest, and whether all stand. */
static inline void p_values_line(const struct p_values *book, int group, const char *check, const char *must,
                                 const char *source) {
    const struct p_value *smallest = NULL;
    int n = 0, rejected = 0;
    char found[P_NAME_MOST + 80];
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
