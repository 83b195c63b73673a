/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The work of `size`: finds the number and its range in a scenario, searches, and finds the warnings and reasons at the value
 * to recommend.
 */
#ifndef WG_ENOUGH_SIZE_JOB_H
#define WG_ENOUGH_SIZE_JOB_H

#include "answers/size_text.h"
#include "forecast/work.h"
#include "scenario/scenario.h"

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

#endif
