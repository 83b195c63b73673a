/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Lists of known words: finds one, suggests the nearest for a misspelt one.
 */
#ifndef WG_TEXT_NEAREST_WORD_H
#define WG_TEXT_NEAREST_WORD_H

#include <stddef.h>

/** Returns the edit distance (insert, delete, substitute, transpose), ignoring case; 99 for words over 48 bytes. */
int wg_word_distance(const char *a, const char *b);

/** Returns the one of `words` (NULL-terminated) nearest to `word`, NULL if none is near enough. */
const char *wg_word_nearest(const char *word, const char *const *words);

/** Returns the place of `word` among `words` (NULL-terminated), -1 if it is none of them. */
int wg_word_index(const char *word, const char *const *words);

/** Writes a list, "soil or box", "a, b or c", truncated to `size`. */
void wg_word_list(const char *const *words, char *out, size_t size);

#endif
