/**
 * A keeper's log: dated notes of what was weighed and seen, as comma-separated
 * text (spreadsheets write it), read against a scenario.
 *
 *     date,what,value,where,days
 *     2026-10-03,crawl-off,1.2 lb,,7 days
 *     2026-10-10,crawl-off,2 lb
 *     2026-10-03,bin temperature,81 degF,trough
 *     2026-10-04,adults,yes
 *     2026-10-06,eggs trapped,12000
 *
 * The first line names the columns, in any order; `where` names the bin of a temperature and may be missing where there
 * is one bin only. Everything else is noted for all bins together: a name beside it is a mistake where there are
 * several, since it would be taken for the whole. Semicolons or tabs may stand for commas; # begins a
 * comment line; letter case does not matter in the first line.
 *
 * Weights and eggs are sums over the days that `days` gives, the note's own the last; without it since the note of that
 * kind before. The first of a kind without `days` only opens the count: nobody knows since when it counts.
 */
#ifndef WG_RECORDS_LOG_FILE_H
#define WG_RECORDS_LOG_FILE_H

#include "analysis/log_entry.h"
#include "colony/plan.h"
#include "text/mistakes.h"

struct wg_keeper_log {
    struct wg_log_entry *note; /* owned, in order of days */
    int n;
    struct wg_log_entry opening[WG_N_LOG_KINDS]; /* the note that opened a count and is not in the list; line 0: none */
};
/**
 * Reads a file. 0; WG_ERR_INPUT with all mistakes in *problems; WG_ERR_FILE, WG_ERR_MEMORY. *log and *problems
 * must be freed in every case.
 */
int wg_keeper_log_read(struct wg_keeper_log *log, const char *path, const struct wg_plan *plan,
                       struct wg_mistakes *problems, struct wg_error *err);
void wg_keeper_log_free(struct wg_keeper_log *log);

#endif
