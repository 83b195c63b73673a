/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks every value to try by the row of its key, so that a wrong unit is found before a search begins.
 */
#include "scenario/read.h"
#include "text/quantity.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Returns the value without its quotes. */
static char *without_quotes(const char *text) {
    const size_t n = strlen(text);
    const bool is_quoted = n >= 2 && (text[0] == '"' || text[0] == '\'') && text[n - 1] == text[0];
    char *const copy = malloc(n + 1);
    if (copy == NULL)
        return NULL;
    memcpy(copy, text + is_quoted, n + 1 - is_quoted);
    copy[n - 2 * is_quoted] = '\0';
    return copy;
}

static bool has_readable_kind(const struct wg_key *key) {
    switch (key->kind) {
    case WG_KEY_QUANTITY:
    case WG_KEY_WHOLE:
    case WG_KEY_WORD:
    case WG_KEY_FEED:
    case WG_KEY_FLAG:
    case WG_KEY_SWITCH:
    case WG_KEY_DATE:
    case WG_KEY_YEAR_DAY:
    case WG_KEY_WHEN:
    case WG_KEY_BIN:
    case WG_KEY_PLACE:
        return true;
    default: /* groups: a search leaves out the plans that are not legal, and counts them */
        return false;
    }
}

/* Returns true if the key accepts the value; else reports it. */
static bool read_level(struct wg_scenario_reader *reader, const struct wg_opening *opening,
                       const struct wg_opening_use *use, int level) {
    union {
        double number;
        int64_t whole;
        int word;
        bool flag;
        int32_t day;
        struct wg_when when;
    } out;
    const struct wg_level *const at = &opening->levels.level[level];
    char *const text = without_quotes(at->text);
    if (text == NULL) {
        reader->code = WG_ERR_MEMORY;
        return false;
    }
    const struct wg_yaml_node node = {.kind = WG_YAML_TEXT, .line = at->line, .column = at->column, .text = text};
    const bool is_group = text[0] == '{' || text[0] == '[';
    char message[WG_QUANTITY_MESSAGE];
    double rate;
    const bool is_rate =
        (use->key.flags & WG_KEY_OR_RATE) != 0 && wg_quantity_read(text, WG_MASS_RATE, &rate, message) == 0;
    bool is_good = is_rate;
    if (is_group)
        wg_read_mistake(reader, &node, "A value to try is written like the value now, not as a %s: %.60s.",
                        text[0] == '{' ? "group" : "list", text);
    else if (!is_rate)
        is_good = wg_read_value(reader, &node, &use->key, &out);
    free(text);
    return is_good;
}

/* Reports the first wrong value: of a range in the wrong unit all are wrong. */
static void read_levels(struct wg_scenario_reader *reader, const struct wg_opening *opening,
                        const struct wg_opening_use *use) {
    for (int level = 0; level < opening->levels.n; level++)
        if (level != opening->now && !read_level(reader, opening, use, level))
            return;
}

static bool has_wrong_value_now(const struct wg_scenario_reader *reader, const struct wg_opening *opening) {
    const struct wg_level *const now = opening->levels.n > 0 ? &opening->levels.level[opening->now] : NULL;
    for (size_t i = 0; now != NULL && i < reader->problems->n && i < WG_MAX_MISTAKES; i++)
        if (reader->problems->items[i].line == now->line && reader->problems->items[i].column == now->column)
            return true;
    return false;
}

void wg_read_openings(struct wg_scenario_reader *reader) {
    const struct wg_openings *const openings = &reader->scenario->openings;
    for (int i = 0; i < openings->n; i++) {
        const struct wg_opening *const opening = &openings->opening[i];
        if (has_wrong_value_now(reader, opening))
            continue; /* the values to try have the same mistake */
        for (int k = 0; k < opening->n_uses; k++)
            if (has_readable_kind(&opening->use[k].key))
                read_levels(reader, opening, &opening->use[k]);
    }
}
