/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * A lesson: lives of a colony from a few numbers, each simulated at once and then read
 * day by day.
 *
 * It uses the model of the forecasts; the lesson only makes the plan.
 * scripts/build-workshop compiles it for a web page with the numbers below as
 * sliders. So all types are int, double or pointers, and there is no I/O.
 */
#ifndef WG_WORKSHOP_LESSON_H
#define WG_WORKSHOP_LESSON_H

/* name, minimum, maximum, initial value of the sliders. The ranges are judgement. */
#define WG_LESSON_TABLE(X)                                                                                             \
    X(DAYS, 30, 730, 365)        /* days to simulate */                                                                \
    X(WEATHER, 0, 3, 0)          /* enum wg_lesson_weather: a steady temperature or a year */                          \
    X(TEMP_C, 10, 42, 28)        /* the steady temperature, degC */                                                    \
    X(SHELTER, 0, 3, 0)          /* in a year: outdoors, hoop house, greenhouse, shed (enum wg_housing_kind) */        \
    X(HEATER, 0, 1, 0)           /* 1: a heater in the shelter; no effect outdoors */                                  \
    X(SET_POINT_C, 5, 30, 25)    /* set point of the heater, degC */                                                   \
    X(PRICE, 0, 2, 0.15)         /* money per kWh */                                                                   \
    X(STARTER, 100, 50000, 5000) /* individuals: eggs at a steady temperature, five-day larvae in a year */            \
    X(CLUTCH_LOW, 100, 1000, 400)                                                                                      \
    X(CLUTCH_HIGH, 100, 1000, 900) /* eggs a female lays; the smaller of the two is the lower end */                   \
    X(FEED_KG, 0, 10, 1)           /* kitchen scraps a day, kg fresh weight */                                         \
    X(CATCH, 0, 1, 0.5)            /* share of the crawl-off that is harvested; the rest pupates */                    \
    X(SEED, 0, 999999, 1)          /* random seed */

enum wg_lesson_number {
#define WG_LESSON_ENUM(name, least, most, first) WG_LESSON_##name,
    WG_LESSON_TABLE(WG_LESSON_ENUM)
#undef WG_LESSON_ENUM
        WG_LESSON_N_NUMBERS
};

/** The weather of a lesson; the years are those of invented sites, from 15 September. */
enum wg_lesson_weather {
    WG_LESSON_STEADY,
    WG_LESSON_MILD_WINTER, /* humid subtropical, 32 degrees north */
    WG_LESSON_COLD_WINTER, /* continental, 42 degrees north */
    WG_LESSON_WARM_COAST,  /* 25 degrees north */
    WG_LESSON_N_WEATHERS
};

/** Daily series besides the counts. Temperatures are daily means unless stated. */
enum wg_lesson_series {
    WG_LESSON_OVERLAP,    /* effective number of generations past the egg; NaN when there are none */
    WG_LESSON_OUTDOOR_C,  /* air outdoors */
    WG_LESSON_AIR_C,      /* air around the bin */
    WG_LESSON_AIR_LOW_C,  /* coldest hour of that air */
    WG_LESSON_BIN_C,      /* substrate of the bin */
    WG_LESSON_GROUND_C,   /* pupation ground */
    WG_LESSON_CRAWL_OFF,  /* prepupae that left the bin */
    WG_LESSON_HARVEST_KG, /* fresh mass of those harvested */
    WG_LESSON_EGGS_LAID,
    WG_LESSON_HEATER_KWH,
    WG_LESSON_HEATER_COST, /* money */
    WG_LESSON_N_SERIES
};

/**
 * How a colony ended: what took most of the animals that were alive after its last eggs were laid. Everyday deaths
 * (WG_CAUSE_BACKGROUND) are named only where nothing else took any.
 */
enum wg_lesson_end {
    WG_LESSON_ALIVE,    /* on the last day */
    WG_LESSON_COLD,     /* cold and freezing */
    WG_LESSON_HEAT,     /* too hot */
    WG_LESSON_HUNGER,   /* starved */
    WG_LESSON_TAKEN,    /* nearly all were harvested */
    WG_LESSON_NO_YOUNG, /* flies that emerged and laid no eggs */
    WG_LESSON_EVERYDAY, /* everyday deaths */
    WG_LESSON_N_ENDS
};

/** What one number says of a life. Days as in the series. */
enum wg_lesson_fact {
    WG_LESSON_END,           /* enum wg_lesson_end */
    WG_LESSON_LAST_DAY,      /* last day with any alive */
    WG_LESSON_LAST_EGGS_DAY, /* last day on which eggs were laid; -1 if none were */
    WG_LESSON_LOST,         /* individuals that died after that day, and at the end TAKEN those harvested; 0 if alive */
    WG_LESSON_LOST_MOST,    /* those of them that the end names; at its end NO_YOUNG, the late flies */
    WG_LESSON_LATE_FLIES,   /* flies that emerged after that day; 0 if the colony is alive */
    WG_LESSON_LATE_AIR_C,   /* mean air temperature on their days; NaN without any */
    WG_LESSON_BREEDING_C,   /* air temperature from which flies mate and lay: a number of the species */
    WG_LESSON_MEAN_OVERLAP, /* mean of the overlap over the last year; NaN if none ever lived past the egg */
    WG_LESSON_TOTAL_HARVEST_KG,
    WG_LESSON_TOTAL_KWH,
    WG_LESSON_TOTAL_COST, /* money */
    WG_LESSON_N_FACTS
};

/** Opaque; owns its plan, model and diary. */
struct wg_lesson;

/** Returns a lesson with the initial values of the table, not yet simulated, or NULL if memory runs out. */
struct wg_lesson *wg_lesson_new(void);
/** NULL is safe. */
void wg_lesson_free(struct wg_lesson *lesson);

/** Minimum, maximum and initial value of a row of the table; NaN for an index out of range. */
double wg_lesson_least(int number);
double wg_lesson_most(int number);
double wg_lesson_first(int number);

/**
 * Sets a number for the next run. Returns 0, or -1 with nothing changed for an unknown number or a value out of range.
 */
int wg_lesson_set(struct wg_lesson *lesson, int number, double value);
/**
 * Prepares the model for lives with the present numbers. Returns 0, or a negative error with wg_lesson_problem(). There
 * are no results before wg_lesson_live_one().
 */
int wg_lesson_begin(struct wg_lesson *lesson);
/**
 * Simulates all days of life `life`, from 0: another draw of weather and luck. It is that replicate of the seed, whatever
 * was simulated before. Requires wg_lesson_begin(); returns as it does, or -1 for a negative life. May be repeated.
 */
int wg_lesson_live_one(struct wg_lesson *lesson, int life);
/** Does both for life 0. */
int wg_lesson_live(struct wg_lesson *lesson);
/** Returns the message of the last run, "" without an error. Owned by the lesson, valid until the next run. */
const char *wg_lesson_problem(const struct wg_lesson *lesson);

/** Days simulated: 0 before the first run and after an error. */
int wg_lesson_days(const struct wg_lesson *lesson);
/** Number of distinct generations: the starter is 0; numbers are reused (wg_plan_generations()). */
int wg_lesson_generations(const struct wg_lesson *lesson);
/**
 * Individuals at the end of a day, by enum wg_stage and generation. A double, for JavaScript; exact below 2^53, and a
 * fed colony stays far below. NaN for an index out of range.
 */
double wg_lesson_count(const struct wg_lesson *lesson, int day, int stage, int generation);
/** A value of enum wg_lesson_series; NaN for an index out of range. */
double wg_lesson_value(const struct wg_lesson *lesson, int day, int series);
/** A value of enum wg_lesson_fact of the life; NaN for an index out of range or without results. */
double wg_lesson_fact(const struct wg_lesson *lesson, int fact);
/**
 * First day on which an overwintered fly emerged in spring; -1 if none did, or if flies emerged all winter
 * (wg_diary_is_spring()).
 */
int wg_lesson_spring_day(const struct wg_lesson *lesson);
/** Maximum power of the heater of the last run, W; 0 without one. */
double wg_lesson_heater_w(const struct wg_lesson *lesson);
/** Its shortfall in the worst hour, W. */
double wg_lesson_heater_short_w(const struct wg_lesson *lesson);

#endif
