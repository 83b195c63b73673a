/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Reads dates as spreadsheets and keepers write them: 2026-03-15, 03/15/2026, 15/03/2026, 15.03.2026.
 *
 * With dots the day comes first; with slashes or hyphens and the year at the end it may be the month, so a file's other
 * dates decide.
 */
#ifndef WG_TEXT_WRITTEN_DATE_H
#define WG_TEXT_WRITTEN_DATE_H

#include "base/calendar.h"

#include <stdbool.h>

enum wg_date_order { WG_DATE_MONTH_FIRST, WG_DATE_DAY_FIRST };

struct wg_written_date {
    bool has_order; /* with slashes or hyphens and the year at the end */
    bool exists[2]; /* by order; equal if it has none */
    int32_t day[2];
};

/** Reads a date and nothing after it. Returns 0; -1 for any other form; -2 if no order gives a day that exists. */
int wg_written_date_read(const char *text, struct wg_written_date *date);
/** Returns true if there are two readings and they differ. */
bool wg_written_date_is_open(const struct wg_written_date *date);

/** What the dates of one file tell of their order. Zero-initialise it. */
struct wg_date_evidence {
    int line[2];   /* of the first date that exists in this order only; 0: none */
    int open_line; /* of the first date that is open; 0: none */
    struct wg_written_date open;
    char open_text[16];
};
/** Adds a date that was read. */
void wg_date_evidence_add(struct wg_date_evidence *evidence, const struct wg_written_date *date, const char *text,
                          int line);

/**
 * Reads a day with the name of its month, "May 1", "1 May 2027" or "Sep. 30th, 2026"; the year is 0 without one. Returns false for
 * any other text and for a day that does not exist.
 */
bool wg_worded_date_read(const char *text, struct wg_date *date);

#define WG_DATE_MESSAGE 240
/**
 * Writes how to write a date in a plan: "... write from: 2026-03-15." or both readings of an open one. `key` stands before
 * it, "from: " or "". Without `has_year` only month and day are written.
 */
void wg_written_date_advise(const struct wg_written_date *date, const char *text, const char *key, bool has_year,
                            char message[WG_DATE_MESSAGE]);
/** Decides the order of a file's dates. Returns 0, or the line that leaves it open or contradicts, with a message. */
int wg_date_evidence_decide(const struct wg_date_evidence *evidence, enum wg_date_order *order,
                            char message[WG_DATE_MESSAGE]);

#endif
