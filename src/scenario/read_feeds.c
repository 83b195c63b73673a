/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads feeds of the keeper's own and mixes of feeds.
 */
#include "scenario/read.h"

#include <math.h>
#include <string.h>

int wg_read_find_feed(const struct wg_scenario_reader *reader, const char *name) {
    for (int i = 0; i < reader->plan->n_feeds; i++)
        if (strcmp(reader->plan->feeds[i].name, name) == 0)
            return wg_feed_count() + i;
    return wg_feed_find(name);
}

void wg_read_feed_names(const struct wg_scenario_reader *reader, const char *names[WG_SCHEMA_MAX_WORDS]) {
    const int known = wg_feed_count(), all = known + reader->plan->n_feeds;
    wg_assert(all < WG_SCHEMA_MAX_WORDS);
    for (int i = 0; i < all; i++)
        names[i] = wg_plan_feed(reader->plan, i)->name;
    names[all] = NULL;
}

/* ---- a feed by its numbers ---- */

static bool read_feed_numbers(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                              struct wg_feed_type *type) {
    static const char *const required[] = {"moisture", "usable"};
    bool good = true;
    for (size_t i = 0; i < sizeof required / sizeof *required; i++)
        if (wg_yaml_get(map, required[i]) == NULL) {
            wg_read_missing(reader, map, "a feed", wg_schema_find(WG_GROUP_FEED, required[i]));
            good = false;
        }
    type->quality = 1;
    good &= wg_read_key(reader, map, WG_GROUP_FEED, "moisture", &type->moisture) != WG_READ_WRONG;
    good &= wg_read_key(reader, map, WG_GROUP_FEED, "usable", &type->usable) != WG_READ_WRONG;
    good &= wg_read_key(reader, map, WG_GROUP_FEED, "quality", &type->quality) != WG_READ_WRONG;
    type->conversion = type->quality;
    const struct wg_yaml_node *const yield = wg_yaml_get(map, "yield");
    if (yield != NULL && yield->kind == WG_YAML_TEXT && strcmp(yield->text, "the same as quality") == 0)
        return good;
    return wg_read_key(reader, map, WG_GROUP_FEED, "yield", &type->conversion) != WG_READ_WRONG && good;
}

/* ---- a mix ---- */

#define SUM_ERROR 0.001 /* of shares written with rounding: judgement */

/* Reads one share of a mix; returns the number of the feed, or -1. Of wrong shares only the first is reported. */
static int read_part(struct wg_scenario_reader *reader, const struct wg_yaml_node *part, bool *shares_wrong,
                     double *share) {
    const struct wg_key quantity = {.kind = WG_KEY_QUANTITY, .dimension = WG_SHARE, .most = 1};
    const struct wg_key name = {.kind = WG_KEY_FEED, .noun = "a feed that this mix can have"};
    int feed = -1;
    const bool is_known = wg_read_value(reader, part->key, &name, &feed);
    *shares_wrong = *shares_wrong || !wg_read_value(reader, part, &quantity, share);
    return is_known && !*shares_wrong ? feed : -1;
}

/* The parts as if each were given by itself: shares of dry matter, of usable matter. */
static bool read_mix(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, struct wg_feed_type *type) {
    double share, sum = 0, dry = 0, usable = 0, quality = 0, conversion = 0;
    bool good = true, shares_wrong = false;
    if (map->kind != WG_YAML_MAP || map->n == 0) {
        wg_read_mistake(
            reader, map,
            "A mix has feeds with their shares: write mix: {kitchen scraps: 70 %%, coffee grounds: 30 %%}.");
        return false;
    }
    for (const struct wg_yaml_node *part = map->first; part != NULL; part = part->next) {
        const int feed = read_part(reader, part, &shares_wrong, &share);
        good &= feed >= 0;
        if (feed < 0)
            continue;
        const struct wg_feed_type *const of = wg_plan_feed(reader->plan, feed);
        const double dry_share = share * (1 - of->moisture);
        sum += share;
        dry += dry_share;
        usable += dry_share * of->usable;
        quality += dry_share * of->usable * of->quality;
        conversion += dry_share * of->usable * of->conversion;
    }
    if (good && fabs(sum - 1) > SUM_ERROR) {
        wg_read_mistake_key(reader, map, "The shares of this mix are %.4g %% together, not 100 %%.", 100 * sum);
        return false;
    }
    type->moisture = fmin(1, fmax(0, 1 - dry / fmax(sum, SUM_ERROR)));
    type->usable = dry > 0 ? usable / dry : 0;
    type->quality = usable > 0 ? quality / usable : 0;
    type->conversion = usable > 0 ? conversion / usable : 0;
    return good;
}

static bool read_mix_alone(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                           struct wg_feed_type *type) {
    static const char *const numbers[] = {"moisture", "usable", "quality", "yield"};
    bool good = true;
    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++)
        if (wg_yaml_get(map, numbers[i]) != NULL) {
            wg_read_mistake_key(reader, wg_yaml_get(map, numbers[i]),
                                "In a mix \"%s\" follows from the feeds in it. Keep either this or the mix.",
                                numbers[i]);
            good = false;
            break;
        }
    return read_mix(reader, wg_yaml_get(map, "mix"), type) && good;
}

/* ---- the list ---- */

/* Reads a name that no other feed has. */
static bool read_feed_name(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, char name[WG_NAME_SIZE]) {
    const struct wg_yaml_node *const at = wg_read_required(reader, map, WG_GROUP_FEED, "name");
    if (!wg_read_name(reader, at, name))
        return false;
    if (wg_feed_find(name) >= 0) {
        wg_read_mistake(reader, at, "\"%s\" is a known feed already. Give yours another name, for example my %s.", name,
                        name);
        return false;
    }
    if (wg_read_find_feed(reader, name) >= 0) {
        wg_read_mistake(reader, at, "There are two feeds \"%s\". Give one of them another name.", name);
        return false;
    }
    return true;
}

static void read_feed(struct wg_scenario_reader *reader, const struct wg_yaml_node *map) {
    struct wg_plan *const plan = reader->plan;
    struct wg_own_feed feed = {.name = ""};
    if (!wg_read_group(reader, map, WG_GROUP_FEED)) {
        reader->feeds_wrong = true;
        return;
    }
    if (plan->n_feeds == WG_MAX_OWN_FEEDS) {
        wg_read_mistake(reader, map, "This is one feed too many: a scenario may have %d of its own.", WG_MAX_OWN_FEEDS);
        return;
    }
    const bool named = read_feed_name(reader, map, feed.name);
    (void)(wg_yaml_get(map, "mix") != NULL ? read_mix_alone : read_feed_numbers)(reader, map, &feed.type);
    if (!named) {
        reader->feeds_wrong = true;
        return; /* a feed with wrong numbers is still known to feedings */
    }
    struct wg_own_feed *const own = &plan->feeds[plan->n_feeds++];
    *own = feed;
    own->type.name = own->name;
    own->type.source = "the plan";
}

void wg_read_feeds(struct wg_scenario_reader *reader) {
    const struct wg_yaml_node *const list = wg_yaml_get(reader->root, "feeds");
    if (list == NULL)
        return;
    reader->feeds_wrong = !wg_read_list(reader, reader->root, WG_GROUP_SCENARIO, "feeds");
    if (reader->feeds_wrong)
        return;
    for (const struct wg_yaml_node *map = list->first; map != NULL; map = map->next)
        read_feed(reader, map);
}
