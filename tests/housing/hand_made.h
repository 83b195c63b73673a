/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/* Skies and places built directly, to test the housing without weather. */
#ifndef TESTS_HOUSING_HAND_MADE_H
#define TESTS_HOUSING_HAND_MADE_H

#include "housing/housing.h"

#include <string.h>

static const double no_anomaly[200];

/* A constant day: same air all day, no sun, no loss to the sky, about 70 % relative humidity. */
static inline struct wg_sky still_sky(double air_c) {
    struct wg_sky sky = {.day = 20454 /* 2026-01-01 */, .day_length_h = 12.0, .vapour_kpa = 1.5};
    for (int h = 0; h < 24; h++)
        sky.air_c[h] = air_c;
    sky.mean_c = sky.low_c = sky.high_c = air_c;
    sky.anomaly_c = no_anomaly + 199;
    return sky;
}

static inline void same_soil(struct wg_soil *soil, double soil_c) {
    memset(soil, 0, sizeof *soil);
    for (int i = 0; i < 365; i++)
        soil->season_c[i] = soil_c;
}

/* The default place of a kind with n plain 150 L bins, all soil at one temperature, no heater. */
static inline void usual_place(struct wg_place_model *model, enum wg_housing_kind kind, int n_bins, double soil_c) {
    memset(model, 0, sizeof *model);
    wg_shelter_defaults(&model->shelter, kind);
    wg_ground_defaults(&model->ground, kind);
    model->heater = (struct wg_heater_spec){.efficiency = 1.0, .season = WG_ALL_YEAR};
    model->n_bins = n_bins;
    for (int b = 0; b < n_bins; b++)
        wg_bin_defaults(&model->bin[b], kind, 0.150, 0.0);
    same_soil(&model->ground_soil, soil_c);
    same_soil(&model->deep_soil, soil_c);
    same_soil(&model->bin_soil, soil_c);
}

/* A bin that exchanges heat only with the air: no soil, no sun, no wet surface. */
static inline void dry_bin(struct wg_bin_spec *bin) {
    bin->ground_w_k = bin->sun_m2 = bin->lid = bin->summer_lid = 0.0;
}

/* A house that exchanges heat only with the outside air: no soil, no sun, no sky. */
static inline void plain_house(struct wg_shelter_spec *shelter) {
    shelter->mass_ground_w_k = shelter->sun_area_m2 = shelter->sky_view_m2k_w = 0.0;
}

/* Constant heat in each bin. Valid until the next call. */
static inline struct wg_bin_heat *steady(const double watts[WG_MAX_BINS_PER_PLACE]) {
    static struct wg_bin_heat heat[WG_MAX_BINS_PER_PLACE];
    for (int b = 0; b < WG_MAX_BINS_PER_PLACE; b++)
        heat[b] = (struct wg_bin_heat){.steady_w = watts[b]};
    return heat;
}

static inline void whole_day(struct wg_place_state *state, const struct wg_place_model *model,
                             const struct wg_place_settings *settings, const struct wg_sky *sky,
                             const double *bin_watts, struct wg_place_hours *hours) {
    wg_place_run(state, model, settings, sky, 0, 24, steady(bin_watts), NULL, false, hours);
}

#endif
