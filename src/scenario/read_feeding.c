/*
 * What is put in? Starters and feed.
 */
#include "scenario/read.h"
#include "text/nearest_word.h"

#include <stdio.h>
#include <string.h>

/* ---- starters ---- */

static bool read_stage(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, enum wg_movable *what) {
    static const char *const words[] = {"egg", "larva", "prepupa", "eggs", "larvae", "prepupae", NULL};
    static const char *const known[] = {"egg", "larva", "prepupa", NULL};
    if (node == NULL)
        return false;
    for (int i = 0; node->kind == WG_YAML_TEXT && words[i] != NULL; i++)
        if (strcmp(node->text, words[i]) == 0) {
            *what = (enum wg_movable)(i % 3);
            return true;
        }
    if (node->kind == WG_YAML_TEXT && (strncmp(node->text, "pupa", 4) == 0 || strncmp(node->text, "adult", 5) == 0))
        wg_read_mistake(reader, node, "A starter cannot be pupae or flies: it is egg, larva or prepupa.");
    else
        (void)wg_read_word(reader, node, "a stage for a starter", known);
    return false;
}

/* Count or weight, one of them. */
static bool read_starter_amount(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, int64_t *count,
                                double *mass_kg) {
    const struct wg_yaml_node *const number = wg_yaml_get(map, "count"), *const weight = wg_yaml_get(map, "weight");
    *count = -1;
    *mass_kg = 0;
    if (number != NULL && weight != NULL) {
        wg_read_mistake_key(reader, weight, "A starter has a count or a weight, not both.");
        return false;
    }
    if (number == NULL && weight == NULL) {
        wg_read_mistake(reader, map, "How many? A starter needs count: 10000, or weight: 2 lb.");
        return false;
    }
    if (weight != NULL)
        return wg_read_quantity(reader, weight, WG_MASS, 0, WG_MAX_STARTER_KG, mass_kg);
    return wg_read_whole(reader, number, "the count", 0, WG_MAX_STARTERS, count);
}

static bool read_age(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, bool larva, double *age_days) {
    const struct wg_yaml_node *const age = wg_yaml_get(map, "age");
    *age_days = 0;
    if (larva && age == NULL) {
        wg_read_mistake(reader, map,
                        "How old are the larvae? Write for example age: 5 days (age: 0 days for just hatched).");
        return false;
    }
    if (!larva && age != NULL) {
        wg_read_mistake_key(reader, age, "Only larvae have an age here. Take it out, or write stage: larva.");
        return false;
    }
    return !larva || wg_read_quantity(reader, age, WG_DAYS, 0, WG_MAX_STARTER_AGE_DAYS, age_days);
}

static void read_starter(struct wg_scenario_reader *reader, const struct wg_yaml_node *map) {
    static const char *const keys[] = {"on", "in", "stage", "age", "count", "weight", NULL};
    if (!wg_read_map(reader, map, "a starter", keys))
        return;
    struct wg_timing when;
    struct wg_action action = {.kind = WG_ACTION_START, .place = -1};
    const bool timed = wg_read_timing(reader, map, "a starter", WG_TIMING_ONCE, 1, &when);
    action.bin = wg_read_bin(reader, map, "in", "a starter");
    const bool staged =
        read_stage(reader, wg_read_required(reader, map, "stage", "a starter", "stage: larva (or egg, prepupa)"),
                   &action.as.start.what);
    bool good = read_starter_amount(reader, map, &action.as.start.count, &action.as.start.mass_kg);
    if (staged)
        good &= read_age(reader, map, action.as.start.what == WG_MOVABLE_LARVAE, &action.as.start.age_days);
    action.from = action.to = when.from;
    action.every = 1;
    if (timed && staged && good && action.bin >= 0)
        wg_read_add_action(reader, map, action);
}

void wg_read_starter(struct wg_scenario_reader *reader) {
    const struct wg_yaml_node *const list = wg_yaml_get(reader->root, "starter");
    reader->started = list != NULL;
    if (!wg_read_list(reader, list, "a list of starters",
                      "starter: [{on: 2026-09-15, in: trough, stage: larva, age: 5 days, count: 10000}]"))
        return;
    wg_assert(list != NULL);
    for (const struct wg_yaml_node *map = list->first; map != NULL; map = map->next)
        read_starter(reader, map);
    int64_t total = 0;
    for (int i = 0; i < reader->plan->n_actions; i++) {
        const int64_t count = reader->plan->actions[i].as.start.count;
        total += count > 0 && total <= WG_MAX_STARTERS ? count : 0;
    }
    if (total > WG_MAX_STARTERS)
        wg_read_mistake_key(reader, list,
                            "All starters together are more than 1,000,000,000,000,000 animals: too many to count.");
}

/* ---- feed ---- */

#define MAX_FEED_TYPES 32

static int read_feed_type(struct wg_scenario_reader *reader, const struct wg_yaml_node *node) {
    const char *names[MAX_FEED_TYPES + 1];
    int n = 0;
    for (; wg_feed_types()[n].name != NULL; n++) {
        wg_assert(n < MAX_FEED_TYPES);
        names[n] = wg_feed_types()[n].name;
    }
    names[n] = NULL;
    return wg_read_word(reader, node, "a feed known here", names);
}

/* "3 lb" each time, or "12 lb/week" however often it is given. */
static bool read_feed_amount(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, bool once,
                             int32_t every, double *wet_kg) {
    const char *const text = wg_read_text(reader, node, "a weight of feed", "3 lb");
    if (text == NULL)
        return false;
    char message[WG_QUANTITY_MESSAGE];
    double kg_day;
    if (wg_quantity_read(text, WG_MASS_RATE, &kg_day, message) == 0) {
        if (once) {
            wg_read_mistake(
                reader, node,
                "\"%.40s\" is a rate, and \"on\" is one day. Write what is given on it, for example amount: 3 lb, "
                "or instead of \"on\" write every: 1 day.",
                text);
            return false;
        }
        const struct wg_yaml_node each = *node;
        if (kg_day * every < 0 || kg_day * every > WG_MAX_FEED_KG) {
            wg_read_mistake(reader, &each,
                            "\"%.40s\" cannot be right: feed must lie between 0 and 100 tonnes each time.", text);
            return false;
        }
        *wet_kg = kg_day * every;
        wg_read_measured(reader, node, WG_MASS_RATE);
        return true;
    }
    return wg_read_quantity(reader, node, WG_MASS, 0, WG_MAX_FEED_KG, wet_kg);
}

static void read_feeding(struct wg_scenario_reader *reader, const struct wg_yaml_node *map) {
    static const char *const keys[] = {"in", "what", "amount", "every", "from", "to", "on", NULL};
    if (!wg_read_map(reader, map, "a feeding", keys))
        return;
    struct wg_timing when;
    struct wg_action action = {.kind = WG_ACTION_FEED, .place = -1};
    const bool timed = wg_read_timing(reader, map, "a feeding", WG_TIMING_ONCE | WG_TIMING_REPEATED, 1, &when);
    action.bin = wg_read_bin(reader, map, "in", "a feeding");
    action.as.feed.type =
        read_feed_type(reader, wg_read_required(reader, map, "what", "a feeding", "what: kitchen scraps"));
    const bool weighed = read_feed_amount(reader, wg_read_required(reader, map, "amount", "a feeding", "amount: 3 lb"),
                                          wg_yaml_get(map, "on") != NULL, when.every, &action.as.feed.wet_kg);
    action.from = when.from;
    action.to = when.to;
    action.every = when.every;
    if (timed && weighed && action.bin >= 0 && action.as.feed.type >= 0)
        wg_read_add_action(reader, map, action);
}

static bool is_word(const struct wg_yaml_node *node, const char *word) {
    return node->kind == WG_YAML_TEXT && strcmp(node->text, word) == 0;
}

void wg_read_feeding(struct wg_scenario_reader *reader) {
    static const char example[] =
        "feeding: [{in: trough, what: kitchen scraps, amount: 3 lb, every: 1 day}], or feeding: unlimited";
    const struct wg_yaml_node *const feeding = wg_read_required(reader, reader->root, "feeding", "a scenario", example);
    if (feeding == NULL)
        return;
    reader->scenario->feeding_line = feeding->key->line;
    reader->scenario->feeding_column = feeding->key->column;
    reader->plan->unlimited_quality = 1;
    if (is_word(feeding, "unlimited")) {
        reader->plan->feed_unlimited = true;
        return;
    }
    if (feeding->kind == WG_YAML_TEXT && feeding->text[0] != '\0') {
        const bool near = wg_word_distance(feeding->text, "unlimited") <= 3;
        wg_read_mistake(reader, feeding,
                        near ? "\"%.40s\" is not known here. Did you mean \"unlimited\"?"
                             : "\"%.40s\" is not known here. Write a list of feedings, or the one word unlimited.",
                        feeding->text);
        return;
    }
    if (!wg_read_list(reader, feeding, "a list of feedings", example))
        return;
    for (const struct wg_yaml_node *map = feeding->first; map != NULL; map = map->next)
        if (is_word(map, "unlimited"))
            wg_read_mistake(
                reader, map,
                "Feed is unlimited or it is a list of feedings, not both. Write feeding: unlimited alone, or "
                "take the word out of the list.");
        else
            read_feeding(reader, map);
}
