/**
 * Words of a scenario: which known word did the keeper mean?
 */
#ifndef WG_TEXT_NEAREST_WORD_H
#define WG_TEXT_NEAREST_WORD_H

#include <stddef.h>

/** Letters to insert, drop, change or swap to make one word the other, letter case aside; 99 for words over 48 bytes. */
int wg_word_distance(const char *a, const char *b);

/** The one of `words` (ended by NULL) nearest to `word`, NULL when none is near enough to suggest. */
const char *wg_word_nearest(const char *word, const char *const *words);

/** Lists words as people do, "soil or box", "a, b or c", cut to `size`. */
void wg_word_list(const char *const *words, char *out, size_t size);

#endif
