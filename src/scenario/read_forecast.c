/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads mishaps, wild visitors, the numbers of the animal and the forecast.
 */
#include "scenario/read.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- mishaps and visitors ---- */

static void read_power_cut(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                           struct wg_mishaps *mishaps) {
    if (!wg_read_group(reader, map, WG_GROUP_POWER_CUT))
        return;
    (void)wg_read_members(reader, map, WG_GROUP_POWER_CUT, mishaps);
    if (mishaps->power_cut_hours > 0 && mishaps->power_cut_hours < 0.5)
        wg_read_mistake(
            reader, wg_yaml_get(map, "lasts"),
            "Power cuts are simulated in whole hours, so one under half an hour would be lost. Write at least 30 min, "
            "or leave it out: it hardly cools a house.");
}

void wg_read_mishaps(struct wg_scenario_reader *reader) {
    struct wg_plan *const plan = reader->plan;
    const struct wg_yaml_node *const mishaps = wg_yaml_get(reader->root, "mishaps");
    if (wg_read_group(reader, mishaps, WG_GROUP_MISHAPS)) {
        const struct wg_yaml_node *const raid = wg_yaml_get(mishaps, "raid");
        read_power_cut(reader, wg_yaml_get(mishaps, "power_cut"), &plan->mishaps);
        if (wg_read_group(reader, raid, WG_GROUP_RAID))
            (void)wg_read_members(reader, raid, WG_GROUP_RAID, &plan->mishaps);
    }
    const struct wg_yaml_node *const wild = wg_yaml_get(reader->root, "wild_visitors");
    reader->wild = wild != NULL;
    if (wg_read_group(reader, wild, WG_GROUP_WILD))
        (void)wg_read_members(reader, wild, WG_GROUP_WILD, plan);
}

/* ---- the animal ---- */

static void read_animal_set(struct wg_scenario_reader *reader, const struct wg_yaml_node *map) {
    int i = 0;
    (void)wg_read_key(reader, map, WG_GROUP_SPECIES, "numbers", &i);
    const char *const name = wg_schema_find(WG_GROUP_SPECIES, "numbers")->words[i];
    const int known = wg_species_set(&reader->plan->species, name);
    wg_assert(known == 0);
    (void)snprintf(reader->plan->numbers, sizeof reader->plan->numbers, "%s", name);
}

/* A set that is named means that animal, not the plausible ones. */
static void read_animals(struct wg_scenario_reader *reader, const struct wg_yaml_node *map) {
    struct wg_plan *const plan = reader->plan;
    int i = wg_yaml_get(map, "numbers") != NULL ? WG_ANIMALS_MIDDLE : WG_ANIMALS_PLAUSIBLE;
    (void)wg_read_key(reader, map, WG_GROUP_SPECIES, "animals", &i);
    plan->animals = (enum wg_animals)i;
    if (plan->animals == WG_ANIMALS_PLAUSIBLE && strcmp(plan->numbers, "laboratory") == 0)
        wg_read_mistake(reader, wg_yaml_get(map, "animals"),
                        "The laboratory's numbers are one animal, so the animals cannot be the plausible ones as well. "
                        "Write animals: middle, or leave out numbers.");
}

static void note_given(struct wg_scenario_reader *reader, const char *number) {
    reader->plan->is_given[wg_parameter_index(wg_species_find(number))] = true;
}

static void read_clutch(struct wg_scenario_reader *reader, const struct wg_yaml_node *clutch, const struct wg_key *low,
                        const struct wg_key *high) {
    char *const species = (char *)&reader->plan->species;
    double fewest, most;
    if (clutch->kind != WG_YAML_LIST || clutch->n != 2) {
        wg_read_mistake(reader, clutch,
                        "A clutch is a range: write the fewest and the most eggs, for example clutch: [400, 900].");
        return;
    }
    const bool low_read = wg_read_value(reader, clutch->first, low, &fewest);
    if (!wg_read_value(reader, clutch->first->next, high, &most) || !low_read)
        return;
    memcpy(species + low->offset, &fewest, sizeof fewest);
    memcpy(species + high->offset, &most, sizeof most);
    note_given(reader, low->name);
    note_given(reader, high->name);
}

/* The word for a number that a keeper need not know. */
static void read_dormancy(struct wg_scenario_reader *reader, const struct wg_yaml_node *map) {
    const struct wg_yaml_node *const word = wg_yaml_get(map, "dormancy");
    int by_cold_only = 0;
    if (word == NULL || wg_read_key(reader, map, WG_GROUP_SPECIES, "dormancy", &by_cold_only) != WG_READ_GOOD)
        return;
    if (wg_yaml_get(map, "dormancy_by_day_length") != NULL)
        wg_read_mistake(reader, word, "Give either dormancy or dormancy_by_day_length: both set the same number.");
    else {
        reader->plan->species.dorm_by_day = by_cold_only ? 0 : 1;
        note_given(reader, "dormancy_by_day_length");
    }
}

/* The model's numbers are keys of the group, but have no rows. */
static void read_animal_numbers(struct wg_scenario_reader *reader, const struct wg_yaml_node *map) {
    struct wg_key key, clutch_low = {.name = NULL};
    for (int i = 0; wg_schema_key(WG_GROUP_SPECIES, i, &key); i++) {
        const struct wg_yaml_node *const node = wg_yaml_get(map, key.name);
        const struct wg_yaml_node *const clutch = wg_yaml_get(map, "clutch");
        if (wg_species_find(key.name) != NULL && node != NULL &&
            wg_read_value(reader, node, &key, (char *)&reader->plan->species + key.offset))
            note_given(reader, key.name);
        if (strcmp(key.name, "clutch_low") == 0)
            clutch_low = key;
        if (strcmp(key.name, "clutch_high") == 0 && clutch != NULL)
            read_clutch(reader, clutch, &clutch_low, &key);
    }
}

void wg_read_species(struct wg_scenario_reader *reader) {
    const struct wg_yaml_node *const map = wg_yaml_get(reader->root, "species");
    read_animal_set(reader, map);
    read_animals(reader, map);
    if (!wg_read_group(reader, map, WG_GROUP_SPECIES))
        return;
    const size_t mistakes = reader->problems->n;
    read_animal_numbers(reader, map);
    read_dormancy(reader, map);
    const char *const problem = reader->problems->n > mistakes ? NULL : wg_species_problem(&reader->plan->species);
    if (problem != NULL)
        wg_read_mistake_key(reader, map, "These numbers contradict each other: %s.", problem);
}

/* ---- forecast ---- */

void wg_read_forecast(struct wg_scenario_reader *reader) {
    struct wg_plan *const plan = reader->plan;
    plan->replicates = 512;
    plan->seed = 1;
    plan->steps_per_day = 1;
    const struct wg_yaml_node *const map = wg_yaml_get(reader->root, "forecast");
    if (!wg_read_group(reader, map, WG_GROUP_FORECAST))
        return;
    (void)wg_read_members(reader, map, WG_GROUP_FORECAST, plan);
    int i;
    if (wg_read_key(reader, map, WG_GROUP_FORECAST, "steps_per_day", &i) == WG_READ_GOOD)
        plan->steps_per_day = atoi(wg_schema_find(WG_GROUP_FORECAST, "steps_per_day")->words[i]);
}
