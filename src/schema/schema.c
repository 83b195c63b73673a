/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Looks up rows of the table and describes the values of a key.
 */
#include "schema/schema.h"

#include "plan/feed.h"
#include "species/species.h"
#include "text/action_text.h"
#include "text/nearest_word.h"
#include "text/show.h"

#include <string.h>

const struct wg_group *wg_schema_group(enum wg_group_id id) {
    wg_assert((int)id >= 0 && id < WG_N_GROUPS);
    return &wg_schema_groups[id];
}

static int count_rows(enum wg_group_id id) {
    int n = 0;
    while (wg_schema_group(id)->keys[n].name != NULL)
        n++;
    return n;
}

static struct wg_key parameter_key(const struct wg_parameter *parameter) {
    const int dimension = wg_dimension_of_unit(parameter->unit);
    wg_assert(dimension >= 0);
    return (struct wg_key){.name = parameter->name,
                           .kind = WG_KEY_QUANTITY,
                           .dimension = (enum wg_dimension)dimension,
                           .least = parameter->least,
                           .most = parameter->most,
                           .has_member = true,
                           .offset = parameter->offset,
                           .help = parameter->text};
}

bool wg_schema_key(enum wg_group_id id, int i, struct wg_key *key) {
    const int n = count_rows(id);
    const struct wg_parameter *const parameter = wg_species_parameters();
    if (i < n)
        *key = wg_schema_group(id)->keys[i];
    else if (id != WG_GROUP_SPECIES || parameter[i - n].name == NULL)
        return false;
    else
        *key = parameter_key(&parameter[i - n]);
    return true;
}

const struct wg_key *wg_schema_find(enum wg_group_id id, const char *name) {
    for (const struct wg_key *key = wg_schema_group(id)->keys; key->name != NULL; key++)
        if (strcmp(key->name, name) == 0)
            return key;
    return NULL;
}

void wg_schema_names(enum wg_group_id id, const char *names[WG_SCHEMA_MAX_WORDS]) {
    struct wg_key key;
    int n = 0;
    for (; wg_schema_key(id, n, &key); n++) {
        wg_assert(n < WG_SCHEMA_MAX_WORDS - 1);
        names[n] = key.name;
    }
    names[n] = NULL;
}

void wg_schema_words(const struct wg_key *key, const char *words[WG_SCHEMA_MAX_WORDS]) {
    const struct wg_feed_type *const feed = wg_feed_types();
    int n = 0;
    if (key->kind == WG_KEY_FEED)
        for (; feed[n].name != NULL; n++)
            words[n] = feed[n].name;
    for (const char *const *when = wg_when_words(); key->kind == WG_KEY_WHEN && when[n] != NULL; n++)
        words[n] = when[n];
    for (; key->words != NULL && key->words[n] != NULL; n++)
        words[n] = key->words[n];
    words[n] = NULL;
}

bool wg_schema_may_try(enum wg_group_id group, const struct wg_key *key) {
    static const char *const fixed[] = {"do", "price", "name"};
    for (size_t i = 0; i < sizeof fixed / sizeof *fixed; i++)
        if (strcmp(fixed[i], key->name) == 0)
            return false;
    return group >= WG_GROUP_PLACE && group <= WG_GROUP_CHANGE;
}

bool wg_schema_may_name_choice(const struct wg_key *key) {
    return key->kind == WG_KEY_QUANTITY || key->kind == WG_KEY_WHOLE || key->kind == WG_KEY_DATE ||
           key->kind == WG_KEY_YEAR_DAY;
}

int wg_schema_action(const char *word) {
    const struct wg_key *const key = wg_schema_find(WG_GROUP_COLLECT, "do");
    for (int i = 0; key->words[i] != NULL; i++)
        if (strcmp(key->words[i], word) == 0)
            return (int)WG_GROUP_COLLECT + i;
    return -1;
}

enum wg_dimension wg_schema_dimension(const struct wg_key *key, const char *text) {
    const enum wg_dimension other = key->flags & WG_KEY_OR_RATE   ? WG_MASS_RATE
                                    : key->flags & WG_KEY_OR_MASS ? WG_PRICE_OF_MASS
                                                                  : key->dimension;
    char message[WG_QUANTITY_MESSAGE];
    double value;
    return wg_quantity_read(text, other, &value, message) == 0 ? other : key->dimension;
}

/* ---- values as text ---- */

static void quantity_range_text(const struct wg_key *key, char out[WG_SCHEMA_TEXT]) {
    char least[WG_QUANTITY_SHOWN_SIZE], most[WG_QUANTITY_SHOWN_SIZE];
    wg_quantity_show(key->dimension, key->least, least);
    wg_quantity_show(key->dimension, key->most, most);
    (void)snprintf(out, WG_SCHEMA_TEXT, "%s from %s to %s", wg_dimension_name(key->dimension), least, most);
}

static void add_words(const struct wg_key *key, char out[WG_SCHEMA_TEXT]) {
    const char *words[WG_SCHEMA_MAX_WORDS];
    const size_t n = strlen(out);
    wg_schema_words(key, words);
    if (words[0] == NULL)
        return;
    const char *const joint = n > 0 ? ", or " : "";
    (void)snprintf(out + n, WG_SCHEMA_TEXT - n, "%s", joint);
    wg_word_list(words, out + n + strlen(joint), WG_SCHEMA_TEXT - n - strlen(joint));
}

static void whole_range_text(const struct wg_key *key, char out[WG_SCHEMA_TEXT]) {
    char least[WG_SHOWN_SIZE], most[WG_SHOWN_SIZE];
    wg_show_whole((int64_t)key->least, least);
    wg_show_whole((int64_t)key->most, most);
    (void)snprintf(out, WG_SCHEMA_TEXT, "a whole number from %s to %s", least, most);
}

/* For the kinds that need nothing else from the row. */
static const char *const kind_texts[WG_KEY_N_KINDS] = {
    [WG_KEY_SEED] = "a whole number from 0 to 18446744073709551615",
    [WG_KEY_FLAG] = "yes or no",
    [WG_KEY_SWITCH] = "on or off",
    [WG_KEY_DATE] = "a date, year-month-day",
    [WG_KEY_YEAR_DAY] = "a day of the year, month-day",
    [WG_KEY_TEXT] = "one line of text",
    [WG_KEY_NAME] = "a name",
    [WG_KEY_BIN] = "the name of a bin",
    [WG_KEY_PLACE] = "the name of a place",
    [WG_KEY_BIN_OR_PLACE] = "the name of a bin or place",
    [WG_KEY_LATITUDE] = "an angle from 66 S to 66 N",
    [WG_KEY_MONEY] = "an amount of money, 0 or more",
    [WG_KEY_RANGE] = "two numbers in [ ]",
    [WG_KEY_CHOICES] = "names, each with now and try",
    [WG_KEY_GROUP] = "a group of keys",
    [WG_KEY_LIST] = "a list",
    [WG_KEY_ACTIONS] = "a list of actions",
    [WG_KEY_MIX] = "feeds with their shares in { }",
};

void wg_schema_value_text(const struct wg_key *key, char out[WG_SCHEMA_TEXT]) {
    out[0] = '\0';
    if (kind_texts[key->kind] != NULL)
        (void)snprintf(out, WG_SCHEMA_TEXT, "%s", kind_texts[key->kind]);
    else if (key->kind == WG_KEY_WHOLE)
        whole_range_text(key, out);
    else if (key->kind == WG_KEY_QUANTITY || key->kind == WG_KEY_MONTHS)
        quantity_range_text(key, out);
    if (key->kind == WG_KEY_MONTHS) {
        const size_t n = strlen(out);
        (void)snprintf(out + n, WG_SCHEMA_TEXT - n, ", %s",
                       key->flags & WG_KEY_OR_ONE ? "one value or twelve" : "twelve values");
    } else if (key->flags & WG_KEY_OR_YEAR_DAY) {
        (void)snprintf(out, WG_SCHEMA_TEXT, "a date, year-month-day, or %s, month-day",
                       key->flags & WG_KEY_FIRST_ONLY ? "a day of the year" : "a day of each year");
    } else if (key->flags & WG_KEY_OR_ALL) {
        const size_t n = strlen(out);
        (void)snprintf(out + n, WG_SCHEMA_TEXT - n, ", a list of names, or all");
    } else if (key->flags & WG_KEY_OR_RATE) {
        const size_t n = strlen(out);
        (void)snprintf(out + n, WG_SCHEMA_TEXT - n, ", or a rate per day or week");
    } else if (key->flags & WG_KEY_OR_MASS) {
        const size_t n = strlen(out);
        (void)snprintf(out + n, WG_SCHEMA_TEXT - n, ", or a price per weight");
    } else if (key->flags & WG_KEY_OR_ONE) {
        (void)snprintf(out, WG_SCHEMA_TEXT, "a group of keys, or a list of such groups");
    }
    add_words(key, out);
}
