/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Hourly temperatures and energy costs of a place.
 *
 * Each hour: the air (outdoors, or a house with heater and vents), then every bin in
 * that air, then the ground. The balance of the house has its bins at their
 * temperatures at the start of the hour; the heat that they exchange beyond that is
 * added to the next hour. So energy is conserved, and any number of bins is stable.
 */
#include "base/clamp.h"
#include "housing/bin.h"
#include "housing/shelter.h"

#include <math.h>
#include <string.h>

#define LAMP_W_M2 200.0 /* a lamp hour counts as this much daylight: twice the default mating threshold; judgement */
#define LAMPS_FROM_H 6  /* solar time: they lengthen a short day at both ends and are off at night; judgement */
#define J_PER_KWH 3.6e6

/* ---- preparing ---- */

static int soil_at(struct wg_soil *soil, const struct wg_climate *climate, const struct wg_ground_spec *ground,
                   double depth_m, struct wg_error *err) {
    struct wg_ground_spec defaults;
    wg_ground_defaults(&defaults, WG_OUTDOORS);
    /* The plan of a keeper with a box need not describe the soil. */
    struct wg_soil_spec spec = ground->kind == WG_GROUND_SOIL ? ground->soil : defaults.soil;
    spec.depth_m = depth_m;
    spec.mulch_m = 0.0; /* litter covers the pupation ground, not the soil under house and bins */
    return wg_soil_init(soil, climate, &spec, err);
}

static const char *shelter_problem(const struct wg_shelter_spec *shelter) {
    if (!wg_housing_has_walls(shelter->kind))
        return NULL;
    if (!(shelter->air_j_k > 0.0 && shelter->mass_j_k > 0.0))
        return "the heat capacities of the house's air and mass must be above 0";
    if (!(wg_shelter_loss_w_k(shelter) > 0.0))
        return "the house must lose heat through its cover or by air changes";
    if (!(shelter->mass_air_w_k >= 0.0 && shelter->mass_ground_w_k >= 0.0))
        return "the house has a negative conductance";
    return NULL;
}

static const char *room_problem(const struct wg_shelter_spec *room) {
    if (!wg_housing_is_room(room->kind))
        return NULL;
    if (isnan(room->steady_c) && !(room->kind == WG_CELLAR && room->depth_m > 0.0))
        return "a room needs a temperature, and a cellar a temperature or a depth";
    return isinf(room->steady_c) || (room->summer_switch && !isfinite(room->summer_c))
               ? "the temperature of a room must be a number"
               : NULL;
}

static const char *heater_problem(const struct wg_heater_spec *heater) {
    if (!(heater->power_w >= 0.0))
        return "the power of a heater is negative";
    if (heater->power_w > 0.0 && !(heater->efficiency > 0.0))
        return "the efficiency of a heater must be above 0";
    return NULL;
}

static const char *bin_problem(const struct wg_bin_spec *bin) {
    if (!(bin->wall_m2 > 0.0 && bin->u_w_m2k >= 0.0))
        return "a bin needs walls, and their U-value must not be negative";
    if (!(bin->substrate_kg >= 0.0 && bin->moisture >= 0.0 && bin->moisture <= 1.0))
        return "a bin needs a mass of substrate and a moisture between 0 and 100 %";
    if (!(bin->lid >= 0.0 && bin->top_m2 >= 0.0 && bin->ground_w_k >= 0.0))
        return "the lid, top area and ground conductance of a bin must not be negative";
    return heater_problem(&bin->mat);
}

static const char *place_problem(const struct wg_place_model *model) {
    if (model->n_bins < 0 || model->n_bins > WG_MAX_BINS_PER_PLACE)
        return "a place holds 0 to 64 bins";
    const char *problem = shelter_problem(&model->shelter);
    if (!problem)
        problem = room_problem(&model->shelter);
    if (!problem)
        problem = heater_problem(&model->heater);
    for (int b = 0; !problem && b < model->n_bins; b++)
        problem = bin_problem(&model->bin[b]);
    return problem;
}

/* A cellar without a temperature of its own. */
static bool follows_soil(const struct wg_shelter_spec *shelter) {
    return shelter->kind == WG_CELLAR && isnan(shelter->steady_c);
}

int wg_place_model_init(struct wg_place_model *model, const struct wg_climate *climate, struct wg_error *err) {
    const char *problem = place_problem(model);
    if (problem)
        return wg_fail(err, WG_ERR_INPUT, NULL, "%s", problem);
    if (model->shelter.kind == WG_LABORATORY)
        return 0;
    int rc = 0;
    if (model->ground.kind == WG_GROUND_SOIL)
        rc = wg_soil_init(&model->ground_soil, climate, &model->ground.soil, err);
    if (rc == 0)
        rc = soil_at(&model->deep_soil, climate, &model->ground,
                     follows_soil(&model->shelter) ? model->shelter.depth_m : 0.5, err);
    if (rc == 0)
        rc = soil_at(&model->bin_soil, climate, &model->ground, 0.05, err);
    return rc;
}

void wg_place_settings_start(struct wg_place_settings *settings, const struct wg_place_model *model) {
    settings->heater_on = model->heater.power_w > 0.0 && !model->heater.starts_off;
    settings->heater_early = false;
    settings->heater_waits = model->heater.when.kind != WG_WHEN_ALWAYS;
    settings->lamps_wait = model->shelter.lamp_when.kind != WG_WHEN_ALWAYS;
    settings->set_point_c = model->heater.set_point_c;
    for (int b = 0; b < WG_MAX_BINS_PER_PLACE; b++) {
        const struct wg_heater_spec *mat = &model->bin[b].mat;
        settings->mat_on[b] = b < model->n_bins && mat->power_w > 0.0 && !mat->starts_off;
        settings->mat_early[b] = false;
        settings->mat_waits[b] = b < model->n_bins && mat->when.kind != WG_WHEN_ALWAYS;
        settings->mat_set_point_c[b] = b < model->n_bins ? mat->set_point_c : 0.0;
        settings->u_bin_w_m2k[b] = -1.0;
        settings->lid[b] = -1.0;
    }
}

void wg_place_switch(struct wg_place_settings *settings, const struct wg_place_model *model, int bin, bool on,
                     int32_t day) {
    const struct wg_heater_spec *const heater = bin < 0 ? &model->heater : &model->bin[bin].mat;
    *(bin < 0 ? &settings->heater_on : &settings->mat_on[bin]) = on;
    *(bin < 0 ? &settings->heater_early : &settings->mat_early[bin]) = on && !wg_season_contains(heater->season, day);
}

void wg_place_settings_day(struct wg_place_settings *settings, const struct wg_place_model *model, int32_t day) {
    if (settings->heater_early)
        settings->heater_early = !wg_season_contains(model->heater.season, day);
    for (int b = 0; b < model->n_bins; b++)
        if (settings->mat_early[b])
            settings->mat_early[b] = !wg_season_contains(model->bin[b].mat.season, day);
}

/* Maximum heat output of a heater today. */
static double heater_now_w(const struct wg_heater_spec *heater, bool on, bool early, int32_t day) {
    return on && heater->power_w > 0.0 && (early || wg_season_contains(heater->season, day)) ? heater->power_w : 0.0;
}

/* Air of a room at the end of the sky's day. */
static double room_air_c(const struct wg_place_model *model, const struct wg_sky *sky) {
    const struct wg_shelter_spec *const room = &model->shelter;
    if (room->summer_switch && wg_season_contains(room->summer, sky->day))
        return room->summer_c;
    return follows_soil(room) ? wg_soil_temp_c(&model->deep_soil, sky) : room->steady_c;
}

static bool is_on_at_start(const struct wg_heater_spec *heater) {
    return heater->when.kind == WG_WHEN_ALWAYS && !heater->starts_off;
}

void wg_place_start(struct wg_place_state *state, const struct wg_place_model *model, const struct wg_sky *sky) {
    const bool walls = wg_housing_has_walls(model->shelter.kind);
    double air_c = wg_housing_is_room(model->shelter.kind) ? room_air_c(model, sky) : sky->mean_c;
    if (walls && heater_now_w(&model->heater, is_on_at_start(&model->heater), false, sky->day) > 0.0)
        air_c = fmax(air_c, model->heater.set_point_c);
    state->air_c = state->mass_c = air_c;
    for (int b = 0; b < WG_MAX_BINS_PER_PLACE; b++) {
        state->bin_c[b] = air_c;
        if (b >= model->n_bins)
            continue;
        const struct wg_heater_spec *mat = &model->bin[b].mat;
        if (heater_now_w(mat, is_on_at_start(mat), false, sky->day) > 0.0)
            state->bin_c[b] = fmax(air_c, mat->set_point_c);
    }
    state->bin_heat_w = 0.0;
    state->floor_gain_k = air_c - sky->mean_c;
    const bool soil = model->ground.kind == WG_GROUND_SOIL && model->shelter.kind != WG_LABORATORY;
    state->ground_c = soil ? wg_soil_temp_c(&model->ground_soil, sky) : air_c;
}

/* ---- light ---- */

/* Share of hour h in which the lamps are on; they may stay on past midnight. */
static double lit_share(double lamp_hours, int h) {
    double lit = 0.0;
    for (int start = h; start <= h + 24; start += 24)
        lit += wg_greater(0.0, wg_lesser(start + 1.0, LAMPS_FROM_H + lamp_hours) - wg_greater(start, LAMPS_FROM_H));
    return wg_lesser(lit, 1.0);
}

double wg_lamp_hours(const struct wg_shelter_spec *shelter, const struct wg_place_settings *settings, int32_t day) {
    return shelter->lamp_hours > 0.0 && !settings->lamps_wait && wg_season_contains(shelter->lamp_season, day)
               ? shelter->lamp_hours
               : 0.0;
}

double wg_sun_hours(const struct wg_shelter_spec *shelter, double day_length_h) {
    return wg_housing_is_room(shelter->kind) && !(shelter->light_through > 0.0) ? 0.0 : day_length_h;
}

static void light_hours(const struct wg_shelter_spec *shelter, const struct wg_place_settings *settings,
                        const struct wg_sky *sky, int from, int to, bool power_out, double light_w_m2[24]) {
    for (int h = from; h < to; h++)
        light_w_m2[h] = shelter->light_through * sky->sun_w_m2[h];
    const double lamp_hours = power_out ? 0.0 : wg_lamp_hours(shelter, settings, sky->day);
    for (int h = from; h < to && lamp_hours > 0.0; h++)
        light_w_m2[h] += lit_share(lamp_hours, h) * (wg_greater(light_w_m2[h], LAMP_W_M2) - light_w_m2[h]);
}

/* ---- the hours of a day ---- */

/* Constants of one call of wg_place_run(). */
struct place_day {
    const struct wg_place_model *model;
    const struct wg_sky *sky;
    bool power_out, walls;
    double lamp_hours; /* 0: off */
    double sky_k;      /* radiative cooling of bin walls under the open sky, as a reduction of air temperature */
    struct wg_shelter_day shelter;
    struct wg_bin_day bin[WG_MAX_BINS_PER_PLACE];
    struct wg_bin_heat *heat;            /* of each bin, or NULL */
    double day_k[WG_MAX_BINS_PER_PLACE]; /* bins with heat: sum of the 24 hours before */
    double bin_soil_c;
    double ground_from_c, ground_to_c; /* over the whole day */
};

static void start_bin(struct wg_bin_day *day, const struct wg_bin_spec *bin, const struct wg_place_settings *settings,
                      int b, int32_t date, double kg, double larvae_w, bool power_out) {
    const bool summer = bin->summer_switch && wg_season_contains(bin->summer, date);
    double u = settings->u_bin_w_m2k[b] >= 0.0 ? settings->u_bin_w_m2k[b] : bin->u_w_m2k;
    double lid = settings->lid[b] >= 0.0 ? settings->lid[b] : bin->lid;
    if (summer && bin->summer_u_w_m2k >= 0.0)
        u = bin->summer_u_w_m2k;
    if (summer && bin->summer_lid >= 0.0)
        lid = bin->summer_lid;
    const double mat_w = heater_now_w(&bin->mat, settings->mat_on[b] && !settings->mat_waits[b] && !power_out,
                                      settings->mat_early[b], date);
    wg_bin_day_start(day, bin, u, lid, kg, larvae_w, mat_w, settings->mat_set_point_c[b]);
}

/* Sets up metabolic heat by temperature, where there is any. */
static void start_heat(struct place_day *day, int b, int from, const struct wg_place_hours *hours) {
    const struct wg_bin_heat *const heat = &day->heat[b];
    if (!(heat->curve_w > 0.0))
        return;
    day->bin[b].heat = heat;
    day->day_k[b] = 0.0;
    for (int h = 0; heat->yesterday_c != NULL && h < 24; h++)
        day->day_k[b] += h < from ? hours->bin_c[b][h] : heat->yesterday_c[h];
}

static void start_day(struct place_day *day, const struct wg_place_state *state,
                      const struct wg_place_settings *settings, int from, const double *substrate_kg,
                      const struct wg_place_hours *hours) {
    const struct wg_place_model *model = day->model;
    const struct wg_sky *sky = day->sky;
    double bins_w_k = 0.0;
    for (int b = 0; b < model->n_bins; b++) {
        const double kg = substrate_kg ? substrate_kg[b] : model->bin[b].substrate_kg;
        const double steady_w = day->heat != NULL ? day->heat[b].steady_w : 0.0;
        start_bin(&day->bin[b], &model->bin[b], settings, b, sky->day, kg, steady_w, day->power_out);
        if (day->heat != NULL)
            start_heat(day, b, from, hours);
        bins_w_k += day->bin[b].wall_w_k;
    }
    day->bin_soil_c = model->n_bins > 0 ? wg_soil_temp_c(&model->bin_soil, sky) : 0.0;
    if (day->walls) {
        const double heater_w =
            heater_now_w(&model->heater, settings->heater_on && !settings->heater_waits && !day->power_out,
                         settings->heater_early, sky->day);
        wg_shelter_day_start(&day->shelter, &model->shelter, bins_w_k, sky->sky_loss_w_m2,
                             wg_soil_temp_c(&model->deep_soil, sky), heater_w, settings->set_point_c);
    }
    day->ground_from_c = state->ground_c;
    day->ground_to_c =
        model->ground.kind == WG_GROUND_SOIL ? wg_soil_temp_c(&model->ground_soil, sky) : state->ground_c;
    if (wg_housing_is_room(model->shelter.kind)) {
        day->ground_to_c = room_air_c(model, sky);
        if (!follows_soil(&model->shelter)) /* a new season begins at once */
            day->ground_from_c = day->ground_to_c;
    }
}

/* Adds energy bought. Without a price the cost of the day is NaN: a partial sum would look complete. */
static void add_energy_bought(struct wg_place_hours *hours, double *kwh, double watts, double price_per_kwh) {
    const double bought_kwh = watts * (WG_HOUR_S / J_PER_KWH);
    *kwh += bought_kwh;
    if (!(bought_kwh > 0.0))
        return;
    hours->cost += bought_kwh * price_per_kwh;
    if (!isnan(price_per_kwh))
        hours->paid += bought_kwh * price_per_kwh;
}

static struct wg_bin_surroundings around_bins(const struct place_day *day, double air_c, int h) {
    return (struct wg_bin_surroundings){
        .air_c = air_c,
        .soil_c = day->bin_soil_c,
        .vapour_kpa = day->sky->vapour_kpa,
        .sun_w_m2 = day->sky->sun_w_m2[h],
    };
}

/* Shortfall of the heater in an hour at full power. */
static double heater_lack_w(const struct place_day *day, int h, double lamps_w) {
    const struct wg_bin_surroundings around = around_bins(day, day->shelter.set_point_c, h);
    double supply_w = lamps_w;
    for (int b = 0; b < day->model->n_bins; b++)
        supply_w += day->bin[b].wall_w_k * wg_bin_equilibrium_c(&day->bin[b], &around);
    return wg_shelter_shortfall_w(&day->shelter, day->sky->air_c[h], day->sky->sun_w_m2[h], supply_w);
}

/* All lamp power becomes heat in the room (first law; light that leaves by the windows is neglected). */
static double lamps_hour_w(const struct place_day *day, int h, struct wg_place_hours *hours) {
    const struct wg_shelter_spec *const shelter = &day->model->shelter;
    const double lit = day->lamp_hours > 0.0 ? lit_share(day->lamp_hours, h) : 0.0;
    if (lit <= 0.0)
        return 0.0;
    if (isnan(shelter->lamp_power_w)) {
        hours->cost = (double)NAN; /* unknown power, unknown cost */
        return 0.0;
    }
    add_energy_bought(hours, &hours->lamps_kwh, lit * shelter->lamp_power_w, shelter->lamp_price_per_kwh);
    return lit * shelter->lamp_power_w;
}

static double house_hour(struct wg_place_state *state, const struct place_day *day, int h,
                         struct wg_place_hours *hours) {
    const double lamps_w = lamps_hour_w(day, h, hours);
    double supply_w = state->bin_heat_w + lamps_w;
    for (int b = 0; b < day->model->n_bins; b++)
        supply_w += day->bin[b].wall_w_k * state->bin_c[b];
    struct wg_two_temps nodes = {state->air_c, state->mass_c};
    struct wg_shelter_hour hour;
    wg_shelter_hour(&hour, &nodes, &day->shelter, day->sky->air_c[h], day->sky->sun_w_m2[h], supply_w);
    wg_assert(isfinite(nodes.air_c) && isfinite(nodes.mass_c));
    state->air_c = nodes.air_c;
    state->mass_c = nodes.mass_c;
    if (hour.heater_w > 0.0) {
        const struct wg_heater_spec *const heater = &day->model->heater;
        add_energy_bought(hours, &hours->heater_kwh, hour.heater_w / heater->efficiency, heater->price_per_kwh);
        if (hour.heater_w >= day->shelter.heater_w)
            hours->heater_short_w = wg_greater(hours->heater_short_w, heater_lack_w(day, h, lamps_w));
    }
    if (hour.open_w_k > 0.0)
        hours->vent_hours += 1.0;
    return hour.mean.air_c;
}

/* Reciprocal of the seconds from the start of an hour to midnight. */
#define LEFT(h) 1.0 / ((24 - (h)) * WG_HOUR_S)
static const double per_s_left[24] = {LEFT(0),  LEFT(1),  LEFT(2),  LEFT(3),  LEFT(4),  LEFT(5),  LEFT(6),  LEFT(7),
                                      LEFT(8),  LEFT(9),  LEFT(10), LEFT(11), LEFT(12), LEFT(13), LEFT(14), LEFT(15),
                                      LEFT(16), LEFT(17), LEFT(18), LEFT(19), LEFT(20), LEFT(21), LEFT(22), LEFT(23)};
#undef LEFT

/* Removes the feed eaten and the larvae killed by chronic heat, both from the next hour on. */
static void update_bin_heat(struct wg_bin_heat *heat, double *day_k, int h, const struct wg_bin_hour *hour) {
    const double left_j = heat->fuel_j - hour->larvae_w * WG_HOUR_S;
    heat->fuel_j = left_j > 0.0 ? left_j : 0.0;
    if (heat->yesterday_c == NULL)
        return;
    *day_k += hour->mean_c - heat->yesterday_c[h];
    const double exponent = heat->fade_slope * (*day_k * (1.0 / 24.0) - heat->fade_c);
    if (exponent > -7.0) /* else less than a thousandth of fade_per_day */
        heat->curve_w *= wg_exp(heat->fade_per_day * wg_exp(exponent) * (-1.0 / 24.0));
}

/* Advances a bin by an hour. Returns the heat to the air beyond that at the bin's initial temperature, W. */
static inline double bin_hour(double *temp_c, struct place_day *day, int b, int h, struct wg_place_hours *hours) {
    struct wg_bin_heat *const heat = day->bin[b].heat != NULL ? &day->heat[b] : NULL;
    struct wg_bin_surroundings around = around_bins(day, hours->air_c[h] - day->sky_k, h);
    around.fuel_w = heat != NULL ? heat->fuel_j * per_s_left[h] : 0.0;
    const double start_c = *temp_c;
    struct wg_bin_hour hour;
    wg_bin_hour(&hour, temp_c, &day->bin[b], &around);
    wg_assert(isfinite(*temp_c));
    hours->bin_c[b][h] = hour.mean_c;
    if (heat != NULL) {
        hours->bin_heat_j[b] += hour.larvae_w * WG_HOUR_S;
        update_bin_heat(heat, &day->day_k[b], h, &hour);
    }
    if (hour.mat_w > 0.0) {
        const struct wg_heater_spec *const mat = &day->model->bin[b].mat;
        add_energy_bought(hours, &hours->mats_kwh, hour.mat_w / mat->efficiency, mat->price_per_kwh);
        if (hour.short_w > 0.0)
            hours->mat_short_w[b] =
                wg_greater(hours->mat_short_w[b], wg_bin_need_w(&day->bin[b], &around) - day->bin[b].mat_w);
    }
    return day->bin[b].wall_w_k * (hour.mean_c - start_c);
}

static double bins_hour(struct wg_place_state *state, struct place_day *day, int h, struct wg_place_hours *hours) {
    double excess_w = 0.0;
    for (int b = 0; b < day->model->n_bins; b++)
        excess_w += bin_hour(&state->bin_c[b], day, b, h, hours);
    return excess_w;
}

static void house_hours(struct wg_place_state *state, struct place_day *day, int from, int to,
                        struct wg_place_hours *hours) {
    for (int h = from; h < to; h++) {
        hours->air_c[h] = house_hour(state, day, h, hours);
        state->bin_heat_w = bins_hour(state, day, h, hours);
    }
}

/*
 * The bins where the air does not depend on them. A single bin, the common case, keeps its temperature in a register
 * all day: 540 ns instead of 600. Several are independent within an hour.
 */
static void bins_in_given_air(struct wg_place_state *state, struct place_day *day, int from, int to,
                              struct wg_place_hours *hours) {
    state->bin_heat_w = 0.0;
    if (day->model->n_bins == 1) {
        double temp_c = state->bin_c[0];
        for (int h = from; h < to; h++)
            (void)bin_hour(&temp_c, day, 0, h, hours);
        state->bin_c[0] = temp_c;
        return;
    }
    for (int h = from; h < to; h++)
        (void)bins_hour(state, day, h, hours);
}

static void open_hours(struct wg_place_state *state, struct place_day *day, int from, int to,
                       struct wg_place_hours *hours) {
    for (int h = from; h < to; h++)
        hours->air_c[h] = day->sky->air_c[h];
    state->air_c = state->mass_c = hours->air_c[to - 1];
    bins_in_given_air(state, day, from, to, hours);
}

/* The room keeps its temperature; a cellar in the soil moves in a straight line through the day. */
static void room_hours(struct wg_place_state *state, struct place_day *day, int from, int to,
                       struct wg_place_hours *hours) {
    const double rise_k_h = (day->ground_to_c - day->ground_from_c) / 24.0;
    for (int h = from; h < to; h++) {
        hours->air_c[h] = day->ground_from_c + rise_k_h * (h + 0.5);
        (void)lamps_hour_w(day, h, hours);
    }
    state->air_c = state->mass_c = day->ground_from_c + rise_k_h * to;
    bins_in_given_air(state, day, from, to, hours);
}

/*
 * Under a house the ground follows the inside air as much as the field around it, with a lag of days. Both numbers are
 * judgement: with the field alone, prepupae freeze in a heated hoop house; with the temperature of the floor (the mass
 * node, which absorbs the sun on dry ground), pupae overheat in summer.
 */
#define FLOOR_FOLLOWS 0.5
#define FLOOR_LAG_H (5 * 24.0)

static void ground_hours(struct wg_place_state *state, const struct place_day *day, int from, int to,
                         struct wg_place_hours *hours) {
    if (day->model->ground.kind == WG_GROUND_BOX) {
        memcpy(hours->ground_c + from, hours->air_c + from, (size_t)(to - from) * sizeof *hours->air_c);
        return;
    }
    const double rise_k_h = (day->ground_to_c - day->ground_from_c) / 24.0;
    for (int h = from; h < to; h++)
        hours->ground_c[h] = day->ground_from_c + rise_k_h * (h + 0.5);
    if (!day->walls)
        return;
    double gain_k = state->floor_gain_k;
    for (int h = from; h < to; h++) {
        gain_k += (hours->air_c[h] - day->sky->air_c[h] - gain_k) * (1.0 / FLOOR_LAG_H);
        hours->ground_c[h] += FLOOR_FOLLOWS * gain_k;
    }
    state->floor_gain_k = gain_k;
}

/* Everything has exactly the temperature of the room; light never limits. */
static void laboratory_run(struct wg_place_state *state, int n_bins, const struct wg_sky *sky, int from, int to,
                           struct wg_place_hours *hours) {
    for (int h = from; h < to; h++) {
        hours->air_c[h] = hours->ground_c[h] = sky->air_c[h];
        for (int b = 0; b < n_bins; b++)
            hours->bin_c[b][h] = sky->air_c[h];
        hours->light_w_m2[h] = LAMP_W_M2;
    }
    state->air_c = state->mass_c = state->ground_c = sky->air_c[to - 1];
    for (int b = 0; b < n_bins; b++)
        state->bin_c[b] = sky->air_c[to - 1];
}

void wg_place_run(struct wg_place_state *state, const struct wg_place_model *model,
                  const struct wg_place_settings *settings, const struct wg_sky *sky, int from, int to,
                  struct wg_bin_heat *heat, const double *substrate_kg, bool power_out, struct wg_place_hours *hours) {
    wg_assert(0 <= from && from < to && to <= 24);
    for (int b = 0; b < model->n_bins; b++)
        hours->mat_short_w[b] = hours->bin_heat_j[b] = 0.0;
    hours->heater_kwh = hours->mats_kwh = hours->lamps_kwh = hours->cost = hours->paid = 0.0;
    hours->heater_short_w = hours->vent_hours = 0.0;
    if (model->shelter.kind == WG_LABORATORY) {
        laboratory_run(state, model->n_bins, sky, from, to, hours);
        return;
    }
    struct place_day day;
    day.model = model;
    day.sky = sky;
    day.power_out = power_out;
    day.heat = heat;
    day.walls = wg_housing_has_walls(model->shelter.kind);
    day.lamp_hours = power_out ? 0.0 : wg_lamp_hours(&model->shelter, settings, sky->day);
    const bool room = wg_housing_is_room(model->shelter.kind);
    day.sky_k = day.walls ? 0.0 : model->shelter.sky_view_m2k_w * sky->sky_loss_w_m2; /* in a house: of the cover */
    start_day(&day, state, settings, from, substrate_kg, hours);
    if (day.walls)
        house_hours(state, &day, from, to, hours);
    else if (room)
        room_hours(state, &day, from, to, hours);
    else
        open_hours(state, &day, from, to, hours);
    ground_hours(state, &day, from, to, hours);
    light_hours(&model->shelter, settings, sky, from, to, power_out, hours->light_w_m2);
    if (to == 24)
        state->ground_c = model->ground.kind == WG_GROUND_BOX ? state->air_c : day.ground_to_c;
}
