/**
 * What stands behind the opaque types of wintergrub.h (private to library/).
 */
#ifndef WG_LIBRARY_PUBLIC_H
#define WG_LIBRARY_PUBLIC_H

#include "analysis/goal_tally.h"
#include "forecast/replicate.h"
#include "forecast/summary.h"
#include "results/result_data.h"
#include "scenario/scenario.h"
#include <wintergrub/wintergrub.h>

#include <locale.h>

struct wintergrub_mistakes {
    struct wg_mistakes list;
};

struct wintergrub_plan {
    struct wg_scenario scenario;
};

struct wintergrub_world {
    struct wg_world world;
};

struct wintergrub_replicate {
    const struct wg_diary *diary; /* to read from; NULL: nothing yet */
    struct wg_diary own;          /* of one that the program runs itself */
    struct wg_simulator simulator;
};

struct wintergrub_summary {
    struct wg_summary outcomes;
    struct wg_goal_tally goals;
};

struct wintergrub_result {
    struct wg_result_data data;
};

/** Copies an error into the caller's, which may be NULL. Returns its code. */
int wg_public_error(struct wintergrub_error *out, const struct wg_error *err);
/** Makes an error of the library's own. Returns `code`. */
int wg_public_fail(struct wintergrub_error *out, int code, const char *where, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

/** The C locale for a while, in this thread only: a plan reads the same in a program that writes "27,5". */
struct wg_public_locale {
    locale_t plain, before;
};
/** 0 or WG_ERR_MEMORY, with nothing to be undone. */
int wg_public_locale_begin(struct wg_public_locale *locale, struct wg_error *err);
void wg_public_locale_end(const struct wg_public_locale *locale);

/** Index of an outcome in WG_OUTCOME_TABLE, or -1. */
int wg_public_find_outcome(const char *name);

/** Reads a plan from a text whose name is `path` (NULL: none). Everything else as wintergrub_plan_from_text(). */
int wg_public_read_plan(wintergrub_plan **plan, const char *path, const char *text, size_t size, const char *record,
                        size_t record_size, wintergrub_mistakes **mistakes, struct wintergrub_error *error);

#endif
