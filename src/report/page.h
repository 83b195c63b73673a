/**
 * The parts of a report, as HTML.
 */
#ifndef WG_REPORT_PAGE_H
#define WG_REPORT_PAGE_H

#include "figures/html.h"
#include "report/forecast.h"
#include "results/comparison_data.h"
#include "results/result_data.h"

/** All of a report of one result: question, answer, figures, work, assumptions, warnings, provenance. */
struct wg_report {
    const struct wg_forecast *forecast;
    const struct wg_result_data *data;
    const struct wg_figures *figures;
};
/** Puts the page into *page. 0, WG_ERR_MEMORY. */
int wg_report_put(const struct wg_report *report, struct wg_bytes *page, struct wg_error *err);

/** The same of a comparison; figures: that of wg_figures_compare(). */
int wg_report_put_comparison(struct wg_comparison_data *data, const struct wg_figures *figures, struct wg_bytes *page,
                             struct wg_error *err);

/** True if the file is an answer (of size; others are refused in words): then its page was written, or not, *status says. */
bool wg_report_size(const char *answer, const char *path, int force, int *status);

/** Writes the finished page: from here on a signal waits until it is in its place. 0 or as wg_page_save(). */
int wg_report_save(const struct wg_bytes *page, const char *path, int force, struct wg_error *err);

/** The answer, sentence 0, 1, 2: alive, harvest, spring or heat. 0, WG_ERR_MEMORY: the sentence is then not true. */
int wg_report_answer(const struct wg_forecast *forecast, int sentence, char out[WG_SENTENCE_SIZE]);
/** The cautions of a file as notes; where it kept neither warnings nor cautions, a note that says so. */
void wg_report_stored_cautions(const struct wg_stored_warnings *warned, struct wg_bytes *page);
/** The cautions that the plan calls for, as notes. */
void wg_report_cautions(const struct wg_plan *plan, struct wg_bytes *page);
/** The work calendar as two tables. */
void wg_report_work(const struct wg_work *work, struct wg_bytes *page);
/** Numbers of the animal with their sources. */
void wg_report_assumptions(const struct wg_result_data *data, const struct wg_plan *plan, struct wg_bytes *page);

#endif
