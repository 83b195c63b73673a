/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Default parameters of housings, bins and ground, each with its source, for a
 * keeper who gives a kind and perhaps a floor, a cover or a thickness of foam.
 */
#include "base/elementary.h"
#include "housing/shelter.h"

#include <math.h>
#include <string.h>

static const char *const housing_name[WG_N_HOUSINGS] = {"outdoors",   "hoop house", "greenhouse", "shed",
                                                        "laboratory", "room",       "cellar",     "refrigerator"};

const char *wg_housing_name(enum wg_housing_kind kind) {
    wg_assert((int)kind >= 0 && kind < WG_N_HOUSINGS);
    return housing_name[kind];
}

/* ---- covers ---- */

/*
 * sun_share: share of the sun on the floor area that becomes sensible heat of the house: transmittance, less reflection
 * and evaporation from soil and plants. Judgement.
 * light_through: transmittance, less a tenth for frame and dirt. Judgement.
 * sky_view_m2k_w: mean sky view factor of the cover over the outside film coefficient. Judgement.
 */
struct cover {
    const char *name;
    double u_w_m2k; /* 1 Btu/(h ft2 degF) = 5.678 */
    double sun_share, light_through, sky_view_m2k_w;
};
static const struct cover covers[] = {
    /* Film: U 6.5 to 6.8 and transmittance 0.80 to 0.90 in growers' tables; partly transparent to long-wave loss. */
    {"single film", 6.5, 0.50, 0.75, 0.035},
    /* Two films with air between: U 4.0, transmittance 0.60 to 0.80 (ASAE EP406 as quoted by growers' guides). */
    {"double film", 4.0, 0.45, 0.65, 0.015},
    /* 8 mm twin-wall polycarbonate: U 3.0 to 3.3, transmittance 0.80 in growers' tables. */
    {"twin wall", 3.2, 0.45, 0.70, 0.015},
    /* Single glass: U 6.4, transmittance 0.85 to 0.90 in growers' tables; opaque to long-wave loss. */
    {"glass", 6.4, 0.50, 0.75, 0.015},
};
#define N_COVERS (sizeof covers / sizeof covers[0])

static void put_cover(struct wg_shelter_spec *shelter, const struct cover *cover) {
    shelter->u_w_m2k = cover->u_w_m2k;
    shelter->sun_area_m2 = cover->sun_share * shelter->floor_m2;
    shelter->light_through = cover->light_through;
    shelter->sky_view_m2k_w = cover->sky_view_m2k_w;
}

int wg_shelter_set_cover(struct wg_shelter_spec *shelter, const char *name) {
    if (shelter->kind != WG_HOOP_HOUSE && shelter->kind != WG_GREENHOUSE)
        return -1;
    for (size_t i = 0; i < N_COVERS; i++) {
        if (strcmp(name, covers[i].name) != 0)
            continue;
        put_cover(shelter, &covers[i]);
        return 0;
    }
    return -1;
}

/* ---- houses ---- */

/* Film coefficient of still air on floor and walls, W/(m2 K) (ASHRAE: 6 up, 4 down; rounded). */
#define SURFACE_W_M2K 5.0
/* Benches and light fittings follow the air: six times the heat capacity of the air alone. Judgement. */
#define AIR_J_K_PER_M3 (6.0 * 1207.0)

/* A tunnel 3 m x 6 m, 2 m high: floor 18, cover 40 m2, 28 m3. The arc is 1.3 x the floor, the rest ends (judgement). */
static void size_tunnel(struct wg_shelter_spec *shelter, double floor_m2) {
    shelter->floor_m2 = floor_m2;
    shelter->cover_m2 = 1.3 * floor_m2 + (40.0 - 1.3 * 18.0) * sqrt(floor_m2 / 18.0);
    shelter->volume_m3 = 28.0 / 18.0 * floor_m2;
    /*
     * Bare moist soil, 2.4 MJ/(m3 K) and a = 0.6e-6 m2/s (de Vries 1963), to the damping depth of the day: sqrt(2
     * a/w).
     */
    shelter->mass_j_k = 2.4e6 * 0.128457 * floor_m2;
    shelter->mass_air_w_k = SURFACE_W_M2K * floor_m2;
    /* To 0.5 m depth through moist soil of 1.4 W/(m K) (de Vries 1963: 2.4 MJ/(m3 K) x 0.6e-6 m2/s). */
    shelter->mass_ground_w_k = 1.4 / 0.5 * floor_m2;
}

/* A shed 3 m x 3 m x 2.4 m of insulated stud wall: floor 9, cover (walls and roof) 37.8 m2, 21.6 m3. */
static void size_shed(struct wg_shelter_spec *shelter, double floor_m2) {
    shelter->floor_m2 = floor_m2;
    shelter->cover_m2 = floor_m2 + 4.0 * 2.4 * sqrt(floor_m2);
    shelter->volume_m3 = 2.4 * floor_m2;
    const double surface_m2 = shelter->cover_m2 + floor_m2;
    shelter->mass_j_k = 60e3 * surface_m2; /* boards and studs, 60 kJ/(m2 K): judgement */
    shelter->mass_air_w_k = SURFACE_W_M2K * surface_m2;
    shelter->mass_ground_w_k = 1.0 * floor_m2; /* wooden floor on a slab: judgement */
    /* One window, a fifteenth of the floor (0.6 m2 for 9), transmitting 0.55 of horizontal radiation: judgement. */
    shelter->sun_area_m2 = 0.55 / 15.0 * floor_m2;
}

int wg_shelter_set_floor(struct wg_shelter_spec *shelter, double floor_m2) {
    if (!wg_housing_has_walls(shelter->kind) || !(floor_m2 > 0.0))
        return -1;
    const double sun_share = shelter->floor_m2 > 0.0 ? shelter->sun_area_m2 / shelter->floor_m2 : 0.0;
    if (shelter->kind == WG_SHED) {
        size_shed(shelter, floor_m2);
    } else {
        size_tunnel(shelter, floor_m2);
        shelter->sun_area_m2 = sun_share * floor_m2;
    }
    shelter->air_j_k = AIR_J_K_PER_M3 * shelter->volume_m3;
    return 0;
}

static void hoop_house(struct wg_shelter_spec *shelter) {
    wg_shelter_set_floor(shelter, 18.0);
    put_cover(shelter, &covers[0]);
    /* Air changes per hour in growers' tables: tight 0.3 to 0.5, production house 0.75 to 1, old or leaky 1.5 to 2. */
    shelter->air_changes = 1.5;
    shelter->vent_air_changes = 30.0; /* ends open: 20 to 40, MEMORY */
    shelter->vent_above_c = 30.0;     /* judgement */
    shelter->sun_to_air = 0.3;        /* judgement: most of the sun falls on the floor */
}

static void greenhouse(struct wg_shelter_spec *shelter) {
    wg_shelter_set_floor(shelter, 18.0);
    put_cover(shelter, &covers[1]);
    shelter->air_changes = 0.75;      /* production house, see above */
    shelter->vent_air_changes = 30.0; /* as above */
    shelter->vent_above_c = 32.0;     /* judgement */
    shelter->sun_to_air = 0.3;        /* as above */
}

static void shed(struct wg_shelter_spec *shelter) {
    wg_shelter_set_floor(shelter, 9.0);
    shelter->u_w_m2k =
        0.50; /* stud wall or panel, 50 to 90 mm of insulation, with thermal bridges: 0.3 to 0.5, MEMORY */
    shelter->air_changes = 0.5;       /* tight, see above */
    shelter->vent_air_changes = 20.0; /* door and window open: the lowest of an open house, MEMORY */
    shelter->vent_above_c = 32.0;     /* judgement */
    shelter->sun_to_air = 0.3;        /* as above */
    shelter->sky_view_m2k_w = 0.008;  /* opaque, mostly walls: judgement */
    /* Daylight away from a small window is a few per cent of outdoors, but flies sit near it: a tenth. Judgement. */
    shelter->light_through = 0.10;
}

/* A thermostat at 68 degF: the U.S. Department of Energy's advice for a dwelling in winter (MEMORY). */
#define ROOM_C 20.0
/* 40 degF: the warmest that the U.S. FDA advises for a refrigerator (MEMORY). */
#define REFRIGERATOR_C (40.0 / 9.0)
/* The middle of a cellar 2 m high under 0.5 m of earth: judgement. */
#define CELLAR_DEPTH_M 1.5

static void room(struct wg_shelter_spec *shelter, double steady_c) {
    shelter->steady_c = steady_c;
    shelter->light_through = 0.0;
    shelter->summer = WG_ALL_YEAR;
}

void wg_shelter_defaults(struct wg_shelter_spec *shelter, enum wg_housing_kind kind) {
    *shelter = (struct wg_shelter_spec){.kind = kind, .light_through = 1.0, .lamp_season = WG_ALL_YEAR};
    switch (kind) {
    case WG_OUTDOORS:
        shelter->sky_view_m2k_w = 0.010; /* sky view factor of a bin 0.2, over 20 W/(m2 K): judgement */
        break;
    case WG_HOOP_HOUSE:
        hoop_house(shelter);
        break;
    case WG_GREENHOUSE:
        greenhouse(shelter);
        break;
    case WG_SHED:
        shed(shelter);
        break;
    case WG_LABORATORY:
        break;
    case WG_ROOM:
        room(shelter, ROOM_C);
        break;
    case WG_CELLAR:
        room(shelter, (double)NAN);
        shelter->depth_m = CELLAR_DEPTH_M;
        break;
    case WG_REFRIGERATOR:
        room(shelter, REFRIGERATOR_C);
        break;
    case WG_N_HOUSINGS:
        wg_assert(kind < WG_N_HOUSINGS);
    }
}

/* ---- bins ---- */

/* The reference bin of all values: 0.6 m x 0.5 m x 0.5 m. */
#define REFERENCE_M3 0.150

/*
 * Plastic bin, W/(m2 K): 1/(L/3k + 1/h), derived, with half-width L = 0.25 m and k = 0.5 W/(m K) of wet compost (Ahn et
 * al. 2009, Bioresour. Technol. 100:3974: 0.12 to 0.81), h 8.3 in still air, 17 to 23 in wind (ASHRAE, MEMORY).
 */
#define PLAIN_INDOORS 3.5
#define PLAIN_OUTDOORS 4.5
/* Foam board 0.029 W/(m K) in makers' tables; a tenth more for joints and a loose lid: judgement. */
#define FOAM_W_MK 0.032

/* Places without soil under the bins and around the prepupae. */
static bool has_floor(enum wg_housing_kind kind) {
    return kind == WG_SHED || kind == WG_LABORATORY || wg_housing_is_room(kind);
}

void wg_bin_defaults(struct wg_bin_spec *bin, enum wg_housing_kind kind, double volume_m3, double foam_m) {
    const bool outdoors = kind == WG_OUTDOORS;
    const bool foam = foam_m > 0.0;
    const double area = wg_pow(volume_m3 / REFERENCE_M3, 2.0 / 3.0); /* same shape: areas scale with volume^(2/3) */
    const double plain = outdoors ? PLAIN_OUTDOORS : PLAIN_INDOORS;
    *bin = (struct wg_bin_spec){
        .volume_m3 = volume_m3,
        .wall_m2 = 1.7 * area,
        .top_m2 = 0.30 * area,
        .u_w_m2k = foam ? 1.0 / (1.0 / plain + foam_m / FOAM_W_MK) : plain,
        /* Feet or a pallet between bin and soil; no contact on a bench: judgement. */
        .ground_w_k = has_floor(kind) ? 0.0 : (foam ? 0.3 : 0.5) * area,
        /*
         * Closed lid with drain and air holes: 0.10 to 0.15 of an open wet top; a screen 0.3, open 0.6 to 1. Judgement.
         */
        .lid = outdoors && !foam ? 0.15 : 0.12,
        .closed_lid = outdoors && !foam ? 0.15 : 0.12,
        .substrate_kg = 60.0 * volume_m3 / REFERENCE_M3, /* two fifths full: judgement */
        .moisture = 0.70,                                /* common practice: 60 to 80 % */
        .wind_m_s = outdoors ? 0.3 : 0.1,                /* over the surface, under a lid: judgement */
        /* May to September: foam off, a screen for a lid. Off by default. */
        .summer = {120, 272},
        .summer_u_w_m2k = plain,
        .summer_lid = 0.3,
        .mat = {.set_point_c = 27.0, .efficiency = 1.0, .season = WG_ALL_YEAR},
    };
    /* Sunlit area x absorptance of a shaded or pale bin, m2: judgement. */
    if (outdoors)
        bin->sun_m2 = (foam ? 0.02 : 0.06) * area;
    else if (kind == WG_HOOP_HOUSE || kind == WG_GREENHOUSE)
        bin->sun_m2 = (foam ? 0.01 : 0.02) * area;
}

/* ---- ground ---- */

void wg_ground_defaults(struct wg_ground_spec *ground, enum wg_housing_kind kind) {
    *ground = (struct wg_ground_spec){
        .kind = has_floor(kind) ? WG_GROUND_BOX : WG_GROUND_SOIL,
        .soil =
            {
                .depth_m = 0.10,                   /* prepupae dig in 5 to 20 cm: common practice */
                .diffusivity_m2_day = 0.05,        /* 0.58e-6 m2/s, between moist clay and moist sand (de Vries 1963) */
                .mulch_diffusivity_m2_day = 0.012, /* peat, 0.12 to 0.16e-6 m2/s (de Vries 1963) */
                /* judgement: conduction alone makes frozen ground too cold (-7 degC at 10 cm for New York) */
                .frost_damping = 0.5,
                .offset_k = 1.0, /* ground minus air, annual mean, 0 to 3 K: judgement */
            },
        .dark = false,
    };
}
