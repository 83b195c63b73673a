/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The plan: a scenario resolved to numbers in core units, ready to simulate.
 *
 * Data only: scenario/ reads it from a YAML file, tests build it directly. Units: degC,
 * day, individual, g for insects, kg for feed, m, W, J.
 */
#ifndef WG_PLAN_PLAN_H
#define WG_PLAN_PLAN_H

#include "base/limits.h"
#include "climate/weather.h"
#include "housing/housing.h"
#include "plan/accounts.h"
#include "plan/feed.h"
#include "plan/goal.h"
#include "species/species.h"

#include <stdbool.h>
#include <stdint.h>

#define WG_NAME_SIZE 64
#define WG_MAX_BINS 64 /* in a scenario */
#define WG_MAX_PLACES 16

struct wg_place_plan {
    char name[WG_NAME_SIZE];
    struct wg_shelter_spec shelter;
    struct wg_heater_spec heater;
    struct wg_ground_spec ground;
    bool lamps_given, loss_given, depth_given; /* by the scenario, not left at their defaults */
    struct wg_insulation_price insulation;     /* of the cover */
    bool is_neighbour;                         /* another keeper's: it holds animals for ours */
};

struct wg_bin_plan {
    char name[WG_NAME_SIZE];
    int place; /* bins are ordered by place */
    struct wg_bin_spec spec;
    bool foam_given; /* by the scenario, not left at its default */
    struct wg_insulation_price insulation;
};

/** Kinds of action, in the order in which the actions of one day are applied. */
enum wg_action_kind {
    WG_ACTION_SET,        /* change a setting, from the first hour of the day */
    WG_ACTION_CLEAR,      /* remove residue */
    WG_ACTION_MOVE,       /* eggs, larvae or prepupae to another bin or place; shares refer to the morning's animals */
    WG_ACTION_SCOOP,      /* remove larvae */
    WG_ACTION_PULL_TRAPS, /* eggs from the traps to a bin, or away */
    WG_ACTION_START,      /* add a starter */
    WG_ACTION_FEED,
    WG_ACTION_COLLECT,      /* standing order: catch crawl-off */
    WG_ACTION_LAY_IN_TRAPS, /* standing order: traps are set */
    WG_N_ACTIONS
};
/**
 * "change", "clear residue", "move", "scoop larvae", "pull traps", "starter", "feed", "collect crawl-off", "set traps"
 */
const char *wg_action_name(enum wg_action_kind kind);

/** What a starter or a move consists of. */
enum wg_movable { WG_MOVABLE_EGGS, WG_MOVABLE_LARVAE, WG_MOVABLE_PREPUPAE };

enum wg_setting_key { WG_SET_HEATER, WG_SET_SET_POINT, WG_SET_MAT, WG_SET_MAT_SET_POINT, WG_SET_BIN_U, WG_SET_BIN_LID };

/** A feed of the keeper's own. */
struct wg_own_feed {
    char name[WG_NAME_SIZE];
    struct wg_feed_type type; /* borrows the name */
};
#define WG_MAX_OWN_FEEDS 32

/** What an action waits for on the days on which it is due. */
enum wg_cue {
    WG_CUE_NONE,
    WG_CUE_BEFORE_HATCH, /* pull traps: the oldest eggs would have developed WG_CUE_HATCH_SHARE by tomorrow */
    WG_CUE_WHEN_FULL,    /* clear residue: it fills WG_CUE_FULL_SHARE of the bin */
    WG_N_CUES
};
#define WG_CUE_HATCH_SHARE 0.9 /* of the mean development of an egg: hardly any hatch. Judgement */
#define WG_CUE_FULL_SHARE 0.8  /* judgement */
/** "", "before they hatch", "when full" */
const char *wg_cue_name(enum wg_cue cue);

struct wg_action {
    enum wg_action_kind kind;
    int32_t from, to; /* days, both included; once: from == to */
    int32_t every;    /* days between repeats counted from `from`, >= 1 */
    enum wg_cue cue;
    int line;       /* in the scenario file, 0 if none */
    int index;      /* set by wg_plan_sort(): the position before sorting, which makes the sort stable */
    int bin, place; /* target, -1 where it does not apply */
    struct wg_when
        when; /* of WG_ACTION_SET and WG_ACTION_MOVE: done once, on the first day from `from` on which it holds */
    union {
        /*
         * Starters live the whole first day. Larvae start at wg_larva_x_at_age() (conditional on still being larvae)
         * with mass final_mass_g x wg_cohort_mean_share(x). Prepupae weigh final_mass_g, and may go dormant like all
         * others.
         */
        struct {
            enum wg_movable what;
            double age_days;
            int64_t count;
            double mass_kg;
            struct wg_price price; /* of an animal, or of a kg of them */
            bool price_is_of_kg;
        } start; /* count >= 0, or -1 and mass_kg */
        struct {
            int type;              /* see wg_plan_feed() */
            double wet_kg;         /* each time; as eaten: at most, HUGE_VAL without a limit */
            bool as_eaten;         /* what the larvae will eat until the next time, by their appetite in the morning */
            struct wg_price price; /* per kg of fresh weight */
            bool price_is_fee;     /* a tipping fee, paid to the keeper */
        } feed;
        struct {
            double share, give_back;
            bool give_back_given; /* by the scenario, not left at its default */
        } collect;                /* share of crawl-off; give_back: share of the catch */
        struct {
            double share;
        } traps; /* WG_ACTION_LAY_IN_TRAPS: share of clutches laid in traps */
        struct {
            int put_in;
        } pull; /* bin, or -1: taken away */
        struct {
            double mass_kg, share;
            double leave; /* share of the larvae, by weight, that a mass leaves at least */
        } scoop;          /* mass, or -1 and share of the larvae */
        struct {
            enum wg_movable what;
            int to_bin, to_place;
            double share;
            int job; /* above 0: the same in the moves into which one of everything was split */
        } move;      /* from .bin (larvae) or .place (prepupae, with pupae) */
        struct {
            enum wg_setting_key key;
            double value;
            enum wg_lid lid; /* of WG_SET_BIN_LID: what the value stands for */
            bool foam_given; /* WG_SET_BIN_U: the value stands for foam */
            double foam_m;   /* of this thickness, 0: none */
        } set;
        struct {
            double share;
        } clear;
    } as;
};

/** True if two actions are one job for the keeper, a move of everything. */
bool wg_action_is_same_job(const struct wg_action *a, const struct wg_action *b);
/** True on the days on which an action is done, or may be if it waits for a condition. */
bool wg_action_is_due(const struct wg_action *action, int32_t day);

struct wg_mishaps {
    double power_cuts_per_year, power_cut_hours; /* start and duration are rounded to whole hours */
    double raids_per_year, raid_share;           /* of the larvae in places open to wild animals */
};

/** Which animal lives in a replicate (forecast/lattice.h). */
enum wg_animals {
    WG_ANIMALS_MIDDLE,           /* plan->species, in winters of its own */
    WG_ANIMALS_PLAUSIBLE,        /* the plausible animals in turn */
    WG_ANIMALS_MIDDLE_IN_LATTICE /* plan->species in the winters of the plausible animals, to be compared with them */
};

/** "middle", "plausible", "middle in the lattice" */
const char *wg_animals_name(enum wg_animals animals);

#define WG_CURRENCY_SIZE 16

struct wg_plan {
    char title[128];
    char currency[WG_CURRENCY_SIZE]; /* of the prices, "$" or "pesos"; "" if the plan names none */
    int32_t first_day, last_day;     /* both simulated */
    struct wg_climate_spec climate;
    int n_places, n_bins, n_actions;
    struct wg_place_plan *places;
    struct wg_bin_plan *bins;
    struct wg_action *actions; /* sorted by wg_plan_sort() */
    int n_feeds;
    struct wg_own_feed *feeds; /* of the keeper's own */
    bool feed_unlimited;
    double unlimited_quality; /* quality of unlimited feed, default 1 */
    struct wg_sales sales;
    struct wg_mishaps mishaps;
    double wild_peak_per_day; /* gravid wild females a day at the peak of the season, per open place */
    int n_goals;
    struct wg_goal goal[WG_MAX_GOALS]; /* no effect on the simulation */
    struct wg_species species;         /* the middle animal: the set with the numbers given */
    char numbers[16];                  /* "keepers" | "laboratory" */
    enum wg_animals animals;
    struct wg_species *plausible;      /* wg_plausible_count() plausible animals; NULL: those of this version */
    bool is_given[WG_SPECIES_NUMBERS]; /* numbers that every plausible animal takes from `species` */
    int64_t replicates;
    uint64_t seed;
    int steps_per_day; /* a divisor of 24; a scenario has 1, 2, 4 or 24 */
};

/**
 * Checks a plan. Returns 0, or WG_ERR_INPUT with the first problem: member, value and limits. wg_world_init() calls it
 * for every plan, so a plan built in memory is safe: a plan that passes can be simulated. Checks everything except the
 * days of a weather record, which wg_climate_new() checks. Actions outside the period are allowed and have no effect.
 */
int wg_plan_check(const struct wg_plan *plan, struct wg_error *err);
/** Returns the place of an action: its own, or that of its bin. */
int wg_action_place(const struct wg_plan *plan, const struct wg_action *action);
/** Sorts actions by kind, first day, line and original order: the order in which those of a day are applied. */
void wg_plan_sort(struct wg_plan *plan);
/** Frees places, bins, actions and animals (not the borrowed weather record). Safe on a zeroed plan. */
void wg_plan_free(struct wg_plan *plan);

/** Consumers of electric power. */
enum wg_source_kind { WG_SOURCE_HEATER, WG_SOURCE_MAT, WG_SOURCE_LAMPS };
struct wg_source {
    enum wg_source_kind kind;
    const char *where;         /* name of its place or bin; borrowed */
    bool has_power, has_price; /* whether they are known */
};
/** Gets source i, from 0: of each place heater and lamps, then the mats. Returns false past the last. */
bool wg_plan_source(const struct wg_plan *plan, int i, struct wg_source *source);
/** "heater", "mat", "lamps" */
const char *wg_source_name(enum wg_source_kind kind);
/** True if anything draws power: heaters, mats, lamps. */
bool wg_plan_draws_power(const struct wg_plan *plan);
/** True if the plan has a source of the kind. */
bool wg_plan_has_source(const struct wg_plan *plan, enum wg_source_kind kind);
/** True if power and price of every source are known; else sets *first to the first source without. */
bool wg_plan_has_cost(const struct wg_plan *plan, struct wg_source *first);
/** True if a place is a neighbour's. */
bool wg_plan_has_neighbour(const struct wg_plan *plan);
/** Returns on how many days of the period larvae are scooped by weight. */
int wg_plan_scoop_days(const struct wg_plan *plan);
/** True if the keeper takes anything out: collects crawl-off or scoops larvae. */
bool wg_plan_takes_out(const struct wg_plan *plan);
/** Returns a feed by its number: a row of wg_feed_types(), or after those a feed of the plan's own. */
const struct wg_feed_type *wg_plan_feed(const struct wg_plan *plan, int type);
/** Wet weight of all feed the plan gives in its period in fixed amounts, kg. */
double wg_plan_feed_kg(const struct wg_plan *plan);
/** True if a bin (-1: any) is fed as eaten on a day of from..to, so that the amount is an outcome. */
bool wg_plan_feeds_as_eaten(const struct wg_plan *plan, int bin, int32_t from, int32_t to);
/** Weight of a feeding in the mix of a bin's feeds, kg: its amount; as eaten its limit, or 1 kg. */
double wg_action_feed_weight_kg(const struct wg_action *feeding);

/** True on the first day of spring: 1 February north of the equator, 1 August south; never with a constant climate. */
bool wg_spring_begins(const struct wg_plan *plan, int32_t day);

/** Coverage of a spring by a period. */
enum wg_spring_coverage {
    WG_SPRING_NONE,    /* the period does not contain its first day */
    WG_SPRING_TOO_FEW, /* too few days to date emergence */
    WG_SPRING_CUT,     /* most of it, up to the end of the period */
    WG_SPRING_WHOLE
};

/** A spring, from its first day to its last day within the period. */
struct wg_spring {
    enum wg_spring_coverage seen;
    int32_t from, to;
};

/**
 * Returns the last whole spring of a period (1 February to 31 July; southern: 1 August to 31 January), or else the one
 * cut by its end, which is useful from four of the six months on (judgement).
 */
struct wg_spring wg_spring_within(int32_t first_day, int32_t last_day, bool southern);
/**
 * True less than 15 degrees from the equator (judgement): day length hardly changes and no winter ends there. Never of a
 * constant climate.
 */
bool wg_plan_is_tropical(const struct wg_plan *plan);
/** Returns the spring of a plan; a constant climate and the tropics have none. */
struct wg_spring wg_plan_spring(const struct wg_plan *plan);

/**
 * True where the model of dormancy is a guess: if the tropics' day length induces dormancy, it does so in every season.
 * No study reports what prepupae do there.
 */
bool wg_plan_dormancy_is_a_guess(const struct wg_plan *plan);

#define WG_GENERATION_NUMBERS 64 /* maximum number of distinct generations */
/**
 * Returns the number of distinct generations, 3 to 64: as many as can appear in the period, up to 64. Numbers are
 * reused: generation g counts as g modulo this number. Generations alive at once are confused only if 64 apart, as
 * offspring of wild visitors and of the colony may be after a decade of summers.
 */
int wg_plan_generations(const struct wg_plan *plan);

#endif
