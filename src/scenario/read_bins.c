/*
 * What do the larvae live in? Bins, their insulation, lid and heat mat.
 */
#include "scenario/read.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* ---- parts that places share ---- */

void wg_read_u(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, double *u_w_m2k) {
    const struct wg_yaml_node *const u = wg_yaml_get(map, "u_value"), *const r = wg_yaml_get(map, "r_value");
    double r_m2k_w;
    if (u != NULL && r != NULL)
        wg_read_mistake_key(reader, r, "u_value and r_value say the same thing twice. Keep one of them.");
    else if (r != NULL && wg_read_quantity(reader, r, WG_R_VALUE, 0.01, 50, &r_m2k_w))
        *u_w_m2k = 1 / r_m2k_w;
    else
        (void)wg_read_quantity(reader, u, WG_U_VALUE, 0.02, WG_MAX_U_W_M2K, u_w_m2k);
}

void wg_read_heater(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, const char *what,
                    struct wg_heater_spec *heater) {
    static const char *const keys[] = {"set_point", "power", "price", "efficiency", "from", "to", NULL};
    if (!wg_read_map(reader, map, what, keys))
        return;
    heater->price_per_kwh = (double)NAN;      /* until it is said */
    const bool mat = heater->set_point_c > 0; /* a mat has a usual set point, a house has none */
    if (!mat || wg_yaml_get(map, "set_point") != NULL)
        (void)wg_read_quantity(reader, wg_read_required(reader, map, "set_point", what, "set_point: 70 degF"),
                               WG_TEMPERATURE, WG_MIN_SET_POINT_C, mat ? WG_MAX_MAT_SET_POINT_C : WG_MAX_SET_POINT_C,
                               &heater->set_point_c);
    (void)wg_read_quantity(reader, wg_read_required(reader, map, "power", what, mat ? "power: 60 W" : "power: 5 kW"),
                           WG_POWER, 0, WG_MAX_POWER_W, &heater->power_w);
    (void)wg_read_quantity(reader, wg_yaml_get(map, "price"), WG_PRICE, 0, WG_MAX_PRICE, &heater->price_per_kwh);
    (void)wg_read_quantity(reader, wg_yaml_get(map, "efficiency"), WG_PURE, WG_MIN_EFFICIENCY, WG_MAX_EFFICIENCY,
                           &heater->efficiency);
    (void)wg_read_season(reader, map, what, &heater->season);
}

bool wg_read_insulation(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, double *foam_m) {
    if (node != NULL && node->kind == WG_YAML_TEXT && strcmp(node->text, "none") == 0) {
        *foam_m = 0;
        return true;
    }
    if (node != NULL && node->kind == WG_YAML_TEXT && node->text[0] != '\0' &&
        strpbrk(node->text, "0123456789") == NULL) {
        wg_read_mistake(reader, node,
                        "\"%.40s\" is not an insulation: write none, or a thickness of foam such as 25 mm or 1 in.",
                        node->text);
        return false;
    }
    return wg_read_quantity(reader, node, WG_LENGTH, 0, 0.5, foam_m);
}

/* Wet-surface factors of a screen and of an open bin: 0.3, and 0.6 to 1. Judgement. */
bool wg_read_lid(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, double closed, double *lid) {
    static const char *const words[] = {"closed", "screen", "open", NULL};
    const int i = wg_read_word(reader, node, "a kind of lid", words);
    if (i >= 0)
        *lid = i == 0 ? closed : i == 1 ? 0.3 : 0.8;
    return i >= 0;
}

/* ---- bins ---- */

static void read_summer(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, enum wg_housing_kind kind,
                        struct wg_bin_spec *spec) {
    static const char *const keys[] = {"from", "to", "insulation", "lid", NULL};
    if (!wg_read_map(reader, map, "the bin's summer", keys))
        return;
    (void)wg_read_required(reader, map, "from", "the bin's summer", "from: 05-01, to: 09-30");
    spec->summer_switch = wg_read_season(reader, map, "the bin's summer", &spec->summer);
    spec->summer_u_w_m2k = spec->summer_lid = -1; /* as out of summer, until it is said */
    double foam_m;
    struct wg_bin_spec other;
    if (wg_read_insulation(reader, wg_yaml_get(map, "insulation"), &foam_m)) {
        wg_bin_defaults(&other, kind, spec->volume_m3, foam_m);
        spec->summer_u_w_m2k = other.u_w_m2k;
    }
    (void)wg_read_lid(reader, wg_yaml_get(map, "lid"), spec->closed_lid, &spec->summer_lid);
    if (wg_yaml_get(map, "insulation") == NULL && wg_yaml_get(map, "lid") == NULL)
        wg_read_mistake(reader, map, "Say what is different in summer: insulation: none, or lid: screen, or both.");
}

static void read_mat(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, enum wg_housing_kind kind,
                     struct wg_heater_spec *mat) {
    if (node == NULL)
        return;
    if (kind == WG_LABORATORY)
        wg_read_mistake_key(reader, node,
                            "In a laboratory every bin is at the climate's constant temperature. Take the mat out.");
    else
        wg_read_heater(reader, node, "a mat", mat);
}

static void read_bin_spec(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, enum wg_housing_kind kind,
                          struct wg_bin_spec *spec) {
    double volume_m3 = 0.150, foam_m = 0; /* the bin all default numbers are given for */
    (void)wg_read_quantity(reader, wg_yaml_get(node, "volume"), WG_VOLUME, 0.001, WG_MAX_BIN_M3, &volume_m3);
    (void)wg_read_insulation(reader, wg_yaml_get(node, "insulation"), &foam_m);
    wg_bin_defaults(spec, kind, volume_m3, foam_m);
    wg_read_u(reader, node, &spec->u_w_m2k);
    (void)wg_read_lid(reader, wg_yaml_get(node, "lid"), spec->closed_lid, &spec->lid);
    (void)wg_read_quantity(reader, wg_yaml_get(node, "substrate"), WG_MASS, 0.1, WG_MAX_SUBSTRATE_KG_M3 * volume_m3,
                           &spec->substrate_kg);
    (void)wg_read_quantity(reader, wg_yaml_get(node, "moisture"), WG_SHARE, 0.3, 0.95, &spec->moisture);
    read_summer(reader, wg_yaml_get(node, "summer"), kind, spec);
    read_mat(reader, wg_yaml_get(node, "mat"), kind, &spec->mat);
}

static void read_place_bin(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, int place) {
    static const char *const keys[] = {"name",      "volume",   "insulation", "lid",     "mat", "summer",
                                       "substrate", "moisture", "u_value",    "r_value", NULL};
    if (!wg_read_map(reader, node, "a bin", keys))
        return;
    struct wg_plan *const plan = reader->plan;
    if (plan->n_bins == WG_MAX_BINS) {
        if (!reader->too_many_bins)
            wg_read_mistake(reader, node, "This is one bin too many: a scenario holds %d.", WG_MAX_BINS);
        reader->too_many_bins = true;
        return;
    }
    char name[WG_NAME_SIZE] = "";
    const struct wg_yaml_node *const at = wg_read_required(reader, node, "name", "a bin", "name: trough");
    if (wg_read_name(reader, at, name) &&
        (wg_read_find_place(reader, name) >= 0 || wg_read_find_bin(reader, name) >= 0))
        wg_read_mistake(reader, at,
                        "The name \"%s\" is taken already. Every place and every bin needs a name of its own.", name);
    const int b = plan->n_bins++;
    reader->bin_at[b] = node;
    memcpy(plan->bins[b].name, name, sizeof name);
    plan->bins[b].place = place;
    read_bin_spec(reader, node, plan->places[place].shelter.kind, &plan->bins[b].spec);
}

void wg_read_bins(struct wg_scenario_reader *reader, const struct wg_yaml_node *bins, int place) {
    if (!wg_read_list(reader, bins, "a list of bins", "bins: [{name: trough, volume: 150 L}]"))
        return;
    for (const struct wg_yaml_node *bin = bins->first; bin != NULL; bin = bin->next)
        read_place_bin(reader, bin, place);
}
