/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Finds the cheapest plan that meets its goals, among all combinations of a few open numbers of a plan.
 *
 * The caller supplies two functions: check() tells which combinations are plans, live() lives years of them. Everything else
 * happens here, in one thread and in a fixed order, so that the answer depends on the years alone:
 *
 *   all plans   up to `most_plans` different plans: each lives a few pilot years, which tell its money. Then a ladder: from
 *               the cheapest plan up, each lives more years until its goals are surely missed, or until it has met them.
 *   race        beyond: a population (the own plan, the ends of each number, points spread over the whole) is improved by
 *               neighbours and crossings; then the ladder climbs through every plan of the race and its cheaper neighbours.
 *   choice      what passed is judged on years of a second stream, and the winner is chosen by them: a plan that was only lucky
 *               in the years of the search falls out.
 *   fresh years the winner, its equals and the line of money live years of a third stream, and only these are reported. Years
 *               that chose a plan favour whoever was lucky in them (winner's curse).
 *
 * No number is assumed to act monotonically. Two plans are compared year by year in the same years. Plans that are equal
 * within luck are ordered by odds (in whole per cent), harvest (in steps of 5 %), the number of changes from the own plan and
 * the order of the levels; an own plan that meets its goals for as little money wins.
 */
#ifndef WG_SEARCH_SEARCH_H
#define WG_SEARCH_SEARCH_H

#include "analysis/goal_tally.h"

#define WG_SEARCH_MAX_NUMBERS 32
#define WG_SEARCH_MAX_LEVELS 1000
#define WG_SEARCH_MAX_VARIANTS 32
#define WG_SEARCH_MAX_JUDGED 32 /* plans judged on fresh years */
#define WG_SEARCH_MAX_EQUALS 4
#define WG_SEARCH_MAX_LINE 8
#define WG_SEARCH_NEAREST 3
#define WG_SEARCH_MAX_SINGLES 24
#define WG_SEARCH_CONFIDENCE 0.95

/**
 * An open number and its levels. A list of named choices, each of which may set several keys, is one unordered number; so is
 * a list of whole plans.
 */
struct wg_search_number {
    int levels;      /* 1 .. WG_SEARCH_MAX_LEVELS */
    int own;         /* the level of the own plan */
    bool is_ordered; /* the levels are those of a scale: they have neighbours, and the first and last are ends */
};

/** Streams of years: year k of a stream is the same for all plans. */
enum wg_search_stream {
    WG_SEARCH_LOOKING,  /* for the search */
    WG_SEARCH_CHOOSING, /* for the choice among what the search found */
    WG_SEARCH_FRESH     /* for what is reported */
};
#define WG_SEARCH_N_STREAMS 3

/** One year of a plan: one replicate of its whole period. */
struct wg_search_year {
    uint32_t met;      /* bit g: meets goal g */
    bool is_alive;     /* anything is alive at the end */
    double money;      /* what it costs, all included; finite, may be negative */
    double harvest_kg; /* what the keeper takes out */
    double left;       /* individuals of any stage at the end of the last day */
    uint64_t course;   /* digest of the course of the year; equal money and courses: the same plan. 0: not known */
};

/** An order to live years first .. first + n - 1 of a stream with the plan of the levels. */
struct wg_search_life {
    const int *level; /* n_numbers */
    int variant;      /* of the animal: 0 as it is, 1 .. n_variants with a doubtful number changed */
    enum wg_search_stream stream;
    int64_t first, n;
    struct wg_search_year *year; /* n, to be filled */
};

/** What makes two combinations the same plan, for example a digest of the resolved plan. */
struct wg_search_key {
    uint64_t part[2]; /* both 0: unlike any other */
};

/** Positive outcome of check(): the levels contradict each other. */
#define WG_SEARCH_NO_PLAN 2

/** Stages of a search, in their order. */
enum wg_search_stage { WG_SEARCH_PILOT, WG_SEARCH_RACE, WG_SEARCH_LADDER, WG_SEARCH_JUDGE, WG_SEARCH_DOUBT };

struct wg_search_question {
    int n_numbers;
    const struct wg_search_number *number;
    int n_goals;                 /* 1 .. WG_MAX_GOALS */
    double chance[WG_MAX_GOALS]; /* wanted, inside 0..1 */
    int n_variants;              /* 0 .. WG_SEARCH_MAX_VARIANTS */

    /** Tells whether levels make a plan: 0 with its key, WG_SEARCH_NO_PLAN, or a negative error. The own plan is one. */
    int (*check)(void *self, const int *level, struct wg_search_key *key, struct wg_error *err);
    /** Carries out n orders. Returns 0, WG_STOPPED (then no year counts), or a negative error. See plan_lives.h. */
    int (*live)(void *self, const struct wg_search_life *life, int n, struct wg_error *err);
    /** Sets animal, winter and the weight 1 of a year (analysis/cells.h). NULL: years share nothing. */
    void (*place)(void *self, enum wg_search_stream stream, int64_t year, struct wg_split_value *value);
    /** Reports the years lived and about how many there will be. NULL: not wanted. */
    void (*progress)(void *progress_self, enum wg_search_stage stage, int64_t years, int64_t expected);
    void *progress_self;
    void *self;

    /* Filled by wg_search_defaults(): */
    int most_plans;       /* different plans that are all looked at; beyond, a race: 1000 */
    int64_t pilot;        /* years that tell the money: 4 */
    int64_t most_years;   /* of a plan in the search: 512 */
    int64_t fresh;        /* on which each plan is judged: 512 */
    int64_t fresh_line;   /* the same for plans that may not win: 256 */
    int64_t most_fresh;   /* for a winner whose interval holds the wanted chance, in its choice and again fresh: 2048 */
    int64_t race_years;   /* of a race, all plans together: 8000 */
    int64_t single_years; /* of the winner with each single number changed: 64 */
    int64_t variant_years; /* of each plan with each variant: 64 */
    uint64_t seed;         /* of the race's random choices: 1 */
};
/** Zeroes the question and fills the numbers that a caller seldom changes. */
void wg_search_defaults(struct wg_search_question *question);

/** An amount over years. */
struct wg_search_amount {
    double mean;
    struct wg_interval interval; /* of the mean, at WG_SEARCH_CONFIDENCE; NaN where all years are alike */
    double q10, q50, q90;        /* of years */
};

/** A difference to the winner, in the same years. */
struct wg_search_gap {
    double mean;
    struct wg_interval interval; /* at WG_SEARCH_CONFIDENCE; both ends are the mean where all differences are alike */
};

/** A plan with a doubtful number changed. */
struct wg_search_variant {
    int64_t hits, n; /* years that met every goal */
    double share;
    struct wg_interval interval;
    enum wg_verdict verdict; /* the worst of the goals */
};

/** A plan judged on fresh years. After a stop `n` may be 0; then all shares and means are NaN and the verdicts undecided. */
struct wg_search_judged {
    int plan;                         /* in `plan` of the answer */
    int level[WG_SEARCH_MAX_NUMBERS]; /* of its open numbers */
    int changes;                      /* open numbers that differ from the own plan */
    /* -1, 1: the number is at the first or last of several ordered levels (the tried range ends there), 0: it is not. */
    signed char end[WG_SEARCH_MAX_NUMBERS];
    int64_t n;                                /* fresh years */
    struct wg_search_year *year;              /* n of them */
    struct wg_goal_chance goal[WG_MAX_GOALS]; /* verdict YES: surely; UNDECIDED: about; NO: not */
    struct wg_goal_chance all, alive;         /* every goal in the same year; anything alive. Without a verdict */
    enum wg_verdict verdict;                  /* the worst of the goals */
    bool meets;  /* the share of every goal is at least the wanted chance; of a winner not always */
    int hardest; /* the goal whose share is farthest below, or least above, the wanted chance */
    struct wg_search_amount money, harvest, left;
    double animals; /* share of plausible animals that keep every goal's chance; NaN: one animal only, or not known */
    struct wg_search_gap more_money, more_odds,
        more_harvest; /* than the winner: NaN without a winner; odds: of all goals */
    bool is_equal;    /* to the winner within luck, in money and odds */
    int n_variants;   /* 0: not lived with the doubtful numbers */
    struct wg_search_variant variant[WG_SEARCH_MAX_VARIANTS]; /* [v - 1] for variant v */
};

/**
 * The winner with a single number changed: where a number costs more and does harm, or does nothing, this shows it. Judged on
 * few fresh years, so only gaps whose interval excludes 0 mean anything.
 */
struct wg_search_single {
    int number, level;
    int64_t n, hits; /* fresh years; those that met every goal */
    double money, harvest_kg;
    struct wg_search_gap more_money, more_odds, more_harvest; /* than the winner in the same years */
};

/** A plan of the search. Its numbers are those of the search's own years: good for a map of all plans, not as odds. */
struct wg_search_plan {
    int level[WG_SEARCH_MAX_NUMBERS];
    int64_t n;                       /* years lived in the search; 0: none */
    int64_t hits[WG_MAX_GOALS], all; /* years that met a goal, every goal */
    double money, harvest_kg, left;  /* means; NaN for n = 0 */
    bool is_out;                     /* surely misses a goal */
    int same_as;                     /* -1, or the plan whose years are the same: this one does not count */
};

enum wg_search_outcome {
    WG_SEARCH_FOUND,
    WG_SEARCH_KEEP_OWN, /* found: the own plan meets the goals for as little money as any (within luck, or a hundredth) */
    WG_SEARCH_NONE      /* no plan tried meets the goals: see `nearest` */
};

/** The answer; some 200 kB, so allocate it. */
struct wg_search_answer {
    enum wg_search_outcome outcome;
    bool is_stopped; /* stopped early: the best so far, perhaps without fresh years */
    bool is_race;    /* a race through a part of the combinations, not all of them */
    bool same_money; /* all plans tried cost the same */

    int n_judged;
    struct wg_search_judged judged[WG_SEARCH_MAX_JUDGED];
    int own;    /* in `judged`, the keeper's own plan; -1 only after a stop */
    int winner; /* in `judged`; -1 for WG_SEARCH_NONE */
    int n_equals,
        equal[WG_SEARCH_MAX_EQUALS]; /* in `judged`: meet the goals, equal to the winner within luck; best first */
    /*
     * The line of money, in `judged`, rising in money: each costs more than the one before and has more odds or more harvest
     * than every cheaper plan. Those below the winner miss a goal, those above it meet all. Holds the winner.
     */
    int n_line, line[WG_SEARCH_MAX_LINE];
    int n_singles; /* by number, then by level; numbers that change nothing are left out */
    struct wg_search_single single[WG_SEARCH_MAX_SINGLES];
    /*
     * The cheapest plan that meets all goals but goal g, in `judged`: what this goal costs. -1: with one goal, or if none was
     * found; may be the winner, if the goal costs nothing.
     */
    int without[WG_MAX_GOALS];
    int n_nearest, nearest[WG_SEARCH_NEAREST]; /* in `judged`: nearest to the goals, best first; WG_SEARCH_NONE only */

    double combinations; /* of all levels, a product */
    int n_plans;         /* in `plan`: combinations that were looked at and are plans */
    int n_different;     /* of these, without those that are the same as another */
    int n_illegal;       /* combinations that were looked at and are no plans */
    struct wg_search_plan *plan;
    int64_t looking_years, choosing_years, fresh_years, variant_years; /* lived */
};

/**
 * Searches. Returns 0 with the answer, also when live() was stopped (is_stopped), or a negative error of check(), live() or
 * WG_ERR_MEMORY. Free the answer in every case.
 */
int wg_search_run(const struct wg_search_question *question, struct wg_search_answer *answer, struct wg_error *err);
void wg_search_free(struct wg_search_answer *answer);

#endif
