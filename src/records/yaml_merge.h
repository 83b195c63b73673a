/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Merges two trees of plans, of which one says only what differs from the other, and writes a tree as YAML.
 */
#ifndef WG_RECORDS_YAML_MERGE_H
#define WG_RECORDS_YAML_MERGE_H

#include "records/yaml.h"

/**
 * Gives `yaml` what it leaves out of `base`, and takes over all nodes of `base`, which is then empty. Maps merge by key,
 * lists whose items all have a "name" by name; any other value of `yaml` replaces that of `base`. The word none in place
 * of a map or list removes it. A key removes its alternatives: r_value a u_value, record the normals. A map with another
 * "kind" replaces the whole map, and a goal replaces all goals. Merged maps keep their position in `yaml`. Both roots
 * are maps.
 */
void wg_yaml_merge(struct wg_yaml *yaml, struct wg_yaml *base);

/** Removes a key of a map; its nodes stay allocated. */
void wg_yaml_remove(struct wg_yaml_node *map, const char *key);

/** Returns the tree as YAML, malloc'ed; NULL if out of memory. Reading it gives the same tree. */
char *wg_yaml_write(const struct wg_yaml_node *root, size_t *size);

#endif
