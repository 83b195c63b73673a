/**
 * What a comparison is made of, and what its text and JSON have in common.
 */
#ifndef WG_REPORT_COMPARISON_FACTS_H
#define WG_REPORT_COMPARISON_FACTS_H

#include "analysis/compare.h"
#include "report/forecast_facts.h"

struct wg_comparison {
    int n;
    struct wg_forecast forecast[WG_COMPARE_MAX]; /* of each setup */
    const struct wg_compare *compare;
    const char *result_path; /* NULL: none was written */
};

/** "A", "B", ... */
const char *wg_comparison_letter(int setup);
/** Why there is no price of extra harvest, one plain sentence; NULL for a price. */
const char *wg_comparison_no_price(enum wg_extra_status why);
/**
 * In what setup `i` differs from the first beyond places, bins, feed and work, `k` counted from 0, as a sentence; false
 * when there is no more of it.
 */
bool wg_comparison_also(const struct wg_comparison *comparison, int i, int k, char out[WG_SENTENCE_SIZE]);

#endif
