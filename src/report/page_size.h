/**
 * An answer of `size` as one page: how much is enough and how surely, the curve, what was assumed.
 */
#ifndef WG_REPORT_PAGE_SIZE_H
#define WG_REPORT_PAGE_SIZE_H

#include "results/answer_data.h"
#include "text/bytes.h"

/** Puts the page into *page; `answer` and `scenario` are what is in the file. 0 or WG_ERR_MEMORY. */
int wg_report_size(const struct wg_answer_data *data, const struct wg_answer_size *answer,
                   const struct wg_scenario *scenario, struct wg_bytes *page, struct wg_error *err);

#endif
