/**
 * A result as one page: question, answer, figures, work, assumptions, warnings, provenance.
 */
#ifndef WG_PAGES_PAGE_RESULT_H
#define WG_PAGES_PAGE_RESULT_H

#include "results/result_data.h"
#include "scenario/scenario.h"
#include "text/bytes.h"

/** Writes the page of a result into *page; `scenario` is the stored one. Returns 0 or a negative error. */
int wg_report_result(struct wg_result_data *data, const struct wg_scenario *scenario, struct wg_bytes *page,
                     struct wg_error *err);

#endif
