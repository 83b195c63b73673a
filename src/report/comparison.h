/**
 * Setups side by side, as text and as JSON.
 */
#ifndef WG_REPORT_COMPARISON_H
#define WG_REPORT_COMPARISON_H

#include "analysis/compare.h"
#include "report/forecast.h"

struct wg_comparison {
    int n;
    struct wg_forecast forecast[WG_COMPARE_MAX]; /* of each setup */
    const struct wg_compare *compare;
    const char *result_path; /* NULL: none was written */
};

/** Table, a paragraph per setup against the first, warnings, cautions: 80 columns. 0 or WG_ERR_MEMORY. */
int wg_comparison_print(const struct wg_comparison *comparison, FILE *to, struct wg_error *err);
/** The whole document. 0 or WG_ERR_MEMORY. */
int wg_comparison_print_json(const struct wg_comparison *comparison, FILE *to, struct wg_error *err);

/* ---- shared by the two, comparison_facts.c ---- */

/** "A", "B", ... */
const char *wg_comparison_letter(int setup);
/** Why there is no price of extra harvest, one plain sentence; NULL for a price. */
const char *wg_comparison_no_price(enum wg_extra_status why);
/**
 * In what setup `i` differs from the first beyond places, bins, feed and work, `k` counted from 0, as a sentence; false
 * when there is no more of it.
 */
bool wg_comparison_also(const struct wg_comparison *comparison, int i, int k, char out[WG_SENTENCE_SIZE]);
/** What is compared first: "total_harvest_mass", or crawl-off where no setup takes anything out. */
enum wg_compared wg_comparison_main(const struct wg_comparison *comparison);

#endif
