/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads and words the conditions on which a keeper acts, with an answer to the ways in which people try to write them.
 */
#include "text/action_text.h"

#include "text/nearest_word.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

static const char night[] = "a night below ";

#define FROST_C 0

/* The words, and what they mean; a night below a temperature is the last of two for that kind, and only an example. */
static const char *const words[] = {"always",
                                    "flies are about",
                                    "larvae crawl off",
                                    "colony is asleep",
                                    "colony is awake",
                                    "frost is forecast",
                                    "a night below 40 degF",
                                    "ours died out",
                                    NULL};
static const enum wg_when_kind kinds[] = {WG_WHEN_ALWAYS, WG_WHEN_FLIES,      WG_WHEN_CRAWL_OFF,  WG_WHEN_ASLEEP,
                                          WG_WHEN_AWAKE,  WG_WHEN_COLD_NIGHT, WG_WHEN_COLD_NIGHT, WG_WHEN_OURS_DEAD};

const char *const *wg_when_words(void) {
    return words;
}

/* What people write, and what to answer. */
static const struct {
    const char *word, *answer;
} meant[] = {
    {"cold", "How cold? Write when: a night below 40 degF, or when: frost is forecast."},
    {"frost", "Did you mean \"frost is forecast\"?"},
    {"freez", "Did you mean \"frost is forecast\"?"},
    {"night", "Write for example when: a night below 40 degF."},
    {"below", "Write for example when: a night below 40 degF."},
    {"fly", "Did you mean \"flies are about\"?"},
    {"flies", "Did you mean \"flies are about\"?"},
    {"adult", "Did you mean \"flies are about\"?"},
    {"crawl", "Did you mean \"larvae crawl off\"?"},
    {"sleep", "Did you mean \"colony is asleep\"?"},
    {"dormant", "Did you mean \"colony is asleep\"?"},
    {"awake", "Did you mean \"colony is awake\"?"},
    {"active", "Did you mean \"colony is awake\"?"},
    {"dead", "Did you mean \"ours died out\"?"},
    {"died", "Did you mean \"ours died out\"?"},
    {"winter", "A season is written as from: 11-01, to: 03-31 (month-day)."},
    {"summer", "A season is written as from: 05-01, to: 09-30 (month-day)."},
    {"spring", "A season is written as from: 03-01, to: 05-31 (month-day)."},
    {"autumn", "A season is written as from: 09-01, to: 11-30 (month-day)."},
    {"fall", "A season is written as from: 09-01, to: 11-30 (month-day)."},
};

static const char *answer_to(const char *text) {
    char lower[64];
    size_t n = 0;
    for (; text[n] != '\0' && n + 1 < sizeof lower; n++)
        lower[n] = (char)tolower((unsigned char)text[n]);
    lower[n] = '\0';
    for (size_t i = 0; i < sizeof meant / sizeof *meant; i++)
        if (strstr(lower, meant[i].word) != NULL)
            return meant[i].answer;
    return isdigit((unsigned char)text[0]) ? "A day is written as on, or as from and to, not as when." : NULL;
}

static int fail_when(const char *text, char message[WG_QUANTITY_MESSAGE]) {
    const char *const answer = answer_to(text);
    char list[300];
    wg_word_list(words, list, sizeof list);
    if (answer != NULL)
        (void)snprintf(message, WG_QUANTITY_MESSAGE, "\"%.60s\" is not a condition. %s", text, answer);
    else
        (void)snprintf(message, WG_QUANTITY_MESSAGE, "\"%.60s\" is not a condition. It can be %s.", text, list);
    return -1;
}

int wg_when_read(const char *text, struct wg_when *when, char message[WG_QUANTITY_MESSAGE]) {
    if (strncmp(text, night, sizeof night - 1) == 0) {
        double below_c;
        if (wg_quantity_read(text + sizeof night - 1, WG_TEMPERATURE, &below_c, message) < 0)
            return -1;
        *when = (struct wg_when){WG_WHEN_COLD_NIGHT, below_c};
        return 0;
    }
    for (int i = 0; words[i] != NULL; i++)
        if (strcmp(text, words[i]) == 0) {
            *when = (struct wg_when){kinds[i], FROST_C};
            return 0;
        }
    return fail_when(text, message);
}

void wg_when_text(const struct wg_when *when, char out[WG_WHEN_TEXT]) {
    char below[WG_QUANTITY_SHOWN_SIZE];
    int i = 0;
    while (kinds[i] != when->kind)
        i++;
    wg_quantity_show(WG_TEMPERATURE, when->below_c, below);
    if (when->kind == WG_WHEN_COLD_NIGHT && (when->below_c < FROST_C || when->below_c > FROST_C))
        (void)snprintf(out, WG_WHEN_TEXT, "%s%.40s is forecast", night, below);
    else
        (void)snprintf(out, WG_WHEN_TEXT, "%s", words[i]);
}
