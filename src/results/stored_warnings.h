/**
 * Holds the warnings and cautions read back from the file of a comparison or an answer.
 */
#ifndef WG_RESULTS_STORED_WARNINGS_H
#define WG_RESULTS_STORED_WARNINGS_H

#include "text/warning_sentences.h"

/** Zero-initialise; owns all it points to. */
struct wg_stored_warnings {
    bool is_kept; /* false: an older wintergrub made the file, without warnings */
    int n, n_cautions;
    char **text, **setup; /* the sentence, and the letter of its setup ("" in an answer) */
    char **caution;
};
/** Frees the warnings; may be zeroed or already freed. */
void wg_stored_warnings_free(struct wg_stored_warnings *warned);

#endif
