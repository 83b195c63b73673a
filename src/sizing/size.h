/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Finds the smallest (or largest) value of one number of a plan that meets its goals, with its interval.
 *
 * The caller supplies a trial: simulate replicates at a value and tell which goals each met. Two answers come from the
 * same trials:
 *
 *   the number        where a monotone curve, fitted to all trials of a goal, crosses the wanted probability; the goal that
 *                     needs most decides. Its interval allows for animals and winters that replicates share. Over plausible
 *                     animals it is also given for the luckier and the harder half of them. See size_curve.h.
 *   the sure bracket  a value tried that is surely enough and one that surely is not, by confidence sequences, without
 *                     any curve; the error is shared over all values and goals, so all of it holds at once.
 *
 * Trials go to both sides of the crossing, as estimated so far, until the interval is narrow enough. Each replicate is used
 * once, at one value: for the place of a crossing, independent replicates at different values tell more than paired ones.
 *
 * Rows. Replicates are lived in rows of 64, which in the lattice of animals and winters (forecast/lattice.h) are 64
 * animals and 64 winters. A value never gets two rows of one block, so it never meets a winter twice; its rows take the
 * blocks in turn, so that four rows in a row, a whole pass, have each of 256 animals once. After whole passes the
 * confidence sequences hold for the mean over the table of animals: hits of a pass are independent with probabilities
 * whose mean is that of the table, and by the inequality of the means a product of 1 + c (p - wanted) over animals is at
 * most that of equal p, so the martingale below still does not grow. Verdicts are given after whole passes only.
 */
#ifndef WG_SIZING_SIZE_H
#define WG_SIZING_SIZE_H

#include "analysis/goal_tally.h"
#include "forecast/lattice.h"
#include "sizing/size_curve.h"

/**
 * Returns an interval of a confidence sequence: with probability 1 - error the true probability lies
 * in the intervals of all n simultaneously. From the martingale of a mixture of likelihood ratios and
 * Ville's inequality (Ville 1939; Robbins 1970, Ann. Math. Stat. 41:1397). Half of the mixture is uniform on 0..1,
 * half is a Beta around `guess` (inside 0..1) worth fifty replicates (judgement: sharp within a few per cent
 * of the guess); this affects the width, not the coverage.
 */
struct wg_interval wg_sequence_interval(int64_t hits, int64_t n, double guess, double error);
/** Returns YES: surely at least `wanted`, NO: surely below, by the confidence sequence with `wanted` as its guess. */
enum wg_verdict wg_sequence_verdict(int64_t hits, int64_t n, double wanted, double error);

#define WG_SIZE_MAX_POINTS WG_CURVE_MAX_VALUES
#define WG_SIZE_ROW WG_LATTICE_ANIMALS /* replicates */
#define WG_SIZE_PASS 4                 /* rows until each plausible animal was met once */

#define WG_SIZE_WIDENINGS 3 /* at each end of the range */

struct wg_size_question {
    /**
     * Simulates replicates first .. first+n-1 at `value`; sets bit g of met[i] if replicate first+i met goal g.
     * 0, WG_STOPPED or an error.
     */
    int (*trial)(void *self, double value, int64_t first, int64_t n, uint8_t *met, struct wg_error *err);
    struct wg_cell (*cell)(const void *self, int64_t replicate); /* NULL: replicates share nothing */
    /** Tells how many replicates the answer will probably take, once the first trials are done. NULL: not wanted. */
    void (*expect)(void *self, int64_t replicates);
    void *self;
    int n_goals;                 /* 1 .. WG_MAX_GOALS */
    double wanted[WG_MAX_GOALS]; /* probabilities, inside 0..1 */
    double low, high;            /* low < high */
    double own;                  /* the plan's value, which is named among values that are equally bad; 0: the first */
    /** Where the search may move the start of the range, in turn, while it is enough, and the end, while no value is. */
    int n_starts, n_ends;
    double starts[WG_SIZE_WIDENINGS], ends[WG_SIZE_WIDENINGS];
    bool geometric;              /* values in between by ratio (low > 0) */
    double step;                 /* values are multiples of it; 0: any value */
    bool largest;                /* find the largest value that meets the goals, else the smallest */
    double within_share, within; /* tolerance to either side of the number, relative or absolute */
    double confidence;           /* of the answer, e.g. 0.95 */
    int grid;                    /* values of the first scan, ends included: 3 .. 8 */
    int64_t most;                /* replicates: budget of the search */
};

/** One value that was tried. */
struct wg_size_point {
    double value;
    int64_t n, hits[WG_MAX_GOALS];
    enum wg_verdict verdict; /* YES: meets every goal; NO: fails one */
};

enum wg_size_outcome {
    WG_SIZE_FOUND,       /* the number is known to within the tolerance */
    WG_SIZE_ALREADY,     /* the start of the range (low; with `largest` high) meets the goals: `enough` */
    WG_SIZE_IMPOSSIBLE,  /* no value in the range meets them, if each goal is monotone */
    WG_SIZE_UNDECIDED,   /* the budget ran out: the number has a wider interval, or none */
    WG_SIZE_NOT_MONOTONE /* a goal's probability rises and falls: only `best` is set */
};

/** The curve of a goal: probability top Phi(q + slope (x - crossing)), x the value or, if geometric, its logarithm. */
struct wg_size_curve {
    double crossing, slope, top; /* NaN: none */
    double from, to;             /* values between which it is fitted */
    double spread;               /* standard deviation of the intercepts of animals; NaN: one animal */
    double fit;                  /* probability of a worse fit if the curve is right */
};

/** Returns the probability on a curve at x, the value or its logarithm. */
double wg_size_curve_chance(const struct wg_size_curve *curve, double wanted, double x);

/** The number that meets the goals; each is NaN if it is not known. */
struct wg_size_number {
    double about;           /* by the curve; by isotonic regression if the curve does not fit */
    double low, high;       /* its interval; NaN if the curve does not fit or does not bound it */
    double luckier, harder; /* over the luckier and over the harder half of plausible animals */
    int goal;               /* which decides */
    bool fits;              /* its curve fits */
};

struct wg_size {
    enum wg_size_outcome outcome;
    struct wg_size_number number;
    struct wg_size_curve curve[WG_MAX_GOALS];
    double low, high;          /* the range that was searched */
    double enough, too_little; /* the sure bracket; NaN: not known */
    int n_points;
    struct wg_size_point point[WG_SIZE_MAX_POINTS]; /* ascending by value */
    int best;                                       /* point with the best probabilities, by its worst goal */
    double falls_from, falls_to; /* one goal's probability is surely lower at falls_to; NaN: none falls */
    int falls_goal;
    int64_t replicates; /* total */
};

/** Returns 0 and the answer, WG_STOPPED, WG_ERR_MEMORY or the trial's error. */
int wg_size_search(const struct wg_size_question *question, struct wg_size *size, struct wg_error *err);
/** Returns the search's interval for a goal at a point; all intervals hold simultaneously with the confidence. */
struct wg_interval wg_size_interval(const struct wg_size_question *question, const struct wg_size_point *point,
                                    int goal);

#endif
