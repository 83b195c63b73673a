/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads prices: what is paid for larvae and residue, and the price of insulation, feed and starters.
 */
#include "scenario/read.h"

bool wg_read_price(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, enum wg_group_id group,
                   const char *name, struct wg_price *price) {
    const enum wg_read_outcome outcome = wg_read_key(reader, map, group, name, &price->amount);
    price->given = outcome == WG_READ_GOOD;
    return outcome != WG_READ_WRONG;
}

void wg_read_insulation_price(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, enum wg_group_id group,
                              struct wg_insulation_price *price) {
    price->lasts_years = WG_INSULATION_YEARS;
    (void)wg_read_price(reader, map, group, "insulation_price", &price->per_m2_r);
    (void)wg_read_key(reader, map, group, "insulation_lasts", &price->lasts_years);
    const struct wg_yaml_node *const lasts = wg_yaml_get(map, "insulation_lasts");
    if (lasts != NULL && wg_yaml_get(map, "insulation_price") == NULL)
        wg_read_mistake_key(reader, lasts,
                            "This is how long bought insulation lasts. Add its price, for example insulation_price: "
                            "0.90 per m2 and R.");
}

void wg_read_prices(struct wg_scenario_reader *reader) {
    const struct wg_yaml_node *const map = wg_yaml_get(reader->root, "prices");
    struct wg_sales *const sales = &reader->plan->sales;
    if (map == NULL || !wg_read_group(reader, map, WG_GROUP_PRICES))
        return;
    (void)wg_read_price(reader, map, WG_GROUP_PRICES, "larvae", &sales->larvae_kg);
    (void)wg_read_price(reader, map, WG_GROUP_PRICES, "residue", &sales->residue_kg);
}
