/**
 * The answer of a forecast in three sentences.
 */
#ifndef WG_REPORT_PAGE_ANSWER_H
#define WG_REPORT_PAGE_ANSWER_H

#include "report/forecast_facts.h"

/** Sentence 0, 1, 2: alive, harvest, spring or heat. 0, or WG_ERR_MEMORY: the sentence is then not true. */
int wg_report_answer(const struct wg_forecast *forecast, int sentence, char out[WG_SENTENCE_SIZE]);

#endif
