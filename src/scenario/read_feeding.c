/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads starters and feed.
 */
#include "scenario/read.h"
#include "text/nearest_word.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* ---- starters ---- */

/* Accepts plurals too: "larvae". */
static bool read_stage(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, enum wg_movable *what) {
    static const char *const plurals[] = {"eggs", "larvae", "prepupae"};
    if (node == NULL)
        return false;
    for (int i = 0; node->kind == WG_YAML_TEXT && i < 3; i++)
        if (strcmp(node->text, plurals[i]) == 0) {
            *what = (enum wg_movable)i;
            return true;
        }
    if (node->kind == WG_YAML_TEXT && (strncmp(node->text, "pupa", 4) == 0 || strncmp(node->text, "adult", 5) == 0)) {
        wg_read_mistake(reader, node, "A starter cannot be pupae or flies: it is egg, larva or prepupa.");
        return false;
    }
    return wg_read_value(reader, node, wg_schema_find(WG_GROUP_STARTER, "stage"), what);
}

/* Reads either count or weight. */
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
        wg_read_mistake(reader, map,
                        "A starter needs count or weight. Write for example count: 10000, or weight: 2 lb.");
        return false;
    }
    return (weight != NULL ? wg_read_key(reader, map, WG_GROUP_STARTER, "weight", mass_kg)
                           : wg_read_key(reader, map, WG_GROUP_STARTER, "count", count)) == WG_READ_GOOD;
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
        wg_read_mistake_key(reader, age, "Only larvae have an age here. Remove it, or write stage: larva.");
        return false;
    }
    return !larva || wg_read_key(reader, map, WG_GROUP_STARTER, "age", age_days) == WG_READ_GOOD;
}

/* Reads "2 per 1000" or "20 per lb". */
static bool read_starter_price(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                               struct wg_action *action) {
    const struct wg_yaml_node *const node = wg_yaml_get(map, "price");
    struct wg_key key = *wg_schema_find(WG_GROUP_STARTER, "price");
    if (node == NULL)
        return true;
    if (node->kind == WG_YAML_TEXT)
        key.dimension = wg_schema_dimension(&key, node->text);
    action->as.start.price_is_of_kg = key.dimension == WG_PRICE_OF_MASS;
    action->as.start.price.given = wg_read_value(reader, node, &key, &action->as.start.price.amount);
    return action->as.start.price.given;
}

static void read_starter(struct wg_scenario_reader *reader, const struct wg_yaml_node *map) {
    if (!wg_read_group(reader, map, WG_GROUP_STARTER))
        return;
    struct wg_action action = {.kind = WG_ACTION_START, .place = -1};
    struct wg_targets targets;
    bool good = wg_read_timing(reader, map, WG_GROUP_STARTER, &action);
    good &= wg_read_targets(reader, map, WG_GROUP_STARTER, &targets);
    good &= wg_read_members(reader, map, WG_GROUP_STARTER, &action);
    const bool staged =
        read_stage(reader, wg_read_required(reader, map, WG_GROUP_STARTER, "stage"), &action.as.start.what);
    good &= read_starter_amount(reader, map, &action.as.start.count, &action.as.start.mass_kg);
    good &= read_starter_price(reader, map, &action);
    if (staged)
        good &= read_age(reader, map, action.as.start.what == WG_MOVABLE_LARVAE, &action.as.start.age_days);
    for (int i = 0; staged && good && i < targets.n; i++) {
        action.bin = targets.index[i];
        wg_read_add_action(reader, map, action);
    }
}

void wg_read_starter(struct wg_scenario_reader *reader) {
    const struct wg_yaml_node *const list = wg_yaml_get(reader->root, "starter");
    reader->started = list != NULL;
    if (!wg_read_list(reader, reader->root, WG_GROUP_SCENARIO, "starter"))
        return;
    for (const struct wg_yaml_node *map = list->first; map != NULL; map = map->next)
        read_starter(reader, map);
    int64_t total = 0;
    for (int i = 0; i < reader->plan->n_actions; i++) {
        const int64_t count = reader->plan->actions[i].as.start.count;
        total += count > 0 && total <= WG_MAX_STARTERS ? count : 0;
    }
    if (total > WG_MAX_STARTERS)
        wg_read_mistake_key(
            reader, list,
            "The starters add up to more than 1,000,000,000,000,000 animals, which is too many to count.");
}

/* ---- feed ---- */

/* Reads what stands with amount: as eaten. */
static bool read_as_eaten(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, struct wg_action *action) {
    action->as.feed.as_eaten = true;
    action->as.feed.wet_kg = HUGE_VAL;
    if (wg_yaml_get(map, "on") != NULL) {
        wg_read_mistake(
            reader, wg_yaml_get(map, "amount"),
            "As eaten is what the larvae eat until the next feeding, and \"on\" is a single day. Instead of "
            "\"on\" write every: 1 day, or give an amount, for example amount: 3 lb.");
        return false;
    }
    return wg_read_key(reader, map, WG_GROUP_FEEDING, "at most", &action->as.feed.wet_kg) != WG_READ_WRONG;
}

/* Whether somebody who writes this wants to feed what is eaten. */
static bool means_as_eaten(const char *text) {
    static const char *const words[] = {"as eaten",
                                        "all",
                                        "as much as they eat",
                                        "what they eat",
                                        "ad lib",
                                        "ad libitum",
                                        "unlimited",
                                        "enough",
                                        "full",
                                        "appetite",
                                        "all they eat",
                                        "as needed",
                                        "as much as they want",
                                        "everything",
                                        "eaten"};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (wg_word_distance(text, words[i]) <= 1)
            return true;
    return strncmp(text, "as eaten", 8) == 0;
}

/* Reads "3 lb" each time, or "12 lb/week" at any interval. */
static bool read_feed_amount(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, int32_t every,
                             struct wg_action *action) {
    const struct wg_yaml_node *const most = wg_yaml_get(map, "at most");
    const struct wg_yaml_node *const node =
        most != NULL ? wg_yaml_get(map, "amount") : wg_read_required(reader, map, WG_GROUP_FEEDING, "amount");
    if (node == NULL && most != NULL)
        wg_read_mistake_key(reader, most, "\"at most\" goes with amount: as eaten. Write both.");
    const bool is_group = node != NULL && wg_yaml_get(node, "at most") != NULL;
    const char *const text = is_group ? "as eaten?" : wg_read_text(reader, node, "a weight of feed", "3 lb");
    if (text == NULL)
        return false;
    if (strcmp(text, "as eaten") == 0)
        return read_as_eaten(reader, map, action);
    if (means_as_eaten(text)) {
        wg_read_mistake(
            reader, node,
            "To give what the larvae eat, write amount: as eaten, with a limit if you like, at most: 3 lb.");
        return false;
    }
    if (most != NULL)
        wg_read_mistake_key(reader, most, "\"at most\" goes with amount: as eaten. Write that, or only the amount.");
    return wg_read_amount(reader, map, wg_schema_find(WG_GROUP_FEEDING, "amount"), every, &action->as.feed.wet_kg);
}

/* Of a feed that larvae do not eat, nothing is given as eaten. */
static bool is_edible(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                      const struct wg_action *action) {
    const struct wg_feed_type *const type = wg_plan_feed(reader->plan, action->as.feed.type);
    const bool is_feed = (1 - type->moisture) * type->usable * type->conversion > 0;
    if (action->as.feed.as_eaten && !is_feed)
        wg_read_mistake(reader, wg_yaml_get(map, "what"),
                        "Larvae do not eat %s, so none is given as eaten. Write a weight, for example amount: 3 lb.",
                        type->name);
    return !action->as.feed.as_eaten || is_feed;
}

/* Reads what the feed costs, or the fee for taking it. */
static bool read_feed_price(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                            struct wg_action *action) {
    const struct wg_yaml_node *const fee = wg_yaml_get(map, "tipping_fee");
    if (fee != NULL && wg_yaml_get(map, "price") != NULL) {
        wg_read_mistake_key(reader, fee, "You pay a price for this feed, or are paid a tipping fee: keep one of them.");
        return false;
    }
    action->as.feed.price_is_fee = fee != NULL;
    return wg_read_price(reader, map, WG_GROUP_FEEDING, fee != NULL ? "tipping_fee" : "price", &action->as.feed.price);
}

/* Reports a mix in place of its name. */
static bool is_mix(struct wg_scenario_reader *reader, const struct wg_yaml_node *what) {
    if (what == NULL || what->kind == WG_YAML_TEXT)
        return false;
    wg_read_mistake(
        reader, what,
        "Name the mix in the list of feeds and write its name here. For example feeds: [{name: my mix, mix: "
        "{kitchen scraps: 70 %%, coffee grounds: 30 %%}}] and here what: my mix.");
    return true;
}

static void read_feeding(struct wg_scenario_reader *reader, const struct wg_yaml_node *map) {
    if (!wg_read_group(reader, map, WG_GROUP_FEEDING))
        return;
    struct wg_action action = {.kind = WG_ACTION_FEED, .place = -1};
    struct wg_targets targets;
    bool good = wg_read_targets(reader, map, WG_GROUP_FEEDING, &targets);
    good &= wg_read_timing(reader, map, WG_GROUP_FEEDING, &action);
    good &= !is_mix(reader, wg_yaml_get(map, "what")) && wg_read_members(reader, map, WG_GROUP_FEEDING, &action);
    good &= read_feed_amount(reader, map, action.every, &action);
    good &= read_feed_price(reader, map, &action);
    good = good && is_edible(reader, map, &action);
    for (int i = 0; good && i < targets.n; i++) {
        action.bin = targets.index[i];
        wg_read_add_action(reader, map, action);
    }
}

static bool is_word(const struct wg_yaml_node *node, const char *word) {
    return node->kind == WG_YAML_TEXT && strcmp(node->text, word) == 0;
}

void wg_read_feeding(struct wg_scenario_reader *reader) {
    const struct wg_yaml_node *const feeding = wg_yaml_get(reader->root, "feeding");
    if (feeding != NULL) {
        reader->scenario->feeding_line = feeding->key->line;
        reader->scenario->feeding_column = feeding->key->column;
    }
    reader->plan->unlimited_quality = 1;
    if (feeding != NULL && is_word(feeding, "unlimited")) {
        reader->plan->feed_unlimited = true;
        return;
    }
    if (feeding != NULL && feeding->kind == WG_YAML_TEXT && feeding->text[0] != '\0') {
        const bool near = wg_word_distance(feeding->text, "unlimited") <= 3;
        wg_read_mistake(reader, feeding,
                        near ? "\"%.40s\" is not a list of feedings. Did you mean \"unlimited\"?"
                             : "\"%.40s\" is not a list of feedings. Write a list, or the word unlimited.",
                        feeding->text);
        return;
    }
    if (!wg_read_list(reader, reader->root, WG_GROUP_SCENARIO, "feeding"))
        return;
    for (const struct wg_yaml_node *map = feeding->first; map != NULL; map = map->next)
        if (is_word(map, "unlimited"))
            wg_read_mistake(
                reader, map,
                "Feeding is either unlimited or a list, not both. Write feeding: unlimited, or remove the word from "
                "the list.");
        else
            read_feeding(reader, map);
}
