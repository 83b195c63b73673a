/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * libwintergrub: forecasts for black soldier fly colonies, as a library.
 *
 * A keeper's plan (a YAML text: place, climate, housing, starter, feeding, actions) is simulated many times, each
 * replicate with different weather and random events, and the outcomes are summarised: odds, dates, kilograms, cost.
 * Link with `pkg-config --cflags --libs wintergrub`, or in CMake find_package(wintergrub) and wintergrub::wintergrub.
 *
 * A complete program (a test compiles and runs it; src/library/examples/ has more, with a parameter sweep):
 *
 * @code
 * #include <wintergrub/wintergrub.h>
 *
 * #include <stdio.h>
 *
 * static const char text[] = "period: {from: 2026-01-01, to: 2026-04-30}\n"
 *                            "climate: {constant: 27 degC}\n"
 *                            "places: [{name: bench, housing: {kind: laboratory}, bins: [{name: tray}]}]\n"
 *                            "starter: [{on: 2026-01-01, in: tray, stage: egg, count: 1000}]\n"
 *                            "feeding: unlimited\n"
 *                            "forecast: {replicates: 50, seed: 1}\n";
 *
 * static int print_replicate(void *self, int64_t number, const wintergrub_replicate *replicate) {
 *     double day;
 *     (void)self;
 *     if (number < 3 && wintergrub_replicate_outcome(replicate, "first_egg_day", &day) == 0)
 *         printf("replicate %d: first eggs on day %.0f\n", (int)number, day);
 *     return 0;
 * }
 *
 * int main(void) {
 *     struct wintergrub_error error;
 *     struct wintergrub_spread mass;
 *     wintergrub_plan *plan;
 *     wintergrub_ensemble *ensemble = NULL;
 *     int code = wintergrub_plan_from_text(&plan, text, NULL, NULL, &error);
 *     if (code == 0)
 *         code = wintergrub_ensemble_new(&ensemble, plan, &error);
 *     if (code == 0) {
 *         wintergrub_ensemble_on_replicate(ensemble, print_replicate, NULL);
 *         code = wintergrub_ensemble_run(ensemble, &error);
 *     }
 *     if (code == 0)
 *         code = wintergrub_summary_spread(wintergrub_ensemble_summary(ensemble), "total_crawl_off_mass", &mass,
 *                                          &error);
 *     if (code == 0)
 *         printf("crawl-off: %.3f kg (5 %% to 95 %%: %.3f to %.3f kg)\n", mass.mean, mass.q05, mass.q95);
 *     else
 *         fprintf(stderr, "%s: %s\n", error.where, error.text);
 *     wintergrub_ensemble_free(ensemble);
 *     wintergrub_plan_free(plan);
 *     return wintergrub_exit_status(code);
 * }
 * @endcode
 *
 * Names. Public names begin with wintergrub_ or WINTERGRUB_, internal ones with wg_, so the two never clash. The shared
 * library exports the functions below and nothing else.
 *
 * Errors. A function that can fail returns 0, a positive outcome that its comment names, or a negative code of enum
 * wintergrub_code. On failure it fills *error, which needs no initialisation, is unchanged otherwise, and may be NULL;
 * the object it should have made is then NULL. A function that does not return an int cannot fail, except as noted. The
 * library prints nothing and never ends the process, with one exception: if it finds its own state impossible, it
 * prints one line and calls abort(), because any further numbers would be wrong.
 *
 * Ownership. A function with a pointer to a pointer as an argument returns a new object there, which the caller frees
 * with the ..._free of its type; every ..._free accepts NULL. Strings and objects returned as const are borrowed: they
 * are valid until the object they come from is freed or changed, or always if they come from no object. Output arrays
 * belong to the caller. Passing NULL for any other pointer is undefined, unless a comment allows it.
 *
 * Threads. The library has no global variables. Different threads may use different objects at once, or the same object
 * if it is const in all the calls. Result files are the exception: HDF5 is not thread-safe, so only one call that reads
 * or writes a result (or the program's own use of HDF5) may run at a time. A plan or
 * world must not change while something made from it is in use. Locale: numbers are read and written in the C locale,
 * whatever locale the program has set. Opening a result switches off HDF5's own messages for the whole process.
 * If memory runs out inside GSL, the process ends, unless the program has called gsl_set_error_handler_off(). A program
 * that writes results should ignore SIGXFSZ, so that too large a file is only an error.
 *
 * Units. degC, days, kilograms of fresh mass unless a name says dry, grams for single animals, W, kWh; money in the
 * currency of the plan. Days in outcomes and series are counted from 0, the first day of the period. Shares are from 0
 * to 1. NaN means "did not happen" or "not known".
 *
 * The same plan, seed and replicate number give the same bytes: with any number of threads, in the library and in the
 * program `wintergrub`, on every processor.
 */
#ifndef WINTERGRUB_WINTERGRUB_H
#define WINTERGRUB_WINTERGRUB_H

#include <stddef.h>
#include <stdint.h>

#if defined(__GNUC__)
#define WINTERGRUB_API __attribute__((visibility("default")))
#else
#define WINTERGRUB_API
#endif

#ifdef __cplusplus
extern "C" {
#endif

/* ---- version ---- */

/* Before 1.0.0 a new MINOR may change what is declared here; a new PATCH does not. */
#define WINTERGRUB_VERSION_MAJOR 0
#define WINTERGRUB_VERSION_MINOR 2
#define WINTERGRUB_VERSION_PATCH 0
/** The version as one number, for comparisons: 10000 MAJOR + 100 MINOR + PATCH. */
#define WINTERGRUB_VERSION_NUMBER                                                                                      \
    (10000 * WINTERGRUB_VERSION_MAJOR + 100 * WINTERGRUB_VERSION_MINOR + WINTERGRUB_VERSION_PATCH)
#define WINTERGRUB_VERSION_QUOTE(a, b, c) #a "." #b "." #c
#define WINTERGRUB_VERSION_JOIN(a, b, c) WINTERGRUB_VERSION_QUOTE(a, b, c)
/** "0.2.0": the version compiled against. */
#define WINTERGRUB_VERSION                                                                                             \
    WINTERGRUB_VERSION_JOIN(WINTERGRUB_VERSION_MAJOR, WINTERGRUB_VERSION_MINOR, WINTERGRUB_VERSION_PATCH)
/** Returns the version linked, as WINTERGRUB_VERSION. */
WINTERGRUB_API const char *wintergrub_version(void);
/** Returns the version linked, as WINTERGRUB_VERSION_NUMBER. */
WINTERGRUB_API int wintergrub_version_number(void);

/* ---- errors ---- */

enum wintergrub_code {
    WINTERGRUB_STOPPED = 1,        /* ended early at the program's request; not an error */
    WINTERGRUB_ERR_USAGE = -1,     /* an invalid call: an unknown name, an array of the wrong size */
    WINTERGRUB_ERR_INPUT = -2,     /* the plan has a mistake */
    WINTERGRUB_ERR_OVERGROWN = -3, /* the colony outgrew what can be counted: give a feeding plan or a shorter period */
    WINTERGRUB_ERR_FILE = -4,      /* a file could not be read or written */
    WINTERGRUB_ERR_EXISTS = -5,    /* the file exists and may not be replaced */
    WINTERGRUB_ERR_FORMAT = -6,    /* the file is not a result, is damaged, or is from another version */
    WINTERGRUB_ERR_MEMORY = -7,    /* there is not enough memory */
    WINTERGRUB_ERR_THREAD = -8,    /* a thread could not be started */
    WINTERGRUB_ERR_INTERNAL = -9   /* a bug in wintergrub */
};

struct wintergrub_error {
    int code;
    char where[160]; /* "file:line:column", a path, a name; may be empty */
    char text[640];  /* one or more plain sentences in UTF-8, no newline at the end */
};

/** Returns a plain sentence for a code; "no error" for 0 and above. */
WINTERGRUB_API const char *wintergrub_error_sentence(int code);
/**
 * Returns the exit status that the program `wintergrub` gives for a code: 0 for 0 and above, 2 usage, 3 the input (a
 * mistake, overgrown, not a result), 4 a file, 5 memory, threads, internal.
 */
WINTERGRUB_API int wintergrub_exit_status(int code);

/* ---- mistakes of a plan ---- */

/** All mistakes of one text, in order of position; 30 at most, then one that says that there are more. */
typedef struct wintergrub_mistakes wintergrub_mistakes;
struct wintergrub_mistake {
    int line, column; /* from 1, in characters; 0 for the text as a whole */
    const char *text; /* what is wrong and what is expected, one or two sentences */
    const char *base; /* the file in which it stands, if the plan is based on it; NULL: in the text itself; borrowed */
};
/** Returns how many there are; 0 for NULL. */
WINTERGRUB_API size_t wintergrub_mistakes_count(const wintergrub_mistakes *mistakes);
/** Returns mistake i, 0 <= i < count; its text is borrowed, and NULL for any other i. */
WINTERGRUB_API struct wintergrub_mistake wintergrub_mistakes_get(const wintergrub_mistakes *mistakes, size_t i);
/**
 * Returns mistake i as text for people: position, sentence, and the line with a caret under the position; control
 * characters of the text are masked. The caller frees it with free(). NULL: out of memory, or no such mistake.
 */
WINTERGRUB_API char *wintergrub_mistakes_show(const wintergrub_mistakes *mistakes, size_t i);
WINTERGRUB_API void wintergrub_mistakes_free(wintergrub_mistakes *mistakes);

/* ---- plans ---- */

/** A plan that can be simulated; a text with a mistake gives no plan. */
typedef struct wintergrub_plan wintergrub_plan;

/**
 * Reads a plan from a YAML file of at most 256 KiB; scenarios/README.md lists its keys. A weather record
 * that it names is read from its folder or a folder below. `mistakes` may be NULL. Returns 0, with *mistakes NULL;
 * WINTERGRUB_ERR_INPUT, with all mistakes in *mistakes and the first one in *error; WINTERGRUB_ERR_FILE;
 * WINTERGRUB_ERR_MEMORY. To check a file only, free the plan at once.
 */
WINTERGRUB_API int wintergrub_plan_read(wintergrub_plan **plan, const char *path, wintergrub_mistakes **mistakes,
                                        struct wintergrub_error *error);
/**
 * Reads a plan from a text. `record`, unless NULL, is the text of the weather file and replaces the file that the plan
 * names; if NULL, that file is read from the current folder or a folder below. Otherwise as wintergrub_plan_read().
 */
WINTERGRUB_API int wintergrub_plan_from_text(wintergrub_plan **plan, const char *text, const char *record,
                                             wintergrub_mistakes **mistakes, struct wintergrub_error *error);
/**
 * Makes a minimal plan: one laboratory tray at constant temperature, `eggs` eggs on the first day, kitchen scraps every
 * day or, for feed_kg_week 0, unlimited feed; 512 replicates, seed 1. Dates are "2026-01-31". WINTERGRUB_ERR_INPUT
 * names the first value that is not allowed.
 */
WINTERGRUB_API int wintergrub_plan_laboratory(wintergrub_plan **plan, const char *from, const char *to,
                                              double temperature_c, int64_t eggs, double feed_kg_week,
                                              struct wintergrub_error *error);
/**
 * Makes the same with one bin outdoors, in weather generated from monthly normals: mean daily highest and lowest air
 * temperatures in degC, January first; latitude in degrees, negative in the south.
 */
WINTERGRUB_API int wintergrub_plan_outdoors(wintergrub_plan **plan, const char *from, const char *to,
                                            double latitude_deg, const double daily_high_c[12],
                                            const double daily_low_c[12], int64_t eggs, double feed_kg_week,
                                            struct wintergrub_error *error);
WINTERGRUB_API void wintergrub_plan_free(wintergrub_plan *plan);

/** Returns its YAML text as it was read or made, a start for a larger plan. */
WINTERGRUB_API const char *wintergrub_plan_text(const wintergrub_plan *plan);
/** Returns its title, or the name of its file if it has none. */
WINTERGRUB_API const char *wintergrub_plan_name(const wintergrub_plan *plan);
/** Returns a description of the plan, about a screenful. The caller frees it with free(). NULL: out of memory. */
WINTERGRUB_API char *wintergrub_plan_describe(const wintergrub_plan *plan);
/** Returns the length of its period in days, at least 1. */
WINTERGRUB_API int wintergrub_plan_days(const wintergrub_plan *plan);
/** Returns its first day as days since 1970-01-01. */
WINTERGRUB_API int32_t wintergrub_plan_first_day(const wintergrub_plan *plan);
WINTERGRUB_API int64_t wintergrub_plan_replicates(const wintergrub_plan *plan);
WINTERGRUB_API uint64_t wintergrub_plan_seed(const wintergrub_plan *plan);

/** Returns the latitude of the site in degrees, negative in the south; NaN for a constant temperature. */
WINTERGRUB_API double wintergrub_plan_latitude(const wintergrub_plan *plan);

/** Sets the number of replicates, 1 to 1,000,000; otherwise returns WINTERGRUB_ERR_USAGE and changes nothing. */
WINTERGRUB_API int wintergrub_plan_set_replicates(wintergrub_plan *plan, int64_t replicates,
                                                  struct wintergrub_error *error);
/** Sets the seed of all random numbers. */
WINTERGRUB_API void wintergrub_plan_set_seed(wintergrub_plan *plan, uint64_t seed);
/**
 * Makes a copy that can be changed or run by itself, with the same seed, replicates and numbers. A weather record is copied,
 * not read again. Returns 0 or WINTERGRUB_ERR_MEMORY.
 */
WINTERGRUB_API int wintergrub_plan_copy(wintergrub_plan **copy, const wintergrub_plan *plan,
                                        struct wintergrub_error *error);
/**
 * Makes a plan that differs from another in one value of its text, with the same seed, replicates and numbers set. `key`
 * names it as `--vary` of the program does: "starter.1.count", "places.shed.heater.set_point". `value` is written as in
 * the plan: "500", "65 degF", "2026-10-01". Returns 0; WINTERGRUB_ERR_USAGE: not a value for this key;
 * WINTERGRUB_ERR_INPUT: the text has no such key, or the plan would have a mistake; WINTERGRUB_ERR_MEMORY.
 */
WINTERGRUB_API int wintergrub_plan_vary(wintergrub_plan **varied, const wintergrub_plan *plan, const char *key,
                                        const char *value, struct wintergrub_error *error);

/** A number of the animal. */
struct wintergrub_number {
    const char *name, *unit, *meaning; /* unit "1": a plain number */
    const char *source;                /* published (author year), MEMORY, common practice, derived or judgement */
    double least, most;                /* what a plan may set */
    double low, high;                  /* the plausible range */
};
/** Describes number i of the animal, from 0. Returns 0, or WINTERGRUB_ERR_USAGE after the last one. */
WINTERGRUB_API int wintergrub_number(int i, struct wintergrub_number *number);
/**
 * Reads a number of the plan's middle animal by its name; the plausible animals differ from it, unless it was set.
 * Returns 0 or WINTERGRUB_ERR_USAGE: no such number.
 */
WINTERGRUB_API int wintergrub_plan_number(const wintergrub_plan *plan, const char *name, double *value);
/**
 * Sets a number of the animal by its name in the group `species` of a plan, in the unit used there: the same in all
 * plausible animals. Returns
 * WINTERGRUB_ERR_USAGE for an unknown number and WINTERGRUB_ERR_INPUT for a value out of range, and then changes
 * nothing. Only wintergrub_plan_check() finds numbers that contradict each other, so that two can be changed one after
 * the other.
 */
WINTERGRUB_API int wintergrub_plan_set_number(wintergrub_plan *plan, const char *name, double value,
                                              struct wintergrub_error *error);
/** Returns 0 if the plan can be simulated, or WINTERGRUB_ERR_INPUT with the first problem. */
WINTERGRUB_API int wintergrub_plan_check(const wintergrub_plan *plan, struct wintergrub_error *error);

/** Returns the number of goals of the plan, at most 8. */
WINTERGRUB_API int wintergrub_plan_goals(const wintergrub_plan *plan);
/**
 * Writes goal i, 0 <= i < their number, in words, without a full stop, cut to `size` bytes (200 suffice). Returns the wanted
 * chance; NaN, with an empty text, if there is no such goal.
 */
WINTERGRUB_API double wintergrub_plan_goal(const wintergrub_plan *plan, int i, char *text, size_t size);

/**
 * Returns caution i of those that concern the plan, from 0: safety of heaters, animals in a refrigerator, the law where
 * animals are taken out, doubtful assumptions. NULL after the last one.
 */
WINTERGRUB_API const char *wintergrub_plan_caution(const wintergrub_plan *plan, int i);

/* ---- outcomes and series of a replicate ---- */

/** The columns of a series, each with one value a day. */
enum wintergrub_per {
    WINTERGRUB_PER_DAY, /* one column */
    WINTERGRUB_PER_STAGE,
    WINTERGRUB_PER_PLACE,
    WINTERGRUB_PER_BIN,
    WINTERGRUB_PER_CAUSE /* of death */
};
/** An outcome (one number per replicate) or a series (columns with one number per day). */
struct wintergrub_variable {
    const char *name, *unit, *meaning; /* the same as in result files; unit "1": a plain number */
    enum wintergrub_per per;           /* of a series */
    int missing_is_later; /* of an outcome: 1 if quantiles count "did not happen" as later than all others */
    int is_count;         /* of a series: 1 if all values are whole numbers */
};
/** Returns outcome i, from 0; NULL after the last one. */
WINTERGRUB_API const struct wintergrub_variable *wintergrub_outcome(int i);
/** Returns series i, from 0; NULL after the last one. */
WINTERGRUB_API const struct wintergrub_variable *wintergrub_series(int i);
/** Returns 1 if outcome i is a day of the period, which result files store as a date; otherwise 0. */
WINTERGRUB_API int wintergrub_outcome_is_date(int i);
/** Returns what the values of series i are, by the CF conventions: "time: sum"; NULL after the last one. */
WINTERGRUB_API const char *wintergrub_series_cell_methods(int i);
/** Returns the CF standard name of series i; NULL: the convention has none. */
WINTERGRUB_API const char *wintergrub_series_standard_name(int i);
/** Returns the number of columns of such a series in this plan: 1, or one per stage, place, bin or cause. */
WINTERGRUB_API int wintergrub_plan_columns(const wintergrub_plan *plan, enum wintergrub_per per);
/**
 * Returns the name of such a column, "larva" or the name of a bin; "" for WINTERGRUB_PER_DAY; NULL: no such column.
 */
WINTERGRUB_API const char *wintergrub_plan_column(const wintergrub_plan *plan, enum wintergrub_per per, int column);
/** Returns the number of the place in which a bin stands, both from 0; -1: no such bin. */
WINTERGRUB_API int wintergrub_plan_bin_place(const wintergrub_plan *plan, int bin);
/**
 * Returns 1 if result files of the plan hold an outcome or series of this name, otherwise 0: of money without prices, of
 * neighbours without any, and of what another series has: with one bin, series by bin that would repeat the total; with one
 * place, outdoors, the temperature of its air.
 */
WINTERGRUB_API int wintergrub_plan_stores(const wintergrub_plan *plan, const char *name);

/** One simulated replicate. */
typedef struct wintergrub_replicate wintergrub_replicate;
/**
 * Reads an outcome by name into *value, NaN if it did not happen. Returns 0 or WINTERGRUB_ERR_USAGE: no such
 * outcome.
 */
WINTERGRUB_API int wintergrub_replicate_outcome(const wintergrub_replicate *replicate, const char *name, double *value);
/**
 * Copies a column of a series, one value a day, into values[n]; n must be the days of the plan. Returns 0 or
 * WINTERGRUB_ERR_USAGE: no such series or column, wrong n. Counts are exact up to 2^53.
 */
WINTERGRUB_API int wintergrub_replicate_series(const wintergrub_replicate *replicate, const char *name, int column,
                                               double *values, size_t n);

/**
 * Returns the number of the plausible animal that lives in the replicate, from 0; -1: the middle animal. Replicates of one
 * animal differ in weather and chance only.
 */
WINTERGRUB_API int wintergrub_replicate_animal(const wintergrub_replicate *replicate);
/** Returns the number of its winter, from 0: replicates of one winter have the same weather and mishaps. */
WINTERGRUB_API int64_t wintergrub_replicate_winter(const wintergrub_replicate *replicate);

/* ---- single replicates, for programs with their own threads ---- */

/** The data that all replicates of a plan share, computed once (in milliseconds). Borrows the plan. */
typedef struct wintergrub_world wintergrub_world;
/** Returns 0, WINTERGRUB_ERR_INPUT (see wintergrub_plan_check()) or WINTERGRUB_ERR_MEMORY. */
WINTERGRUB_API int wintergrub_world_new(wintergrub_world **world, const wintergrub_plan *plan,
                                        struct wintergrub_error *error);
WINTERGRUB_API void wintergrub_world_free(wintergrub_world *world);
/** Makes a replicate; each thread needs its own. Borrows the world. Nothing can be read before a run. */
WINTERGRUB_API int wintergrub_replicate_new(wintergrub_replicate **replicate, const wintergrub_world *world,
                                            struct wintergrub_error *error);
/**
 * Simulates replicate `number` (0 or above), the same as the ensemble's of that number. Returns 0,
 * WINTERGRUB_ERR_USAGE, WINTERGRUB_ERR_OVERGROWN or WINTERGRUB_ERR_MEMORY; after a failure nothing can be read.
 */
WINTERGRUB_API int wintergrub_replicate_run(wintergrub_replicate *replicate, int64_t number,
                                            struct wintergrub_error *error);
WINTERGRUB_API void wintergrub_replicate_free(wintergrub_replicate *replicate);

/* ---- ensembles ---- */

/** All replicates of a plan, on several threads. Borrows the plan. */
typedef struct wintergrub_ensemble wintergrub_ensemble;
/** Statistics over the replicates of a run. */
typedef struct wintergrub_summary wintergrub_summary;

/** Returns 0 or WINTERGRUB_ERR_MEMORY. */
WINTERGRUB_API int wintergrub_ensemble_new(wintergrub_ensemble **ensemble, const wintergrub_plan *plan,
                                           struct wintergrub_error *error);
WINTERGRUB_API void wintergrub_ensemble_free(wintergrub_ensemble *ensemble);
/** Sets the number of threads: 0, the default, is one per processor; at most 256 are started. */
WINTERGRUB_API void wintergrub_ensemble_set_threads(wintergrub_ensemble *ensemble, int threads);
/**
 * Sets a function to call with each replicate, in order 0, 1, 2, ..., in the thread that called
 * wintergrub_ensemble_run(); NULL: none. It borrows the replicate until it returns. If it does not return 0, the run
 * stops.
 */
WINTERGRUB_API void wintergrub_ensemble_on_replicate(wintergrub_ensemble *ensemble,
                                                     int (*call)(void *self, int64_t number,
                                                                 const wintergrub_replicate *replicate),
                                                     void *self);
/**
 * Makes later runs write a result file (HDF5, netCDF-4, CF) with every series and outcome, the plan and all that is
 * needed to repeat the run. It appears under its name only when complete; an existing file is replaced if `replace` is
 * not 0, and otherwise the run fails. The file stores `note` (NULL: none) as its command line. `path` NULL: no file.
 * Returns 0 or WINTERGRUB_ERR_MEMORY.
 */
WINTERGRUB_API int wintergrub_ensemble_write(wintergrub_ensemble *ensemble, const char *path, int replace,
                                             const char *note, struct wintergrub_error *error);
/**
 * Simulates all replicates of the plan and summarises them. Returns 0; WINTERGRUB_STOPPED, with no file written and the
 * summary of the replicates so far; WINTERGRUB_ERR_INPUT (see wintergrub_plan_check()), _OVERGROWN, _MEMORY, _THREAD;
 * _USAGE if this ensemble is running already, in another thread or in its own callback, which goes on undisturbed;
 * with a file also _FILE and _EXISTS, which leave an old file unchanged. It can be called again, also after a change of
 * the plan.
 */
WINTERGRUB_API int wintergrub_ensemble_run(wintergrub_ensemble *ensemble, struct wintergrub_error *error);
/** Asks the current or else the next run to stop soon. May be called from any thread or signal handler. */
WINTERGRUB_API void wintergrub_ensemble_stop(wintergrub_ensemble *ensemble);
/**
 * Returns the summary of the last run, borrowed until the next one; NULL before the first one and after a failed one.
 */
WINTERGRUB_API const wintergrub_summary *wintergrub_ensemble_summary(const wintergrub_ensemble *ensemble);

/* ---- summaries ---- */

struct wintergrub_spread {
    int64_t n, happened;            /* number of replicates, and of those in which it happened */
    double mean;                    /* over those; NaN if none */
    double q05, q25, q50, q75, q95; /* quantiles (Hyndman and Fan, type 7); INFINITY: not by the end in that quantile */
};
struct wintergrub_share {
    int64_t hits, n;
    double share, low, high; /* with a 95 % interval (Wilson 1927; clustered where replicates share animals or winters);
                                share is NaN for n = 0 */
};
/** Returns the number of replicates in the summary. */
WINTERGRUB_API int64_t wintergrub_summary_replicates(const wintergrub_summary *summary);
/** Returns the values of an outcome, in order of replicates, borrowed; NULL: no such outcome. */
WINTERGRUB_API const double *wintergrub_summary_values(const wintergrub_summary *summary, const char *outcome);
/**
 * Computes the mean and quantiles of an outcome. Returns 0, WINTERGRUB_ERR_USAGE: no such outcome, or
 * WINTERGRUB_ERR_MEMORY.
 */
WINTERGRUB_API int wintergrub_summary_spread(const wintergrub_summary *summary, const char *outcome,
                                             struct wintergrub_spread *spread, struct wintergrub_error *error);
/**
 * Computes the share of replicates in which an outcome is between two values, both included; an outcome that did not
 * happen never is. Odds of survival: "survived", 1, 1. Returns 0, WINTERGRUB_ERR_USAGE: no such outcome, or
 * WINTERGRUB_ERR_MEMORY.
 */
WINTERGRUB_API int wintergrub_summary_share(const wintergrub_summary *summary, const char *outcome, double least,
                                            double most, struct wintergrub_share *share,
                                            struct wintergrub_error *error);
/**
 * Computes the share of replicates in which goal i of the plan was met. Returns 0, WINTERGRUB_ERR_USAGE: no such
 * goal, or WINTERGRUB_ERR_MEMORY.
 */
WINTERGRUB_API int wintergrub_summary_goal(const wintergrub_summary *summary, int i, struct wintergrub_share *share,
                                           struct wintergrub_error *error);

/** Returns the number of warnings of the run: a heater too weak, a bin too hot, weeks with too little feed, ... */
WINTERGRUB_API int wintergrub_summary_warnings(const wintergrub_summary *summary);
/**
 * Writes warning i, 0 <= i < their number, as whole sentences, cut to `size` bytes (512 suffice). Returns the number of
 * replicates in which it happened; 0, with an empty text, if there is no such warning.
 */
WINTERGRUB_API int64_t wintergrub_summary_warning(const wintergrub_summary *summary, int i, char *text, size_t size);

/* ---- comparisons ---- */

/** An outcome under one plan minus that under another, replicate by replicate. */
struct wintergrub_difference {
    int64_t n;                              /* replicates in which it happened under both */
    double mean, sd, low, high;             /* of the difference; with the 95 % interval of the mean */
    int64_t better, worse, ties;            /* replicates */
    double chance, chance_low, chance_high; /* that it is better, with a 95 % interval; a tie is not better */
    int64_t animals_better, animals_same, animals_worse; /* plausible animals, by their mean difference */
    double
        variance_factor; /* what the shared weather saves: independent replicates would have to be so many times more */
    int less_is_better;  /* 1: of this outcome less is better */
};
/** Returns the name of outcome i of those that can be compared, from 0; NULL after the last one. */
WINTERGRUB_API const char *wintergrub_compared(int i);
/**
 * Computes the difference of a compared outcome, `summary` minus `base`, as the command `compare` does. Both runs must be
 * complete and have the same number of replicates and seed, so that they share the weather. Returns 0;
 * WINTERGRUB_ERR_USAGE: no such outcome, or runs that do not match; WINTERGRUB_ERR_INPUT: the plans have different
 * weather, periods or currencies, or only one of them lives plausible animals; WINTERGRUB_ERR_MEMORY.
 */
WINTERGRUB_API int wintergrub_summary_difference(const wintergrub_summary *base, const wintergrub_summary *summary,
                                                 const char *outcome, struct wintergrub_difference *difference,
                                                 struct wintergrub_error *error);

/* ---- results ---- */

/** An open result file. */
typedef struct wintergrub_result wintergrub_result;
/** Returns 0, WINTERGRUB_ERR_FILE, WINTERGRUB_ERR_FORMAT or WINTERGRUB_ERR_MEMORY. */
WINTERGRUB_API int wintergrub_result_open(wintergrub_result **result, const char *path, struct wintergrub_error *error);
WINTERGRUB_API void wintergrub_result_free(wintergrub_result *result);
WINTERGRUB_API int64_t wintergrub_result_replicates(const wintergrub_result *result);
/**
 * Reads the values of an outcome, in order of replicates, into values[n]; n must be their number. Returns 0;
 * WINTERGRUB_ERR_USAGE: no such outcome, wrong n; WINTERGRUB_ERR_FORMAT: damaged; WINTERGRUB_ERR_MEMORY.
 */
WINTERGRUB_API int wintergrub_result_outcome(wintergrub_result *result, const char *name, double *values, size_t n,
                                             struct wintergrub_error *error);
/**
 * Restores the plan of the result: its text and weather, seed, number of replicates and numbers of the animal. To
 * repeat a result, run it with another path and compare the two. Returns 0, WINTERGRUB_ERR_INPUT, _FORMAT or _MEMORY.
 */
WINTERGRUB_API int wintergrub_result_plan(const wintergrub_result *result, wintergrub_plan **plan,
                                          struct wintergrub_error *error);

enum wintergrub_comparison {
    WINTERGRUB_SAME = 0,        /* bit for bit */
    WINTERGRUB_DIFFERENT = 1,   /* `what` names the first number that differs */
    WINTERGRUB_SAME_NUMBERS = 2 /* bit for bit, but described differently; `what` names the first difference */
};
/**
 * Compares two result files, except for time, note and software versions. Writes into what[size]; 256 suffice. Returns
 * an enum wintergrub_comparison, WINTERGRUB_ERR_FILE, WINTERGRUB_ERR_FORMAT or WINTERGRUB_ERR_MEMORY.
 */
WINTERGRUB_API int wintergrub_result_compare(const char *path_a, const char *path_b, char *what, size_t size,
                                             struct wintergrub_error *error);

#ifdef __cplusplus
}
#endif

#endif
