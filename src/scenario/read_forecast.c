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

static void read_power_cut(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                           struct wg_mishaps *mishaps) {
    static const char *const keys[] = {"per_year", "lasts", NULL};
    if (!wg_read_map(reader, map, "the power cut", keys))
        return;
    (void)wg_read_quantity(reader, wg_read_required(reader, map, "per_year", "the power cut", "per_year: 2"),
                           WG_PER_YEAR, 0, WG_MAX_MISHAPS_PER_YEAR, &mishaps->power_cuts_per_year);
    (void)wg_read_quantity(reader, wg_read_required(reader, map, "lasts", "the power cut", "lasts: 12 hours"), WG_HOURS,
                           0, WG_MAX_POWER_CUT_HOURS, &mishaps->power_cut_hours);
    if (mishaps->power_cut_hours > 0 && mishaps->power_cut_hours < 0.5)
        wg_read_mistake(
            reader, wg_yaml_get(map, "lasts"),
            "Power cuts are lived in whole hours, so one under half an hour would be none. Write at least 30 min, or "
            "leave it out: a warm house hardly notices.");
}

static void read_raid(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, struct wg_mishaps *mishaps) {
    static const char *const keys[] = {"per_year", "larvae_lost", NULL};
    if (!wg_read_map(reader, map, "the raid", keys))
        return;
    (void)wg_read_quantity(reader, wg_read_required(reader, map, "per_year", "the raid", "per_year: 1"), WG_PER_YEAR, 0,
                           WG_MAX_MISHAPS_PER_YEAR, &mishaps->raids_per_year);
    (void)wg_read_quantity(reader, wg_read_required(reader, map, "larvae_lost", "the raid", "larvae_lost: 40 %"),
                           WG_SHARE, 0, 1, &mishaps->raid_share);
}

void wg_read_mishaps(struct wg_scenario_reader *reader) {
    static const char *const kinds[] = {"power_cut", "raid", NULL}, *const visits[] = {"peak", NULL};
    const struct wg_yaml_node *const mishaps = wg_yaml_get(reader->root, "mishaps");
    if (wg_read_map(reader, mishaps, "the mishaps", kinds)) {
        read_power_cut(reader, wg_yaml_get(mishaps, "power_cut"), &reader->plan->mishaps);
        read_raid(reader, wg_yaml_get(mishaps, "raid"), &reader->plan->mishaps);
    }
    const struct wg_yaml_node *const wild = wg_yaml_get(reader->root, "wild_visitors");
    reader->wild = wild != NULL;
    if (wg_read_map(reader, wild, "the wild visitors", visits))
        (void)wg_read_quantity(reader,
                               wg_read_required(reader, wild, "peak", "the group of wild visitors", "peak: 3 per day"),
                               WG_NUMBER_RATE, 0, WG_MAX_WILD_PER_DAY, &reader->plan->wild_peak_per_day);
}

/* ---- the animal ---- */

#define MAX_PARAMETERS 200

static void read_animal_numbers(struct wg_scenario_reader *reader, const struct wg_yaml_node *map) {
    static const char *const sets[] = {"keepers", "laboratory", NULL};
    const int i = wg_read_word(reader, wg_yaml_get(map, "numbers"), "a set of numbers", sets);
    const char *const name = sets[i > 0 ? i : 0];
    const int known = wg_species_set(&reader->plan->species, name);
    wg_assert(known == 0);
    (void)snprintf(reader->plan->numbers, sizeof reader->plan->numbers, "%s", name);
}

static void read_clutch(struct wg_scenario_reader *reader, const struct wg_yaml_node *clutch) {
    const struct wg_parameter *const low = wg_species_find("clutch_low"), *const high = wg_species_find("clutch_high");
    if (clutch == NULL)
        return;
    if (clutch->kind != WG_YAML_LIST || clutch->n != 2) {
        wg_read_mistake(reader, clutch,
                        "A clutch is a range: write the fewest and the most eggs, for example clutch: [400, 900].");
        return;
    }
    double fewest, most;
    const bool low_read = wg_read_quantity(reader, clutch->first, WG_COUNT, low->least, low->most, &fewest);
    if (!wg_read_quantity(reader, clutch->first->next, WG_COUNT, high->least, high->most, &most) || !low_read)
        return;
    wg_species_put(&reader->plan->species, low, fewest);
    wg_species_put(&reader->plan->species, high, most);
}

static void read_parameter(struct wg_scenario_reader *reader, const struct wg_yaml_node *node,
                           const struct wg_parameter *parameter) {
    const int dimension = wg_dimension_of_unit(parameter->unit);
    wg_assert(dimension >= 0);
    double value;
    if (wg_read_quantity(reader, node, (enum wg_dimension)dimension, parameter->least, parameter->most, &value))
        wg_species_put(&reader->plan->species, parameter, value);
}

void wg_read_species(struct wg_scenario_reader *reader) {
    const struct wg_yaml_node *const map = wg_yaml_get(reader->root, "species");
    const char *keys[MAX_PARAMETERS + 3] = {"numbers", "clutch"};
    const struct wg_parameter *const table = wg_species_parameters();
    for (int i = 0; table[i].name != NULL; i++) {
        wg_assert(i < MAX_PARAMETERS);
        keys[2 + i] = table[i].name;
    }
    read_animal_numbers(reader, map);
    if (!wg_read_map(reader, map, "the numbers of the species", keys))
        return;
    const size_t mistakes = reader->problems->n;
    read_clutch(reader, wg_yaml_get(map, "clutch"));
    for (const struct wg_yaml_node *node = map->first; node != NULL; node = node->next) {
        const struct wg_parameter *const parameter = wg_species_find(node->key->text);
        if (parameter != NULL)
            read_parameter(reader, node, parameter);
    }
    const char *const problem = reader->problems->n > mistakes ? NULL : wg_species_problem(&reader->plan->species);
    if (problem != NULL)
        wg_read_mistake_key(reader, map, "These numbers contradict each other: %s.", problem);
}

/* ---- forecast ---- */

static void read_seed(struct wg_scenario_reader *reader, const struct wg_yaml_node *node) {
    const char *const text = wg_read_text(reader, node, "a whole number", "2026");
    if (text == NULL)
        return;
    char *end = NULL;
    errno = 0;
    const unsigned long long seed = isdigit((unsigned char)text[0]) ? strtoull(text, &end, 10) : 0;
    if (end == NULL || *end != '\0' || errno != 0)
        wg_read_mistake(
            reader, node,
            "\"%.40s\" cannot be a seed: it is a whole number from 0 to 18446744073709551615, for example 2026.", text);
    else
        reader->plan->seed = seed;
}

void wg_read_forecast(struct wg_scenario_reader *reader) {
    static const char *const keys[] = {"replicates", "seed", "steps_per_day", NULL};
    static const char *const steps[] = {"1", "2", "4", "24", NULL};
    static const int steps_mean[] = {1, 2, 4, 24};
    struct wg_plan *const plan = reader->plan;
    plan->replicates = 200;
    plan->seed = 1;
    plan->steps_per_day = 1;
    const struct wg_yaml_node *const map = wg_yaml_get(reader->root, "forecast");
    if (!wg_read_map(reader, map, "the forecast", keys))
        return;
    (void)wg_read_whole(reader, wg_yaml_get(map, "replicates"), "the number of replicates", 1, WG_MAX_REPLICATES,
                        &plan->replicates);
    read_seed(reader, wg_yaml_get(map, "seed"));
    const int i = wg_read_word(reader, wg_yaml_get(map, "steps_per_day"), "a number of steps a day", steps);
    if (i >= 0)
        plan->steps_per_day = steps_mean[i];
}
