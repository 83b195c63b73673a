/**
 * A keeper's log made by the simulator with known parameters.
 */
#ifndef WG_TESTS_KNOWN_LOG_H
#define WG_TESTS_KNOWN_LOG_H

#include "analysis/fit.h"

#define MAX_NOTES 64

struct known_log {
    struct wg_plan plan;
    struct wg_log_entry note[MAX_NOTES];
    int n;
};

/**
 * Makes the plan of a bench with feed, crawl-off collection and traps over twelve weeks, and its entries without
 * values. Free log->plan.
 */
void known_log_make(struct known_log *log);
/**
 * Fills in the values from replicate `replicate` of the plan, with parameters changed by the factors, and adds a
 * keeper's measurement errors.
 */
void known_log_write(struct known_log *log, const double factor[WG_N_FIT_PARAMETERS], uint64_t replicate);

#endif
