/**
 * The state of a running colony (private to the colony).
 */
#ifndef WG_COLONY_STATE_H
#define WG_COLONY_STATE_H

#include "colony/cohort.h"
#include "colony/colony.h"
#include "species/dormancy.h"

#include <stdbool.h>

/** What the hours of a step at one home mean for every stage alike. */
struct wg_medium {
    const double *today_c, *yesterday_c; /* 24 hours each */
    int from, to;                        /* the step's hours of today */
    int known;                           /* the rest was worked out */
    struct wg_hours hours;
    double heat_acute, heat_chronic; /* hazards over the step */
};

/** By what development goes. */
enum wg_pace { WG_PACE_STAGE, WG_PACE_DARK, WG_PACE_WAKING, WG_PACE_ASLEEP };

/**
 * Development and hazards of one stage at one home over one step. Worked out when first asked in the step
 * (wg_conditions_update): at most homes and days nobody is there, and hourly sums for nobody took a tenth of the time of a run
 * outdoors (measured).
 */
struct wg_conditions {
    struct wg_medium *home;
    enum wg_clock_stage stage;
    enum wg_pace pace;
    struct wg_conditions *alike; /* same home and stage, another pace: has these hazards; or NULL */
    int known;
    double dx;                   /* development */
    double hazard[WG_CAUSE_AGE]; /* integrated over the step; hunger: of a full-grown larva */
    double shared;               /* their sum without cold and hunger, which differ within a pool of larvae */
    double cold_young, cold_old; /* larvae: the two cold lines; hazard[COLD] is then 0 */
};

/** What a cohort is up against in a step: cold goes with its age, hunger with its size, the rest is shared. */
struct wg_hazards {
    double cold, hunger, all; /* hazards */
};

/** What a step means to each cohort of the pool that lives it: scratch, one for every cohort of the largest pool. */
struct wg_cohort_step {
    double log_s;          /* ln of the stage clock's survival after the step */
    double log_stay;       /* ln of the share of those there before who are not done */
    double share, reached; /* larvae: mean weight of those who stay, and of all with those who leave, of full-grown */
    double gain;           /* larvae: what a good meal would add to that */
    int64_t gone;          /* dead or done */
    struct wg_hazards hazards; /* not written where a pool shares one */
};

/** What the larvae of a bin get in a step. */
struct wg_ration {
    double dx;      /* the development that the fates were looked up for: that of a full ration */
    double final_g; /* full-grown mass at this temperature and feed */
    double ration;  /* eaten / wanted, 0..1 */
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
    struct wg_pool asleep, waking; /* dormant prepupae: before and after heat counts */
    struct wg_flow crawled;        /* enters the ground: dormancy is drawn then */
    struct wg_flow resumed;        /* dormant -> prepupa */
    struct wg_flow pupated;        /* prepupa -> pupa */
    struct wg_flow emerged;        /* pupa -> adults */
    struct wg_flow trapped;        /* eggs laid in traps */
    double trap_share;             /* in force today */
    int spring_day;                /* the day on which spring began, while no fly has come out since; -1: none */
    double air_yesterday_c[24], ground_yesterday_c[24];
    double air_days_c[7], ground_days_c[7]; /* daily means, [0] the latest whole day */
    struct wg_medium in_air, in_ground;
    struct wg_conditions trap_now, prepupa_now, waking_now, asleep_now, pupa_now, adult_now; /* of this step */
};

/** Where individuals came from and went: sums over the replicate. */
struct wg_ledger {
    int64_t started, laid, wild; /* in */
    int64_t dead[WG_N_STAGES][WG_N_CAUSES];
    int64_t taken, flown;                                  /* out: by the keeper; flies out of reach */
    double feed_given_kg, feed_eaten_kg, feed_microbes_kg; /* dry, usable */
};

struct wg_colony {
    const struct wg_world *world;
    struct wg_bin_state *bin;
    struct wg_place_colony *place;
    struct wg_cohort_step *steps; /* scratch */
    int step_capacity;
    struct wg_ledger ledger;
    gsl_rng *chance, *mishap; /* borrowed for the replicate */
    struct wg_diary *diary;   /* borrowed */
    struct wg_sky sky;
    double sky_days_c[7];   /* daily means outdoors, [0] the latest whole day */
    int day;                /* of the period, from 0 */
    int from, to;           /* hours of the step: from..to-1 */
    double dt_day;          /* its length */
    bool power_out[24];     /* the hours of today without mains */
    int64_t power_out_to_h; /* end of the latest cut, hours since the first day's start */
    int raid_today;         /* drawn for today */
    int64_t alive;          /* at the end of the last step */
    int overgrown;
};

/* ---- the parts of a step, in the order of step.c ---- */

/** The hours of all places: temperatures, energy. */
void wg_step_shelter(struct wg_colony *colony);
/** Another step: what its temperatures mean is not known anywhere. */
void wg_step_conditions(struct wg_colony *colony);
/** The settings that the keeper changes today: before the hours of the places, which go by them. */
void wg_step_settings(struct wg_colony *colony);
/** What else the keeper does today. May grow pools. */
int wg_step_actions(struct wg_colony *colony, struct wg_error *err);
/** Eggs and larvae of all bins and traps; crawl-off. */
void wg_step_bins(struct wg_colony *colony);
/** Prepupae, dormant prepupae and pupae. */
void wg_step_ground(struct wg_colony *colony);
/** Flies: life, mating, laying, wild visitors. */
void wg_step_adults(struct wg_colony *colony);
/** Those who changed stage enter the next at half a step. */
void wg_step_enter(struct wg_colony *colony);
/** A flow of larvae reaches the ground of place p, half a step of these conditions old; some go dormant for the winter. */
void wg_enter_ground(struct wg_colony *colony, int p, struct wg_flow *flow, struct wg_conditions *asleep_now,
                     struct wg_conditions *prepupa_now);
/** Raids by wild animals. */
void wg_step_mishaps(struct wg_colony *colony);
/** Draws the day's mishaps: always the same number of deviates, so that compared colonies share their luck. */
void wg_mishaps_draw(struct wg_colony *colony);
/** Everybody alive, at the end of a day as wg_step_record() counted them; individuals and feed balance: asserted. */
void wg_step_ledger(struct wg_colony *colony);
/** Everybody in all pools. */
int64_t wg_colony_count(const struct wg_colony *colony);
/** Everybody who died, was taken or flew off. */
int64_t wg_ledger_out(const struct wg_ledger *ledger);
/** The day into the diary. */
void wg_step_record(struct wg_colony *colony);

/* ---- shared by them ---- */

/** Works conditions out, if that was not done in this step. */
void wg_conditions_update(struct wg_conditions *conditions, const struct wg_species *species);
/** Mean of the 24 h that end at hour `to` of today. */
double wg_mean24(const double today_c[24], const double yesterday_c[24], int to);

/** Deaths of a pool in a step, collected to be shared out over causes. */
struct wg_death_tally {
    int64_t dead;
    double shared, cold, hunger; /* weights of the causes: of all that share the hazards together, and of these two */
};
/** Shares the deaths out over causes (exact where all cohorts share the hazards) and books them. */
void wg_ledger_add_tally(struct wg_colony *colony, const struct wg_death_tally *toll,
                         const struct wg_conditions *conditions, enum wg_stage stage);
/** Books individuals taken away by the keeper. */
void wg_ledger_add_taken(struct wg_colony *colony, int64_t count);
/** Books deaths of one known cause. */
void wg_ledger_add_deaths(struct wg_colony *colony, enum wg_stage stage, enum wg_cause cause, int64_t dead);

/** Looks up what growth the fates bring to the larvae of a pool over a step's development. */
void wg_pool_predict(struct wg_colony *colony, const struct wg_pool *pool, const struct wg_clock *clock, double dx);
/** The same for what they weigh: after wg_pool_predict(). */
void wg_pool_predict_growth(struct wg_colony *colony, const struct wg_pool *pool, double dx);
/**
 * Death and development of every cohort of a pool over a step: those done go
 * to `done` by generation (at their mean mass); done == NULL: they die of old age.
 * `meal`, if not NULL, makes them grow: those done leave full-grown as fed, the rest weigh the mean of those still there. Larvae
 * done that weigh less than pupation_mass_g die of hunger.
 */
void wg_pool_advance(struct wg_colony *colony, struct wg_pool *pool, enum wg_stage stage, const struct wg_clock *clock,
                     struct wg_conditions *conditions, const struct wg_ration *meal, struct wg_flow *done);
/** The flow enters a pool: half a step's hazard and development from start_x; the flow is emptied. */
void wg_flow_enter(struct wg_colony *colony, struct wg_flow *flow, struct wg_pool *pool, enum wg_stage stage,
                   const struct wg_clock *clock, struct wg_conditions *conditions, double start_x);

/** All pools of a place, for those who treat them alike. */
#define WG_PLACE_POOLS 9
void wg_place_pools(const struct wg_place_colony *place, const struct wg_pool *pool[WG_PLACE_POOLS]);
/** "trap", "prepupa", "asleep", ... in the same order. */
const char *wg_place_pool_name(int i);
/** Moves a list of daily means on by one day. */
void wg_days_push(double days_c[7], double mean_c);
/** The finished day becomes yesterday: daily means and hours move on. */
void wg_place_push_history(struct wg_place_colony *place);

/** First bin of a place and how many (bins are ordered by place). */
int wg_place_bins(const struct wg_plan *plan, int place, int *n_bins);
/** True where wild animals and wild flies come and go. */
int wg_place_is_open(const struct wg_plan *plan, int place);
/** Mean quality and conversion of the feed that larvae find in a bin; 1 where none lies. */
double wg_bin_feed_quality(const struct wg_plan *plan, const struct wg_bin_contents *pile);
double wg_bin_feed_conversion(const struct wg_plan *plan, const struct wg_bin_contents *pile);
/** True where feed lies in a bin of the place, or was eaten in the last 24 hours. */
int wg_place_smells(const struct wg_colony *colony, int place);
/** Mothers or hatchlings shared out over the bins of a place by what each smells of; evenly where nothing smells. */
void wg_share_over_bins(struct wg_colony *colony, int place, int64_t count, int64_t *out);

#endif
