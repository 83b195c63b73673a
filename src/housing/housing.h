/**
 * Shelter, heater, bins and ground of one place: hour by hour, in watts.
 *
 * The colony hands in the heat of what lives in each bin as a curve over the
 * bin's temperature and gets temperatures back; nothing here knows of flies.
 *
 * Not in it: the heat of freezing (wet bins and ground are too cold in hard
 * frost), snow, wind on the house, moisture lost or condensed. A bin has one
 * temperature, no warm middle and cool edge, and stands over the soil of the open
 * field, in a house too.
 */
#ifndef WG_HOUSING_HOUSING_H
#define WG_HOUSING_HOUSING_H

#include "climate/weather.h"

#include <stdbool.h>

enum wg_housing_kind { WG_OUTDOORS, WG_HOOP_HOUSE, WG_GREENHOUSE, WG_SHED, WG_LABORATORY, WG_N_HOUSINGS };
/** "outdoors", "hoop house", "greenhouse", "shed", "laboratory" */
const char *wg_housing_name(enum wg_housing_kind kind);

/** The house around a place; unused fields are 0 for outdoors and laboratory. */
struct wg_shelter_spec {
    enum wg_housing_kind kind;
    double floor_m2, cover_m2, volume_m3;
    double u_w_m2k;                       /* of the cover */
    double air_changes, vent_air_changes; /* per hour, closed / vents wide open */
    double vent_above_c;
    double sun_area_m2;                   /* floor or window area x share of sun that ends as heat inside */
    double sun_to_air;                    /* share of that to the air, rest to the mass */
    double mass_air_w_k, mass_ground_w_k; /* Hm, Hg */
    double mass_j_k, air_j_k;             /* Cm, Ca */
    double sky_view_m2k_w;                /* r_sky */
    double light_through;                 /* share of the outdoor light that reaches the flies, 0..1 */
    double lamp_hours;                    /* hours of lamps a day, from 06:00 solar; 0 none */
    double lamp_power_w;                  /* NaN: not known; neither energy nor heat of theirs is then counted */
    double lamp_price_per_kwh;            /* NaN: not known */
    struct wg_season lamp_season;         /* when they are lit */
};

struct wg_heater_spec {
    double power_w; /* most heat it gives; 0: none */
    double set_point_c;
    double efficiency;       /* heat out per energy in (1 electric, 3 heat pump) */
    double price_per_kwh;    /* NaN: not known */
    struct wg_season season; /* when it is switched on */
};

enum wg_ground_kind { WG_GROUND_SOIL, WG_GROUND_BOX };
struct wg_ground_spec {
    enum wg_ground_kind kind; /* box: at the place's air temperature */
    struct wg_soil_spec soil;
    bool dark; /* pupation in the dark (slower prepupae) */
};

enum wg_lid { WG_LID_CLOSED, WG_LID_SCREEN, WG_LID_OPEN };

struct wg_bin_spec {
    double volume_m3;
    double wall_m2, top_m2;
    double u_w_m2k;                /* walls and lid, without the summer switch */
    double ground_w_k;             /* to the soil at 5 cm */
    double lid;                    /* 0..1 wet-surface factor */
    double closed_lid;             /* that of its lid when closed */
    double sun_m2;                 /* alpha x area that takes the sun */
    double substrate_kg, moisture; /* wet mass, to which the colony adds its larvae; water 0..1 */
    double wind_m_s;
    bool summer_switch; /* in `summer`, u and lid are those below */
    struct wg_season summer;
    double summer_u_w_m2k, summer_lid;     /* < 0: as out of summer */
    enum wg_lid lid_kind, summer_lid_kind; /* what the factors of the lids stand for, for people */
    struct wg_heater_spec mat;
};

/**
 * Default numbers of a kind, with the source of each in housing/defaults.c. A hoop house has one film, a greenhouse
 * two. No house has lamps.
 */
void wg_shelter_defaults(struct wg_shelter_spec *shelter, enum wg_housing_kind kind);
/**
 * Another floor, m2 > 0: cover, volume, sun and masses follow. -1 (nothing changed) for a kind without walls or a floor
 * that is not above 0.
 */
int wg_shelter_set_floor(struct wg_shelter_spec *shelter, double floor_m2);
/**
 * "single film", "double film", "twin wall", "glass" on a hoop house or greenhouse; -1 (nothing changed) for any other
 * name or kind.
 */
int wg_shelter_set_cover(struct wg_shelter_spec *shelter, const char *name);
/** A bin of a volume with foam of a thickness (0: plain plastic), for use in a place of a kind. */
void wg_bin_defaults(struct wg_bin_spec *bin, enum wg_housing_kind kind, double volume_m3, double foam_m);
void wg_ground_defaults(struct wg_ground_spec *ground, enum wg_housing_kind kind);

#define WG_MAX_BINS_PER_PLACE 64

/** What of a place changes while it runs. Plain data: copying it copies the state. */
struct wg_place_state {
    double air_c, mass_c; /* nodes */
    double bin_c[WG_MAX_BINS_PER_PLACE];
    double bin_heat_w;   /* given by the bins in the hour before and not yet counted in the room */
    double floor_gain_k; /* inside air minus outside air, mean of the last days: what warms the ground under a house */
    double ground_c;     /* at the end of the day before */
};

/** A place prepared for a climate: immutable. */
struct wg_place_model {
    struct wg_shelter_spec shelter;
    struct wg_heater_spec heater;
    struct wg_ground_spec ground;
    int n_bins;
    struct wg_bin_spec bin[WG_MAX_BINS_PER_PLACE];
    struct wg_soil ground_soil, deep_soil, bin_soil; /* at the pupation depth, 0.5 m, 5 cm */
};
/**
 * Prepares the soils; the specs and n_bins are filled in before. Refuses impossible numbers (WG_ERR_INPUT). Owns
 * nothing.
 */
int wg_place_model_init(struct wg_place_model *model, const struct wg_climate *climate, struct wg_error *err);

/** What a keeper may change on a date; starts as the specs say. */
struct wg_place_settings {
    bool heater_on, mat_on[WG_MAX_BINS_PER_PLACE];       /* in its season, ... */
    bool heater_early, mat_early[WG_MAX_BINS_PER_PLACE]; /* ... and before it too, since it was switched on then */
    double set_point_c, mat_set_point_c[WG_MAX_BINS_PER_PLACE];
    /* Out of summer, which has values of its own where the bin has a summer switch; < 0: as the spec says. */
    double u_bin_w_m2k[WG_MAX_BINS_PER_PLACE], lid[WG_MAX_BINS_PER_PLACE];
};
void wg_place_settings_start(struct wg_place_settings *settings, const struct wg_place_model *model);
/**
 * Switches the heater (bin: -1) or the mat of a bin on `day`. Off is off until it is switched on; on out of its season is
 * on until that begins, and with it to its end.
 */
void wg_place_switch(struct wg_place_settings *settings, const struct wg_place_model *model, int bin, bool on,
                     int32_t day);
/** At the beginning of a day, before anything is switched: where a season has begun, it rules again. */
void wg_place_settings_day(struct wg_place_settings *settings, const struct wg_place_model *model, int32_t day);
/** Hours of lamps on a day. */
double wg_lamp_hours(const struct wg_shelter_spec *shelter, int32_t day);

/**
 * Heat of what lives in a bin, by the temperature T that the bin has at the moment:
 *
 *     W(T) = steady_w + min(curve_w B(T), fuel_j / time left to midnight)
 *     B(T) = T (T - from_c) (to_c - T)^(1/root) for from_c < T < to_c and T > 0, else 0
 *
 * B is the curve by which insects develop and eat (Briere et al. 1999): they warm their bin, eat more in it, and stop at
 * to_c, which is why they never warm it beyond. What they eat lies there as fuel_j; it is shared out over the hours left,
 * and what the cool ones leave is there for the warm ones. Those who give the heat die of lasting warmth: curve_w falls
 * every hour by exp(-h/24), h = fade_per_day exp(fade_slope (M - fade_c)), M the mean of the 24 hours before.
 *
 * A ceiling at to_c is simpler than nature: larvae still respire above the temperature at which they stop developing, and
 * trays have been seen at 42 degC (Padmanabha 2023). A very crowded bin may thus be some kelvin hotter in its middle.
 *
 * All zero: no heat. curve_w and fuel_j are moved on by the hours lived.
 */
struct wg_bin_heat {
    double steady_w; /* at any temperature */
    double curve_w;  /* W per unit of B; 0: none */
    double from_c, to_c, root;
    double fuel_j; /* the most that the curve may still give today; HUGE_VAL: without limit */
    double fade_per_day, fade_slope, fade_c;
    const double *yesterday_c; /* 24 hours of the bin, borrowed; NULL: nothing fades */
};

/** Temperatures of some hours of a day, and the energy they took. */
struct wg_place_hours {
    double air_c[24]; /* mean of each hour; entries outside from..to-1 are left alone */
    double bin_c[WG_MAX_BINS_PER_PLACE][24];
    double ground_c[24];
    double light_w_m2[24];                    /* at the flies, lamps included (a lamp hour counts as 200) */
    double bin_heat_j[WG_MAX_BINS_PER_PLACE]; /* given by what lives in a bin by its curve, over these hours */
    double heater_kwh, mats_kwh, lamps_kwh;   /* energy bought over these hours */
    double cost;                              /* paid for it, each at its own price; NaN: bought without a price */
    /* Largest power lacked in an hour that fell short, to hold the set point without heat of larvae ... */
    double mat_short_w[WG_MAX_BINS_PER_PLACE]; /* ... in a bin that was held so far */
    double heater_short_w;                     /* ... in a house that was held so far, its bins at rest in that air */
    double vent_hours;                         /* hours in which the vents were open at all */
};

/**
 * Sets the state to rest with the air of the sky. Where a heater or a mat is in
 * season, its room or bin starts at the set point: it has been running before.
 */
void wg_place_start(struct wg_place_state *state, const struct wg_place_model *model, const struct wg_sky *sky);

/**
 * Advances hours from..to-1 (0 <= from < to <= 24) of the sky's day.
 * heat[n_bins]: of what lives in each bin; NULL: nothing does.
 * substrate_kg[n_bins]: wet mass in each bin now, or NULL for the spec's.
 * power_out: mains are off (heater, mats and lamps) in these hours.
 * After the last hour of a day the ground state moves on.
 * The energies, their cost, heater_short_w and vent_hours are those of this call alone.
 * A laboratory (24 hours of light for dormancy too; all its flies stay, and the lamps' share of its females
 * lays) is at the air of the sky throughout, exactly, in full light,
 * with the power on or off.
 */
void wg_place_run(struct wg_place_state *state, const struct wg_place_model *model,
                  const struct wg_place_settings *settings, const struct wg_sky *sky, int from, int to,
                  struct wg_bin_heat *heat, const double *substrate_kg, bool power_out, struct wg_place_hours *hours);

/**
 * Power that holds a set point at a design temperature: (UA + infiltration) (set - design) x 1.2 (Bartok's sizing rule,
 * see housing/shelter.c).
 */
double wg_heater_size_w(const struct wg_shelter_spec *shelter, double set_point_c, double design_c);

#endif
