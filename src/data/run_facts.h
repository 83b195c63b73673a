/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * What a run, a comparison or an answer says about itself, whether it comes from a file or was just computed.
 */
#ifndef WG_DATA_RUN_FACTS_H
#define WG_DATA_RUN_FACTS_H

#include "scenario/scenario.h"

#include <stddef.h>
#include <stdint.h>

/**
 * Returns the SHA-256 of the sources of this build, 64 hexadecimal digits: git describes two uncommitted states alike,
 * and a build without git not at all.
 */
const char *wg_program_digest(void);

/**
 * Returns "wintergrub 0.2.0 (v0.1-3-g12ab)", malloc'ed, NULL without memory. `source`: the description by git, "" for none.
 */
char *wg_version_line(const char *version, const char *source);

/** How a result was made; all strings are borrowed. */
struct wg_provenance {
    const char *command_line;
    const char *started; /* ISO 8601 UTC */
    int64_t replicates;
    uint64_t seed;
};

/** What names and identifies it. Texts are owned, and "" if not known. */
struct wg_run_facts {
    char *path; /* of its file; "" if it has none */
    char *title, *command_line, *started;
    char *source; /* "wintergrub 0.2.0 (v0.1-3-g12ab)" of a result, else "wintergrub 0.2.0" */
    int64_t replicates;
    uint64_t seed;
};
/**
 * Fills the facts of what this program just computed: `source` with the description by git if `is_result`, as in a file.
 * Returns 0 or WG_ERR_MEMORY; free in every case.
 */
int wg_run_facts_now(struct wg_run_facts *facts, const char *title, const struct wg_provenance *provenance,
                     bool is_result, struct wg_error *err);
void wg_run_facts_free(struct wg_run_facts *facts);

/** The texts that were simulated. Zero-initialise; owned. */
struct wg_run_inputs {
    char *scenario_path, *scenario_text, *scenario_sha256;
    char *record_text, *record_sha256; /* NULL: no weather record */
    char *version;                     /* of the program */
    size_t scenario_size, record_size;
};
/** Copies them from a scenario. Returns 0 or WG_ERR_MEMORY; free in every case. */
int wg_run_inputs_copy(struct wg_run_inputs *inputs, const struct wg_scenario *scenario, struct wg_error *err);
void wg_run_inputs_free(struct wg_run_inputs *inputs);

#define WG_PARAMETER_TEXT 32
/** Writes the shortest decimal that converts back to the same number. */
void wg_parameter_text(double value, char out[WG_PARAMETER_TEXT]);

#endif
