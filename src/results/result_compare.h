/**
 * Two results compared bit for bit.
 */
#ifndef WG_RESULTS_RESULT_COMPARE_H
#define WG_RESULTS_RESULT_COMPARE_H

#include "results/stored_file.h"

/** What wg_result_compare() finds. */
enum { WG_RESULT_SAME = 0, WG_RESULT_DIFFERENT = 1, WG_RESULT_SAME_NUMBERS = 2 };
/**
 * Compares two results bit for bit: all variables and attributes but the start
 * time, the command line and the versions of the software, in the order in which
 * they were made, the data before the provenance. DIFFERENT: `what` (size bytes) names
 * the first number that differs, as "count at 17" (replicate 17) or "seed of provenance".
 * SAME_NUMBERS: they are described in other words, or the second holds more; `what` names the first such.
 * WG_ERR_FILE, WG_ERR_FORMAT, WG_ERR_MEMORY. Both files are open results. Memory does not grow with the replicates.
 */
int wg_result_compare(const struct wg_stored_file *first, const struct wg_stored_file *second, char *what, size_t size,
                      struct wg_error *err);

#endif
