/**
 * Warnings and cautions read back from the file of a comparison or an answer.
 */
#ifndef WG_RESULTS_STORED_WARNINGS_H
#define WG_RESULTS_STORED_WARNINGS_H

#include "text/warning_sentences.h"

/** Zero-initialise; owns all it points to. */
struct wg_stored_warnings {
    bool is_kept; /* false: the file was made by a wintergrub that kept none */
    int n, n_cautions;
    char **text, **setup; /* a sentence; the letter of its setup ("" in an answer) */
    char **caution;
};
/** Safe on a zeroed one, and twice. */
void wg_stored_warnings_free(struct wg_stored_warnings *warned);

#endif
