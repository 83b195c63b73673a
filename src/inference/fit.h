/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Learns the animal's numbers and the state of the colony from a keeper's log.
 *
 * Method. The unknown is an animal: all numbers in which the plausible animals differ, as coordinates
 * (animal_numbers.h). The likelihood is synthetic (Wood 2010, Nature 466:1102; with ranks in place of values: An, Nott &
 * Drovandi 2020, Stat. Comput. 30:543): normal scores of the notes are normal, with an animal's mean over its replicates
 * and the covariance, pooled over the animals, of luck between replicates of the same animal and of the keeper's errors.
 * The animals, at first the plausible ones, are moved by an ensemble smoother in several passes, each simulated anew
 * (smoother.h). Then they live on to the end, and what can be measured today and in the next weeks is corrected by the
 * same linear update for the luck of the year so far, which the notes also tell.
 *
 * An animal agrees with the log if the log is not farther from it than 99 of 100 logs of the other animals are. Those that
 * do not are left out.
 *
 * Whether flies are about on a day is often the luck of a year, which no move of the animals brings about. So of the futures
 * that the animals live to the end, those are kept that contradict the fewest entries about flies: a yes needs a fly alive on
 * that day, a no fewer than the keeper would hardly miss. If few animals have such a future, all live more of them. More
 * contradictions than errors of the keeper explain are never accepted. With fewer than WG_FIT_FEWEST animals left the fit
 * has no answer: the log and the plan do not agree.
 */
#ifndef WG_INFERENCE_FIT_H
#define WG_INFERENCE_FIT_H

#include "base/stats.h"
#include "forecast/ensemble.h"
#include "inference/learnt.h"
#include "inference/log_entry.h"
#include "inference/now.h"

#define WG_FIT_FEWEST 50      /* animals that must agree (judgement: a 5 % point from fewer is a guess) */
#define WG_FIT_LEAST_DRAWS 64 /* of animals: covariances from fewer are noise (judgement) */

/* The defaults, whose coverage is tested. */
#define WG_FIT_DRAWS 256
#define WG_FIT_PER_DRAW 2
#define WG_FIT_PASSES 3

struct wg_fit_options {
    int64_t draws;    /* animals, WG_FIT_LEAST_DRAWS or more */
    int64_t per_draw; /* replicates of an animal in each pass, 2 or more */
    int passes;       /* 1 or more */
    int threads;
    const atomic_int *stop;
    void (*progress)(void *self, int64_t done, int64_t count);
    void *progress_self;
};

/** Simulated values of many replicates: [row][n]. */
struct wg_fit_sample {
    int64_t n;         /* replicates */
    double *simulated; /* [entry][n]: wg_log_entry_simulated() */
    double *outcome;   /* [outcome][n] */
    double *now;       /* [quantity of today][n] */
};

struct wg_fit {
    struct wg_now today;
    int n_entries;
    int n_outcomes, outcome[WG_N_OUTCOMES]; /* those that the plan has: wg_outcome_is_kept() */
    int64_t drawn, agree, per_draw;         /* animals; those that agree with the log; replicates of each in a pass */
    int64_t lived;                      /* futures lived to the end by animals near the log; after.n of them agree */
    double *learnt, *learnt_before;     /* [learnt][agree], [learnt][drawn]; owned */
    struct wg_fit_sample after, before; /* futures that agree; futures of the plausible animals. Owned */
    int64_t *animal_of;                 /* [after.n]: the animal of a future, its column in `learnt`; owned */
    double *misfit;                     /* [entry]: the normal deviate as rare as the note, negative below; owned */
    int64_t replicates;                 /* in all passes */
    double *sorting;                    /* scratch for quantiles, for one thread at a time; owned */
};

/**
 * Fits a plan to a log of n entries, 1 .. WG_MAX_NOTES, whose days and bins are the plan's. Returns 0, WG_STOPPED or
 * an error; free in every case. The result borrows the plan.
 */
int wg_fit_run(struct wg_fit *fit, const struct wg_plan *plan, const struct wg_log_entry *entries, int n,
               const struct wg_fit_options *options, struct wg_error *err);
void wg_fit_free(struct wg_fit *fit);
/** Returns the jobs of a fit for its progress; each simulates per_draw replicates of one animal. */
int64_t wg_fit_jobs(const struct wg_fit_options *options);

/** Returns true if enough animals agree with the log; without, only `before` and `misfit` may be shown. */
bool wg_fit_has_answer(const struct wg_fit *fit);
/** Returns the q-quantile of what is learnt, before or after the log. */
double wg_fit_learnt(const struct wg_fit *fit, enum wg_learnt learnt, bool before, double q);
/** Returns the q-quantile of a quantity of today. */
double wg_fit_now(const struct wg_fit *fit, int quantity, bool before, double q);
/** Returns the probability that an outcome (its row in wg_diary_outcomes()) happens. */
double wg_fit_happened(const struct wg_fit *fit, int outcome, bool before);
/** Returns an outcome's q-quantile; if it did not happen it counts by its enum wg_missing_rule: INFINITY or omitted. */
double wg_fit_outcome(const struct wg_fit *fit, int outcome, bool before, double q);
/** Returns the probability that an outcome exceeds a threshold: survived above 0.5 is the survival probability. */
double wg_fit_share_above(const struct wg_fit *fit, int outcome, bool before, double threshold);
/**
 * Predictive check: sets the 90 % range for entry i, the keeper's errors included, and returns true if the entry lies in
 * it. For flies the range is the probability to record them, twice; true unless the entry had a probability below 0.1.
 */
bool wg_fit_explains(const struct wg_fit *fit, const struct wg_log_entry *entries, int i, bool before,
                     struct wg_interval *range);

#endif
