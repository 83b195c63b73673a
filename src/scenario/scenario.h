/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Reads a scenario file (YAML) into a plan and locates every mistake.
 */
#ifndef WG_SCENARIO_SCENARIO_H
#define WG_SCENARIO_SCENARIO_H

#include "plan/plan.h"
#include "text/mistakes.h"
#include "text/text_file.h"
#include "variants/openings.h"

struct wg_scenario {
    struct wg_plan plan;
    struct wg_weather_record record; /* owned; plan.climate.record points here */
    char *path;
    char *text; /* the file as read; of a plan that is based on another, the whole plan as YAML */
    size_t text_size;
    char *record_path; /* as written in the scenario, NULL if none */
    char *record_file; /* the file opened for it, NULL if none */
    char *record_text; /* the weather file as read, for provenance */
    size_t record_size;
    char *record_note;                /* one line on how the weather file was read, NULL if none */
    struct wg_openings openings;      /* what the plan leaves open to search; the plan itself has the values of now */
    int feeding_line, feeding_column; /* of the key "feeding", from 1; 0: none */
    char *base_file[WG_MAX_BASES];    /* the files on which it is based, in turn; NULL: no more */
};

/**
 * Reads and checks a file; src/schema/schema_table.c lists its keys. A `path` of NULL is standard input, and files that
 * the plan names are then in the current folder. Returns 0; WG_ERR_INPUT with all mistakes in
 * *problems (err then holds their number); WG_ERR_FILE if it cannot be read. The caller frees *scenario and *problems
 * in every case.
 */
int wg_scenario_read(struct wg_scenario *scenario, const char *path, struct wg_mistakes *problems,
                     struct wg_error *err);
/**
 * Reads the same from a text, for example the one stored in a result. `path` names it in messages and is the base of
 * relative record paths; record_text, if not NULL, replaces the record file.
 */
int wg_scenario_read_text(struct wg_scenario *scenario, const char *path, const char *text, size_t size,
                          const char *record_text, size_t record_size, struct wg_mistakes *problems,
                          struct wg_error *err);
/** Reads the same; `given` has the texts of all files that the plan names, in place of those on the disk. */
int wg_scenario_read_given(struct wg_scenario *scenario, const char *path, const char *text, size_t size,
                           const struct wg_text_given *given, struct wg_mistakes *problems, struct wg_error *err);
/** Returns the scenario's title, or the name of its file if it has none. */
const char *wg_scenario_name(const struct wg_scenario *scenario);
void wg_scenario_free(struct wg_scenario *scenario);

#endif
