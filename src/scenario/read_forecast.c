/*
 * What is left to chance, and with which numbers? Mishaps, wild visitors, the animal, the forecast.
 */
#include "scenario/read.h"

#include <ctype.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- mishaps and visitors ---- */

static void read_power_cut(struct wg_walk *walk, const struct wg_yaml_node *map, struct wg_mishaps *mishaps) {
    static const char *const keys[] = {"per_year", "lasts", NULL};
    if (!wg_walk_map(walk, map, "the power cut", keys))
        return;
    (void)wg_walk_quantity(walk, wg_walk_need(walk, map, "per_year", "the power cut", "per_year: 2"), WG_PER_YEAR, 0,
                           WG_MOST_MISHAPS_PER_YEAR, &mishaps->power_cuts_per_year);
    (void)wg_walk_quantity(walk, wg_walk_need(walk, map, "lasts", "the power cut", "lasts: 12 hours"), WG_HOURS, 0,
                           WG_MOST_POWER_CUT_HOURS, &mishaps->power_cut_hours);
    if (mishaps->power_cut_hours > 0 && mishaps->power_cut_hours < 0.5)
        wg_complain(
            walk, wg_yaml_get(map, "lasts"),
            "Power cuts are lived in whole hours, so one under half an hour would be none. Write at least 30 min, or "
            "leave it out: a warm house hardly notices.");
}

static void read_raid(struct wg_walk *walk, const struct wg_yaml_node *map, struct wg_mishaps *mishaps) {
    static const char *const keys[] = {"per_year", "larvae_lost", NULL};
    if (!wg_walk_map(walk, map, "the raid", keys))
        return;
    (void)wg_walk_quantity(walk, wg_walk_need(walk, map, "per_year", "the raid", "per_year: 1"), WG_PER_YEAR, 0,
                           WG_MOST_MISHAPS_PER_YEAR, &mishaps->raids_per_year);
    (void)wg_walk_quantity(walk, wg_walk_need(walk, map, "larvae_lost", "the raid", "larvae_lost: 40 %"), WG_SHARE, 0,
                           1, &mishaps->raid_share);
}

void wg_walk_mishaps(struct wg_walk *walk) {
    static const char *const kinds[] = {"power_cut", "raid", NULL}, *const visits[] = {"peak", NULL};
    const struct wg_yaml_node *const mishaps = wg_yaml_get(walk->root, "mishaps");
    if (wg_walk_map(walk, mishaps, "the mishaps", kinds)) {
        read_power_cut(walk, wg_yaml_get(mishaps, "power_cut"), &walk->plan->mishaps);
        read_raid(walk, wg_yaml_get(mishaps, "raid"), &walk->plan->mishaps);
    }
    const struct wg_yaml_node *const wild = wg_yaml_get(walk->root, "wild_visitors");
    walk->wild = wild != NULL;
    if (wg_walk_map(walk, wild, "the wild visitors", visits))
        (void)wg_walk_quantity(walk, wg_walk_need(walk, wild, "peak", "the group of wild visitors", "peak: 3 per day"),
                               WG_NUMBER_RATE, 0, WG_MOST_WILD_PER_DAY, &walk->plan->wild_peak_per_day);
}

/* ---- the animal ---- */

#define MOST_PARAMETERS 200

static void read_numbers(struct wg_walk *walk, const struct wg_yaml_node *map) {
    static const char *const sets[] = {"keepers", "laboratory", NULL};
    const int i = wg_walk_word(walk, wg_yaml_get(map, "numbers"), "a set of numbers", sets);
    const char *const name = sets[i > 0 ? i : 0];
    const int known = wg_species_set(&walk->plan->species, name);
    wg_assert(known == 0);
    (void)snprintf(walk->plan->numbers, sizeof walk->plan->numbers, "%s", name);
}

static void read_clutch(struct wg_walk *walk, const struct wg_yaml_node *clutch) {
    const struct wg_parameter *const low = wg_species_find("clutch_low"), *const high = wg_species_find("clutch_high");
    if (clutch == NULL)
        return;
    if (clutch->kind != WG_YAML_LIST || clutch->n != 2) {
        wg_complain(walk, clutch,
                    "A clutch is a range: write the fewest and the most eggs, for example clutch: [400, 900].");
        return;
    }
    double fewest, most;
    const bool low_read = wg_walk_quantity(walk, clutch->first, WG_COUNT, low->least, low->most, &fewest);
    if (!wg_walk_quantity(walk, clutch->first->next, WG_COUNT, high->least, high->most, &most) || !low_read)
        return;
    wg_species_put(&walk->plan->species, low, fewest);
    wg_species_put(&walk->plan->species, high, most);
}

static void read_parameter(struct wg_walk *walk, const struct wg_yaml_node *node,
                           const struct wg_parameter *parameter) {
    const int dimension = wg_dimension_of_unit(parameter->unit);
    wg_assert(dimension >= 0);
    double value;
    if (wg_walk_quantity(walk, node, (enum wg_dimension)dimension, parameter->least, parameter->most, &value))
        wg_species_put(&walk->plan->species, parameter, value);
}

void wg_walk_species(struct wg_walk *walk) {
    const struct wg_yaml_node *const map = wg_yaml_get(walk->root, "species");
    const char *keys[MOST_PARAMETERS + 3] = {"numbers", "clutch"};
    const struct wg_parameter *const table = wg_species_parameters();
    for (int i = 0; table[i].name != NULL; i++) {
        wg_assert(i < MOST_PARAMETERS);
        keys[2 + i] = table[i].name;
    }
    read_numbers(walk, map);
    if (!wg_walk_map(walk, map, "the numbers of the species", keys))
        return;
    const size_t mistakes = walk->problems->n;
    read_clutch(walk, wg_yaml_get(map, "clutch"));
    for (const struct wg_yaml_node *node = map->first; node != NULL; node = node->next) {
        const struct wg_parameter *const parameter = wg_species_find(node->key->text);
        if (parameter != NULL)
            read_parameter(walk, node, parameter);
    }
    const char *const problem = walk->problems->n > mistakes ? NULL : wg_species_problem(&walk->plan->species);
    if (problem != NULL)
        wg_complain_key(walk, map, "These numbers contradict each other: %s.", problem);
}

/* ---- forecast ---- */

static void read_seed(struct wg_walk *walk, const struct wg_yaml_node *node) {
    const char *const text = wg_walk_text(walk, node, "a whole number", "2026");
    if (text == NULL)
        return;
    char *end = NULL;
    errno = 0;
    const unsigned long long seed = isdigit((unsigned char)text[0]) ? strtoull(text, &end, 10) : 0;
    if (end == NULL || *end != '\0' || errno != 0)
        wg_complain(
            walk, node,
            "\"%.40s\" cannot be a seed: it is a whole number from 0 to 18446744073709551615, for example 2026.", text);
    else
        walk->plan->seed = seed;
}

void wg_walk_forecast(struct wg_walk *walk) {
    static const char *const keys[] = {"replicates", "seed", "steps_per_day", NULL};
    static const char *const steps[] = {"1", "2", "4", "24", NULL};
    static const int steps_mean[] = {1, 2, 4, 24};
    struct wg_plan *const plan = walk->plan;
    plan->replicates = 200;
    plan->seed = 1;
    plan->steps_per_day = 1;
    const struct wg_yaml_node *const map = wg_yaml_get(walk->root, "forecast");
    if (!wg_walk_map(walk, map, "the forecast", keys))
        return;
    (void)wg_walk_whole(walk, wg_yaml_get(map, "replicates"), "the number of replicates", 1, WG_MOST_REPLICATES,
                        &plan->replicates);
    read_seed(walk, wg_yaml_get(map, "seed"));
    const int i = wg_walk_word(walk, wg_yaml_get(map, "steps_per_day"), "a number of steps a day", steps);
    if (i >= 0)
        plan->steps_per_day = steps_mean[i];
}
