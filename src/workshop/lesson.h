/**
 * A lesson: one colony from a handful of numbers, lived from first day to last,
 * then read day by day.
 *
 * It is the same model as that of a forecast, one replicate of it; the lesson
 * only makes the plan. scripts/build-workshop compiles it for a web page, whose
 * sliders are the numbers below: so everything here is int, double or a pointer,
 * and nothing prints, reads or writes.
 */
#ifndef WG_WORKSHOP_LESSON_H
#define WG_WORKSHOP_LESSON_H

/* name, least, most, first value. What the sliders can do; the ranges are judgement: what a class may try. */
#define WG_LESSON_TABLE(X)                                                                                             \
    X(DAYS, 30, 730, 365)        /* days to live through */                                                            \
    X(WEATHER, 0, 3, 0)          /* 0 one steady temperature, else a year of enum wg_lesson_weather */                 \
    X(TEMP_C, 10, 42, 28)        /* that steady temperature, degC */                                                   \
    X(SHELTER, 0, 3, 0)          /* with a year: outdoors, hoop house, greenhouse, shed (enum wg_housing_kind) */      \
    X(HEATER, 0, 1, 0)           /* 1: a heater in that shelter; outdoors has none to put it in */                     \
    X(SET_POINT_C, 5, 30, 25)    /* what the heater holds, degC */                                                     \
    X(PRICE, 0, 2, 0.15)         /* money per kWh */                                                                   \
    X(STARTER, 100, 50000, 5000) /* individuals: eggs at a steady temperature, five-day larvae in a year */            \
    X(CLUTCH_LOW, 100, 1000, 400)                                                                                      \
    X(CLUTCH_HIGH, 100, 1000, 900) /* eggs a female lays; the smaller of the two counts as the low end */              \
    X(FEED_KG, 0, 10, 1)           /* kitchen scraps a day, kg as they come */                                         \
    X(CATCH, 0, 1, 0.5)            /* share of the crawl-off that is harvested; the rest lives on */                   \
    X(SEED, 0, 999999, 1)          /* another number, other luck */

enum wg_lesson_number {
#define WG_LESSON_ENUM(name, least, most, first) WG_LESSON_##name,
    WG_LESSON_TABLE(WG_LESSON_ENUM)
#undef WG_LESSON_ENUM
        WG_LESSON_N_NUMBERS
};

/** The years a lesson can have, all of invented sites and from 15 September on. */
enum wg_lesson_weather {
    WG_LESSON_STEADY,
    WG_LESSON_MILD_WINTER, /* humid subtropical, 32 degrees north */
    WG_LESSON_COLD_WINTER, /* continental, 42 degrees north */
    WG_LESSON_WARM_COAST,  /* 25 degrees north */
    WG_LESSON_N_WEATHERS
};

/** What can be read of a day beside the counts. Temperatures are means of the day unless said. */
enum wg_lesson_series {
    WG_LESSON_OVERLAP,    /* effective number of generations past the egg; NaN when there are none */
    WG_LESSON_OUTDOOR_C,  /* air outdoors */
    WG_LESSON_AIR_C,      /* air where the bin stands */
    WG_LESSON_AIR_LOW_C,  /* its coldest hour */
    WG_LESSON_BIN_C,      /* in the bin */
    WG_LESSON_GROUND_C,   /* where prepupae dig in */
    WG_LESSON_CRAWL_OFF,  /* prepupae that left the bin */
    WG_LESSON_HARVEST_KG, /* of those, what was harvested, fresh kg */
    WG_LESSON_EGGS_LAID,
    WG_LESSON_HEATER_KWH,
    WG_LESSON_HEATER_COST, /* money */
    WG_LESSON_N_SERIES
};

/** Opaque: owns its plan, its colony and all it remembers. */
struct wg_lesson;

/** With the first values of the table, nothing lived yet; NULL when there is no memory. */
struct wg_lesson *wg_lesson_new(void);
/** NULL is safe. */
void wg_lesson_free(struct wg_lesson *lesson);

/** Rows of the table by index, for whoever draws the sliders; NaN for an index outside. */
double wg_lesson_least(int number);
double wg_lesson_most(int number);
double wg_lesson_first(int number);

/** Sets a number for the next life. 0, or -1 and nothing changed: no such number, or a value outside its range (NaN too). */
int wg_lesson_set(struct wg_lesson *lesson, int number, double value);
/** Lives all days. 0; or a negative error whose sentence is wg_lesson_problem(), and there is nothing to read. May be repeated. */
int wg_lesson_live(struct wg_lesson *lesson);
/** "" when all is well. Owned by the lesson, good until it lives again. */
const char *wg_lesson_problem(const struct wg_lesson *lesson);

/** Days lived: 0 before the first life and after an error. */
int wg_lesson_days(const struct wg_lesson *lesson);
/** Generations that are told apart: the starter is 0; after the last number counting begins at 0 again. */
int wg_lesson_generations(const struct wg_lesson *lesson);
/**
 * Individuals at the end of a day, by enum wg_stage and generation. A double, because a web page has no 64-bit counts;
 * exact below 2^53, and a fed colony stays far below. NaN outside.
 */
double wg_lesson_count(const struct wg_lesson *lesson, int day, int stage, int generation);
/** One of enum wg_lesson_series. NaN outside. */
double wg_lesson_value(const struct wg_lesson *lesson, int day, int series);
/**
 * First day on which a fly that overwintered came out in spring; -1 where none did, or where flies came out all winter, so
 * that spring's cannot be told (wg_diary_is_spring()).
 */
int wg_lesson_spring_day(const struct wg_lesson *lesson);
/** Most heat the heater of the last life gives, W; 0 without one. */
double wg_lesson_heater_w(const struct wg_lesson *lesson);
/** What it lacked in its worst hour to hold the set point, W. */
double wg_lesson_heater_short_w(const struct wg_lesson *lesson);

#endif
