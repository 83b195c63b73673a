/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Hourly heat balance of one place: shelter, heater, bins and ground.
 *
 * The colony passes the metabolic heat of each bin as a function of the bin's
 * temperature and gets temperatures back; nothing here depends on the species.
 *
 * Neglected: latent heat of freezing (wet bins and ground are too cold in hard
 * frost), snow, wind on the house, loss and condensation of moisture. A bin has
 * one temperature, without a gradient, and stands on the soil of the open field
 * even in a house. A room, cellar or refrigerator has its temperature in a power
 * cut, too, and whatever heat its bins give off; its air is as moist as outdoors.
 */
#ifndef WG_HOUSING_HOUSING_H
#define WG_HOUSING_HOUSING_H

#include "climate/weather.h"
#include "housing/when.h"

#include <stdbool.h>

enum wg_housing_kind {
    WG_OUTDOORS,
    WG_HOOP_HOUSE,
    WG_GREENHOUSE,
    WG_SHED,
    WG_LABORATORY,
    WG_ROOM,         /* of a dwelling: the air has a given temperature */
    WG_CELLAR,       /* the same, or as warm as the soil at a depth */
    WG_REFRIGERATOR, /* a given temperature, always dark */
    WG_N_HOUSINGS
};
/** "outdoors", "hoop house", "greenhouse", "shed", "laboratory", "room", "cellar", "refrigerator" */
const char *wg_housing_name(enum wg_housing_kind kind);
/** True for room, cellar and refrigerator, whose air has a temperature of its own without any heat that is paid for. */
bool wg_housing_is_room(enum wg_housing_kind kind);

/** The house around a place; unused fields are 0, those of the walls also for outdoors, laboratory and rooms. */
struct wg_shelter_spec {
    enum wg_housing_kind kind;
    double floor_m2, cover_m2, volume_m3;
    double u_w_m2k;                       /* of the cover */
    double air_changes, vent_air_changes; /* per hour, closed / vents wide open */
    double vent_above_c;
    double sun_area_m2;                   /* floor or window area x share of sun that becomes heat inside */
    double sun_to_air;                    /* share of that heat to the air, rest to the mass */
    double mass_air_w_k, mass_ground_w_k; /* Hm, Hg */
    double mass_j_k, air_j_k;             /* Cm, Ca */
    double sky_view_m2k_w;                /* r_sky */
    double light_through;                 /* share of the outdoor light that reaches the flies, 0..1 */
    double lamp_hours;                    /* hours of lamps a day, from 06:00 solar; 0 none */
    double lamp_power_w;                  /* NaN: unknown; their energy and heat are then not counted */
    double lamp_price_per_kwh;            /* NaN: unknown */
    struct wg_season lamp_season;         /* when they are lit */
    struct wg_when lamp_when;             /* and on which of its days */
    double steady_c;                      /* air of a room; NaN: a cellar that follows the soil at depth_m */
    double depth_m;
    bool summer_switch; /* in `summer`, a room is at summer_c */
    struct wg_season summer;
    double summer_c;
};

struct wg_heater_spec {
    double power_w; /* maximum heat output; 0: no heater */
    double set_point_c;
    bool starts_off;         /* until the keeper switches it on */
    double efficiency;       /* heat out per energy in (1 electric, 3 heat pump) */
    double price_per_kwh;    /* NaN: unknown */
    struct wg_season season; /* when it is on */
    struct wg_when when;     /* and on which of its days */
};

enum wg_ground_kind { WG_GROUND_SOIL, WG_GROUND_BOX };
struct wg_ground_spec {
    enum wg_ground_kind kind; /* box: at the air temperature of the place */
    struct wg_soil_spec soil;
    bool dark; /* pupation in the dark (slower prepupae) */
};

enum wg_lid { WG_LID_CLOSED, WG_LID_SCREEN, WG_LID_OPEN };

struct wg_bin_spec {
    double volume_m3;
    double wall_m2, top_m2;
    double u_w_m2k;                /* walls and lid, outside summer */
    double ground_w_k;             /* to the soil at 5 cm */
    double lid;                    /* 0..1 wet-surface factor */
    double closed_lid;             /* wet-surface factor with the lid closed */
    double sun_m2;                 /* absorptance x sunlit area */
    double substrate_kg, moisture; /* wet mass without larvae, which the colony adds; water 0..1 */
    double wind_m_s;
    bool summer_switch; /* in `summer`, use the two values below */
    struct wg_season summer;
    double summer_u_w_m2k, summer_lid;     /* < 0: as outside summer */
    enum wg_lid lid_kind, summer_lid_kind; /* the words for the wet-surface factors */
    struct wg_heater_spec mat;
};

/**
 * Sets the default parameters of a kind; housing/defaults.c has their sources. A hoop house has one film, a greenhouse
 * two. No house has lamps.
 */
void wg_shelter_defaults(struct wg_shelter_spec *shelter, enum wg_housing_kind kind);
/**
 * Sets the floor, m2 > 0, and scales cover, volume, sun and masses with it. Returns -1, with nothing changed, for a
 * kind without walls or a floor that is not above 0.
 */
int wg_shelter_set_floor(struct wg_shelter_spec *shelter, double floor_m2);
/**
 * Sets the cover of a hoop house or greenhouse: "single film", "double film", "twin wall" or "glass". Returns -1, with
 * nothing changed, for any other name or kind.
 */
int wg_shelter_set_cover(struct wg_shelter_spec *shelter, const char *name);
/** Sets the default parameters of a bin of a volume with foam of a thickness (0: plain plastic) in a kind of place. */
void wg_bin_defaults(struct wg_bin_spec *bin, enum wg_housing_kind kind, double volume_m3, double foam_m);
void wg_ground_defaults(struct wg_ground_spec *ground, enum wg_housing_kind kind);

#define WG_MAX_BINS_PER_PLACE 64

/** The state of a place. Plain data: a copy of the struct copies the state. */
struct wg_place_state {
    double air_c, mass_c; /* nodes */
    double bin_c[WG_MAX_BINS_PER_PLACE];
    double bin_heat_w;   /* heat from the bins in the previous hour, still to be added to the air */
    double floor_gain_k; /* inside minus outside air, exponential mean of some days, which warms the ground below */
    double ground_c;     /* at the end of the previous day */
};

/** A place prepared for a climate: immutable. */
struct wg_place_model {
    struct wg_shelter_spec shelter;
    struct wg_heater_spec heater;
    struct wg_ground_spec ground;
    int n_bins;
    struct wg_bin_spec bin[WG_MAX_BINS_PER_PLACE];
    struct wg_soil ground_soil, deep_soil, bin_soil; /* at the pupation depth, 0.5 m (of a cellar: its depth), 5 cm */
};
/**
 * Prepares the soils; fill in the specs and n_bins first. Rejects impossible values (WG_ERR_INPUT). Owns nothing.
 */
int wg_place_model_init(struct wg_place_model *model, const struct wg_climate *climate, struct wg_error *err);

/** Settings that a keeper may change on a date; initially those of the specs. */
struct wg_place_settings {
    bool heater_on, mat_on[WG_MAX_BINS_PER_PLACE];       /* in its season */
    bool heater_early, mat_early[WG_MAX_BINS_PER_PLACE]; /* and before it, because the keeper switched it on */
    bool heater_waits, lamps_wait, mat_waits[WG_MAX_BINS_PER_PLACE]; /* the condition for them does not hold today */
    double set_point_c, mat_set_point_c[WG_MAX_BINS_PER_PLACE];
    /* Outside summer (a bin with a summer switch has its own values for summer); < 0: from the spec. */
    double u_bin_w_m2k[WG_MAX_BINS_PER_PLACE], lid[WG_MAX_BINS_PER_PLACE];
};
void wg_place_settings_start(struct wg_place_settings *settings, const struct wg_place_model *model);
/**
 * Switches the heater (bin: -1) or the mat of a bin on `day`. Off lasts until it is switched on; on outside its season
 * lasts until the season begins, and then to its end.
 */
void wg_place_switch(struct wg_place_settings *settings, const struct wg_place_model *model, int bin, bool on,
                     int32_t day);
/** Call at the start of a day, before wg_place_switch(): a season that has begun ends the state "on before season". */
void wg_place_settings_day(struct wg_place_settings *settings, const struct wg_place_model *model, int32_t day);
/**
 * Hours of daylight on a day of some length: none in a room without light, where prepupae take it for a short day
 * (judgement: no study reports what darkness does to them).
 */
double wg_sun_hours(const struct wg_shelter_spec *shelter, double day_length_h);
/** Hours of lamps on a day. */
double wg_lamp_hours(const struct wg_shelter_spec *shelter, const struct wg_place_settings *settings, int32_t day);

/**
 * Metabolic heat in a bin as a function of its current temperature T:
 *
 *     W(T) = steady_w + min(curve_w B(T), fuel_j / time left to midnight)
 *     B(T) = T (T - from_c) (to_c - T)^(1/root) for from_c < T < to_c and T > 0, else 0
 *
 * B is the temperature response of development and feeding (Briere et al. 1999): larvae warm their bin, eat more, and
 * stop at to_c, so they never warm it beyond. The feed is fuel_j, spread over the hours left; what cool hours leave is
 * available to warm ones. Chronic heat kills larvae and so reduces curve_w every hour by the factor exp(-h/24), h =
 * fade_per_day exp(fade_slope (M - fade_c)), M the mean of the last 24 hours.
 *
 * The limit to_c is a simplification: larvae still respire above the temperature at which they stop developing, and
 * trays have reached 42 degC (Padmanabha 2023). A very crowded bin may thus be some kelvin hotter in its middle.
 *
 * All zero: no heat. wg_place_run() updates curve_w and fuel_j.
 */
struct wg_bin_heat {
    double steady_w; /* at any temperature */
    double curve_w;  /* W per unit of B; 0: none */
    double from_c, to_c, root;
    double fuel_j; /* heat that the curve may still give today; HUGE_VAL: unlimited */
    double fade_per_day, fade_slope, fade_c;
    const double *yesterday_c; /* the bin's 24 hours of yesterday, borrowed; NULL: no deaths */
};

/** Hourly temperatures, and the energy bought. */
struct wg_place_hours {
    double air_c[24]; /* mean of each hour; entries outside from..to-1 are unchanged */
    double bin_c[WG_MAX_BINS_PER_PLACE][24];
    double ground_c[24];
    double light_w_m2[24];                    /* at the flies, lamps included (a lamp hour counts as 200) */
    double bin_heat_j[WG_MAX_BINS_PER_PLACE]; /* metabolic heat by temperature over these hours */
    double heater_kwh, mats_kwh, lamps_kwh;   /* energy bought over these hours */
    double cost;                              /* of that energy, each at its own price; NaN: some of it has no price */
    double paid;                              /* the same for the part that has a price */
    /* Largest shortfall of power in an hour, to keep the set point in steady state without metabolic heat */
    double mat_short_w[WG_MAX_BINS_PER_PLACE]; /* in a bin at its set point */
    double heater_short_w;                     /* in a house at its set point, with its bins in steady state */
    double vent_hours;                         /* hours with the vents open at all */
};

/**
 * Initialises the state at the outdoor air temperature. Where a heater or mat is in
 * season, its room or bin starts at the set point, as if it had been running.
 */
void wg_place_start(struct wg_place_state *state, const struct wg_place_model *model, const struct wg_sky *sky);

/**
 * Advances hours from..to-1 (0 <= from < to <= 24) of the sky's day.
 * heat[n_bins]: metabolic heat of each bin; NULL: none.
 * substrate_kg[n_bins]: wet mass in each bin now, or NULL for that of the spec.
 * power_out: heater, mats and lamps have no mains in these hours.
 * After hour 23 the ground state advances by a day.
 * Energies, cost, heater_short_w and vent_hours are those of this call alone.
 * Rooms: wg_housing_is_room(); lamps count, and their heat is lost in the room.
 * A laboratory (24 hours of light, for dormancy too; no fly leaves, and females lay
 * as under lamps) has exactly the air temperature of the sky and full light
 * everywhere, with or without mains.
 */
void wg_place_run(struct wg_place_state *state, const struct wg_place_model *model,
                  const struct wg_place_settings *settings, const struct wg_sky *sky, int from, int to,
                  struct wg_bin_heat *heat, const double *substrate_kg, bool power_out, struct wg_place_hours *hours);

/**
 * Heater power for a set point at an outdoor design temperature: (UA + infiltration) (set - design) x 1.2 (Bartok's
 * sizing rule, see housing/shelter.c).
 */
double wg_heater_size_w(const struct wg_shelter_spec *shelter, double set_point_c, double design_c);

#endif
