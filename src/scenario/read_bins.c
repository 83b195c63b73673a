/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads bins: their insulation, lid and heat mat.
 */
#include "scenario/read.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* ---- shared with places ---- */

void wg_read_u(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, enum wg_group_id group,
               double *u_w_m2k) {
    const struct wg_yaml_node *const r = wg_yaml_get(map, "r_value");
    double r_m2k_w;
    if (r != NULL && wg_yaml_get(map, "u_value") != NULL)
        wg_read_mistake_key(reader, r, "u_value and r_value are two forms of the same number. Keep one of them.");
    else if (wg_read_key(reader, map, group, "r_value", &r_m2k_w) == WG_READ_GOOD)
        *u_w_m2k = 1 / r_m2k_w;
    else
        (void)wg_read_key(reader, map, group, "u_value", u_w_m2k);
}

void wg_read_refuse_reserve(struct wg_scenario_reader *reader, const struct wg_yaml_node *node,
                            const struct wg_when *when) {
    if (when->kind == WG_WHEN_OURS_DEAD)
        wg_read_mistake(reader, node, "Dead animals need no heat or light. This is a condition for a move.");
}

void wg_read_heater(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, enum wg_group_id group,
                    struct wg_heater_spec *heater) {
    if (!wg_read_group(reader, map, group))
        return;
    heater->price_per_kwh = (double)NAN; /* unless the file gives one */
    (void)wg_read_members(reader, map, group, heater);
    heater->starts_off = wg_read_is_word(wg_yaml_get(map, "set_point"), "off");
    (void)wg_read_season(reader, map, group, &heater->season);
    wg_read_refuse_reserve(reader, wg_yaml_get(map, "when"), &heater->when);
}

/* Wet-surface factors of a screen and of an open bin: 0.3, and 0.6 to 1. Judgement. */
bool wg_read_lid(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, enum wg_group_id group,
                 double closed, enum wg_lid *lid, double *factor) {
    int word;
    if (wg_read_key(reader, map, group, "lid", &word) != WG_READ_GOOD)
        return false;
    *lid = (enum wg_lid)word;
    *factor = *lid == WG_LID_CLOSED ? closed : *lid == WG_LID_SCREEN ? 0.3 : 0.8;
    return true;
}

/* ---- bins ---- */

static void read_summer(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, enum wg_housing_kind kind,
                        struct wg_bin_spec *spec) {
    if (!wg_read_group(reader, map, WG_GROUP_SUMMER))
        return;
    (void)wg_read_required(reader, map, WG_GROUP_SUMMER, "from");
    spec->summer_switch = wg_read_season(reader, map, WG_GROUP_SUMMER, &spec->summer);
    spec->summer_u_w_m2k = spec->summer_lid = -1; /* as outside summer, unless the file says otherwise */
    double foam_m;
    struct wg_bin_spec other;
    if (wg_read_key(reader, map, WG_GROUP_SUMMER, "insulation", &foam_m) == WG_READ_GOOD) {
        wg_bin_defaults(&other, kind, spec->volume_m3, foam_m);
        spec->summer_u_w_m2k = other.u_w_m2k;
    }
    (void)wg_read_lid(reader, map, WG_GROUP_SUMMER, spec->closed_lid, &spec->summer_lid_kind, &spec->summer_lid);
    if (wg_yaml_get(map, "insulation") == NULL && wg_yaml_get(map, "lid") == NULL)
        wg_read_mistake(reader, map,
                        "Nothing changes in this summer. Write insulation: none, or lid: screen, or both.");
}

static void read_mat(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, enum wg_housing_kind kind,
                     struct wg_heater_spec *mat) {
    if (node == NULL)
        return;
    if (kind == WG_LABORATORY)
        wg_read_mistake_key(reader, node,
                            "In a laboratory every bin is at the climate's constant temperature. Take the mat out.");
    else if (kind == WG_REFRIGERATOR)
        wg_read_mistake_key(reader, node, "A mat in a refrigerator would only warm it. Take the mat out.");
    else
        wg_read_heater(reader, node, WG_GROUP_MAT, mat);
}

static void read_bin_spec(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, enum wg_housing_kind kind,
                          struct wg_bin_spec *spec) {
    double volume_m3 = 0.150, foam_m = 0; /* the bin for which all defaults are given */
    struct wg_key substrate = *wg_schema_find(WG_GROUP_BIN, "substrate");
    (void)wg_read_key(reader, node, WG_GROUP_BIN, "volume", &volume_m3);
    (void)wg_read_key(reader, node, WG_GROUP_BIN, "insulation", &foam_m);
    wg_bin_defaults(spec, kind, volume_m3, foam_m);
    wg_read_u(reader, node, WG_GROUP_BIN, &spec->u_w_m2k);
    (void)wg_read_lid(reader, node, WG_GROUP_BIN, spec->closed_lid, &spec->lid_kind, &spec->lid);
    substrate.most = WG_MAX_SUBSTRATE_KG_M3 * volume_m3;
    (void)wg_read_value(reader, wg_yaml_get(node, "substrate"), &substrate, &spec->substrate_kg);
    (void)wg_read_members(reader, node, WG_GROUP_BIN, spec);
    read_summer(reader, wg_yaml_get(node, "summer"), kind, spec);
    read_mat(reader, wg_yaml_get(node, "mat"), kind, &spec->mat);
}

static bool is_foam_given(const struct wg_yaml_node *node) {
    return wg_yaml_get(node, "insulation") != NULL || wg_yaml_get(node, "u_value") != NULL ||
           wg_yaml_get(node, "r_value") != NULL;
}

static void read_place_bin(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, int place) {
    if (!wg_read_group(reader, node, WG_GROUP_BIN))
        return;
    struct wg_plan *const plan = reader->plan;
    if (plan->n_bins == WG_MAX_BINS) {
        if (!reader->too_many_bins)
            wg_read_mistake(reader, node, "This is one bin too many: a scenario may have %d.", WG_MAX_BINS);
        reader->too_many_bins = true;
        return;
    }
    char name[WG_NAME_SIZE] = "";
    const struct wg_yaml_node *const at = wg_read_required(reader, node, WG_GROUP_BIN, "name");
    if (wg_read_name(reader, at, name) &&
        (wg_read_find_place(reader, name) >= 0 || wg_read_find_bin(reader, name) >= 0))
        wg_read_mistake(reader, at,
                        "The name \"%s\" is used already. Every place and every bin needs a name of its own.", name);
    const int b = plan->n_bins++;
    reader->bin_at[b] = node;
    memcpy(plan->bins[b].name, name, sizeof name);
    plan->bins[b].place = place;
    plan->bins[b].foam_given = is_foam_given(node);
    read_bin_spec(reader, node, plan->places[place].shelter.kind, &plan->bins[b].spec);
    wg_read_insulation_price(reader, node, WG_GROUP_BIN, &plan->bins[b].insulation);
}

void wg_read_bins(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, int place) {
    if (!wg_read_list(reader, map, WG_GROUP_PLACE, "bins"))
        return;
    for (const struct wg_yaml_node *bin = wg_yaml_get(map, "bins")->first; bin != NULL; bin = bin->next)
        read_place_bin(reader, bin, place);
}
