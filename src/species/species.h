/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The parameters of the species: one open struct, two named sets, one table with
 * the name, unit, range and source of each.
 *
 * Units: degC, day, individual, g of fresh insect unless stated; x is development
 * within a stage, about 1 at its end. Probabilities and shares are 0..1. Nothing here
 * owns memory; all functions are pure.
 *
 * "keepers" (the default) follows keepers' practice in uneven bins, "laboratory" is
 * fitted to published laboratory curves only. species_numbers.c gives the source of
 * every value and the reason where the two differ.
 */
#ifndef WG_SPECIES_SPECIES_H
#define WG_SPECIES_SPECIES_H

#include <stdbool.h>
#include <stddef.h>

/** The stages as they are counted and stored, in this order. */
enum wg_stage {
    WG_EGG,
    WG_LARVA,
    WG_PREPUPA, /* active */
    WG_DORMANT, /* dormant prepupa */
    WG_PUPA,
    WG_FEMALE,
    WG_MALE,
    WG_N_STAGES
};
/** "egg", "larva", "prepupa", "dormant prepupa", "pupa", "adult female", "adult male" */
const char *wg_stage_name(enum wg_stage stage);

/** The five stage clocks that run on the temperature curve. */
enum wg_clock_stage { WG_CLOCK_EGG, WG_CLOCK_LARVA, WG_CLOCK_PREPUPA, WG_CLOCK_PUPA, WG_CLOCK_ADULT, WG_N_CLOCKS };

/**
 * Development rate per day: r(T) = a T (T - t0) (tm - T)^(1/m) for t0 < T < tm,
 * else 0 (Briere et al. 1999, Environ. Entomol. 28:22; T in degC). Its inverse is
 * the mean time in the stage.
 */
struct wg_rate {
    double a, t0_c, tm_c, m;
};

/**
 * Cold hazard per day: h4 max(0, exp(-s (T - 4)) - exp(-s (limit - 4))), 0 from
 * cold_limit_c up. h4 per day, s per K: near 4 degC about h4, and e-fold every 1/s.
 */
struct wg_cold {
    double h4, s;
};

struct wg_species {
    /* clocks */
    struct wg_rate rate[WG_N_CLOCKS];
    double spread[WG_N_CLOCKS]; /* coefficient of variation of the development needed */
    double dark_prepupa_factor; /* development needed by prepupae kept in the dark, 1 = no effect */
    /* death, per day */
    double hazard[WG_N_CLOCKS];                              /* background at 27 degC */
    double background_floor;                                 /* the least of it in the cold and the heat, as a share */
    double dormant_hazard;                                   /* background of dormant prepupae, at any temperature */
    double heat_chronic, heat_chronic_slope, heat_chronic_c; /* + a exp(b (T24 - c)), not adults */
    double heat_acute, heat_acute_slope, heat_acute_c;       /* + a exp(b (T - c)) hourly, all stages */
    double cold_limit_c;                                     /* no cold hazard above */
    struct wg_cold cold_egg, cold_young_larva, cold_old_larva, cold_prepupa, cold_pupa, cold_adult;
    double young_larva_x, old_larva_x; /* development up to which / from which the two larval curves hold */
    double freeze_c[WG_N_CLOCKS];      /* supercooling points */
    double freeze_hazard;              /* per day below that point */
    double starvation; /* per day, full-grown larva at ration 0 and 27 degC: starvation (1 - ration)^2 */
    /* growth and feed */
    double hatch_mass_g, egg_mass_g;
    double final_mass_g; /* wet, well fed, 27 degC, quality 1 */
    double mass_cool_per_k, mass_cool_to_c, mass_ref_c, mass_warm_from_c, mass_warm_per_k;
    double pupation_mass_g;                          /* larvae that leave their stage lighter than this die */
    double growth_rate;                              /* r of the logistic curve, per larval time */
    double larva_dry;                                /* dry share of fresh mass */
    double conversion;                               /* dry growth per dry feed eaten */
    double ration_floor;                             /* rate of development at ration 0, share of the well-fed rate */
    double gas_share;                                /* share of the carbon eaten that leaves as gas */
    double heat_per_dry_feed;                        /* J per kg of dry feed eaten */
    double microbe_loss, microbe_q10, microbe_ref_c; /* per day of the usable dry matter and of frass */
    /* adults and eggs */
    double female_share;
    double mate_after_days, lay_after_days; /* at 27 degC, measured on the adult clock */
    double mate_light_w_m2, mate_air_c, mate_hours_min, mate_hours_full;
    double males_needed; /* males alive at the place for any mating; 0: no condition */
    double lay_air_c, lay_hours_min;
    double fly_warmth_width_k; /* width of the linear ramp around mate_air_c and lay_air_c; 0: a step */
    double clutch_low, clutch_high;
    double clutch_mass_low, clutch_mass_high; /* clamp of mass/final_mass_g */
    double clutch_most;                       /* maximum mass of a clutch, share of the mother's mass as a prepupa */
    double clutch_warm_days;                  /* averaging time of the air temperature for the warmth factor */
    double laying_share_sun, laying_share_lamps;
    double stay_closed, stay_open; /* share of emerged flies that stay within reach */
    double trap_hatch_reach;       /* share of larvae hatched in a trap that reach a bin */
    /* dormancy */
    double dorm_by_day; /* share of prepupae for which day length counts; for the others only cold does */
    double dorm_day_h, dorm_day_scale, dorm_temp_c, dorm_temp_scale; /* entry: two falling logistic curves */
    double dorm_by_cold_c;                                           /* in place of dorm_temp_c for the others */
    double dorm_open_cold_days, dorm_open_cold_c, dorm_open_days;
    double dorm_heat_base_c, dorm_heat_median, dorm_heat_sigma; /* degC day */
    double dorm_resume_x;
    /* wild visitors */
    double wild_air_c, wild_day_h;
};

/** How many numbers a species has: all members are doubles. */
#define WG_SPECIES_NUMBERS (sizeof(struct wg_species) / sizeof(double))

/**
 * Fills *species with a named set, "keepers" or "laboratory". Returns 0; for any
 * other name, -1 with *species unchanged (the caller knows where the name came from
 * and words the error).
 */
int wg_species_set(struct wg_species *species, const char *name);

/** One parameter: how a scenario overrides it and how uncertain it is. */
struct wg_parameter {
    const char *name; /* as in a scenario file, e.g. "larva_spread": lower case, digits, underscores */
    /* unit in the struct: "degC", "day", "1/day", "1", "g", "K", "1/K", "W/m2", "h", "J/kg", "degC day" or "eggs" */
    const char *unit;
    size_t offset;      /* of the double within struct wg_species */
    double least, most; /* limits of what a scenario may set, inclusive */
    double low, high;   /* plausible range, around the keepers' value */
    const char *source; /* tag: published (author year), MEMORY, common practice, derived, judgement */
    const char *text;   /* its meaning in one line */
};
/** The table, ended by name == NULL: every double of struct wg_species exactly once, in its order. Static. */
const struct wg_parameter *wg_species_parameters(void);
/** Returns the row of that name, or NULL. */
const struct wg_parameter *wg_species_find(const char *name);
/** Returns the position of a row's number in struct wg_species, 0 .. WG_SPECIES_NUMBERS - 1. */
static inline size_t wg_parameter_index(const struct wg_parameter *parameter) {
    return parameter->offset / sizeof(double);
}
/** Gets and sets the value of a row (the caller checks the limits). */
double wg_species_get(const struct wg_species *species, const struct wg_parameter *parameter);
void wg_species_put(struct wg_species *species, const struct wg_parameter *parameter, double value);
/**
 * Checks for contradictions between values that are each in range (t0 >= tm,
 * clutch_low > clutch_high, ...). Returns NULL, or the first as a sentence without
 * capital and full stop (static text). Call it after overriding values: the other
 * functions of this layer rely on it.
 */
const char *wg_species_problem(const struct wg_species *species);
/**
 * Repairs contradictions after some numbers of a species, those with is_given[wg_parameter_index()], were replaced by
 * those of another: numbers that are checked against a given one are taken from `other` as well.
 */
void wg_species_reconcile(struct wg_species *species, const struct wg_species *other,
                          const bool is_given[WG_SPECIES_NUMBERS]);

#endif
