/*
 * Where do the animals live? Places: housing, heater, ground. Bins are in read_bins.c.
 */
#include "scenario/read.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* ---- housing ---- */

static bool has_walls(enum wg_housing_kind kind) {
    return kind == WG_HOOP_HOUSE || kind == WG_GREENHOUSE || kind == WG_SHED;
}

static void read_size(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                      struct wg_shelter_spec *shelter) {
    static const char *const covers[] = {"single film", "double film", "twin wall", "glass", NULL};
    double floor_m2;
    if (wg_read_quantity(reader, wg_yaml_get(map, "floor"), WG_AREA, 0.25, WG_MAX_FLOOR_M2, &floor_m2))
        (void)wg_shelter_set_floor(shelter, floor_m2);
    const struct wg_yaml_node *const cover = wg_yaml_get(map, "cover");
    const int i = wg_read_word(reader, cover, "a kind of cover", covers);
    if (i >= 0 && wg_shelter_set_cover(shelter, covers[i]) < 0)
        wg_read_mistake_key(reader, cover,
                            "A %s has no cover of film or glass. Give its walls an r_value, for example R-13.",
                            wg_housing_name(shelter->kind));
    (void)wg_read_quantity(reader, wg_yaml_get(map, "cover_area"), WG_AREA, 0.25, WG_MAX_COVER_M2, &shelter->cover_m2);
    const double volume_m3 = shelter->volume_m3;
    if (wg_read_quantity(reader, wg_yaml_get(map, "volume"), WG_SPACE, 0.1, WG_MAX_HOUSE_M3, &shelter->volume_m3) &&
        volume_m3 > 0)
        shelter->air_j_k *= shelter->volume_m3 / volume_m3;
    wg_read_u(reader, map, &shelter->u_w_m2k);
}

static void read_air(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                     struct wg_shelter_spec *shelter) {
    (void)wg_read_quantity(reader, wg_yaml_get(map, "air_changes"), WG_PER_HOUR, 0, WG_MAX_AIR_CHANGES,
                           &shelter->air_changes);
    (void)wg_read_quantity(reader, wg_yaml_get(map, "vent_air_changes"), WG_PER_HOUR, 0, WG_MAX_VENT_AIR_CHANGES,
                           &shelter->vent_air_changes);
    (void)wg_read_quantity(reader, wg_yaml_get(map, "vents_open_above"), WG_TEMPERATURE, 0, WG_MAX_VENT_ABOVE_C,
                           &shelter->vent_above_c);
}

/* "12 hours", "none", or {hours: 12 hours, power: 100 W, price: ..., from: ..., to: ...} */
static void read_lamps(struct wg_scenario_reader *reader, const struct wg_yaml_node *node,
                       struct wg_shelter_spec *shelter) {
    static const char *const keys[] = {"hours", "power", "price", "from", "to", NULL};
    const struct wg_yaml_node *hours = node;
    if (node == NULL || (node->kind == WG_YAML_TEXT && strcmp(node->text, "none") == 0))
        return;
    shelter->lamp_power_w = shelter->lamp_price_per_kwh = (double)NAN;
    if (node->kind != WG_YAML_TEXT) {
        if (!wg_read_map(reader, node, "a set of lamps", keys))
            return;
        hours = wg_read_required(reader, node, "hours", "a set of lamps", "hours: 12 hours");
        (void)wg_read_quantity(reader, wg_yaml_get(node, "power"), WG_POWER, 0, 1e6, &shelter->lamp_power_w);
        (void)wg_read_quantity(reader, wg_yaml_get(node, "price"), WG_PRICE, 0, 1e6, &shelter->lamp_price_per_kwh);
        (void)wg_read_season(reader, node, "a set of lamps", &shelter->lamp_season);
    }
    (void)wg_read_quantity(reader, hours, WG_HOURS, 0, 24, &shelter->lamp_hours);
}

static void read_light(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                       struct wg_shelter_spec *shelter) {
    const struct wg_yaml_node *const window = wg_yaml_get(map, "window");
    double window_m2;
    if (window != NULL && shelter->kind != WG_SHED)
        wg_read_mistake_key(reader, window, "A %s takes the sun through its cover. \"window\" is for a shed.",
                            wg_housing_name(shelter->kind));
    else if (wg_read_quantity(reader, window, WG_AREA, 0, 1000, &window_m2))
        shelter->sun_area_m2 = 0.55 * window_m2; /* share of the sun on the flat that passes a window: judgement */
    (void)wg_read_quantity(reader, wg_yaml_get(map, "sun_area"), WG_AREA, 0, WG_MAX_SUN_M2, &shelter->sun_area_m2);
    (void)wg_read_quantity(reader, wg_yaml_get(map, "sun_to_air"), WG_SHARE, 0, 1, &shelter->sun_to_air);
    (void)wg_read_quantity(reader, wg_yaml_get(map, "light"), WG_SHARE, 0, 1, &shelter->light_through);
    read_lamps(reader, wg_yaml_get(map, "lamps"), shelter);
}

/* More sun than falls on the cover would heat the house without limit, and without a word. */
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
        "The house takes the sun of %s through a cover of %s. Make the one smaller or the other larger.", taken, cover);
}

static void read_masses(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                        struct wg_shelter_spec *shelter) {
    (void)wg_read_quantity(reader, wg_yaml_get(map, "mass_heat"), WG_HEAT_CAPACITY, 1e3, WG_MAX_MASS_J_K,
                           &shelter->mass_j_k);
    (void)wg_read_quantity(reader, wg_yaml_get(map, "air_heat"), WG_HEAT_CAPACITY, 1e2, WG_MAX_AIR_J_K,
                           &shelter->air_j_k);
    (void)wg_read_quantity(reader, wg_yaml_get(map, "air_to_mass"), WG_CONDUCTANCE, 0, WG_MAX_CONDUCTANCE_W_K,
                           &shelter->mass_air_w_k);
    (void)wg_read_quantity(reader, wg_yaml_get(map, "mass_to_ground"), WG_CONDUCTANCE, 0, WG_MAX_CONDUCTANCE_W_K,
                           &shelter->mass_ground_w_k);
    (void)wg_read_quantity(reader, wg_yaml_get(map, "sky_loss"), WG_R_VALUE, 0, WG_MAX_SKY_M2K_W,
                           &shelter->sky_view_m2k_w);
    double water_m3;
    if (wg_read_quantity(reader, wg_yaml_get(map, "water"), WG_VOLUME, 0, WG_MAX_WATER_M3, &water_m3)) {
        shelter->mass_j_k += 4.18e6 * water_m3;   /* heat capacity of water */
        shelter->mass_air_w_k += 40.0 * water_m3; /* a 200 L barrel: 1.6 m2 at 5 W/(m2 K), derived */
    }
}

/* Outdoors and in a laboratory there is nothing to size, heat or air. */
static void refuse_all_but_kind(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                                enum wg_housing_kind kind) {
    for (const struct wg_yaml_node *value = map->first; value != NULL; value = value->next)
        if (strcmp(value->key->text, "kind") != 0)
            wg_read_mistake_key(reader, value,
                                kind == WG_OUTDOORS
                                    ? "Outdoors there is no house, so \"%.60s\" has no place here. Take it out, or "
                                      "name the house: hoop house, greenhouse or shed."
                                    : "A laboratory keeps one temperature and full light whatever it is built of, so "
                                      "\"%.60s\" has no place here.",
                                value->key->text);
}

static const char *const housing_words[] = {"outdoors", "hoop house", "greenhouse", "shed", "laboratory", NULL};

static void read_housing(struct wg_scenario_reader *reader, const struct wg_yaml_node *node,
                         struct wg_place_plan *place) {
    static const char *const keys[] = {"kind",     "floor",     "cover",       "cover_area",       "volume",
                                       "u_value",  "r_value",   "air_changes", "vent_air_changes", "vents_open_above",
                                       "window",   "lamps",     "light",       "sun_area",         "sun_to_air",
                                       "water",    "mass_heat", "air_heat",    "air_to_mass",      "mass_to_ground",
                                       "sky_loss", NULL};
    struct wg_shelter_spec *const shelter = &place->shelter;
    const struct wg_yaml_node *kind = node;
    if (node != NULL && node->kind != WG_YAML_TEXT) { /* the word alone stands for {kind: word} */
        if (!wg_read_map(reader, node, "a housing", keys))
            return;
        kind = wg_read_required(reader, node, "kind", "a housing",
                                "kind: hoop house (or outdoors, greenhouse, shed, laboratory)");
    }
    const int i = wg_read_word(reader, kind, "a kind of housing", housing_words);
    if (i < 0)
        return;
    wg_shelter_defaults(shelter, (enum wg_housing_kind)i);
    wg_ground_defaults(&place->ground, (enum wg_housing_kind)i);
    if (kind == node)
        return;
    if (!has_walls(shelter->kind)) {
        refuse_all_but_kind(reader, node, shelter->kind);
        return;
    }
    read_size(reader, node, shelter);
    read_air(reader, node, shelter);
    read_light(reader, node, shelter);
    check_sun(reader, node, shelter);
    read_masses(reader, node, shelter);
}

/* ---- heater ---- */

static void read_heater(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, int p) {
    struct wg_place_plan *const place = &reader->plan->places[p];
    place->heater = (struct wg_heater_spec){.efficiency = 1, .season = WG_ALL_YEAR};
    if (node == NULL)
        return;
    reader->has_heater[p] = true;
    reader->heater_at[p] = node;
    if (!has_walls(place->shelter.kind)) {
        wg_read_mistake_key(
            reader, node,
            place->shelter.kind == WG_OUTDOORS
                ? "Outdoors there is nothing to heat. Give the bin a mat, or name the house: hoop house, "
                  "greenhouse or shed."
                : "A laboratory is kept at the climate's constant temperature. Take the heater out.");
        return;
    }
    wg_read_heater(reader, node, "a heater", &place->heater);
    const bool vents = place->shelter.vent_air_changes > 0;
    if (vents && place->heater.power_w > 0 && place->heater.set_point_c >= place->shelter.vent_above_c) {
        char set[WG_QUANTITY_SHOWN_SIZE], vent[WG_QUANTITY_SHOWN_SIZE];
        wg_quantity_show(WG_TEMPERATURE, place->heater.set_point_c, set);
        wg_quantity_show(WG_TEMPERATURE, place->shelter.vent_above_c, vent);
        wg_read_mistake(
            reader, wg_yaml_get(node, "set_point"),
            "The heater holds %s while the vents open above %s: it would heat the open air. Lower the set_point, or "
            "raise vents_open_above in the housing.",
            set, vent);
    }
}

/* ---- ground ---- */

static void read_ground_spec(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                             struct wg_ground_spec *ground) {
    static const char *const keys[] = {"kind", "depth", "mulch", "dark", NULL};
    static const char *const kinds[] = {"soil", "box", NULL};
    if (!wg_read_map(reader, map, "the ground", keys))
        return;
    const int kind = wg_read_word(reader, wg_yaml_get(map, "kind"), "a kind of ground", kinds);
    if (kind >= 0)
        ground->kind = kind == 0 ? WG_GROUND_SOIL : WG_GROUND_BOX;
    for (int i = 0; i < 2 && ground->kind == WG_GROUND_BOX; i++) {
        const struct wg_yaml_node *const node = wg_yaml_get(map, i == 0 ? "depth" : "mulch");
        if (node != NULL)
            wg_read_mistake_key(
                reader, node,
                "A pupation box is as warm as the air, so it has no %s. Take it out, or write kind: soil.",
                i == 0 ? "depth" : "mulch");
    }
    (void)wg_read_quantity(reader, wg_yaml_get(map, "depth"), WG_LENGTH, 0.01, WG_MAX_GROUND_DEPTH_M,
                           &ground->soil.depth_m);
    (void)wg_read_quantity(reader, wg_yaml_get(map, "mulch"), WG_LENGTH, 0, WG_MAX_MULCH_M, &ground->soil.mulch_m);
    (void)wg_read_flag(reader, wg_yaml_get(map, "dark"), &ground->dark);
}

/* ---- places ---- */

static void read_place_spec(struct wg_scenario_reader *reader, const struct wg_yaml_node *node) {
    static const char *const keys[] = {"name", "housing", "heater", "ground", "bins", NULL};
    if (!wg_read_map(reader, node, "a place", keys))
        return;
    struct wg_plan *const plan = reader->plan;
    if (plan->n_places == WG_MAX_PLACES) {
        if (!reader->too_many_places)
            wg_read_mistake(reader, node, "This is one place too many: a scenario holds %d.", WG_MAX_PLACES);
        reader->too_many_places = true;
        return;
    }
    char name[WG_NAME_SIZE] = "";
    const struct wg_yaml_node *const at = wg_read_required(reader, node, "name", "a place", "name: hoop house");
    if (wg_read_name(reader, at, name) &&
        (wg_read_find_place(reader, name) >= 0 || wg_read_find_bin(reader, name) >= 0))
        wg_read_mistake(reader, at,
                        "The name \"%s\" is taken already. Every place and every bin needs a name of its own.", name);
    const int p = plan->n_places++;
    reader->place_at[p] = node;
    struct wg_place_plan *const place = &plan->places[p];
    memcpy(place->name, name, sizeof name);
    wg_shelter_defaults(&place->shelter, WG_OUTDOORS); /* until a kind is read */
    wg_ground_defaults(&place->ground, WG_OUTDOORS);
    char what[WG_NAME_SIZE + 16];
    (void)snprintf(what, sizeof what, "the place \"%s\"", name);
    read_housing(
        reader,
        wg_read_required(reader, node, "housing", name[0] != '\0' ? what : "a place", "housing: {kind: outdoors}"),
        place);
    read_heater(reader, wg_yaml_get(node, "heater"), p);
    read_ground_spec(reader, wg_yaml_get(node, "ground"), &place->ground);
    wg_read_bins(reader, wg_yaml_get(node, "bins"), p);
}

void wg_read_places(struct wg_scenario_reader *reader) {
    static const char example[] = "places: [{name: yard, housing: {kind: outdoors}, bins: [{name: trough}]}]";
    const struct wg_yaml_node *const places = wg_read_required(reader, reader->root, "places", "a scenario", example);
    if (!wg_read_list(reader, places, "a list of places", example))
        return;
    const size_t mistakes = reader->problems->n;
    for (const struct wg_yaml_node *place = places->first; place != NULL; place = place->next)
        read_place_spec(reader, place);
    if (reader->plan->n_bins == 0 && reader->problems->n == mistakes)
        wg_read_mistake_key(
            reader, places,
            "No place has a bin. Give one its bins, for example bins: [{name: trough, volume: 150 L}].");
}
