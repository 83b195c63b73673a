/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Suggests the nearest known word for a misspelt one.
 *
 * The distance is that of Damerau (1964, Commun. ACM 7:171) in the restricted form that transposes neighbours only: most
 * typing errors are one letter missing, added, wrong or transposed. Suggests a word if at most a third of its letters
 * differ, or one (judgement); else the only one that begins with the word or has it as one of its own words.
 */
#include "text/nearest_word.h"

#include <ctype.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

#define MAX_LENGTH 48
#define PART_LENGTH 4 /* of a word that stands for a longer name: judgement */

static int smaller_int(int a, int b) {
    return a < b ? a : b;
}

static int to_lower(char c) {
    return tolower((unsigned char)c);
}

int wg_word_distance(const char *a, const char *b) {
    const size_t na = strlen(a), nb = strlen(b);
    if (na > MAX_LENGTH || nb > MAX_LENGTH)
        return 99;
    int d[MAX_LENGTH + 1][MAX_LENGTH + 1];
    for (size_t i = 0; i <= na; i++)
        d[i][0] = (int)i;
    for (size_t j = 0; j <= nb; j++)
        d[0][j] = (int)j;
    for (size_t i = 1; i <= na; i++)
        for (size_t j = 1; j <= nb; j++) {
            const int same = to_lower(a[i - 1]) == to_lower(b[j - 1]);
            int best = smaller_int(d[i - 1][j - 1] + !same, smaller_int(d[i - 1][j], d[i][j - 1]) + 1);
            if (i > 1 && j > 1 && to_lower(a[i - 1]) == to_lower(b[j - 2]) && to_lower(a[i - 2]) == to_lower(b[j - 1]))
                best = smaller_int(best, d[i - 2][j - 2] + 1);
            d[i][j] = best;
        }
    return d[na][nb];
}

/* Whether a longer name begins with the word, or has it as one of its words: "temp" in temperature, "fish" in fish offal. */
static bool is_part_of(const char *word, const char *name) {
    const size_t n = strlen(word);
    if (n < PART_LENGTH || strncasecmp(word, name, n) == 0)
        return n >= PART_LENGTH;
    for (const char *at = strpbrk(name, " _"); at != NULL; at = strpbrk(at + 1, " _"))
        if (strncasecmp(word, at + 1, n) == 0 && strchr(" _", at[1 + n]) != NULL)
            return true;
    return false;
}

static const char *only_longer_name(const char *word, const char *const *words) {
    const char *found = NULL;
    for (size_t i = 0; words[i] != NULL; i++) {
        if (!is_part_of(word, words[i]))
            continue;
        if (found != NULL)
            return NULL;
        found = words[i];
    }
    return found;
}

const char *wg_word_nearest(const char *word, const char *const *words) {
    const char *nearest = NULL;
    int best = 99;
    for (size_t i = 0; words[i] != NULL; i++) {
        const int distance = wg_word_distance(word, words[i]);
        if (distance >= best)
            continue;
        best = distance;
        nearest = words[i];
    }
    if (nearest == NULL)
        return NULL;
    const int allowed = (int)strlen(nearest) / 3;
    return best <= (allowed > 1 ? allowed : 1) && best < (int)strlen(nearest) ? nearest : only_longer_name(word, words);
}

int wg_word_index(const char *word, const char *const *words) {
    for (int i = 0; words[i] != NULL; i++)
        if (strcmp(words[i], word) == 0)
            return i;
    return -1;
}

void wg_word_list(const char *const *words, char *out, size_t size) {
    size_t used = 0;
    out[0] = '\0';
    for (size_t i = 0; words[i] != NULL && used < size; i++) {
        const char *const separator = i == 0 ? "" : words[i + 1] == NULL ? " or " : ", ";
        const int n = snprintf(out + used, size - used, "%s%s", separator, words[i]);
        used += n > 0 ? (size_t)n : 0;
    }
}
