/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Walks a scenario's tree and the schema side by side.
 */
#include "variants/schema_tree.h"

#include <string.h>

static struct wg_key key_named(enum wg_group_id group, const char *name) {
    struct wg_key key;
    for (int i = 0; wg_schema_key(group, i, &key); i++)
        if (strcmp(key.name, name) == 0)
            return key;
    return (struct wg_key){.name = NULL};
}

static enum wg_group_id group_of_item(const struct wg_key *key, const struct wg_yaml_node *item) {
    const struct wg_yaml_node *const word = key->kind == WG_KEY_ACTIONS ? wg_yaml_get(item, "do") : NULL;
    const int action = word != NULL && word->kind == WG_YAML_TEXT ? wg_schema_action(word->text) : -1;
    return action >= 0 ? (enum wg_group_id)action : key->group;
}

struct wg_schema_spot wg_schema_root(const struct wg_yaml_node *root) {
    return (struct wg_schema_spot){.node = root, .group = WG_GROUP_SCENARIO};
}

/* A text in place of a group is the value of the group's first key: housing: shed, lamps: 12 hours. */
struct wg_schema_spot wg_schema_enter(const struct wg_schema_spot *parent, const struct wg_yaml_node *child) {
    struct wg_schema_spot spot = {.node = child, .key = parent->key, .group = parent->group, .owner = parent->group};
    if (parent->node->kind == WG_YAML_MAP) {
        spot.key = key_named(parent->group, child->key->text);
        spot.group = spot.key.group;
    } else {
        spot.group = group_of_item(&parent->key, child);
    }
    if (spot.key.kind == WG_KEY_GROUP && child->kind == WG_YAML_TEXT) {
        spot.owner = spot.key.group;
        spot.key = wg_schema_group(spot.key.group)->keys[0];
    }
    return spot;
}
