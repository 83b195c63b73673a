/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Walks over every key of a plan as understood: those that the file gives, those with defaults, and those that it could
 * give.
 */
#ifndef WG_OUTLINE_OUTLINE_WALK_H
#define WG_OUTLINE_OUTLINE_WALK_H

#include "records/yaml.h"
#include "scenario/scenario.h"
#include "schema/schema.h"
#include "text/bytes.h"

#define WG_OUTLINE_PATH 240
#define WG_OUTLINE_LABEL 128

/** A map of the plan. */
struct wg_outline_group {
    const struct wg_yaml_node *node; /* NULL: the file leaves it out, and its defaults apply */
    enum wg_group_id id;
    const char *label;          /* "hoop house: heater", "place 1" */
    char path[WG_OUTLINE_PATH]; /* as wg_vary_find() takes it: "places.hoop house.heater"; "" of the plan */
    bool is_line;               /* `check` prints it on one line: an action, feeding or goal */
};

enum wg_outline_origin { WG_OUTLINE_WRITTEN, WG_OUTLINE_DEFAULT, WG_OUTLINE_LEFT_OUT };

/** A key of a group. */
struct wg_outline_key {
    const struct wg_key *key;
    const struct wg_yaml_node *node; /* NULL unless it is written */
    enum wg_outline_origin origin;
    const char *shown; /* its value, quantities in both unit systems; "" if it is left out */
    bool is_first;     /* the first key of its group that is not left out */
};

/** Gets the keys group by group, in the order of the table. `end` follows the keys of a group. Either may be NULL. */
struct wg_outline_visitor {
    void (*key)(void *self, const struct wg_outline_group *group, const struct wg_outline_key *key);
    void (*end)(void *self, const struct wg_outline_group *group);
    void *self;
};

/** Visits all keys of the plan; wg_openings_take() has taken the openings out of its tree. Returns 0 or WG_ERR_MEMORY. */
int wg_outline_walk(const struct wg_scenario *scenario, const struct wg_yaml_node *root,
                    const struct wg_openings *openings, const struct wg_outline_visitor *visitor);

#endif
