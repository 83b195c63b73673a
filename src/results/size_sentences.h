/**
 * What a search for the right size found, in one or two sentences, its values in both unit systems.
 */
#ifndef WG_RESULTS_SIZE_SENTENCES_H
#define WG_RESULTS_SIZE_SENTENCES_H

#include "analysis/size.h"
#include "scenario/vary.h"

#define WG_SIZE_TEXT 1024

/** "found", "enough at the end of the range", "impossible", "cannot tell", "not monotone": as files and JSON have it. */
const char *wg_size_outcome_name(enum wg_size_outcome outcome);
/** "20 is enough, 18 is not." and its like. */
void wg_size_text(const struct wg_vary *vary, const struct wg_size_question *question, const struct wg_size *size,
                  char out[WG_SIZE_TEXT]);
/** Share of the replicates at a point that met a goal; NaN where none was lived. */
double wg_size_share(const struct wg_size_point *point, int goal);
/** The goal that is farthest below the chance it should have, or least above it. */
int wg_size_hardest_goal(const struct wg_size_question *question, const struct wg_size_point *point);
/** The point of a value that was tried; -1: none, as for NaN. */
int wg_size_find(const struct wg_size *size, double value);

#endif
