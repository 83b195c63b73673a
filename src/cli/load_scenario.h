/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Reads a scenario for a command and reports its mistakes.
 */
#ifndef WG_CLI_LOAD_SCENARIO_H
#define WG_CLI_LOAD_SCENARIO_H

#include "answers/setups.h"
#include "cheapest/candidates.h"
#include "cli/command.h"
#include "results/comparison_file.h"
#include "scenario/scenario.h"

/**
 * Begins to read `path` if it is "-", standard input; else does nothing. Says on a terminal what to type, and lets signals
 * end the program at once, because nothing has to be kept.
 */
void wg_load_begin_stream(const char *path, const char *what);
void wg_load_end_stream(const char *path);
/**
 * Reads a file, or standard input if `path` is "-". Returns 0, or the exit status after printing the mistakes. *scenario
 * must be freed in every case.
 */
int wg_load_scenario(struct wg_scenario *scenario, const char *path);
/** The same from the texts stored in a result. `path` names the scenario in messages. */
int wg_load_scenario_text(struct wg_scenario *scenario, const char *path, const char *text, size_t size,
                          const char *record_text, size_t record_size);
/** Prints the mistakes and the error of a reader that returned `code`, and frees the mistakes. Returns the exit status. */
int wg_load_report(int code, struct wg_mistakes *mistakes, const struct wg_error *err);
/** Prints an error of a simulation, WG_ERR_OVERGROWN at the scenario's feeding line. Returns the exit status. */
int wg_load_message_error(const struct wg_scenario *scenario, const struct wg_error *err);

/* ---- makes the setups of a comparison from one scenario and the options --vary KEY=VALUE,VALUE,.. ---- */

/**
 * Prints an error of setups made from one scenario: of the command line, of the scenario with the values of a setup, which it
 * frees, or any other. Returns the exit status; 0 without an error.
 */
int wg_vary_report(const struct wg_args *args, const struct wg_varied *varied, const struct wg_varied_number *number,
                   int setup, int code, struct wg_mistakes *mistakes, const struct wg_error *err);

/**
 * Reads the scenario of args->argument[0] once for each value of --vary (for each pair of values, if it is given twice),
 * into scenario[*n], with titles that name the values. Returns 0, or the exit status after printing the reason; every
 * scenario must be freed in every case.
 */
int wg_vary_setups(const struct wg_args *args, struct wg_varied *varied, struct wg_scenario *const *scenario, int *n);

/* ---- reads the scenario of a search for the cheapest plan ---- */

/** Reads a scenario and opens it (wg_candidates_open()). Returns 0, or the exit status after printing the reason. */
int wg_candidates_load(struct wg_candidates *candidates, const char *path, const uint64_t *seed);

#endif
