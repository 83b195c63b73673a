/**
 * Finds the smallest (or largest) value of one number of a plan that meets its goals, with a stated confidence.
 *
 * The caller supplies a trial: simulate n replicates at a value, from replicate k, and count how many met each goal.
 * Replicate k has the same seeds at every value (common random numbers: Glasserman & Yao 1992, Manage. Sci.
 * 38:884), so that neighbours differ by the value and not by chance.
 *
 * At each value the search adds replicates until each goal's probability is surely at least, or one goal's surely below,
 * the wanted one. Testing after every batch is allowed for: the intervals are confidence sequences, valid at all times
 * (see wg_sequence_interval()), with the error shared over all values and goals. So all statements of the answer hold
 * at the same time with the stated confidence.
 */
#ifndef WG_ANALYSIS_SIZE_H
#define WG_ANALYSIS_SIZE_H

#include "analysis/goal_tally.h"

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

#define WG_SIZE_MAX_POINTS 16

struct wg_size_question {
    /** Adds to hits[n_goals] the goals that replicates first .. first+n-1 meet at `value`. 0, WG_STOPPED or an error. */
    int (*trial)(void *self, double value, int64_t first, int64_t n, int64_t *hits, struct wg_error *err);
    void *self;
    int n_goals;                 /* 1 .. WG_MAX_GOALS */
    double wanted[WG_MAX_GOALS]; /* probabilities, inside 0..1 */
    double low, high;            /* low < high */
    bool geometric;              /* bisect on a log scale (low > 0) */
    double step;                 /* values are multiples of it; 0: any value */
    bool largest;                /* find the largest value that meets the goals, else the smallest */
    double within_share, within; /* tolerance of the bracket, relative or absolute */
    double confidence;           /* of the answer, e.g. 0.95 */
    int grid;                    /* values of the first scan, ends included: 3 .. 8 */
    int64_t batch, most;         /* replicates: first batch at a value; budget of the search */
};

/** One value that was tried. */
struct wg_size_point {
    double value;
    int64_t n, hits[WG_MAX_GOALS];
    enum wg_verdict verdict; /* YES: meets every goal; NO: fails one */
};

enum wg_size_outcome {
    WG_SIZE_FOUND,       /* `enough` meets the goals, `too_little` does not, and they are within the tolerance */
    WG_SIZE_ALREADY,     /* the start of the range (low; with `largest` high) meets them: `enough` */
    WG_SIZE_IMPOSSIBLE,  /* no value in the range meets them, if each goal is monotone */
    WG_SIZE_UNDECIDED,   /* the budget ran out: between `too_little` and `enough`, if known */
    WG_SIZE_NOT_MONOTONE /* a goal's probability rises and falls: only `best` is set */
};

struct wg_size {
    enum wg_size_outcome outcome;
    double enough, too_little; /* NaN: not known */
    double about;              /* estimate between the two, by interpolation; NaN: none */
    int n_points;
    struct wg_size_point point[WG_SIZE_MAX_POINTS]; /* ascending by value */
    int best;                                       /* point with the best probabilities, by its worst goal */
    double falls_from, falls_to; /* one goal's probability is surely lower at falls_to; NaN: none falls */
    int falls_goal;
    int64_t replicates; /* total */
};

/** Returns 0 and the answer, WG_STOPPED or the trial's error. */
int wg_size_search(const struct wg_size_question *question, struct wg_size *size, struct wg_error *err);
/** Returns the search's interval for a goal at a point; all intervals hold simultaneously with the confidence. */
struct wg_interval wg_size_interval(const struct wg_size_question *question, const struct wg_size_point *point,
                                    int goal);

#endif
