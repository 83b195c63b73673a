/*
 * Lists the value of every key of a scenario, group by group, with "(default)" after those the file leaves out.
 *
 * It walks the file's tree and the schema side by side, so that no key is missed, and takes derived values from the
 * plan.
 */
#include "housing/shelter.h"
#include "outline/outline.h"
#include "text/show.h"
#include "variants/schema_tree.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

struct key_list {
    FILE *out;
    const struct wg_plan *plan;
    const struct wg_openings *openings;
    int place, bin; /* the current ones, from 0; -1 before the first */
};

/* A node of the file (NULL if the file leaves it out) and the group of keys to list for it. */
struct key_group {
    const struct wg_yaml_node *node;
    enum wg_group_id id;
    const char *label;
    bool is_line; /* print it on one line, as an action, feeding or goal */
};

/* ---- values ---- */

static void print_joined(FILE *out, const struct wg_yaml_node *list) {
    for (const struct wg_yaml_node *item = list->first; item != NULL; item = item->next)
        (void)fprintf(out, "%s%s", item->text != NULL ? item->text : "", item->next != NULL ? ", " : "");
}

/* Prints a mix of feeds: "kitchen scraps 70 %, coffee grounds 30 %". */
static void print_mix(FILE *out, const struct wg_yaml_node *map) {
    for (const struct wg_yaml_node *item = map->first; item != NULL; item = item->next)
        (void)fprintf(out, "%s %s%s", item->key->text, item->text != NULL ? item->text : "",
                      item->next != NULL ? ", " : "");
}

/* Prints a quantity in both unit systems, and anything else as written. */
static void print_value(FILE *out, const struct wg_key *key, const char *text) {
    char shown[WG_QUANTITY_SHOWN_SIZE], message[WG_QUANTITY_MESSAGE];
    double value;
    const bool is_quantity = key->kind == WG_KEY_QUANTITY || key->kind == WG_KEY_MONTHS;
    const enum wg_dimension dimension = is_quantity ? wg_schema_dimension(key, text) : key->dimension;
    if (is_quantity && wg_quantity_read(text, dimension, &value, message) == 0)
        wg_quantity_show(dimension, value, shown);
    else
        shown[0] = '\0';
    (void)fputs(shown[0] != '\0' ? shown : text, out);
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

static void print_derived(FILE *out, const struct wg_key *key, const char *members) {
    char shown[WG_QUANTITY_SHOWN_SIZE];
    double value;
    int word;
    if (key->kind == WG_KEY_FLAG) {
        bool flag;
        memcpy(&flag, members + key->offset, sizeof flag);
        (void)fputs(flag ? "yes" : "no", out);
        return;
    }
    if (key->kind == WG_KEY_WORD) {
        memcpy(&word, members + key->offset, sizeof word);
        (void)fputs(key->words[word], out);
        return;
    }
    memcpy(&value, members + key->offset, sizeof value);
    wg_quantity_show(key->dimension, value, shown);
    (void)fputs(shown, out);
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
static bool is_meaningless(const struct key_list *list, const struct key_group *group, const struct wg_key *key) {
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

static bool has_default(const struct key_list *list, const struct key_group *group, const struct wg_key *key) {
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
static const struct wg_yaml_node *written(const struct key_group *group, int i, const char *name) {
    if (group->node != NULL && group->node->kind == WG_YAML_TEXT)
        return i == 0 ? group->node : NULL;
    return wg_yaml_get(group->node, name);
}

/* ---- groups ---- */

static void list_keys(const struct key_list *list, const struct key_group *group) {
    struct wg_key key;
    int n = 0;
    for (int i = 0; wg_schema_key(group->id, i, &key); i++) {
        const struct wg_yaml_node *const node = written(group, i, key.name);
        if (is_below(&key, node) || (key.kind == WG_KEY_CHOICES && list->openings->choose_length > 0) ||
            (node == NULL && !has_default(list, group, &key)))
            continue;
        if (n == 0)
            (void)fprintf(list->out, group->is_line ? "%-12s" : "%s\n", group->label);
        (void)fprintf(list->out, group->is_line ? "%s%s: " : "%s  %-20s ", group->is_line && n > 0 ? "; " : "",
                      key.name);
        n++;
        if (node != NULL && node->kind == WG_YAML_MAP)
            print_mix(list->out, node);
        else if (node != NULL && node->kind == WG_YAML_LIST)
            print_joined(list->out, node);
        else if (node != NULL)
            print_value(list->out, &key, node->text);
        else if (key.flags & WG_KEY_DERIVED)
            print_derived(list->out, &key, members_of(list, group->id));
        else
            print_value(list->out, &key, key.otherwise);
        (void)fprintf(list->out, "%s%s", node == NULL ? " (default)" : "", group->is_line ? "" : "\n");
    }
    if (group->is_line)
        (void)fputc('\n', list->out);
    else if (group->id == WG_GROUP_SPECIES)
        (void)fprintf(list->out, "  all other numbers    as in %s (default)\n",
                      list->plan->animals == WG_ANIMALS_PLAUSIBLE ? "each animal" : "the set");
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

static void list_group(struct key_list *list, const struct key_group *group);

static void list_item(struct key_list *list, const struct wg_schema_spot *spot, int number) {
    char label[2 * WG_NAME_SIZE];
    list->place += spot->group == WG_GROUP_PLACE;
    list->bin += spot->group == WG_GROUP_BIN;
    if (spot->group == WG_GROUP_PLACE || spot->group == WG_GROUP_BIN)
        (void)snprintf(label, sizeof label, "%s %d", wg_schema_group(spot->group)->name, number);
    else
        (void)snprintf(label, sizeof label, "%s %d", spot->key.name, number);
    list_group(list, &(struct key_group){spot->node, spot->group, label,
                                         spot->group != WG_GROUP_PLACE && spot->group != WG_GROUP_BIN});
}

/* Lists the groups below, each after its own keys. */
static void list_below(struct key_list *list, const struct key_group *group) {
    const struct wg_schema_spot parent = {.node = group->node, .group = group->id};
    struct wg_key key;
    char label[2 * WG_NAME_SIZE];
    for (int i = 0; wg_schema_key(group->id, i, &key); i++) {
        const struct wg_yaml_node *const node = written(group, i, key.name);
        if (!is_below(&key, node))
            continue;
        label_group(list, &key, label);
        if (key.kind == WG_KEY_GROUP) {
            list_group(list, &(struct key_group){node, key.group, label, false});
            continue;
        }
        const struct wg_schema_spot spot = wg_schema_enter(&parent, node);
        int number = 0;
        if (node->kind == WG_YAML_MAP) { /* a single goal without a list */
            list_item(list, &spot, 1);
            continue;
        }
        for (const struct wg_yaml_node *item = node->first; item != NULL; item = item->next) {
            const struct wg_schema_spot at = wg_schema_enter(&spot, item);
            list_item(list, &at, ++number);
        }
    }
}

static void list_group(struct key_list *list, const struct key_group *group) {
    list_keys(list, group);
    list_below(list, group);
}

static void list_openings(const struct key_list *list) {
    const struct wg_openings *const openings = list->openings;
    for (int i = 0; i < openings->n; i++) {
        const struct wg_opening *const opening = &openings->opening[i];
        (void)fprintf(list->out, "try %-8d %s:", i + 1, opening->path);
        for (int k = 0; k < opening->levels.n; k++)
            (void)fprintf(list->out, "%s %s%s", k > 0 ? "," : "", opening->levels.level[k].text,
                          k == opening->now ? " (now)" : "");
        (void)fputc('\n', list->out);
    }
}

char *wg_outline_keys(const struct wg_scenario *scenario) {
    struct wg_yaml yaml = {0};
    struct wg_mistakes problems = {0};
    struct wg_openings openings = {0};
    char *text = NULL;
    size_t size = 0;
    struct key_list list = {.plan = &scenario->plan, .openings = &openings, .place = -1, .bin = -1};
    if (wg_yaml_read(&yaml, scenario->text, scenario->text_size, &problems) == 0 &&
        wg_openings_take(&openings, &yaml, &problems) == 0)
        list.out = open_memstream(&text, &size);
    if (list.out != NULL) {
        list_group(&list, &(struct key_group){yaml.root, WG_GROUP_SCENARIO, "scenario", false});
        list_openings(&list);
    }
    const bool failed = list.out == NULL || ferror(list.out) != 0;
    if ((list.out != NULL && fclose(list.out) != 0) || failed) {
        free(text);
        text = NULL;
    }
    wg_openings_free(&openings);
    wg_mistakes_free(&problems);
    wg_yaml_free(&yaml);
    return text;
}
