/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The warnings and cautions of a comparison or an answer as sentences, from its file or from memory.
 */
#ifndef WG_DATA_STORED_WARNINGS_H
#define WG_DATA_STORED_WARNINGS_H

#include "text/warning_sentences.h"

/** Zero-initialise; owns all it points to. */
struct wg_stored_warnings {
    bool is_kept; /* false: an older wintergrub made the file, without warnings */
    int n, n_cautions;
    char **text, **setup; /* the sentence, and the letter of its setup ("" in an answer) */
    char **caution;
};
/**
 * Words the warnings of n setups (NULL: not checked) and their cautions, as a file has them. Returns 0 or WG_ERR_MEMORY;
 * free *warned in every case.
 */
int wg_stored_warnings_word(struct wg_stored_warnings *warned, int n, const struct wg_plan *const *plan,
                            const struct wg_warnings *const *warnings, struct wg_error *err);
/** Lists the cautions that apply to any of n plans; returns how many. */
int wg_cautions_of(int n, const struct wg_plan *const *plan, const char *out[WG_N_CAUTIONS]);
/** Frees the warnings; may be zeroed or already freed. */
void wg_stored_warnings_free(struct wg_stored_warnings *warned);

#endif
