/**
 * A comparison as one page: which setup is better than the first, by how much and how surely.
 */
#ifndef WG_REPORT_PAGE_COMPARISON_H
#define WG_REPORT_PAGE_COMPARISON_H

#include "results/comparison_data.h"
#include "text/bytes.h"

/** Puts the page of a comparison into *page. 0 or a negative error. */
int wg_report_comparison(struct wg_comparison_data *data, struct wg_bytes *page, struct wg_error *err);

#endif
