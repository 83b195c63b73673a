/**
 * What the keeper wants of the colony, and how sure he wants to be of it.
 *
 * A goal is met or not in each replicate, by its diary alone; how often it is
 * met over many replicates is counted by forecast/ (see odds.h). A plan carries
 * up to WG_MAX_GOALS of them; all together are met where each one is.
 */
#ifndef WG_COLONY_GOAL_H
#define WG_COLONY_GOAL_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#define WG_MAX_GOALS 8
/** The wanted chance of a goal that names none (judgement: nine years in ten). */
#define WG_GOAL_CHANCE 0.90

enum wg_goal_kind {
    WG_GOAL_SURVIVE, /* anything of the colony is alive at the end of day `by` */
    WG_GOAL_HARVEST, /* `amount` kg in each of `weeks` weeks running, the first of them over by the end of day `by` */
    WG_GOAL_ADULTS,  /* `amount` flies alive at the end of some day, day `by` the last */
    WG_GOAL_EGGS_TRAPPED,  /* `amount` eggs laid in egg traps from the first day to day `by` */
    WG_GOAL_TOTAL_HARVEST, /* `amount` kg from the first day to day `by` */
    WG_GOAL_COST,          /* heating paid from the first day to day `by` is at most `amount` */
    WG_GOAL_N_KINDS
};
/** As a scenario's key: "survive", "harvest", "adults", "eggs_trapped", "total_harvest", "cost". */
const char *wg_goal_name(enum wg_goal_kind kind);

struct wg_goal {
    enum wg_goal_kind kind;
    int32_t by;         /* a day of the period; its end counts */
    int weeks;          /* HARVEST: >= 1; by + 7 (weeks - 1) is within the period */
    double amount;      /* kg, individuals, eggs or money; a harvest's in kg a week */
    bool all_crawl_off; /* harvests: all crawl-off, caught or not; else what is taken out (scooped larvae too) */
    double chance;      /* wanted, inside 0..1 */
    int line;           /* in the scenario file, 0 if none */
};

struct wg_diary;
struct wg_plan;

/** True if the replicate of a finished diary met the goal. Days that were not lived (stopped_day) bring nothing. */
bool wg_goal_met(const struct wg_goal *goal, const struct wg_diary *diary);

/**
 * NULL, or what is wrong with the numbers of a goal in that plan, as one plain
 * sentence without capital and full stop (static text): day outside the period,
 * weeks that do not fit, a chance of 0 or 1, an amount below 0.
 */
const char *wg_goal_problem(const struct wg_goal *goal, const struct wg_plan *plan);

#endif
