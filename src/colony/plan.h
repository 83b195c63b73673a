/**
 * The plan: a scenario resolved to numbers, in core units, ready to simulate.
 *
 * Data only. io/ makes it from a YAML file, tests make it by hand, the colony
 * applies it. Units: degC, day, individual, g for insects, kg for feed, m, W, J.
 */
#ifndef WG_COLONY_PLAN_H
#define WG_COLONY_PLAN_H

#include "base/limits.h"
#include "climate/weather.h"
#include "colony/feed.h"
#include "colony/goal.h"
#include "housing/housing.h"
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
};

struct wg_bin_plan {
    char name[WG_NAME_SIZE];
    int place; /* bins are ordered by place */
    struct wg_bin_spec spec;
};

/** What an action does. The order of the enum is the order in which actions of one day are done. */
enum wg_action_kind {
    WG_ACTION_SET,   /* change a setting: from the first hour of its day on */
    WG_ACTION_CLEAR, /* take out residue */
    WG_ACTION_MOVE, /* eggs, larvae or prepupae to another bin or place; all moves of a day: of the morning's animals */
    WG_ACTION_SCOOP,      /* take larvae out */
    WG_ACTION_PULL_TRAPS, /* eggs from the traps to a bin, or away */
    WG_ACTION_START,      /* put in a starter */
    WG_ACTION_FEED,
    WG_ACTION_COLLECT,      /* standing: catch crawl-off */
    WG_ACTION_LAY_IN_TRAPS, /* standing: traps are out */
    WG_N_ACTIONS
};
/** "change", "clear residue", "move", "scoop larvae", "pull traps", "starter", "feed", "collect crawl-off", "set traps" */
const char *wg_action_name(enum wg_action_kind kind);

/** What is put in or moved. */
enum wg_movable { WG_MOVABLE_EGGS, WG_MOVABLE_LARVAE, WG_MOVABLE_PREPUPAE };

enum wg_setting_key { WG_SET_HEATER, WG_SET_SET_POINT, WG_SET_MAT, WG_SET_MAT_SET_POINT, WG_SET_BIN_U, WG_SET_BIN_LID };

struct wg_action {
    enum wg_action_kind kind;
    int32_t from, to; /* days, both included; once: from == to */
    int32_t every;    /* days between repeats counted from `from`, >= 1 */
    int line;         /* in the scenario file, 0 if none */
    int index;        /* set by wg_plan_sort(): the place before the sort, so that equals keep their order */
    int bin, place;   /* target, -1 where it does not apply */
    union {
        /* All live the whole first day. Larvae are at wg_larva_x_at_age() (those that need less are not among them) and weigh
         * final_mass_g x wg_cohort_mean_share(x). Prepupae weigh final_mass_g, and go dormant or not as any that enter the
         * ground. */
        struct {
            enum wg_movable what;
            double age_days;
            int64_t count;
            double mass_kg;
        } start; /* count >= 0, or -1 and mass_kg */
        struct {
            int type;
            double wet_kg;
        } feed; /* per event */
        struct {
            double share, give_back;
        } collect; /* of crawl-off; give_back: of the caught */
        struct {
            double share;
        } traps; /* WG_ACTION_LAY_IN_TRAPS: share laid in traps */
        struct {
            int put_in;
        } pull; /* bin, or -1: carried off */
        struct {
            double mass_kg, share;
        } scoop; /* mass, or -1 and share of the larvae */
        struct {
            enum wg_movable what;
            int to_bin, to_place;
            double share;
        } move; /* from .bin (larvae) or .place (prepupae, with pupae) */
        struct {
            enum wg_setting_key key;
            double value;
        } set;
        struct {
            double share;
        } clear;
    } as;
};

struct wg_mishaps {
    double power_cuts_per_year, power_cut_hours; /* from and for whole hours: the length is rounded to them */
    double raids_per_year, raid_share;           /* of the larvae in places open to wild animals */
};

struct wg_plan {
    char title[128];
    int32_t first_day, last_day; /* both simulated */
    struct wg_climate_spec climate;
    int n_places, n_bins, n_actions;
    struct wg_place_plan *places;
    struct wg_bin_plan *bins;
    struct wg_action *actions; /* sorted by wg_plan_sort() */
    bool feed_unlimited;
    double unlimited_quality; /* quality of unlimited feed, default 1 */
    struct wg_mishaps mishaps;
    double wild_peak_per_day; /* gravid wild females a day at the height of the season, per place open to them */
    int n_goals;
    struct wg_goal goal[WG_MAX_GOALS]; /* what is wanted: changes nothing of what happens */
    struct wg_species species;
    char numbers[16]; /* "keepers" | "laboratory" */
    int64_t replicates;
    uint64_t seed;
    int steps_per_day; /* a divisor of 24; a scenario has 1, 2, 4 or 24 */
};

/**
 * 0, or WG_ERR_INPUT with the first thing that is wrong: which member, its value and what it may be. wg_world_init() asks
 * this of every plan, so one made in memory can be wrong without harm: what passes can be lived. It looks at
 * everything but the days of a weather record, which wg_climate_new() does. Actions outside the period are allowed and
 * never done.
 */
int wg_plan_check(const struct wg_plan *plan, struct wg_error *err);
/** Sorts actions by kind, then first day, then line, then as they stood: the one order in which those of a day are applied. */
void wg_plan_sort(struct wg_plan *plan);
/** Frees places, bins, actions (not the climate's record, which is borrowed). Safe on a zeroed plan. */
void wg_plan_free(struct wg_plan *plan);

/** What draws power. */
enum wg_source_kind { WG_SOURCE_HEATER, WG_SOURCE_MAT, WG_SOURCE_LAMPS };
struct wg_source {
    enum wg_source_kind kind;
    const char *where;         /* name of its place or bin; borrowed */
    bool has_power, has_price; /* are they known? */
};
/** Source number i, from 0: places first, each its heater and lamps, then the mats; false when there is none. */
bool wg_plan_source(const struct wg_plan *plan, int i, struct wg_source *source);
/** "heater", "mat", "lamps" */
const char *wg_source_name(enum wg_source_kind kind);
/** True if anything draws power: heaters, mats, lamps. */
bool wg_plan_draws_power(const struct wg_plan *plan);
/** True if there is one of the kind. */
bool wg_plan_has_source(const struct wg_plan *plan, enum wg_source_kind kind);
/** True if nothing draws power of which power or price are not known; else *first is the first such. */
bool wg_plan_has_cost(const struct wg_plan *plan, struct wg_source *first);
/** True if anything is taken out: crawl-off collected or larvae scooped. */
bool wg_plan_takes_out(const struct wg_plan *plan);
/** Wet weight of all feed the plan gives in its period, kg. */
double wg_plan_feed_kg(const struct wg_plan *plan);

/** True on the first day of spring as emergence is counted: 1 February north of the equator, 1 August south; never in a laboratory. */
bool wg_spring_begins(const struct wg_plan *plan, int32_t day);

/** How much of a spring lies in a period. */
enum wg_spring_coverage {
    WG_SPRING_NONE,    /* not even its first day */
    WG_SPRING_TOO_FEW, /* too little to tell when its flies come out */
    WG_SPRING_CUT,     /* as far as the period goes */
    WG_SPRING_WHOLE
};

/** The spring whose flies are counted, from its first to its last day that is seen. */
struct wg_spring {
    enum wg_spring_coverage seen;
    int32_t from, to;
};

/**
 * Of a period: its last whole spring (1 February to 31 July, in the south 1 August to 31 January); if it has none, the one
 * that its end cuts, which tells something once four of the six months are seen (judgement).
 */
struct wg_spring wg_spring_within(int32_t first_day, int32_t last_day, bool southern);
/** Of a plan; a laboratory has none. */
struct wg_spring wg_plan_spring(const struct wg_plan *plan);

/**
 * True where the model's sleep before winter is a guess: within 15 degrees of the equator (judgement) the day is about as long
 * all year, and if that length lets prepupae go dormant they do so at any season. What they do there nobody has published.
 */
bool wg_plan_sleep_is_a_guess(const struct wg_plan *plan);

#define WG_GENERATION_NUMBERS 64 /* the most by which generations are told apart */
/**
 * By how many numbers generations are told apart, at least 3 and at most 64: as many as can appear in the period, if those
 * are fewer. Numbers are used again: generation g is counted under the remainder of g by this number. Two that live at once
 * are taken for one only where they are 64 apart, as the children of wild visitors and the colony's own may be after a
 * decade of summers.
 */
int wg_plan_generations(const struct wg_plan *plan);

#endif
