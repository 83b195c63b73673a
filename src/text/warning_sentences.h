/**
 * Warnings and cautions as sentences. Nobody else words them.
 */
#ifndef WG_TEXT_WARNING_SENTENCES_H
#define WG_TEXT_WARNING_SENTENCES_H

#include "forecast/warnings.h"

#define WG_WARNING_TEXT 512

/** "heater too weak", "mat too weak", "bin too hot", "underfed", "overfed", "scooped more than there was", ... as files and JSON have it. */
const char *wg_warning_name(enum wg_warning_kind kind);
/** Warning number i, one sentence with its full stop. */
void wg_warning_text(const struct wg_warnings *warnings, int i, char out[WG_WARNING_TEXT]);
/** True if one of them is of weeks, which the calendar of the work shows. */
bool wg_warnings_of_weeks(const struct wg_warnings *warnings);
const char *wg_caution_text(enum wg_caution caution);
/** "year" or "years" where the period is about one, else "future" or "futures". */
const char *wg_replicates_noun(int n_days, int64_t n);

#endif
