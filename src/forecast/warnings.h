/**
 * What a keeper must be warned of, and what a plan that can hurt is cautioned of: found once, here, and shown by all
 * that shows an answer (text/warning_sentences.c has the sentences).
 */
#ifndef WG_FORECAST_WARNINGS_H
#define WG_FORECAST_WARNINGS_H

#include "forecast/work.h"

/** A bin whose substrate passes this is in danger: most larvae crawl out or die above it (common practice). */
#define WG_WARNING_HOT_C 40.0

/** One thing over all replicates. */
struct wg_worst_case {
    int64_t replicates; /* in how many it happened */
    double worst;
};
#define WG_MAX_WATCHED_ACTIONS 4096 /* so many of a plan are watched */
/** An observer that looks for what went wrong in each replicate. */
struct wg_warning_tally {
    const struct wg_plan *plan;                                   /* borrowed */
    int64_t n;                                                    /* replicates seen */
    struct wg_worst_case heater[WG_MAX_PLACES], mat[WG_MAX_BINS]; /* too weak; worst: W lacked */
    struct wg_worst_case hot[WG_MAX_BINS];                        /* worst: degC */
    struct wg_worst_case scoop;                                   /* more than there was; worst: kg missing */
    bool met[WG_MAX_WATCHED_ACTIONS]; /* this move, scoop or pull found somebody, on any of its days in any replicate */
};
/** The observer that fills it; zero-initialise all but `plan` first. */
struct wg_observer wg_warning_observer(struct wg_warning_tally *watch);

enum wg_warning_kind {
    WG_WARN_HEATER, /* could not hold its set point */
    WG_WARN_MAT,
    WG_WARN_HOT,
    WG_WARN_UNDERFED,
    WG_WARN_OVERFED,
    WG_WARN_SCOOP,      /* more larvae were to be scooped than there were */
    WG_WARN_UNIT,       /* the unit of the weather record was guessed */
    WG_WARN_NO_ANIMALS, /* a move, scoop or pull never found anybody */
    WG_N_WARNINGS
};
struct wg_warning {
    enum wg_warning_kind kind;
    char about[WG_NAME_SIZE];   /* name of the place or bin, "" for SCOOP and UNIT */
    int bin;                    /* -1 where it is of no bin */
    int64_t replicates;         /* in how many; of feeding: in its worst week */
    double worst;               /* W lacked, degC, kg missing; of feeding: share of the replicates in its worst week */
    double holds_w;             /* HEATER, MAT: the power that would have held the set point */
    int weeks, longest;         /* of feeding: in all, in a row */
    int32_t from_day;           /* of feeding: on which those in a row begin; NOBODY: of the action */
    enum wg_action_kind action; /* NOBODY: what was in vain, ... */
    bool once;                  /* ... whether on that day alone, ... */
    int line;                   /* ... and where the scenario says it */
};
#define WG_MAX_UNMET_ACTIONS 32 /* more are not listed */
#define WG_MAX_WARNINGS (WG_MAX_PLACES + 4 * WG_MAX_BINS + 2 + WG_MAX_UNMET_ACTIONS)
struct wg_warnings {
    int n, n_days; /* how many; days of the period */
    int64_t of;    /* replicates */
    struct wg_warning list[WG_MAX_WARNINGS];
};
/** All of what `watch` and `work` have seen of the same replicates. */
void wg_warnings_find(struct wg_warnings *warnings, const struct wg_warning_tally *watch, const struct wg_work *work);

/**
 * The heater or mat that would have held, W: its power and the most it lacked, and a tenth to spare (the lower end of
 * Bartok's sizing rule, 1.1 to 1.25 times the loss; see wg_heater_size_w()).
 */
double wg_power_needed_w(double power_w, double worst_short_w);

enum wg_caution {
    WG_CAUTION_UNLIMITED, /* feed without limit */
    WG_CAUTION_DORMANCY,  /* so near the equator that dormancy is a guess */
    WG_CAUTION_DARK,      /* a shed in which it is too dark to mate */
    WG_CAUTION_POWER,     /* heaters, mats or lamps */
    WG_CAUTION_LAW,       /* something is taken out */
    WG_N_CAUTIONS
};
bool wg_caution_applies(const struct wg_plan *plan, enum wg_caution caution);

#endif
