/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Walks over the keys of a plan: the file's tree and the schema side by side, so that no key is missed; derived values are
 * those of the plan.
 */
#include "outline/outline_walk.h"

#include "housing/shelter.h"
#include "text/show.h"
#include "variants/schema_tree.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

struct key_list {
    const struct wg_plan *plan;
    const struct wg_openings *openings;
    const struct wg_outline_visitor *visitor;
    struct wg_bytes shown;
    int place, bin; /* the current ones, from 0; -1 before the first */
    bool failed;
};

static void put_words_of(struct wg_bytes *out, const char *text, const char *behind) {
    wg_bytes_put(out, text != NULL ? text : "");
    wg_bytes_put(out, behind);
}

/* ---- values ---- */

static void put_joined(struct wg_bytes *out, const struct wg_yaml_node *list) {
    for (const struct wg_yaml_node *item = list->first; item != NULL; item = item->next)
        put_words_of(out, item->text, item->next != NULL ? ", " : "");
}

/* Prints a mix of feeds: "kitchen scraps 70 %, coffee grounds 30 %". */
static void put_mix(struct wg_bytes *out, const struct wg_yaml_node *map) {
    for (const struct wg_yaml_node *item = map->first; item != NULL; item = item->next) {
        put_words_of(out, item->key->text, " ");
        put_words_of(out, item->text, item->next != NULL ? ", " : "");
    }
}

/* Prints a quantity in both unit systems, and anything else as written. */
static void put_outline_value(struct wg_bytes *out, const struct wg_key *key, const char *text) {
    char shown[WG_QUANTITY_SHOWN_SIZE], message[WG_QUANTITY_MESSAGE];
    double value;
    const bool is_quantity = key->kind == WG_KEY_QUANTITY || key->kind == WG_KEY_MONTHS;
    const enum wg_dimension dimension = is_quantity ? wg_schema_dimension(key, text) : key->dimension;
    if (is_quantity && wg_quantity_read(text, dimension, &value, message) == 0)
        wg_quantity_show(dimension, value, shown);
    else
        shown[0] = '\0';
    wg_bytes_put(out, shown[0] != '\0' ? shown : text);
}

/* Returns the struct whose members the keys of a group fill; NULL if no key is derived. */
static const char *members_of(const struct key_list *list, enum wg_group_id group) {
    if (group == WG_GROUP_CLIMATE)
        return (const char *)&list->plan->climate;
    if (group == WG_GROUP_HOUSING)
        return (const char *)&list->plan->places[list->place].shelter;
    if (group == WG_GROUP_GROUND)
        return (const char *)&list->plan->places[list->place].ground;
    if (group == WG_GROUP_SPECIES)
        return (const char *)list->plan;
    return group == WG_GROUP_BIN ? (const char *)&list->plan->bins[list->bin].spec : NULL;
}

static void put_outline_derived(struct wg_bytes *out, const struct wg_key *key, const char *members) {
    char shown[WG_QUANTITY_SHOWN_SIZE];
    double value;
    int word;
    if (key->kind == WG_KEY_FLAG) {
        bool flag;
        memcpy(&flag, members + key->offset, sizeof flag);
        wg_bytes_put(out, flag ? "yes" : "no");
        return;
    }
    if (key->kind == WG_KEY_WORD) {
        memcpy(&word, members + key->offset, sizeof word);
        wg_bytes_put(out, key->words[word]);
        return;
    }
    memcpy(&value, members + key->offset, sizeof value);
    wg_quantity_show(key->dimension, value, shown);
    wg_bytes_put(out, shown);
}

/* ---- which keys ---- */

static bool has_housing_key(const struct wg_shelter_spec *shelter, const char *key) {
    const bool of_room = strcmp(key, "temperature") == 0 || strcmp(key, "depth") == 0 || strcmp(key, "summer") == 0;
    const bool of_light = strcmp(key, "light") == 0 || strcmp(key, "lamps") == 0;
    if (!wg_housing_is_room(shelter->kind))
        return wg_housing_has_walls(shelter->kind) && !of_room &&
               strcmp(key, shelter->kind == WG_SHED ? "cover" : "window") != 0;
    if (shelter->kind == WG_REFRIGERATOR)
        return strcmp(key, "temperature") == 0;
    return of_light || (of_room && isnan(shelter->steady_c) == (strcmp(key, "depth") == 0));
}

/* Keys that have no meaning here, so that the reader would refuse them. */
static bool is_meaningless(const struct key_list *list, const struct wg_outline_group *group,
                           const struct wg_key *key) {
    const enum wg_housing_kind house = list->place >= 0 ? list->plan->places[list->place].shelter.kind : WG_LABORATORY;
    switch (group->id) {
    case WG_GROUP_HOUSING:
        return strcmp(key->name, "kind") != 0 && !has_housing_key(&list->plan->places[list->place].shelter, key->name);
    case WG_GROUP_PLACE:
        return strcmp(key->name, "heater") == 0 && !wg_housing_has_walls(house);
    case WG_GROUP_GROUND:
        return list->plan->places[list->place].ground.kind == WG_GROUND_BOX && key->kind == WG_KEY_QUANTITY;
    case WG_GROUP_GOAL:
        return strcmp(key->name, "of") == 0 && wg_yaml_get(group->node, "harvest") == NULL &&
               wg_yaml_get(group->node, "total_harvest") == NULL;
    default:
        return false;
    }
}

static bool has_default(const struct key_list *list, const struct wg_outline_group *group, const struct wg_key *key) {
    if (is_meaningless(list, group, key) || (key->instead != NULL && wg_yaml_get(group->node, key->instead) != NULL) ||
        (key->with != NULL && wg_yaml_get(group->node, key->with) == NULL))
        return false;
    return key->otherwise != NULL || (key->flags & WG_KEY_DERIVED);
}

/* Whether a key is a group or list that is listed separately, below. */
static bool is_below(const struct wg_key *key, const struct wg_yaml_node *node) {
    const bool is_word = node != NULL && node->kind == WG_YAML_TEXT;
    if (key->kind == WG_KEY_GROUP)
        return node == NULL ? (key->flags & WG_KEY_IMPLIED) != 0 : !is_word || key->group == WG_GROUP_HOUSING;
    return node != NULL && !is_word && (key->kind == WG_KEY_LIST || key->kind == WG_KEY_ACTIONS);
}

/* A text in place of a group is the value of the group's first key. */
static const struct wg_yaml_node *written(const struct wg_outline_group *group, int i, const char *name) {
    if (group->node != NULL && group->node->kind == WG_YAML_TEXT)
        return i == 0 ? group->node : NULL;
    return wg_yaml_get(group->node, name);
}

/* ---- paths ---- */

static void extend_path(const char *path, const char *word, char out[WG_OUTLINE_PATH]) {
    (void)snprintf(out, WG_OUTLINE_PATH, "%.150s%s%.80s", path, path[0] != '\0' ? "." : "", word);
}

/* An item is named by its name, or by its number if the name has a dot or is that of another item. */
static void item_path(const char *path, const struct wg_yaml_node *list, const struct wg_yaml_node *item, int number,
                      char out[WG_OUTLINE_PATH]) {
    const struct wg_yaml_node *const name = wg_yaml_get(item, "name");
    bool is_clear = name != NULL && name->kind == WG_YAML_TEXT && strpbrk(name->text, ".\n") == NULL &&
                    strspn(name->text, "0123456789") < strlen(name->text);
    for (const struct wg_yaml_node *other = list->first; other != NULL && is_clear; other = other->next) {
        const struct wg_yaml_node *const its = wg_yaml_get(other, "name");
        is_clear = other == item || its == NULL || its->kind != WG_YAML_TEXT || strcmp(its->text, name->text) != 0;
    }
    char text[16];
    (void)snprintf(text, sizeof text, "%d", number);
    extend_path(path, is_clear ? name->text : text, out);
}

/* ---- groups ---- */

static bool may_be_added(const struct key_list *list, const struct wg_outline_group *group, const struct wg_key *key) {
    const bool lacks = key->with != NULL && wg_yaml_get(group->node, key->with) == NULL,
               is_replaced = key->instead != NULL && wg_yaml_get(group->node, key->instead) != NULL;
    return key->help != NULL && group->id != WG_GROUP_SPECIES && !lacks && !is_replaced &&
           !is_meaningless(list, group, key);
}

/* Returns the default of a key; where one animal is lived, that animal's. */
static const char *default_text(const struct key_list *list, enum wg_group_id group, const struct wg_key *key) {
    if (group != WG_GROUP_SPECIES || list->plan->animals != WG_ANIMALS_MIDDLE)
        return key->otherwise;
    if (strcmp(key->name, "numbers") == 0)
        return list->plan->numbers;
    if (strcmp(key->name, "dormancy") == 0)
        return key->words[list->plan->species.dorm_by_day > 0.5 ? 0 : 1];
    return strcmp(key->name, "clutch") == 0 ? "as in the set" : key->otherwise;
}

/* Finds the value of a key that the file writes or that has a default. */
static void show_key_value(struct key_list *list, const struct wg_outline_group *group, struct wg_outline_key *key) {
    struct wg_bytes *const out = &list->shown;
    list->shown.size = 0;
    wg_bytes_put(out, "");
    if (key->node != NULL && key->node->kind == WG_YAML_MAP)
        put_mix(out, key->node);
    else if (key->node != NULL && key->node->kind == WG_YAML_LIST)
        put_joined(out, key->node);
    else if (key->node != NULL)
        put_outline_value(out, key->key, key->node->text);
    else if (key->origin == WG_OUTLINE_DEFAULT && (key->key->flags & WG_KEY_DERIVED))
        put_outline_derived(out, key->key, members_of(list, group->id));
    else if (key->origin == WG_OUTLINE_DEFAULT)
        put_outline_value(out, key->key, default_text(list, group->id, key->key));
    key->shown = list->shown.size > 0 ? list->shown.data : "";
    list->failed |= list->shown.failed;
}

static void visit_keys(struct key_list *list, const struct wg_outline_group *group) {
    struct wg_key key;
    bool is_first = true;
    for (int i = 0; wg_schema_key(group->id, i, &key); i++) {
        struct wg_outline_key found = {.key = &key, .node = written(group, i, key.name), .is_first = is_first};
        if (is_below(&key, found.node) || (key.kind == WG_KEY_CHOICES && list->openings->choose_length > 0))
            continue;
        found.origin = found.node != NULL               ? WG_OUTLINE_WRITTEN
                       : has_default(list, group, &key) ? WG_OUTLINE_DEFAULT
                                                        : WG_OUTLINE_LEFT_OUT;
        if (found.origin == WG_OUTLINE_LEFT_OUT && !may_be_added(list, group, &key))
            continue;
        show_key_value(list, group, &found);
        if (list->visitor->key != NULL)
            list->visitor->key(list->visitor->self, group, &found);
        is_first &= found.origin == WG_OUTLINE_LEFT_OUT;
    }
    if (list->visitor->end != NULL)
        list->visitor->end(list->visitor->self, group);
}

/* "hoop house: heater" */
static void label_group(const struct key_list *list, const struct wg_key *key, char out[2 * WG_NAME_SIZE]) {
    const char *owner = NULL;
    switch (key->group) {
    case WG_GROUP_HOUSING:
    case WG_GROUP_HEATER:
    case WG_GROUP_GROUND:
    case WG_GROUP_LAMPS:
    case WG_GROUP_ROOM_SUMMER:
        owner = list->plan->places[list->place].name;
        break;
    case WG_GROUP_MAT:
    case WG_GROUP_SUMMER:
        owner = list->plan->bins[list->bin].name;
        break;
    default:
        break;
    }
    (void)snprintf(out, (size_t)2 * WG_NAME_SIZE, "%s%s%s", owner != NULL ? owner : "", owner != NULL ? ": " : "",
                   key->name);
}

static void visit_group(struct key_list *list, const struct wg_outline_group *group);

static void visit_item(struct key_list *list, const struct wg_schema_spot *spot, int number,
                       struct wg_outline_group *group) {
    const bool is_named = spot->group == WG_GROUP_PLACE || spot->group == WG_GROUP_BIN;
    char label[WG_OUTLINE_LABEL];
    list->place += spot->group == WG_GROUP_PLACE;
    list->bin += spot->group == WG_GROUP_BIN;
    (void)snprintf(label, sizeof label, "%s %d", is_named ? wg_schema_group(spot->group)->name : spot->key.name,
                   number);
    group->node = spot->node;
    group->id = spot->group;
    group->label = label;
    group->is_line = !is_named;
    visit_group(list, group);
}

static void visit_list(struct key_list *list, const struct wg_schema_spot *spot, const char *path) {
    struct wg_outline_group group;
    int number = 0;
    if (spot->node->kind == WG_YAML_MAP) { /* a single goal without a list */
        (void)snprintf(group.path, sizeof group.path, "%s", path);
        visit_item(list, spot, 1, &group);
        return;
    }
    for (const struct wg_yaml_node *item = spot->node->first; item != NULL; item = item->next) {
        const struct wg_schema_spot at = wg_schema_enter(spot, item);
        item_path(path, spot->node, item, ++number, group.path);
        visit_item(list, &at, number, &group);
    }
}

/* Visits the groups below, each after its own keys. */
static void visit_below(struct key_list *list, const struct wg_outline_group *group) {
    const struct wg_schema_spot parent = {.node = group->node, .group = group->id};
    struct wg_key key;
    char label[WG_OUTLINE_LABEL];
    for (int i = 0; wg_schema_key(group->id, i, &key); i++) {
        const struct wg_yaml_node *const node = written(group, i, key.name);
        if (!is_below(&key, node))
            continue;
        struct wg_outline_group below = {.node = node, .id = key.group, .label = label};
        label_group(list, &key, label);
        extend_path(group->path, key.name, below.path);
        if (key.kind == WG_KEY_GROUP) {
            visit_group(list, &below);
        } else {
            const struct wg_schema_spot spot = wg_schema_enter(&parent, node);
            visit_list(list, &spot, below.path);
        }
    }
}

static void visit_group(struct key_list *list, const struct wg_outline_group *group) {
    visit_keys(list, group);
    visit_below(list, group);
}

int wg_outline_walk(const struct wg_scenario *scenario, const struct wg_yaml_node *root,
                    const struct wg_openings *openings, const struct wg_outline_visitor *visitor) {
    struct key_list list = {.plan = &scenario->plan, .openings = openings, .visitor = visitor, .place = -1, .bin = -1};
    visit_group(&list, &(struct wg_outline_group){.node = root, .id = WG_GROUP_SCENARIO, .label = "scenario"});
    wg_bytes_free(&list.shown);
    return list.failed ? WG_ERR_MEMORY : 0;
}
