/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Stores the provenance of a result in its file: all that is needed to reproduce it.
 */
#ifndef WG_STORAGE_PROVENANCE_H
#define WG_STORAGE_PROVENANCE_H

#include "data/run_facts.h"
#include "scenario/scenario.h"
#include "storage/hdf5_file.h"

/** Writes "2026-11-15T06:30:00Z": now, or what SOURCE_DATE_EPOCH says. */
void wg_provenance_now(char out[32]);

/** The version of the result format. It increases with each change that older readers would misread. */
#define WG_RESULT_FORMAT 2
/** The same for comparison files. */
#define WG_COMPARISON_FORMAT 2
/** The same for answer files (answer_file.h). */
#define WG_ANSWER_FORMAT 3

/* Names in the file, for writer and reader. */
#define WG_PROVENANCE "provenance"
#define WG_ATTRIBUTE_FORMAT "wintergrub_format"
#define WG_ATTRIBUTE_COMPARISON "wintergrub_comparison_format"
#define WG_ATTRIBUTE_ANSWER "wintergrub_answer_format"
#define WG_ATTRIBUTE_KIND "kind" /* of an answer */
#define WG_ATTRIBUTE_VERSION "wintergrub_version"
#define WG_ATTRIBUTE_SOURCE "wintergrub_source" /* as git describes it */
#define WG_ATTRIBUTE_DIGEST "wintergrub_source_sha256"
#define WG_ATTRIBUTE_SEED "seed"
#define WG_ATTRIBUTE_REPLICATES "replicates"
#define WG_ATTRIBUTE_STARTED "started"
#define WG_ATTRIBUTE_COMMAND "command_line"
#define WG_ATTRIBUTE_WHY "why" /* of a result of `run`: its reasons in words */
#define WG_ATTRIBUTE_CHECKED "checked"
#define WG_ATTRIBUTE_SCENARIO_PATH "scenario_path"
#define WG_ATTRIBUTE_SCENARIO_SHA256 "scenario_sha256"
#define WG_ATTRIBUTE_RECORD_PATH "weather_record_path"
#define WG_ATTRIBUTE_RECORD_SHA256 "weather_record_sha256"
#define WG_ATTRIBUTE_RECORD_NOTE "weather_record_note"
/* The programs that made it: `source` of the file, the others of the group. A comparison ignores them. */
#define WG_SOFTWARE_ATTRIBUTES                                                                                         \
    "source", WG_ATTRIBUTE_VERSION, WG_ATTRIBUTE_SOURCE, WG_ATTRIBUTE_DIGEST, "compiler", "gsl_version",               \
        "hdf5_version", "libfyaml_version"
/* The period of a comparison: attributes of the file, named as in ACDD 1.3 (Attribute Convention for Data Discovery). */
#define WG_ATTRIBUTE_FIRST_DAY "time_coverage_start"
#define WG_ATTRIBUTE_LAST_DAY "time_coverage_end"
/* Of a comparison: its main outcome, and the numbers that tell setups made from one scenario apart. */
#define WG_ATTRIBUTE_MAIN_OUTCOME "main_outcome"
#define WG_ATTRIBUTE_VARIED "varied"
#define WG_VARIED_VALUE "varied_value"
#define WG_GOALS_MET "goals_met"
#define WG_GOALS_ENOUGH "goals_enough"
#define WG_IS_PLAN "is_plan"
#define WG_SCENARIO_WHY "scenario_why"
#define WG_TEXT_SCENARIO "scenario"
#define WG_TEXT_RECORD "weather_record"

/**
 * Writes the group. Stores NULL texts of `provenance` as "". Errors of the file stay in the file (wg_h5_failed());
 * WG_ERR_MEMORY goes to *err.
 */
int wg_provenance_write(struct wg_h5 *file, const struct wg_scenario *scenario, const struct wg_provenance *provenance,
                        struct wg_error *err);

/** The same for another kind of file, which attribute `name` with value `format` identifies. */
int wg_provenance_write_as(struct wg_h5 *file, const char *name, uint64_t format, const struct wg_scenario *scenario,
                           const struct wg_provenance *provenance, struct wg_error *err);

/**
 * Writes the global attributes `history` (when, by which command) and `references` of CF-1.10, section 2.6.2. Returns 0
 * or WG_ERR_MEMORY.
 */
int wg_provenance_write_history(struct wg_h5 *file, const struct wg_provenance *provenance, struct wg_error *err);

/** Writes a part of it: the program, its libraries, seed, replicates, command line. */
void wg_provenance_write_program(struct wg_h5 *file, const struct wg_provenance *provenance);

#endif
