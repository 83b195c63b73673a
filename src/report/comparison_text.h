/**
 * Setups side by side on the screen.
 */
#ifndef WG_REPORT_COMPARISON_TEXT_H
#define WG_REPORT_COMPARISON_TEXT_H

#include "report/comparison_facts.h"

/** Table, a paragraph per setup against the first, warnings, cautions: 80 columns. 0 or WG_ERR_MEMORY. */
int wg_comparison_print(const struct wg_comparison *comparison, FILE *to, struct wg_error *err);

#endif
