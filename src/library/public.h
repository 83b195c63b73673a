/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Defines the opaque types of wintergrub.h (private to library/).
 */
#ifndef WG_LIBRARY_PUBLIC_H
#define WG_LIBRARY_PUBLIC_H

#include "analysis/goal_tally.h"
#include "forecast/replicate.h"
#include "forecast/summary.h"
#include "forecast/warnings.h"
#include "results/result_file.h"
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
    const struct wg_plan *plan; /* borrowed */
    struct wg_worlds *worlds;
};

struct wintergrub_replicate {
    const struct wg_diary *diary; /* the source of all reads; NULL before a run */
    struct wg_cell cell;          /* of that diary */
    struct wg_diary own;          /* used if the program runs the replicate itself */
    struct wg_simulator simulator;
};

struct wintergrub_summary {
    struct wg_plan as_run; /* the plan at the time of the run; shares its arrays */
    const char *name;      /* of the plan, in messages; borrowed */
    struct wg_summary outcomes;
    struct wg_goal_tally goals;
    struct wg_warning_tally watch; /* with `work` the source of the warnings, which are found after the run */
    struct wg_work work;
    struct wg_warnings warnings;
};

struct wintergrub_result {
    struct wg_result_data data;
};

/** Copies an error to the caller's, which may be NULL. Returns its code. */
int wg_public_error(struct wintergrub_error *out, const struct wg_error *err);
/** Reports an error of the library itself. Returns `code`. */
int wg_public_fail(struct wintergrub_error *out, int code, const char *where, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

/**
 * The C locale for a while, in this thread only, so that a program's locale ("27,5") does not change how plans are
 * read.
 */
struct wg_public_locale {
    locale_t plain, before;
};
/** Returns 0, or WG_ERR_MEMORY with nothing to undo. */
int wg_public_locale_begin(struct wg_public_locale *locale, struct wg_error *err);
void wg_public_locale_end(const struct wg_public_locale *locale);

/** Returns the index of an outcome in WG_OUTCOME_TABLE, or -1. */
int wg_public_find_outcome(const char *name);

/** Reads a plan from a text named `path` (NULL: none); otherwise as wintergrub_plan_from_text(). */
int wg_public_read_plan(wintergrub_plan **plan, const char *path, const char *text, size_t size, const char *record,
                        size_t record_size, wintergrub_mistakes **mistakes, struct wintergrub_error *error);

#endif
