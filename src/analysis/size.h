/**
 * How much of one thing is enough? The smallest (or largest) value of one number
 * of a plan that meets its goals, with a stated confidence.
 *
 * The search knows a question only: "of n replicates at this value, the first
 * being number k, how many met each goal?" Replicate k has the same seeds at
 * every value (common random numbers: Glasserman & Yao 1992, Manage. Sci.
 * 38:884), so that neighbours differ by the value and not by luck.
 *
 * At each value it adds replicates until the chance of each goal is surely at
 * least, or of one goal surely below, what is wanted. Looking after every batch
 * is paid for: the intervals are confidence sequences, right at all looks at once
 * (see wg_sequence_interval()), and the error is shared over all values and goals.
 * So with the stated confidence everything it says is right at the same time.
 */
#ifndef WG_ANALYSIS_SIZE_H
#define WG_ANALYSIS_SIZE_H

#include "analysis/goal_tally.h"

/**
 * Confidence sequence of a chance: with probability 1 - error the true chance lies
 * in the interval at all n at once, however often one looks. From the martingale of
 * a mixture of likelihood ratios and Ville's inequality (Ville 1939; Robbins 1970,
 * Ann. Math. Stat. 41:1397). Half of the mixture is even over 0..1, half is a Beta
 * around `guess` (inside 0..1) worth fifty replicates (judgement: sharp within
 * some per cent of the guess); this shapes the width, never the truth.
 */
struct wg_interval wg_sequence_interval(int64_t hits, int64_t n, double guess, double error);
/** YES: surely at least `wanted`, NO: surely below, at that error and at all looks; the guess is `wanted`. */
enum wg_verdict wg_sequence_verdict(int64_t hits, int64_t n, double wanted, double error);

#define WG_SIZE_MAX_POINTS 16

struct wg_size_question {
    /** Adds to hits[n_goals] what replicates first .. first+n-1 at `value` met. 0, WG_STOPPED or an error, handed on. */
    int (*trial)(void *self, double value, int64_t first, int64_t n, int64_t *hits, struct wg_error *err);
    void *self;
    int n_goals;                 /* 1 .. WG_MAX_GOALS */
    double wanted[WG_MAX_GOALS]; /* chances, inside 0..1 */
    double low, high;            /* low < high */
    bool geometric;              /* values in between by ratio (low > 0), else evenly */
    double step;                 /* values are whole multiples of it; 0: any value */
    bool largest;                /* the largest that meets the goals, else the smallest */
    double within_share, within; /* done when the bracket is at most this share of the value, or this wide */
    double confidence;           /* of the whole answer, e.g. 0.95 */
    int grid;                    /* values of the first scan, ends included: 3 .. 8 */
    int64_t batch, most;         /* replicates: of the first batch at a value; of the whole search */
};

/** One value that was tried. */
struct wg_size_point {
    double value;
    int64_t n, hits[WG_MAX_GOALS];
    enum wg_verdict verdict; /* YES: surely meets every goal; NO: surely fails one */
};

enum wg_size_outcome {
    WG_SIZE_FOUND,      /* `enough` meets the goals, `too_little` does not, and they are as close as asked */
    WG_SIZE_ALREADY,    /* the easiest end (low; with `largest` high) meets them already: `enough` */
    WG_SIZE_IMPOSSIBLE, /* shown: no value of the range meets them, supposing that each goal goes one way */
    WG_SIZE_UNDECIDED,  /* the replicates ran out: between `too_little` and `enough`, as far as these are known */
    WG_SIZE_NOT_MONOTONE /* a goal is met more often and then less often, farther on: only the best value tried is given */
};

struct wg_size {
    enum wg_size_outcome outcome;
    double enough, too_little; /* NaN: not known */
    double about;              /* between the two, where the shares seen cross what is wanted: an estimate; NaN: none */
    int n_points;
    struct wg_size_point point[WG_SIZE_MAX_POINTS]; /* in ascending order of values */
    int best;                                       /* point with the best chances, by its worst goal */
    double falls_from, falls_to; /* one goal's chance is surely lower at falls_to, farther on; NaN: none falls */
    int falls_goal;
    int64_t replicates; /* in all */
};

/** 0 and the answer; WG_STOPPED or the trial's error. */
int wg_size_search(const struct wg_size_question *question, struct wg_size *size, struct wg_error *err);
/** The interval in which the search believes the chance of a goal at a point to lie; all of them at once with the confidence. */
struct wg_interval wg_size_interval(const struct wg_size_question *question, const struct wg_size_point *point,
                                    int goal);

#endif
