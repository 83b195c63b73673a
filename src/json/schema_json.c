/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Writes the rows of the schema as JSON Schema, one definition for each group. Contradictions between keys are left to
 * `wintergrub check`.
 */
#include "json/schema_json.h"

#include "schema/schema.h"
#include "text/action_text.h"
#include "json/json.h"

#include <stdlib.h>
#include <string.h>

/* A number; a unit may follow. */
#define NUMBER "^[-+$]?([0-9]+\\.?[0-9]*|\\.[0-9]+)([eE][-+]?[0-9]+)?"

static void put_type(struct wg_json *json, const char *type) {
    wg_json_text(json, "type", type);
}

/* Replaces spaces, which a reference may not contain: "#/$defs/pull_traps". */
static void definition_name(enum wg_group_id group, const char *before, char out[64]) {
    (void)snprintf(out, 64, "%s%s", before, wg_schema_group(group)->name);
    for (char *c = out; *c != '\0'; c++)
        *c = *c == ' ' ? '_' : *c;
}

static void put_reference(struct wg_json *json, const char *key, enum wg_group_id group) {
    char path[64];
    definition_name(group, "#/$defs/", path);
    wg_json_object(json, key);
    wg_json_text(json, "$ref", path);
    wg_json_close(json);
}

/* Writes the words of a key; also as a number, as which a YAML reader takes "24". */
static void put_words(struct wg_json *json, const struct wg_key *key) {
    const char *words[WG_SCHEMA_MAX_WORDS];
    wg_schema_words(key, words);
    wg_json_list(json, "enum");
    for (int i = 0; words[i] != NULL; i++) {
        if (words[i][0] >= '0' && words[i][0] <= '9')
            wg_json_whole(json, NULL, strtoll(words[i], NULL, 10));
        wg_json_text(json, NULL, words[i]);
    }
    wg_json_close(json);
}

/* Some YAML readers take yes and on as true, others as texts. */
static void put_flag(struct wg_json *json) {
    static const char *const words[] = {"yes", "no", "true", "false", "on", "off"};
    wg_json_list(json, "enum");
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        wg_json_text(json, NULL, words[i]);
    wg_json_flag(json, NULL, true);
    wg_json_flag(json, NULL, false);
    wg_json_close(json);
}

static void put_whole(struct wg_json *json, const struct wg_key *key) {
    put_type(json, "integer");
    wg_json_whole(json, "minimum", (int64_t)key->least);
    if (key->kind == WG_KEY_WHOLE)
        wg_json_whole(json, "maximum", (int64_t)key->most);
}

/* Writes a text as one choice of a list. */
static void put_text_choice(struct wg_json *json, const char *pattern) {
    wg_json_object(json, NULL);
    put_type(json, "string");
    wg_json_text(json, "pattern", pattern);
    wg_json_close(json);
}

static void put_number_choice(struct wg_json *json) {
    wg_json_object(json, NULL);
    put_type(json, "number");
    wg_json_close(json);
}

/* Writes the forms of a quantity as choices of an open list. */
static void put_quantity_choices(struct wg_json *json, const struct wg_key *key, bool is_bare) {
    if (is_bare || wg_dimension_is_bare(key->dimension))
        put_number_choice(json);
    put_text_choice(json, key->dimension == WG_R_VALUE ? "^[Rr][- ]*[0-9.]+$|" NUMBER " *\\S" : NUMBER " *\\S");
    if (key->words == NULL)
        return;
    wg_json_object(json, NULL);
    put_words(json, key);
    wg_json_close(json);
}

static void put_months_schema(struct wg_json *json, const struct wg_key *key) {
    wg_json_list(json, "anyOf");
    if (key->flags & WG_KEY_OR_ONE)
        put_quantity_choices(json, key, true);
    wg_json_object(json, NULL);
    put_type(json, "array");
    wg_json_whole(json, "minItems", 12);
    wg_json_whole(json, "maxItems", 12);
    wg_json_object(json, "items");
    wg_json_list(json, "anyOf");
    put_quantity_choices(json, key, true);
    wg_json_close(json);
    wg_json_close(json);
    wg_json_close(json);
    wg_json_close(json);
}

static void put_range(struct wg_json *json) {
    put_type(json, "array");
    wg_json_whole(json, "minItems", 2);
    wg_json_whole(json, "maxItems", 2);
}

static void put_group_value(struct wg_json *json, const struct wg_key *key) {
    const struct wg_key *const first = wg_schema_group(key->group)->keys;
    wg_json_list(json, "anyOf");
    put_reference(json, NULL, key->group);
    if (key->words != NULL) {
        wg_json_object(json, NULL);
        put_words(json, key);
        wg_json_close(json);
    }
    if (key->words != NULL && first->kind == WG_KEY_QUANTITY) /* lamps: 12 hours */
        put_text_choice(json, NUMBER " *\\S");
    wg_json_close(json);
}

static void put_items(struct wg_json *json, const struct wg_key *key) {
    wg_json_object(json, NULL);
    put_type(json, "array");
    wg_json_whole(json, "minItems", 1);
    if (key->kind == WG_KEY_LIST) {
        put_reference(json, "items", key->group);
    } else {
        const struct wg_key *const word = wg_schema_find(key->group, "do");
        wg_json_object(json, "items");
        wg_json_list(json, "anyOf");
        for (int i = 0; word->words[i] != NULL; i++)
            put_reference(json, NULL, (enum wg_group_id)((int)key->group + i));
        wg_json_close(json);
        wg_json_close(json);
    }
    wg_json_close(json);
}

static void put_list_schema(struct wg_json *json, const struct wg_key *key) {
    wg_json_list(json, "anyOf");
    put_items(json, key);
    if (key->flags & WG_KEY_OR_ONE)
        put_reference(json, NULL, key->group);
    if (key->words != NULL) {
        wg_json_object(json, NULL);
        put_words(json, key);
        wg_json_close(json);
    }
    wg_json_close(json);
}

/* A condition: one of its words, of which a night below a temperature is only an example. */
static void put_when(struct wg_json *json) {
    char pattern[400] = "^(";
    for (const char *const *word = wg_when_words(); *word != NULL; word++) {
        const size_t used = strlen(pattern);
        const bool is_night = strncmp(*word, "a night below ", 14) == 0;
        (void)snprintf(pattern + used, sizeof pattern - used, "%s|", is_night ? "a night below .+" : *word);
    }
    (void)snprintf(pattern + strlen(pattern) - 1, 3, ")$");
    put_type(json, "string");
    wg_json_text(json, "pattern", pattern);
}

/* Names and money, which YAML may read as numbers. */
static void put_text_or_number(struct wg_json *json) {
    wg_json_list(json, "type");
    wg_json_text(json, NULL, "string");
    wg_json_text(json, NULL, "number");
    wg_json_close(json);
}

/* A name, or a list of names; "all" is a text like any name. */
static void put_names(struct wg_json *json) {
    wg_json_list(json, "anyOf");
    wg_json_object(json, NULL);
    put_text_or_number(json);
    wg_json_close(json);
    wg_json_object(json, NULL);
    put_type(json, "array");
    wg_json_whole(json, "minItems", 1);
    wg_json_object(json, "items");
    put_text_or_number(json);
    wg_json_close(json);
    wg_json_close(json);
    wg_json_close(json);
}

static void put_value_schema(struct wg_json *json, enum wg_group_id group, const struct wg_key *key) {
    switch (key->kind) {
    case WG_KEY_QUANTITY:
        wg_json_list(json, "anyOf");
        put_quantity_choices(json, key, false);
        wg_json_close(json);
        break;
    case WG_KEY_WHOLE:
    case WG_KEY_SEED:
        put_whole(json, key);
        break;
    case WG_KEY_FEED: /* or a feed of the plan's own */
        wg_json_list(json, "anyOf");
        wg_json_object(json, NULL);
        put_words(json, key);
        wg_json_close(json);
        wg_json_object(json, NULL);
        put_type(json, "string");
        wg_json_close(json);
        wg_json_close(json);
        break;
    case WG_KEY_MIX:
        put_type(json, "object");
        break;
    case WG_KEY_WORD:
        if (strcmp(key->name, "do") == 0)
            wg_json_text(json, "const", wg_schema_group(group)->name);
        else
            put_words(json, key);
        break;
    case WG_KEY_FLAG:
    case WG_KEY_SWITCH:
        put_flag(json);
        break;
    case WG_KEY_MONTHS:
        put_months_schema(json, key);
        break;
    case WG_KEY_RANGE:
        put_range(json);
        break;
    case WG_KEY_GROUP:
        put_group_value(json, key);
        break;
    case WG_KEY_LIST:
    case WG_KEY_ACTIONS:
        put_list_schema(json, key);
        break;
    case WG_KEY_WHEN:
        put_when(json);
        break;
    case WG_KEY_DATE:
        put_type(json, "string");
        wg_json_text(json, "pattern",
                     key->flags & WG_KEY_OR_YEAR_DAY ? "^([0-9]{4}-)?[0-9]{2}-[0-9]{2}$"
                                                     : "^[0-9]{4}-[0-9]{2}-[0-9]{2}$");
        break;
    case WG_KEY_YEAR_DAY:
        put_type(json, "string");
        wg_json_text(json, "pattern", "^[0-9]{2}-[0-9]{2}$");
        break;
    default:
        if (key->flags & WG_KEY_OR_ALL)
            put_names(json);
        else
            put_text_or_number(json);
        break;
    }
}

/* ---- values to try ---- */

/* Writes the form {now: ..., try: ..., or: ...}, once: other keys refer to it. */
static void put_opening(struct wg_json *json) {
    static const char *const words[] = {"now", "try", "or"};
    put_type(json, "object");
    wg_json_list(json, "required");
    wg_json_text(json, NULL, "now");
    wg_json_close(json);
    wg_json_object(json, "propertyNames");
    wg_json_list(json, "enum");
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        wg_json_text(json, NULL, words[i]);
    wg_json_close(json);
    wg_json_close(json);
}

/* Writes a value, or several to try, or the name of a choice. */
static void put_open_value(struct wg_json *json, enum wg_group_id group, const struct wg_key *key) {
    wg_json_list(json, "anyOf");
    wg_json_object(json, NULL);
    put_value_schema(json, group, key);
    wg_json_close(json);
    wg_json_object(json, NULL);
    wg_json_text(json, "$ref", "#/properties/choose/additionalProperties");
    wg_json_close(json);
    if (wg_schema_may_name_choice(key))
        put_text_choice(json, "^[A-Za-z][^:]*$");
    wg_json_close(json);
}

static void put_choices(struct wg_json *json) {
    put_type(json, "object");
    wg_json_object(json, "additionalProperties");
    put_opening(json);
    wg_json_close(json);
}

static void put_key(struct wg_json *json, enum wg_group_id group, const struct wg_key *key) {
    char value[WG_SCHEMA_TEXT], text[2 * WG_SCHEMA_TEXT];
    const size_t length = strlen(key->help);
    const bool has_stop = length > 0 && key->help[length - 1] == '.';
    wg_schema_value_text(key, value);
    (void)snprintf(text, sizeof text, "%s%s Value: %s%s%s.", key->help, has_stop ? "" : ".", value,
                   key->only != NULL ? "; " : "", key->only != NULL ? key->only : "");
    wg_json_object(json, key->name);
    if (key->kind == WG_KEY_CHOICES)
        put_choices(json);
    else if (wg_schema_may_try(group, key))
        put_open_value(json, group, key);
    else
        put_value_schema(json, group, key);
    wg_json_text(json, "description", text);
    if (key->otherwise != NULL)
        wg_json_text(json, "default", key->otherwise);
    if (key->example != NULL) {
        wg_json_list(json, "examples");
        wg_json_text(json, NULL, key->example);
        wg_json_close(json);
    }
    wg_json_close(json);
}

static void put_group(struct wg_json *json, enum wg_group_id id) {
    struct wg_key key;
    put_type(json, "object");
    wg_json_text(json, "description", wg_schema_group(id)->help);
    wg_json_flag(json, "additionalProperties", false);
    wg_json_list(json, "required");
    for (int i = 0; wg_schema_key(id, i, &key); i++)
        if (key.flags & WG_KEY_REQUIRED)
            wg_json_text(json, NULL, key.name);
    wg_json_close(json);
    wg_json_object(json, "properties");
    for (int i = 0; wg_schema_key(id, i, &key); i++)
        put_key(json, id, &key);
    wg_json_close(json);
}

int wg_schema_print_json(FILE *to, struct wg_error *err) {
    struct wg_json *const json = wg_json_new();
    wg_json_text(json, "$schema", "https://json-schema.org/draft/2020-12/schema");
    wg_json_text(json, "title", "A scenario of wintergrub");
    put_group(json, WG_GROUP_SCENARIO);
    wg_json_object(json, "$defs");
    for (int g = WG_GROUP_SCENARIO + 1; g < WG_N_GROUPS; g++) {
        char name[64];
        definition_name((enum wg_group_id)g, "", name);
        wg_json_object(json, name);
        put_group(json, (enum wg_group_id)g);
        wg_json_close(json);
    }
    wg_json_close(json);
    return wg_json_print(json, to, err);
}
