/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The diary: daily series and outcomes of one replicate.
 *
 * One table gives every series with its dimensions, unit and long name; the result
 * file, the JSON and the tests loop over it. To add an output, add a row here and a
 * statement where the colony records it.
 */
#ifndef WG_COLONY_DIARY_H
#define WG_COLONY_DIARY_H

#include "base/error.h"
#include "plan/plan.h"
#include "species/death.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum wg_series_dims { WG_PER_DAY, WG_PER_DAY_STAGE, WG_PER_DAY_PLACE, WG_PER_DAY_BIN, WG_PER_DAY_CAUSE };

/* C type, name, dimensions, unit (udunits), long name */
#define WG_DIARY_TABLE(X)                                                                                              \
    X(int64_t, count, WG_PER_DAY_STAGE, "1", "individuals alive at the end of the day, by stage")                      \
    X(int64_t, eggs_laid, WG_PER_DAY, "1", "eggs laid by the colony's flies on the day")                               \
    X(int64_t, eggs_trapped, WG_PER_DAY, "1",                                                                          \
      "eggs laid in egg traps on the day, by the colony's flies and wild ones")                                        \
    X(int64_t, eggs_in_traps, WG_PER_DAY_PLACE, "1", "eggs in the egg traps at the end of the day")                    \
    X(int64_t, animals, WG_PER_DAY_PLACE, "1", "individuals of any stage in the place at the end of the day")          \
    X(int64_t, adults_emerged, WG_PER_DAY_PLACE, "1", "adults that emerged on the day and stayed")                     \
    X(int64_t, spring_flies, WG_PER_DAY_PLACE, "1",                                                                    \
      "spring flies: adults that emerged on the day, stayed, and had overwintered as immatures")                       \
    X(int64_t, crawl_off_count, WG_PER_DAY, "1", "prepupae that left the bins on the day")                             \
    X(double, crawl_off_mass, WG_PER_DAY, "kg", "fresh mass of the prepupae that left the bins on the day")            \
    X(double, bin_crawl_off, WG_PER_DAY_BIN, "kg", "fresh mass of the prepupae that left the bin on the day")          \
    X(double, grub_mass, WG_PER_DAY, "g", "mean fresh mass of a prepupa that left the bins on the day")                \
    X(int64_t, harvest_count, WG_PER_DAY, "1", "prepupae and larvae taken out on the day")                             \
    X(double, harvest_mass, WG_PER_DAY, "kg", "fresh mass of prepupae and larvae taken out on the day")                \
    X(double, asked_not_there, WG_PER_DAY, "kg",                                                                       \
      "fresh mass by which larvae scooped on the day fell short of the plan")                                          \
    X(double, larval_mass, WG_PER_DAY, "kg", "fresh mass of all larvae at the end of the day")                         \
    X(int64_t, bin_larvae, WG_PER_DAY_BIN, "1", "larvae in the bin at the end of the day")                             \
    X(double, bin_larval_mass, WG_PER_DAY_BIN, "kg", "fresh mass of the larvae in the bin at the end of the day")      \
    X(double, feed_given, WG_PER_DAY_BIN, "kg", "dry matter of the feed given on the day")                             \
    X(double, feed_fresh, WG_PER_DAY_BIN, "kg", "fresh weight of the feed given on the day; 0 if feed is unlimited")   \
    X(double, feed_demand, WG_PER_DAY_BIN, "kg", "dry feed the larvae could have eaten on the day")                    \
    X(double, feed_eaten, WG_PER_DAY_BIN, "kg", "dry feed eaten by larvae on the day")                                 \
    X(double, feed_microbes, WG_PER_DAY_BIN, "kg", "dry feed lost to microbes on the day")                             \
    X(double, feed_left, WG_PER_DAY_BIN, "kg", "dry usable feed left in the bin at the end of the day")                \
    X(double, residue, WG_PER_DAY_BIN, "kg", "dry frass and unusable matter in the bin at the end of the day")         \
    X(double, outdoor_temperature, WG_PER_DAY, "degC", "mean outdoor air temperature of the day")                      \
    X(double, air_temperature, WG_PER_DAY_PLACE, "degC", "mean air temperature of the place on the day")               \
    X(double, air_low, WG_PER_DAY_PLACE, "degC", "lowest hourly air temperature of the place on the day")              \
    X(double, ground_temperature, WG_PER_DAY_PLACE, "degC", "mean temperature of the pupation ground on the day")      \
    X(double, bin_temperature, WG_PER_DAY_BIN, "degC", "mean substrate temperature of the bin on the day")             \
    X(double, bin_high, WG_PER_DAY_BIN, "degC", "highest hourly substrate temperature of the bin on the day")          \
    X(double, heater_energy, WG_PER_DAY_PLACE, "kW h", "energy bought for heater, mats and lamps on the day")          \
    X(double, heater_cost, WG_PER_DAY_PLACE, "1",                                                                      \
      "cost of the energy bought on the day, in the currency of the plan; missing if part of it has no price")         \
    X(double, heater_short, WG_PER_DAY_PLACE, "W",                                                                     \
      "largest hourly shortfall of the heater on the day: power it lacked to hold its set point, heat of larvae not "  \
      "counted")                                                                                                       \
    X(double, mat_short, WG_PER_DAY_BIN, "W",                                                                          \
      "largest hourly shortfall of the mat on the day: power it lacked to hold its set point, heat of larvae not "     \
      "counted")                                                                                                       \
    X(int64_t, actions_done, WG_PER_DAY, "1", "actions of the keeper on the day, without standing orders")             \
    X(int64_t, put_in, WG_PER_DAY, "1", "individuals added as starters on the day")                                    \
    X(int64_t, moved, WG_PER_DAY_STAGE, "1", "individuals moved by the keeper on the day, by stage")                   \
    X(int64_t, wild_eggs, WG_PER_DAY, "1", "eggs laid by wild visitors on the day")                                    \
    X(int64_t, eggs_taken, WG_PER_DAY, "1", "eggs carried off on the day, in egg traps that were pulled")              \
    X(int64_t, flown, WG_PER_DAY, "1", "adults that emerged on the day and flew away")                                 \
    X(int64_t, deaths, WG_PER_DAY_CAUSE, "1", "deaths on the day, by cause")                                           \
    X(double, generations_at_once, WG_PER_DAY, "1",                                                                    \
      "effective number of generations alive at the end of the day, eggs not counted; 0 if none is")                   \
    X(double, power_out_hours, WG_PER_DAY, "h", "hours without mains power on the day")

/** How quantiles over replicates treat an outcome that did not occur (NaN): as later than all others, or omitted. */
enum wg_missing_rule { WG_MISSING_LATER, WG_MISSING_OMITTED };

/* The outcomes of a plan that keeps accounts (plan/accounts.h), in the order of enum wg_account. */
#define WG_MONEY_TABLE(X)                                                                                              \
    X(income_larvae, WG_MISSING_OMITTED, "1", "income from larvae and prepupae taken out over the period")             \
    X(income_residue, WG_MISSING_OMITTED, "1", "income from residue cleared over the period")                          \
    X(income_tipping, WG_MISSING_OMITTED, "1", "tipping fees for feed over the period")                                \
    X(cost_energy, WG_MISSING_OMITTED, "1", "cost of the energy bought over the period, as far as it has a price")     \
    X(cost_feed, WG_MISSING_OMITTED, "1", "cost of feed over the period")                                              \
    X(cost_starters, WG_MISSING_OMITTED, "1", "cost of starters over the period")                                      \
    X(cost_insulation, WG_MISSING_OMITTED, "1", "share of the cost of insulation that falls to the period")            \
    X(balance, WG_MISSING_OMITTED, "1",                                                                                \
      "income minus costs over the period, in the currency of the plan; what has no price counts as free")

/** Outcomes of one replicate. Dates are days since the period's first day; NaN: did not occur. */
/* name, rule for missing values, unit, long name */
#define WG_OUTCOME_TABLE(X)                                                                                            \
    X(survived, WG_MISSING_OMITTED, "1", "1 if any individual is alive at the end, else 0")                            \
    X(first_adult_day, WG_MISSING_LATER, "day", "first day with an adult")                                             \
    X(first_egg_day, WG_MISSING_LATER, "day", "first day with eggs laid by the colony")                                \
    X(first_crawl_off_day, WG_MISSING_LATER, "day", "first day with crawl-off")                                        \
    X(first_batch_10, WG_MISSING_LATER, "day", "day by which 10 % of the first batch had crawled off")                 \
    X(first_batch_50, WG_MISSING_LATER, "day", "day by which 50 % of the first batch had crawled off")                 \
    X(second_batch_10, WG_MISSING_LATER, "day", "day by which 10 % of the second batch had crawled off")               \
    X(second_batch_50, WG_MISSING_LATER, "day", "day by which 50 % of the second batch had crawled off")               \
    X(third_batch_10, WG_MISSING_LATER, "day", "day by which 10 % of the third batch had crawled off")                 \
    X(third_batch_50, WG_MISSING_LATER, "day", "day by which 50 % of the third batch had crawled off")                 \
    X(crawl_off_10, WG_MISSING_LATER, "day", "day by which 10 % of the first year's crawl-off, by mass, had occurred") \
    X(crawl_off_50, WG_MISSING_LATER, "day", "day by which 50 % of the first year's crawl-off, by mass, had occurred") \
    X(first_100g_day, WG_MISSING_LATER, "day", "first day with more than 100 g of crawl-off")                          \
    X(days_over_100g, WG_MISSING_OMITTED, "1", "number of days with more than 100 g of crawl-off")                     \
    X(spring_emergence_10, WG_MISSING_OMITTED, "day", "day by which 10 % of the spring flies had emerged")             \
    X(spring_emergence_50, WG_MISSING_OMITTED, "day", "day by which 50 % of the spring flies had emerged")             \
    X(spring_emergence_90, WG_MISSING_OMITTED, "day", "day by which 90 % of the spring flies had emerged")             \
    X(peak_larvae, WG_MISSING_OMITTED, "1", "largest number of larvae at the end of a day")                            \
    X(peak_larvae_day, WG_MISSING_OMITTED, "day", "day with the largest number of larvae")                             \
    X(lowest_count, WG_MISSING_OMITTED, "1",                                                                           \
      "smallest number of living individuals at the end of a day, from the first day with any")                        \
    X(best_week_crawl_off, WG_MISSING_OMITTED, "kg", "largest fresh mass of crawl-off in seven consecutive days")      \
    X(best_week_harvest, WG_MISSING_OMITTED, "kg", "largest fresh mass taken out in seven consecutive days")           \
    X(weeks_without_harvest, WG_MISSING_OMITTED, "week", "weeks of the period without crawl-off")                      \
    X(total_crawl_off_mass, WG_MISSING_OMITTED, "kg", "fresh mass of crawl-off over the period")                       \
    X(mean_grub_mass, WG_MISSING_OMITTED, "mg", "mean fresh mass of a prepupa that left the bins over the period")     \
    X(total_harvest_mass, WG_MISSING_OMITTED, "kg", "fresh mass taken out over the period")                            \
    X(total_asked_not_there, WG_MISSING_OMITTED, "kg", "fresh mass by which scooped larvae fell short of the plan")    \
    X(days_short_of_larvae, WG_MISSING_OMITTED, "1", "number of days on which larvae scooped fell short of the plan")  \
    X(total_eggs_laid, WG_MISSING_OMITTED, "1", "eggs laid by the colony's flies over the period")                     \
    X(total_feed_given, WG_MISSING_OMITTED, "kg", "dry matter of the feed given over the period")                      \
    X(total_feed_fresh, WG_MISSING_OMITTED, "kg",                                                                      \
      "fresh weight of the feed given over the period; 0 if feed is unlimited")                                        \
    X(total_feed_eaten, WG_MISSING_OMITTED, "kg", "dry feed eaten by larvae over the period")                          \
    X(total_heater_energy, WG_MISSING_OMITTED, "kW h", "energy bought for heaters, mats and lamps over the period")    \
    X(total_heater_cost, WG_MISSING_OMITTED, "1",                                                                      \
      "cost of the energy bought over the period, in the currency of the plan; missing if part of it has no price")    \
    X(heater_short_w, WG_MISSING_OMITTED, "W", "largest hourly shortfall of a heater over the period")                 \
    X(hottest_bin, WG_MISSING_OMITTED, "degC", "highest hourly substrate temperature of any bin")                      \
    X(overlap, WG_MISSING_OMITTED, "1",                                                                                \
      "mean effective number of generations alive over the last year, eggs not counted; generations 64 apart count "   \
      "as one")                                                                                                        \
    WG_MONEY_TABLE(X)                                                                                                  \
    X(alive_ours, WG_MISSING_OMITTED, "1",                                                                             \
      "1 if any individual is alive at the end in the keeper's own places, else 0")                                    \
    X(alive_neighbours, WG_MISSING_OMITTED, "1",                                                                       \
      "1 if any individual is alive at the end in a neighbour's places, else 0")

/** An outcome's place in the table. */
enum wg_outcome_number {
#define WG_OUTCOME_NUMBER(name, missing, unit, text) WG_OUTCOME_##name,
    WG_OUTCOME_TABLE(WG_OUTCOME_NUMBER)
#undef WG_OUTCOME_NUMBER
        WG_N_OUTCOMES
};

#define WG_HANDFUL_KG 0.1 /* a day's crawl-off worth a walk to the bin (judgement) */

/**
 * Batches of crawl-off, because generations overlap: a batch is all prepupae of one generation that crawl off in the
 * colony's first 365 days, counted from the first day with any animal; later generations mix too much to be told
 * apart. The first batch is generation 0, the starters, if the plan puts in eggs or larvae, otherwise generation 1,
 * the offspring of prepupae put in and of wild visitors. A batch has no dates if, at the end of that year or of the
 * period, more of its eggs and larvae are alive than have crawled off: half of it is still to come.
 */
#define WG_N_BATCHES 3

/** The generations alive at the end of a day: `n` of them, from `first`. */
struct wg_living_generations {
    int first, n;
    size_t from; /* where they begin in `alive` */
};

struct wg_diary {
    int32_t first_day;
    int n_days, n_places, n_bins, n_generations;
    int southern;       /* 1 south of the equator: spring runs from August to January */
    bool has_no_spring; /* in the tropics: nothing has overwintered */
#define WG_DIARY_FIELD(type, name, dims, unit, text) type *name;
    WG_DIARY_TABLE(WG_DIARY_FIELD)
#undef WG_DIARY_FIELD
    bool is_neighbours[WG_MAX_PLACES];
    int first_batch;                        /* generation of the first batch, 0 or 1 */
    int64_t *batch_crawl_off;               /* [day][batch]: prepupae of the batch that left the bins; not stored */
    int64_t dead[WG_N_STAGES][WG_N_CAUSES]; /* over all days; in no file */
    struct wg_living_generations *living;   /* [day] */
    int64_t *alive;                         /* [generation][stage] of the living generations, one day after another */
    size_t n_alive; /* counts used in `alive`; it has the maximum size, but untouched pages take no memory */
#define WG_OUTCOME_FIELD(name, missing, unit, text) double name;
    WG_OUTCOME_TABLE(WG_OUTCOME_FIELD)
#undef WG_OUTCOME_FIELD
    int32_t stopped_day; /* first day not simulated because the count exceeded its limit, or -1 */
};

#define WG_SPRING_BEFORE 31 /* days */

/**
 * True if the `flies` of a place's spring are a datable emergence: at most a twentieth as many emerged in the 31 days
 * `before` (judgement). Where flies emerge all winter there is none.
 */
bool wg_diary_is_spring(int64_t before, int64_t flies);
/**
 * True if overwintered flies emerge in spring but no place has a datable emergence, because flies emerge in winter too.
 * Needs the outcomes.
 */
bool wg_diary_emerges_all_winter(const struct wg_diary *diary);

/** One series of the table above. */
struct wg_series {
    const char *name, *unit, *text;
    enum wg_series_dims dims;
    int is_count;  /* 1: int64_t, 0: double */
    size_t offset; /* of the pointer within struct wg_diary */
};
/** Ended by name == NULL. */
const struct wg_series *wg_diary_series(void);
/** Number of values per day of a series: 1, stages, places, bins or causes. */
int wg_diary_width(const struct wg_diary *diary, enum wg_series_dims dims);
/** The array of a series: const int64_t * or const double *. */
const void *wg_diary_values(const struct wg_diary *diary, const struct wg_series *series);

struct wg_outcome {
    const char *name, *unit, *text;
    enum wg_missing_rule missing;
    size_t offset; /* of the double */
};
/** WG_N_OUTCOMES of them, ended by name == NULL. */
const struct wg_outcome *wg_diary_outcomes(void);
double wg_diary_outcome(const struct wg_diary *diary, const struct wg_outcome *outcome);
/** True if files and JSON have the outcome: money needs accounts, alive_ours and alive_neighbours a neighbour. */
bool wg_outcome_is_kept(enum wg_outcome_number outcome, const struct wg_plan *plan);

int wg_diary_init(struct wg_diary *diary, const struct wg_plan *plan, struct wg_error *err);
void wg_diary_free(struct wg_diary *diary);
/** Sets everything to zero for another replicate. */
void wg_diary_clear(struct wg_diary *diary);
/** Adds prepupae of a generation that left a bin on a day. */
void wg_diary_add_crawl_off(struct wg_diary *diary, int day, int bin, int generation, int64_t count, double mass_kg);
/**
 * Sets the counts alive at the end of a day, [generation][stage] of `n` generations from `first`; the others are empty.
 * n may be 0. Once a day, days in any order.
 */
void wg_diary_set_living(struct wg_diary *diary, int day, int first, int n, const int64_t *count);
/** Individuals of a stage and generation alive at the end of a day. */
int64_t wg_diary_living(const struct wg_diary *diary, int day, enum wg_stage stage, int generation);
/** Computes the outcomes from the series, whatever they were before; call after the last day. */
void wg_diary_finish(struct wg_diary *diary);
/**
 * Effective number of generations past the egg on a day: exp(-sum p ln p) (Hill 1973, order 1); NaN if there are none.
 */
double wg_diary_overlap(const struct wg_diary *diary, int day);

#endif
