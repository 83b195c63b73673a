/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Pairs a node of a scenario's tree with its row of the schema.
 */
#ifndef WG_VARIANTS_SCHEMA_TREE_H
#define WG_VARIANTS_SCHEMA_TREE_H

#include "records/yaml.h"
#include "schema/schema.h"

struct wg_schema_spot {
    const struct wg_yaml_node *node;
    struct wg_key key;      /* of a value or its items; its name is NULL if the schema has no such key */
    enum wg_group_id group; /* of the keys of a map */
    enum wg_group_id owner; /* the group that has the key */
};

/** Returns the spot of the whole scenario. */
struct wg_schema_spot wg_schema_root(const struct wg_yaml_node *root);
/** Returns the spot of a child of `parent`'s node. */
struct wg_schema_spot wg_schema_enter(const struct wg_schema_spot *parent, const struct wg_yaml_node *child);

#endif
