/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/** The state of a running colony (private to the colony). */
#ifndef WG_COLONY_STATE_H
#define WG_COLONY_STATE_H

#include "colony/cohort.h"
#include "colony/colony.h"
#include "species/dormancy.h"

#include <stdbool.h>

/** A medium (substrate, ground or air) in a step: temperatures, and hazards common to all stages. */
struct wg_medium {
    const double *today_c, *yesterday_c; /* 24 hours each */
    int from, to;                        /* the step's hours of today */
    int known;                           /* the hazards are computed */
    struct wg_hours hours;
    double heat_acute, heat_chronic; /* hazards over the step */
};

/** What drives development: the stage's rate, that of prepupae in the dark, or heat that ends dormancy; or nothing. */
enum wg_pace { WG_PACE_STAGE, WG_PACE_DARK, WG_PACE_WAKING, WG_PACE_ASLEEP };

/**
 * Development and hazards of one stage in one medium over one step. Computed lazily (wg_conditions_update): most pools
 * are empty on most days; summing hours for empty pools took 10 % of an outdoor run (measured).
 */
struct wg_conditions {
    struct wg_medium *medium;
    enum wg_clock_stage stage;
    enum wg_pace pace;
    struct wg_conditions *awake; /* of dormant prepupae: the conditions of those awake in the same ground; else NULL */
    int known;
    double dx;                   /* development */
    double hazard[WG_CAUSE_AGE]; /* integrated over the step; hunger: of a full-grown larva */
    double shared;               /* their sum without cold and hunger, which differ within a pool of larvae */
    double cold_young, cold_old; /* larvae: hazards of the two cold curves; hazard[COLD] is then 0 */
};

/** Hazards of a cohort over a step: cold depends on its age, hunger on its size, the rest is common to the pool. */
struct wg_hazards {
    double cold, hunger, all;
};

/** Scratch for each cohort of a pool during a step; as many as the largest pool has cohorts. */
struct wg_cohort_step {
    double log_s;          /* ln of the stage clock's survival after the step */
    double log_stay;       /* ln of the conditional probability of staying in the stage */
    double share, reached; /* larvae: mean well-fed mass of stayers, and of stayers and leavers; of the final mass */
    double gain;           /* larvae: well-fed gain, share of the final mass */
    int64_t losses;        /* deaths and exits */
    struct wg_hazards hazards; /* not set where the pool shares its hazards */
};

/** The meal of the larvae of a bin in a step. */
struct wg_ration {
    double dx;      /* development at a full ration, for which colony->steps is filled */
    double final_g; /* final mass at this temperature and feed */
    double ration;  /* eaten / demanded, 0..1 */
};

/** Contents of a bin, kg of dry matter. Balance: given = eaten + microbes + usable left. */
struct wg_bin_contents {
    double usable_kg;     /* can still be eaten */
    double residue_kg;    /* not usable: stays until the keeper clears it */
    double frass_kg;      /* decomposes */
    double quality_kg;    /* usable_kg weighted by quality: mean quality = quality_kg / usable_kg */
    double conversion_kg; /* usable_kg weighted by conversion */
};

struct wg_bin_state {
    struct wg_pool egg, larva;
    struct wg_bin_contents pile;
    struct wg_flow hatched;          /* enters larva at the end of the step */
    struct wg_flow laid;             /* enters egg */
    double collect_share, give_back; /* in force today */
    double eaten_kg;                 /* dry, in the last step */
    struct wg_ration meal;           /* of this step */
    double yesterday_c[24];
    struct wg_medium substrate;
    struct wg_conditions egg_now, larva_now; /* of this step; larva_now includes the ration */
};

struct wg_place_colony {
    struct wg_place_state air;
    struct wg_place_settings settings;
    struct wg_place_hours hours; /* of today */
    struct wg_pool trap;         /* eggs in the egg traps */
    struct wg_pool prepupa, pupa, virgin, mated, spent, male;
    struct wg_pool asleep, waking; /* dormant prepupae, before and after heat counts */
    struct wg_flow crawled;        /* enters the ground, where dormancy is drawn */
    struct wg_flow resumed;        /* dormant -> prepupa */
    struct wg_flow pupated;        /* prepupa -> pupa */
    struct wg_flow emerged;        /* pupa -> adults */
    struct wg_flow trapped;        /* eggs laid in traps */
    double trap_share;             /* in force today */
    int spring_day;                /* first day of spring until the first fly emerges; else -1 */
    double air_yesterday_c[24], ground_yesterday_c[24];
    double air_days_c[7], ground_days_c[7]; /* daily means, [0] the latest whole day */
    struct wg_medium in_air, in_ground;
    struct wg_conditions trap_now, prepupa_now, waking_now, asleep_now, pupa_now, adult_now; /* of this step */
};

/** Balance of individuals and feed: sums over the replicate. */
struct wg_ledger {
    int64_t started, laid, wild; /* in */
    int64_t dead[WG_N_STAGES][WG_N_CAUSES];
    int64_t taken, flown;                                  /* out: by the keeper; flies out of reach */
    double feed_given_kg, feed_eaten_kg, feed_microbes_kg; /* dry, usable */
};

/** An action that waits for its condition, which is judged in the morning. */
struct wg_waiting {
    bool is_due, is_done; /* today; in this replicate, today included */
};

struct wg_colony {
    const struct wg_world *world;
    struct wg_bin_state *bin;
    struct wg_place_colony *place;
    struct wg_cohort_step *steps; /* scratch */
    int step_capacity;
    struct wg_ledger ledger;
    gsl_rng *chance, *mishap;         /* borrowed for the replicate */
    struct wg_diary *diary;           /* borrowed */
    const struct wg_weather *weather; /* borrowed for the replicate */
    struct wg_waiting *waiting;       /* of each action, for those with a condition */
    struct wg_sky sky;
    double sky_days_c[7];   /* daily means outdoors, [0] the latest whole day */
    int day;                /* of the period, from 0 */
    int from, to;           /* hours of the step: from..to-1 */
    double dt_day;          /* length of the step */
    bool power_out[24];     /* today's hours without mains */
    int64_t power_out_to_h; /* end of the latest cut, hours since the first day's start */
    int raid_today;         /* drawn for today */
    int64_t alive;          /* at the end of the last step */
    int overgrown;
};

/* ---- the parts of a step, in the order of step.c ---- */

/** Computes temperatures and energy of all places. */
void wg_step_shelter(struct wg_colony *colony);
/** Sets the step's temperatures and invalidates all cached conditions. */
void wg_step_conditions(struct wg_colony *colony);
/** Judges today's conditions for heaters, mats, lamps and actions. */
void wg_step_conditions_of_day(struct wg_colony *colony);
/** True if a condition holds this morning in place p. */
bool wg_when_holds(const struct wg_colony *colony, int p, const struct wg_when *when);
/** Applies today's changes of settings, before wg_step_shelter(), which depends on them. */
void wg_step_settings(struct wg_colony *colony);
/** Applies the keeper's other actions of today. May grow pools. */
int wg_step_actions(struct wg_colony *colony, struct wg_error *err);
/** Advances eggs and larvae of all bins and traps; crawl-off. */
void wg_step_bins(struct wg_colony *colony);
/** Advances prepupae, dormant prepupae and pupae. */
void wg_step_ground(struct wg_colony *colony);
/** Advances flies: ageing, laying, mating, wild visitors, emergence. */
void wg_step_adults(struct wg_colony *colony);
/** Adds individuals that changed stage to the pools of the next, at half a step. */
void wg_step_enter(struct wg_colony *colony);
/** Adds a flow of prepupae to the ground of place p at half a step of these conditions; draws which go dormant. */
void wg_enter_ground(struct wg_colony *colony, int p, struct wg_flow *flow, struct wg_conditions *asleep_now,
                     struct wg_conditions *prepupa_now);
/** Raids by wild animals. */
void wg_step_mishaps(struct wg_colony *colony);
/** Draws the day's mishaps: always the same number of deviates, so that compared colonies have the same mishaps. */
void wg_mishaps_draw(struct wg_colony *colony);
/** Counts all individuals (wg_step_record() has at the end of a day); asserts the balances of individuals and feed. */
void wg_step_ledger(struct wg_colony *colony);
/** Returns the number of individuals in all pools. */
int64_t wg_colony_count(const struct wg_colony *colony);
/** Returns the number that died, were taken out or emigrated. */
int64_t wg_ledger_out(const struct wg_ledger *ledger);
/** Writes the day into the diary. */
void wg_step_record(struct wg_colony *colony);

/* ---- shared by them ---- */

/** Computes conditions unless already computed in this step. */
void wg_conditions_update(struct wg_conditions *conditions, const struct wg_species *species);
/** Mean of the 24 h that end at hour `to` of today. */
double wg_mean24(const double today_c[24], const double yesterday_c[24], int to);

/** Deaths of a pool in a step, to be split by cause. */
struct wg_death_tally {
    int64_t dead;
    double shared, cold, hunger; /* weights of the common hazards together, of cold and of hunger */
};
/** Splits the deaths by cause (exact where all cohorts share the hazards) and adds them to ledger and diary. */
void wg_ledger_add_tally(struct wg_colony *colony, const struct wg_death_tally *tally,
                         const struct wg_conditions *conditions, enum wg_stage stage);
/** Adds deaths of a known cause. */
void wg_ledger_add_deaths(struct wg_colony *colony, enum wg_stage stage, enum wg_cause cause, int64_t dead);

/** Fills colony->steps with survival and exit probability of each cohort for a development dx. */
void wg_pool_predict(struct wg_colony *colony, const struct wg_pool *pool, const struct wg_clock *clock, double dx);
/** Adds the well-fed masses of larvae; call after wg_pool_predict(). */
void wg_pool_predict_growth(struct wg_colony *colony, const struct wg_pool *pool, double dx);
/**
 * Draws deaths and exits of every cohort of a pool and advances the rest by a step. Exits go to `flow` by lineage, at
 * their mean mass; flow == NULL: they die of old age. With a meal (else NULL) larvae grow: exits have the final mass as
 * fed, stayers the mean at their x; exits lighter than pupation_mass_g die of hunger.
 */
void wg_pool_advance(struct wg_colony *colony, struct wg_pool *pool, enum wg_stage stage, const struct wg_clock *clock,
                     struct wg_conditions *conditions, const struct wg_ration *meal, struct wg_flow *flow);
/** Moves a flow into a pool, with half a step's hazard and development from start_x. */
void wg_flow_enter(struct wg_colony *colony, struct wg_flow *flow, struct wg_pool *pool, enum wg_stage stage,
                   const struct wg_clock *clock, struct wg_conditions *conditions, double start_x);

/** Lists all pools of a place. */
#define WG_PLACE_POOLS 9
void wg_place_pools(const struct wg_place_colony *place, const struct wg_pool *pool[WG_PLACE_POOLS]);
/** Returns the name of pool i, in the same order: "trap", "prepupa", "asleep", ... */
const char *wg_place_pool_name(int i);
/** Pushes a daily mean to the front of the last seven. */
void wg_days_push(double days_c[7], double mean_c);
/** Makes the finished day yesterday: its hours and daily means. */
void wg_place_push_history(struct wg_place_colony *place);

/** Returns the first bin of a place and sets their number (bins are ordered by place). */
int wg_place_bins(const struct wg_plan *plan, int place, int *n_bins);
/** True for a place that wild animals and wild flies can enter. */
int wg_place_is_open(const struct wg_plan *plan, int place);
/** Mean quality and conversion of the feed in a bin; 1 without feed. */
double wg_bin_feed_quality(const struct wg_plan *plan, const struct wg_bin_contents *pile);
double wg_bin_feed_conversion(const struct wg_plan *plan, const struct wg_bin_contents *pile);
/**
 * Dry feed of conversion 1 that the larvae of a bin will eat in `days` days that are as warm as yesterday, kg, with what
 * microbes will take of it meanwhile.
 */
double wg_bin_appetite_kg(const struct wg_colony *colony, int b, double quality, int days);
/** True if a bin of the place contains feed, or larvae ate some in the last 24 hours. */
int wg_place_attracts(const struct wg_colony *colony, int place);
/** Distributes mothers or hatchlings over the bins of a place by attraction; evenly where no bin attracts. */
void wg_distribute_over_bins(struct wg_colony *colony, int place, int64_t count, int64_t *out);

#endif
