/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Merges the trees of two plans, key by key.
 */
#include "records/yaml.h"

#include <stdbool.h>
#include <string.h>

static bool is_text(const struct wg_yaml_node *node, const char *text) {
    return node != NULL && node->kind == WG_YAML_TEXT && strcmp(node->text, text) == 0;
}

/* Returns the link that holds the value of a key, or the last link. */
static struct wg_yaml_node **link_of_key(struct wg_yaml_node *map, const char *key) {
    struct wg_yaml_node **link = &map->first;
    while (*link != NULL && strcmp((*link)->key->text, key) != 0)
        link = &(*link)->next;
    return link;
}

static void unlink_node(struct wg_yaml_node *parent, struct wg_yaml_node **link) {
    if (*link == NULL)
        return;
    *link = (*link)->next;
    parent->n--;
}

void wg_yaml_remove(struct wg_yaml_node *map, const char *key) {
    if (map->kind == WG_YAML_MAP)
        unlink_node(map, link_of_key(map, key));
}

/* ---- alternatives ---- */

/* Of these keys a map has one. */
static const char *const alternatives[][3] = {
    {"u_value", "r_value"}, {"window", "sun_area"}, {"normals", "record", "constant"}, {"temperature", "depth"}};

static void remove_alternatives(struct wg_yaml_node *map, const char *key) {
    for (size_t i = 0; i < sizeof alternatives / sizeof *alternatives; i++) {
        bool found = false;
        for (size_t j = 0; j < 3 && alternatives[i][j] != NULL; j++)
            found = found || strcmp(alternatives[i][j], key) == 0;
        for (size_t j = 0; found && j < 3 && alternatives[i][j] != NULL; j++)
            if (strcmp(alternatives[i][j], key) != 0)
                wg_yaml_remove(map, alternatives[i][j]);
    }
}

static bool has_other_kind(const struct wg_yaml_node *map, const struct wg_yaml_node *base) {
    const struct wg_yaml_node *const kind = wg_yaml_get(map, "kind"), *const was = wg_yaml_get(base, "kind");
    return kind != NULL && was != NULL && kind->kind == WG_YAML_TEXT && !is_text(was, kind->text);
}

/* ---- merging ---- */

static const struct wg_yaml_node *name_of(const struct wg_yaml_node *item) {
    const struct wg_yaml_node *const name = wg_yaml_get(item, "name");
    return name != NULL && name->kind == WG_YAML_TEXT ? name : NULL;
}

static bool is_named_list(const struct wg_yaml_node *list) {
    if (list->kind != WG_YAML_LIST)
        return false;
    for (const struct wg_yaml_node *item = list->first; item != NULL; item = item->next)
        if (name_of(item) == NULL)
            return false;
    return list->first != NULL;
}

static void merge_value(struct wg_yaml_node *parent, struct wg_yaml_node **link, struct wg_yaml_node *value);

/* Appends or merges every item of `list`, by name. */
static void merge_items(struct wg_yaml_node *base, struct wg_yaml_node *list) {
    for (struct wg_yaml_node *item = list->first, *next; item != NULL; item = next) {
        next = item->next;
        struct wg_yaml_node **link = &base->first;
        while (*link != NULL && !is_text(name_of(*link), name_of(item)->text))
            link = &(*link)->next;
        merge_value(base, link, item);
    }
}

static void merge_keys(struct wg_yaml_node *base, struct wg_yaml_node *map) {
    for (struct wg_yaml_node *value = map->first, *next; value != NULL; value = next) {
        next = value->next;
        remove_alternatives(base, value->key->text);
        merge_value(base, link_of_key(base, value->key->text), value);
    }
}

/*
 * Makes "housing: shed" of the base the key "kind: shed" of the plan's map, which would lack it, and the same with the
 * hours of lamps. Reuses the nodes of the base; the new key is no longer than the old one.
 */
static void take_word(struct wg_yaml_node *map, struct wg_yaml_node *word) {
    static const char *const first_key[][2] = {{"housing", "kind"}, {"lamps", "hours"}};
    for (size_t i = 0; i < sizeof first_key / sizeof *first_key; i++) {
        if (!is_text(map->key, first_key[i][0]) || wg_yaml_get(map, first_key[i][1]) != NULL || is_text(word, "none"))
            continue;
        memcpy(word->key->text, first_key[i][1], strlen(first_key[i][1]) + 1);
        word->next = map->first;
        map->first = word;
        map->n++;
    }
}

/* Larger maps and lists are no plan; merging them would take a time that grows with their square. */
#define MAX_MERGED 1000

static bool is_merged(const struct wg_yaml_node *value, const struct wg_yaml_node *base) {
    if (value->kind != base->kind || value->n > MAX_MERGED || base->n > MAX_MERGED || is_text(value->key, "goal"))
        return false;
    return value->kind == WG_YAML_MAP ? !has_other_kind(value, base) : is_named_list(value) && is_named_list(base);
}

/* Puts a value of the plan where *link points: in place of the base's, merged with it, or at the end. */
static void merge_value(struct wg_yaml_node *parent, struct wg_yaml_node **link, struct wg_yaml_node *value) {
    struct wg_yaml_node *const base = *link;
    if (base != NULL && base->kind != WG_YAML_TEXT && is_text(value, "none")) {
        unlink_node(parent, link);
        return;
    }
    value->next = base != NULL ? base->next : NULL;
    parent->n += base == NULL;
    if (base != NULL && is_merged(value, base)) {
        (value->kind == WG_YAML_MAP ? merge_keys : merge_items)(base, value);
        value->first = base->first;
        value->n = base->n;
    } else if (base != NULL && base->kind == WG_YAML_TEXT && value->kind == WG_YAML_MAP) {
        take_word(value, base);
    }
    *link = value;
}

void wg_yaml_merge(struct wg_yaml *yaml, struct wg_yaml *base) {
    merge_keys(base->root, yaml->root);
    yaml->root->first = base->root->first;
    yaml->root->n = base->root->n;
    struct wg_yaml_node **last = &yaml->allocated;
    while (*last != NULL)
        last = &(*last)->allocated;
    *last = base->allocated;
    *base = (struct wg_yaml){0};
}
