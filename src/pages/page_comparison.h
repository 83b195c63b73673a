/**
 * A comparison as one page.
 */
#ifndef WG_PAGES_PAGE_COMPARISON_H
#define WG_PAGES_PAGE_COMPARISON_H

#include "data/comparison_data.h"
#include "text/bytes.h"

/** Writes the page of a comparison into *page. Returns 0 or a negative error. */
int wg_report_comparison(struct wg_comparison_data *data, struct wg_bytes *page, struct wg_error *err);

#endif
