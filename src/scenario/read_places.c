/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads places: housing, heater, ground. Bins are in read_bins.c.
 */
#include "housing/shelter.h"
#include "scenario/read.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* ---- housing ---- */

/* Reads the keys from which other defaults follow, before the other keys. */
static void read_size(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                      struct wg_shelter_spec *shelter) {
    double floor_m2;
    if (wg_read_key(reader, map, WG_GROUP_HOUSING, "floor", &floor_m2) == WG_READ_GOOD)
        (void)wg_shelter_set_floor(shelter, floor_m2);
    int cover;
    if (wg_read_key(reader, map, WG_GROUP_HOUSING, "cover", &cover) == WG_READ_GOOD &&
        wg_shelter_set_cover(shelter, wg_schema_find(WG_GROUP_HOUSING, "cover")->words[cover]) < 0)
        wg_read_mistake_key(reader, wg_yaml_get(map, "cover"),
                            "A %s has no cover of film or glass. Give its walls an r_value, for example R-13.",
                            wg_housing_name(shelter->kind));
    const double volume_m3 = shelter->volume_m3;
    if (wg_read_key(reader, map, WG_GROUP_HOUSING, "volume", &shelter->volume_m3) == WG_READ_GOOD && volume_m3 > 0)
        shelter->air_j_k *= shelter->volume_m3 / volume_m3;
    wg_read_u(reader, map, WG_GROUP_HOUSING, &shelter->u_w_m2k);
}

/* "12 hours", "none", or {hours: 12 hours, power: 100 W, price: ..., from: ..., to: ...} */
static void read_lamps(struct wg_scenario_reader *reader, const struct wg_yaml_node *node,
                       struct wg_shelter_spec *shelter) {
    if (node == NULL || (node->kind == WG_YAML_TEXT && strcmp(node->text, "none") == 0))
        return;
    shelter->lamp_power_w = shelter->lamp_price_per_kwh = (double)NAN;
    if (node->kind == WG_YAML_TEXT) {
        (void)wg_read_value(reader, node, wg_schema_find(WG_GROUP_LAMPS, "hours"), &shelter->lamp_hours);
    } else if (wg_read_group(reader, node, WG_GROUP_LAMPS)) {
        (void)wg_read_members(reader, node, WG_GROUP_LAMPS, shelter);
        (void)wg_read_season(reader, node, WG_GROUP_LAMPS, &shelter->lamp_season);
        wg_read_refuse_reserve(reader, wg_yaml_get(node, "when"), &shelter->lamp_when);
    }
}

static void read_window(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                        struct wg_shelter_spec *shelter) {
    const struct wg_yaml_node *const window = wg_yaml_get(map, "window");
    double window_m2;
    if (window != NULL && shelter->kind != WG_SHED)
        wg_read_mistake_key(reader, window, "A %s gets its sun through the cover. \"window\" is only for a shed.",
                            wg_housing_name(shelter->kind));
    else if (wg_read_key(reader, map, WG_GROUP_HOUSING, "window", &window_m2) == WG_READ_GOOD)
        shelter->sun_area_m2 = 0.55 * window_m2; /* share of the sun on the flat that passes a window: judgement */
}

/* More sun than falls on the cover would silently heat the house without limit. */
static void check_sun(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                      const struct wg_shelter_spec *shelter) {
    const struct wg_yaml_node *const sun = wg_yaml_get(map, "sun_area"), *const window = wg_yaml_get(map, "window");
    if (shelter->sun_area_m2 <= shelter->cover_m2)
        return;
    char taken[WG_QUANTITY_SHOWN_SIZE], cover[WG_QUANTITY_SHOWN_SIZE];
    wg_quantity_show(WG_AREA, shelter->sun_area_m2, taken);
    wg_quantity_show(WG_AREA, shelter->cover_m2, cover);
    wg_read_mistake_key(
        reader,
        sun != NULL      ? sun
        : window != NULL ? window
                         : wg_yaml_get(map, "cover_area"),
        "The house collects sun on %s, more than its cover of %s. Reduce the sun area or enlarge the cover.", taken,
        cover);
}

static void read_water(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                       struct wg_shelter_spec *shelter) {
    double water_m3;
    if (wg_read_key(reader, map, WG_GROUP_HOUSING, "water", &water_m3) != WG_READ_GOOD)
        return;
    shelter->mass_j_k += 4.18e6 * water_m3;   /* heat capacity of water */
    shelter->mass_air_w_k += 40.0 * water_m3; /* a 200 L barrel: 1.6 m2 at 5 W/(m2 K), derived */
}

/* Outdoors and in a laboratory, housing has no key but its kind. */
static void refuse_all_but_kind(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                                enum wg_housing_kind kind) {
    for (const struct wg_yaml_node *value = map->first; value != NULL; value = value->next)
        if (strcmp(value->key->text, "kind") != 0)
            wg_read_mistake_key(reader, value,
                                kind == WG_OUTDOORS
                                    ? "Outdoors there is no house, so \"%.60s\" does not apply. Remove it, or "
                                      "choose a house: hoop house, greenhouse or shed."
                                    : "A laboratory has constant temperature and full light however it is built, so "
                                      "\"%.60s\" does not apply. Remove it.",
                                value->key->text);
}

/* ---- rooms ---- */

static bool has_room_key(enum wg_housing_kind kind, const char *key) {
    static const char *const keys[] = {"kind", "temperature", "summer", "light", "lamps", "depth"};
    const size_t n = kind == WG_REFRIGERATOR ? 2 : kind == WG_ROOM ? 5 : 6;
    for (size_t i = 0; i < n; i++)
        if (strcmp(keys[i], key) == 0)
            return true;
    return false;
}

static void refuse_keys_of_other_kinds(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                                       enum wg_housing_kind kind) {
    for (const struct wg_yaml_node *value = map->first; value != NULL; value = value->next) {
        const char *const key = value->key->text, *const name = wg_housing_name(kind);
        if (has_room_key(kind, key) || wg_schema_find(WG_GROUP_HOUSING, key) == NULL)
            continue;
        if (strcmp(key, "window") == 0 && kind != WG_REFRIGERATOR)
            wg_read_mistake_key(reader, value,
                                "A window of a %s matters only for the light of the flies. Write light: 10 %% near a "
                                "window, up to 50 %% in the sun behind the glass.",
                                name);
        else if (kind == WG_REFRIGERATOR)
            wg_read_mistake_key(reader, value,
                                "A refrigerator is dark and always at its temperature, so \"%.60s\" does not apply. "
                                "Remove it.",
                                key);
        else
            wg_read_mistake_key(reader, value,
                                "The temperature of a %s is given, so \"%.60s\" does not apply. Remove it, or choose "
                                "a house that you heat yourself, for example kind: shed.",
                                name, key);
    }
}

static void read_room_summer(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, bool follows_soil,
                             struct wg_shelter_spec *room) {
    if (node == NULL)
        return;
    if (follows_soil) {
        wg_read_mistake_key(reader, node,
                            "Without a temperature this cellar follows the soil, in summer, too. Add for example "
                            "temperature: 50 degF, or remove \"summer\".");
        return;
    }
    if (!wg_read_group(reader, node, WG_GROUP_ROOM_SUMMER))
        return;
    (void)wg_read_required(reader, node, WG_GROUP_ROOM_SUMMER, "from");
    room->summer_switch = wg_read_season(reader, node, WG_GROUP_ROOM_SUMMER, &room->summer);
    (void)wg_read_members(reader, node, WG_GROUP_ROOM_SUMMER, room);
}

/* Without a map the kind stands alone. */
static void read_room(struct wg_scenario_reader *reader, const struct wg_yaml_node *node,
                      struct wg_shelter_spec *room) {
    struct wg_key temperature = *wg_schema_find(WG_GROUP_HOUSING, "temperature");
    const struct wg_yaml_node *const given = wg_yaml_get(node, "temperature"), *const depth =
                                                                                   wg_yaml_get(node, "depth");
    if (room->kind == WG_REFRIGERATOR)
        temperature.most = 20; /* warmer is no refrigerator */
    if (room->kind == WG_ROOM && given == NULL && node->kind == WG_YAML_MAP && wg_read_is_misspelt(node, "temperature"))
        return;
    if (room->kind == WG_ROOM && given == NULL) {
        wg_read_mistake(reader, node,
                        "How warm is the room? Write for example housing: {kind: room, temperature: 65 degF}.");
        return;
    }
    if (node->kind != WG_YAML_MAP)
        return;
    refuse_keys_of_other_kinds(reader, node, room->kind);
    (void)wg_read_value(reader, given, &temperature, &room->steady_c);
    if (room->kind == WG_CELLAR && depth != NULL && given != NULL)
        wg_read_mistake_key(reader, depth,
                            "A cellar has the temperature that is given or that of the soil at a depth. Keep one of "
                            "temperature and depth.");
    else if (room->kind == WG_CELLAR)
        (void)wg_read_key(reader, node, WG_GROUP_HOUSING, "depth", &room->depth_m);
    if (room->kind == WG_REFRIGERATOR)
        return;
    read_room_summer(reader, wg_yaml_get(node, "summer"), given == NULL, room);
    (void)wg_read_key(reader, node, WG_GROUP_HOUSING, "light", &room->light_through);
    read_lamps(reader, wg_yaml_get(node, "lamps"), room);
}

/* "temperature", "depth" and "summer" in a house, where they would be silently ignored. */
static void refuse_room_keys(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                             enum wg_housing_kind kind) {
    static const char *const keys[] = {"temperature", "depth", "summer"};
    for (size_t i = 0; wg_housing_has_walls(kind) && i < sizeof keys / sizeof *keys; i++)
        if (wg_yaml_get(map, keys[i]) != NULL)
            wg_read_mistake_key(reader, wg_yaml_get(map, keys[i]),
                                "The temperature of a %s follows from weather, walls and heater, so \"%s\" does not "
                                "apply. Write a heater with a set_point, or for a place with a given temperature kind: "
                                "room.",
                                wg_housing_name(kind), keys[i]);
}

/* Returns whether its kind is known. */
static bool read_housing(struct wg_scenario_reader *reader, const struct wg_yaml_node *node,
                         struct wg_place_plan *place) {
    struct wg_shelter_spec *const shelter = &place->shelter;
    const bool is_word = node != NULL && node->kind == WG_YAML_TEXT; /* short for {kind: word} */
    if (!is_word && !wg_read_group(reader, node, WG_GROUP_HOUSING))
        return false;
    int kind;
    if (!(is_word ? wg_read_value(reader, node, wg_schema_find(WG_GROUP_HOUSING, "kind"), &kind)
                  : wg_read_key(reader, node, WG_GROUP_HOUSING, "kind", &kind) == WG_READ_GOOD))
        return false;
    wg_shelter_defaults(shelter, (enum wg_housing_kind)kind);
    wg_ground_defaults(&place->ground, (enum wg_housing_kind)kind);
    if (wg_housing_is_room(shelter->kind)) {
        read_room(reader, node, shelter);
        return true;
    }
    if (is_word)
        return true;
    refuse_room_keys(reader, node, shelter->kind);
    if (!wg_housing_has_walls(shelter->kind)) {
        refuse_all_but_kind(reader, node, shelter->kind);
        return true;
    }
    read_size(reader, node, shelter);
    read_window(reader, node, shelter);
    (void)wg_read_members(reader, node, WG_GROUP_HOUSING, shelter);
    read_lamps(reader, wg_yaml_get(node, "lamps"), shelter);
    wg_read_insulation_price(reader, node, WG_GROUP_HOUSING, &place->insulation);
    check_sun(reader, node, shelter);
    read_water(reader, node, shelter);
    return true;
}

/* ---- heater ---- */

static void read_heater(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, int p) {
    struct wg_place_plan *const place = &reader->plan->places[p];
    place->heater = (struct wg_heater_spec){.efficiency = 1, .season = WG_ALL_YEAR};
    if (node == NULL)
        return;
    reader->has_heater[p] = true;
    reader->heater_at[p] = node;
    if (reader->housing_wrong[p]) {
        wg_read_heater(reader, node, WG_GROUP_HEATER, &place->heater);
        return;
    }
    if (!wg_housing_has_walls(place->shelter.kind)) {
        wg_read_mistake_key(
            reader, node,
            place->shelter.kind == WG_OUTDOORS
                ? "Outdoors there is nothing to heat. Give the bin a mat, or choose a house: hoop house, "
                  "greenhouse or shed."
            : place->shelter.kind == WG_LABORATORY
                ? "A laboratory is kept at the climate's constant temperature. Remove the heater."
                : "This place has a given temperature. Remove the heater, or write housing: shed for a house that you "
                  "heat and pay for.");
        return;
    }
    wg_read_heater(reader, node, WG_GROUP_HEATER, &place->heater);
    const bool vents = place->shelter.vent_air_changes > 0;
    if (vents && place->heater.power_w > 0 && place->heater.set_point_c >= place->shelter.vent_above_c) {
        char set[WG_QUANTITY_SHOWN_SIZE], vent[WG_QUANTITY_SHOWN_SIZE];
        wg_quantity_show(WG_TEMPERATURE, place->heater.set_point_c, set);
        wg_quantity_show(WG_TEMPERATURE, place->shelter.vent_above_c, vent);
        wg_read_mistake(
            reader, wg_yaml_get(node, "set_point"),
            "The heater holds %s, but the vents open above %s: it would heat the open air. Lower the set_point, or "
            "raise vents_open_above in the housing.",
            set, vent);
    }
}

/* ---- ground ---- */

static void read_ground_spec(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                             enum wg_housing_kind kind, struct wg_ground_spec *ground) {
    if (!wg_read_group(reader, map, WG_GROUP_GROUND))
        return;
    (void)wg_read_members(reader, map, WG_GROUP_GROUND, ground);
    if (wg_housing_is_room(kind) && ground->kind == WG_GROUND_SOIL) {
        wg_read_mistake(reader, wg_yaml_get(map, "kind"),
                        "In a %s prepupae pupate in a box as warm as the air. Write kind: box.", wg_housing_name(kind));
        ground->kind = WG_GROUND_BOX;
    }
    for (int i = 0; i < 2 && ground->kind == WG_GROUND_BOX; i++) {
        const struct wg_yaml_node *const node = wg_yaml_get(map, i == 0 ? "depth" : "mulch");
        if (node != NULL)
            wg_read_mistake_key(
                reader, node,
                "A pupation box is as warm as the air, so it has no %s. Remove this key, or write kind: soil.",
                i == 0 ? "depth" : "mulch");
    }
}

/* ---- places ---- */

/* Notes what the file says itself of lamps, heat loss and depth. */
static void note_given_values(struct wg_place_plan *place, const struct wg_yaml_node *housing,
                              const struct wg_yaml_node *ground) {
    static const char *const loss[] = {"u_value", "r_value", "cover", "air_changes"};
    place->lamps_given = wg_yaml_get(housing, "lamps") != NULL;
    for (size_t i = 0; i < sizeof loss / sizeof *loss; i++)
        place->loss_given = place->loss_given || wg_yaml_get(housing, loss[i]) != NULL;
    place->depth_given = wg_yaml_get(ground, "depth") != NULL;
}

static void read_place_spec(struct wg_scenario_reader *reader, const struct wg_yaml_node *node) {
    if (!wg_read_group(reader, node, WG_GROUP_PLACE))
        return;
    struct wg_plan *const plan = reader->plan;
    if (plan->n_places == WG_MAX_PLACES) {
        if (!reader->too_many_places)
            wg_read_mistake(reader, node, "This is one place too many: a scenario may have %d.", WG_MAX_PLACES);
        reader->too_many_places = true;
        return;
    }
    char name[WG_NAME_SIZE] = "";
    const struct wg_yaml_node *const at = wg_read_required(reader, node, WG_GROUP_PLACE, "name");
    if (wg_read_name(reader, at, name) &&
        (wg_read_find_place(reader, name) >= 0 || wg_read_find_bin(reader, name) >= 0))
        wg_read_mistake(reader, at,
                        "The name \"%s\" is used already. Every place and every bin needs a name of its own.", name);
    const int p = plan->n_places++;
    reader->place_at[p] = node;
    struct wg_place_plan *const place = &plan->places[p];
    memcpy(place->name, name, sizeof name);
    wg_shelter_defaults(&place->shelter, WG_OUTDOORS); /* until a kind is read */
    wg_ground_defaults(&place->ground, WG_OUTDOORS);
    const struct wg_yaml_node *const housing = wg_yaml_get(node, "housing");
    char what[WG_NAME_SIZE + 16];
    (void)snprintf(what, sizeof what, "the place \"%s\"", name);
    if (housing == NULL)
        wg_read_missing(reader, node, name[0] != '\0' ? what : "a place", wg_schema_find(WG_GROUP_PLACE, "housing"));
    int keeper;
    if (wg_read_key(reader, node, WG_GROUP_PLACE, "keeper", &keeper) == WG_READ_GOOD)
        place->is_neighbour = keeper == 1;
    reader->housing_wrong[p] = !read_housing(reader, housing, place);
    read_heater(reader, wg_yaml_get(node, "heater"), p);
    place->ground.dark = wg_housing_is_room(place->shelter.kind) && !(place->shelter.light_through > 0) &&
                         !(place->shelter.lamp_hours > 0);
    read_ground_spec(reader, wg_yaml_get(node, "ground"), place->shelter.kind, &place->ground);
    note_given_values(place, housing, wg_yaml_get(node, "ground"));
    wg_read_bins(reader, node, p);
}

void wg_read_places(struct wg_scenario_reader *reader) {
    const struct wg_yaml_node *const places = wg_yaml_get(reader->root, "places");
    if (!wg_read_list(reader, reader->root, WG_GROUP_SCENARIO, "places"))
        return;
    const size_t mistakes = reader->problems->n;
    for (const struct wg_yaml_node *place = places->first; place != NULL; place = place->next)
        read_place_spec(reader, place);
    if (reader->plan->n_bins == 0 && reader->problems->n == mistakes)
        wg_read_mistake_key(reader, places,
                            "No place has a bin. Add bins to one, for example bins: [{name: trough, volume: 150 L}].");
}
