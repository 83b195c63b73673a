/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Reads a keeper's log: dated entries of weights and observations, as comma-separated text (CSV), checked against a
 * scenario.
 *
 *     date,what,value,where,days
 *     2026-10-03,crawl-off,1.2 lb,,7 days
 *     2026-10-10,crawl-off,2 lb
 *     2026-10-03,bin temperature,81 degF,trough
 *     2026-10-04,adults,yes
 *     2026-10-06,eggs trapped,12000
 *
 * The first line names the columns, in any order and case; `where` names the bin of a temperature and is optional with
 * a single bin. All other entries are totals over all bins: with several bins, a name beside them is an error, because
 * the value would be taken for the total. Semicolons or tabs may replace commas, and decimals then may have a comma;
 * # begins a comment line. Dates may also be 15.10.2026, or 10/15/2026 and 15/10/2026 where a day over 12 tells the order.
 *
 * Weights and eggs are sums over the last `days` days up to and including the entry's date; without `days`, since the
 * previous entry of that kind. The first entry of a kind without `days` only opens the count: its start is unknown.
 */
#ifndef WG_RECORDS_LOG_FILE_H
#define WG_RECORDS_LOG_FILE_H

#include "inference/log_entry.h"
#include "plan/plan.h"
#include "text/mistakes.h"

struct wg_keeper_log {
    struct wg_log_entry *note; /* owned, sorted by day */
    int n;
    struct wg_log_entry opening[WG_N_LOG_KINDS]; /* entries that only open a count; line 0: none */
    char notation[48];                           /* "dates month first, decimal commas"; empty if neither */
};
/**
 * Reads a file; a `path` of NULL is standard input. Returns 0; WG_ERR_INPUT with all mistakes in *mistakes; WG_ERR_FILE
 * or WG_ERR_MEMORY. Free *log and *mistakes in every case.
 */
int wg_keeper_log_read(struct wg_keeper_log *log, const char *path, const struct wg_plan *plan,
                       struct wg_mistakes *mistakes, struct wg_error *err);
/** Reads the same from a text; `name` stands for its file in messages. */
int wg_keeper_log_read_text(struct wg_keeper_log *log, const char *name, const char *text, const struct wg_plan *plan,
                            struct wg_mistakes *mistakes, struct wg_error *err);
void wg_keeper_log_free(struct wg_keeper_log *log);

#endif
