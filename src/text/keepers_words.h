/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Words that keepers write in a plan for others that it knows, with the line to write instead.
 */
#ifndef WG_TEXT_KEEPERS_WORDS_H
#define WG_TEXT_KEEPERS_WORDS_H

/**
 * Returns what to write in place of a key that a group does not have, a whole sentence; NULL: nothing known. `group` is the
 * name of the group in the schema.
 */
const char *wg_keepers_key(const char *group, const char *word);
/** Returns the key of `keys` (NULL-terminated) that is meant by another name, such as from by since; NULL: none. */
const char *wg_keepers_key_meant(const char *word, const char *const *keys);
/** Returns what to write in place of a value, a whole sentence; NULL: nothing known. `noun`: "a kind of housing". */
const char *wg_keepers_value(const char *noun, const char *word);

#endif
