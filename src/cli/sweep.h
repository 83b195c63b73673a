/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * `run` with several scenarios: one result each in a folder, one table at the end, nothing computed twice.
 */
#ifndef WG_CLI_SWEEP_H
#define WG_CLI_SWEEP_H

#include "answers/sweep_text.h"
#include "cli/args.h"
#include "cli/simulate.h"

/** True if the arguments of `run` are a sweep: more than one, or a folder. */
bool wg_sweep_is_requested(const struct wg_args *args);
/** Runs the sweep. Returns the exit status. */
int wg_sweep(const struct wg_args *args);

/**
 * Applies --replicates, --seed, --threads, --force and --quiet (command_run.c). Returns 0, or WG_STATUS_USAGE after
 * printing one line.
 */
int wg_run_apply_options(const struct wg_args *args, struct wg_plan *plan, struct wg_simulation *simulation);

/* ---- the list of scenarios, sweep_list.c ---- */

/**
 * Lists the files named, and of each folder all *.yaml except hidden ones in order of name, each with its result in
 * `folder`. Returns 0, WG_ERR_INPUT (two scenarios with one result, or none at all), WG_ERR_FILE or WG_ERR_MEMORY. Free
 * the list in every case.
 */
int wg_sweep_list_make(struct wg_sweep_list *list, const struct wg_args *args, const char *folder,
                       struct wg_error *err);
void wg_sweep_list_free(struct wg_sweep_list *list);

/* ---- existing results, sweep_reuse.c ---- */

/** What an existing file under a result's name is. */
struct wg_sweep_existing {
    bool is_same;                    /* of the same scenario, weather, seed, number of replicates and program */
    bool is_other;                   /* a complete but different result, which may be replaced */
    struct wg_file_identity file;    /* in both cases */
    struct wg_sweep_numbers numbers; /* if it is the same and they were requested; the summary must be freed */
    char why[WG_SENTENCE_SIZE];      /* how it differs, as a clause; "" if it does not */
};
/**
 * Examines a result's path. Returns 0, with both flags false if no file exists; WG_ERR_EXISTS with a description for a
 * file that a sweep must not replace: anything but a complete result of this format, or one with another seed or more
 * replicates; WG_ERR_FILE or WG_ERR_MEMORY if it cannot tell.
 */
int wg_sweep_find_existing(const char *path, const struct wg_scenario *scenario, bool with_numbers,
                           struct wg_sweep_existing *found, struct wg_error *err);

#endif
