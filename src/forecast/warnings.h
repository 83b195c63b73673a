/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The warnings and cautions of a forecast, found once and shown by every renderer (text/warning_sentences.c has the
 * sentences).
 */
#ifndef WG_FORECAST_WARNINGS_H
#define WG_FORECAST_WARNINGS_H

#include "base/calendar.h"
#include "forecast/work.h"

/** Substrate above this is dangerous: most larvae crawl out or die (common practice). */
#define WG_WARNING_HOT_C 40.0

/** The worst case of one quantity over all replicates. */
struct wg_worst_case {
    int64_t replicates; /* in which it happened */
    double worst;
};
/** Energy bought for a place on days on which no animal was in it, summed over all replicates. */
struct wg_idle_energy {
    int64_t replicates; /* in which there was any */
    double days, kwh, cost;
    double all_kwh, all_kwh_then; /* bought for the place in all replicates; in those */
    double by_month[WG_MONTHS];   /* of the kWh */
};
#define WG_MAX_WATCHED_ACTIONS 4096 /* the first actions of a plan; later ones are not checked */
/** Counts what went wrong in each replicate (an observer). */
struct wg_warning_tally {
    const struct wg_plan *plan;                                   /* borrowed */
    int64_t n;                                                    /* replicates seen */
    struct wg_worst_case heater[WG_MAX_PLACES], mat[WG_MAX_BINS]; /* too weak; worst: shortfall in W */
    struct wg_worst_case hot[WG_MAX_BINS];                        /* worst: degC */
    struct wg_idle_energy idle[WG_MAX_PLACES];
    struct wg_worst_case scoop;         /* more than the bin held; worst: kg missing */
    bool found[WG_MAX_WATCHED_ACTIONS]; /* this move, scoop or pull found animals on any of its days in any replicate */
};
/** Returns the observer that fills it; zero-initialise all but `plan` first. */
struct wg_observer wg_warning_observer(struct wg_warning_tally *tally);

enum wg_warning_kind {
    WG_WARN_HEATER, /* could not hold its set point */
    WG_WARN_MAT,
    WG_WARN_HOT,
    WG_WARN_UNDERFED,
    WG_WARN_OVERFED,
    WG_WARN_SCOOP,      /* the plan scoops more larvae than the bin held */
    WG_WARN_UNIT,       /* the unit of the weather record was guessed */
    WG_WARN_NO_ANIMALS, /* a move, scoop or pull never found animals */
    WG_WARN_IDLE,       /* heat or lamps in a place without animals */
    WG_N_WARNINGS
};
struct wg_warning {
    enum wg_warning_kind kind;
    char about[WG_NAME_SIZE]; /* name of the place or bin, "" for SCOOP and UNIT */
    int bin;                  /* -1 if it concerns no bin */
    int64_t replicates;       /* in which it happened; feeding: in the worst week */
    double worst;             /* shortfall in W, degC, kg missing; feeding: share of the replicates in the worst week */
    double holds_w;           /* HEATER, MAT: the power that would have held the set point */
    double days, kwh, cost, all_kwh; /* IDLE: means over the replicates in which it happened; cost NaN: not known */
    struct wg_month_span months;     /* IDLE: with most of it */
    int weeks, longest, unfed;       /* feeding: in total, consecutive, unfed for four weeks */
    int32_t from_day;                /* feeding: first day of the consecutive weeks; NO_ANIMALS: of the action */
    enum wg_action_kind action;      /* NO_ANIMALS: the kind of action, */
    bool once;                       /* whether it was due on one day only, */
    int line;                        /* and its line in the scenario */
};
#define WG_MAX_UNMET_ACTIONS 32 /* more are not listed */
#define WG_MAX_WARNINGS (2 * WG_MAX_PLACES + 4 * WG_MAX_BINS + 2 + WG_MAX_UNMET_ACTIONS)
struct wg_warnings {
    int n, n_days;                   /* warnings; days of the period */
    int64_t of;                      /* replicates */
    char currency[WG_CURRENCY_SIZE]; /* of the plan's prices */
    struct wg_warning list[WG_MAX_WARNINGS];
};
/** Lists the warnings from `tally` and `work`, which must have observed the same replicates. */
void wg_warnings_find(struct wg_warnings *warnings, const struct wg_warning_tally *tally, const struct wg_work *work);

/**
 * Returns the power in W that would have held the set point: power plus worst shortfall, times 1.1 (the lower end of
 * Bartok's sizing rule, 1.1 to 1.25 times the loss; see wg_heater_size_w()).
 */
double wg_power_needed_w(double power_w, double worst_short_w);

enum wg_caution {
    WG_CAUTION_NOTHING,   /* no starter, no wild fly: nothing can live; then nothing is warned of */
    WG_CAUTION_SHORT,     /* the plan ends so soon after the start that hardly a larva can crawl off */
    WG_CAUTION_UNLIMITED, /* unlimited feed */
    WG_CAUTION_DORMANCY,  /* dormancy so near the equator is a guess */
    WG_CAUTION_DARK,      /* a shed in which it is too dark to mate */
    WG_CAUTION_DARK_ROOM, /* the same in a room or cellar with bins */
    WG_CAUTION_FOOD,      /* animals in a refrigerator */
    WG_CAUTION_POWER,     /* heaters, mats or lamps */
    WG_CAUTION_LAW,       /* animals are taken out */
    WG_CAUTION_RESIDUE,   /* residue has a price, but none is cleared */
    WG_N_CAUTIONS
};
bool wg_caution_applies(const struct wg_plan *plan, enum wg_caution caution);

#endif
