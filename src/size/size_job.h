/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The work of `size`: finds the number and its range in a scenario, searches, and finds the warnings and reasons at the value
 * to recommend.
 */
#ifndef WG_SIZE_JOB_H
#define WG_SIZE_JOB_H

#include "answers/size_text.h"
#include "forecast/work.h"
#include "scenario/scenario.h"
#include "variants/vary.h"

#define WG_SIZE_WARNING_REPLICATES 200 /* of the recommended value, to find its warnings (judgement) */

/** Zero-initialise; set what is asked, read `scenario`, then call the functions below in order. Free in every case. */
struct wg_size_job {
    /* what is asked: texts may be NULL */
    const char *path;       /* of the number; NULL: the first starter's count, or its weight */
    const char *low, *high; /* the range, both or neither */
    const char *within;     /* how far the interval may reach */
    struct wg_scenario scenario;
    struct wg_size_question question;   /* confidence, most and largest are asked */
    struct wg_ensemble_options options; /* threads, stop and progress of each ensemble */
    /* what is found */
    struct wg_vary vary;
    struct wg_size size;
    struct wg_warnings warnings;
    struct wg_bytes why;
    int64_t replicates;          /* simulated so far */
    struct wg_mistakes mistakes; /* of the scenario with wrong_value */
    double wrong_value;
    /* its own */
    struct wg_error range_err; /* of a value that was tried to find the range */
    struct wg_scenario tried;  /* the scenario with tried_value, loaded last */
    double tried_value;
    struct wg_tables *tables; /* of the animals, the same for most values */
};
void wg_size_job_free(struct wg_size_job *job);

/**
 * Takes goals, number, range and width from the scenario and what is asked. Returns 0; WG_ERR_USAGE: what is asked has a
 * mistake; or another negative error, with any mistakes of a scenario at an end of the range in job->mistakes.
 */
int wg_size_job_prepare(struct wg_size_job *job, struct wg_error *err);
/** Searches. Returns 0, WG_STOPPED or a negative error, with any mistakes of a value in job->mistakes. */
int wg_size_job_search(struct wg_size_job *job, struct wg_error *err);

/** True if the answer names a value that is enough. */
bool wg_size_has_value(const struct wg_size *size);
/** Returns what is printed; borrows the job. */
struct wg_size_output wg_size_job_output(const struct wg_size_job *job);

/* ---- kinds of numbers and usual values around them, for `size` ---- */

#define WG_SIZE_DAYS 60.0    /* default range of a date: two months to either side */
#define WG_SIZE_DEGREES 10.0 /* default range of a temperature to either side, in degC, or as much in degF */

bool wg_size_is_temperature(const struct wg_vary *vary);
/** True for a percentage that cannot exceed 100, unlike "efficiency: 300 %". */
bool wg_size_is_share(const struct wg_vary *vary);
/** Returns WG_SIZE_DEGREES in the value's unit; a bare number in a list may be in either unit. */
double wg_size_degrees(const struct wg_vary *vary);

#define WG_SIZE_GRID_VALUES 5
/** Lists values around that of the plan, which is the third: halves and doubles, or steps of a temperature, share or date. */
void wg_size_usual_values(const struct wg_vary *vary, double out[WG_SIZE_GRID_VALUES]);

#endif
