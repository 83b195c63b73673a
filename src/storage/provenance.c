/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Writes the provenance of a result: the scenario and weather files as read, the seed, the number of replicates, the
 * program and its libraries, and each species parameter with its source.
 */
#include "storage/provenance.h"

#include "base/sha256.h"
#include <wintergrub/version.h>

#include <gsl/gsl_version.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

/* From the build: only one other file may include the library's header. */
#ifndef WG_FYAML_VERSION
#define WG_FYAML_VERSION "unknown"
#endif

#if defined(__clang__)
#define COMPILER __VERSION__ /* includes the name */
#elif defined(__GNUC__)
#define COMPILER "gcc " __VERSION__
#else
#define COMPILER "unknown"
#endif

/* SOURCE_DATE_EPOCH (reproducible-builds.org): the hour to be written instead of the true one, so that equal runs give
 * equal bytes. What is no number of seconds up to the year 9999 is as if it were not there. */
static time_t recorded_time(void) {
    const char *const text = getenv("SOURCE_DATE_EPOCH");
    if (text == NULL || text[0] == '\0' || strspn(text, "0123456789") != strlen(text) || strlen(text) > 12)
        return time(NULL);
    const long long seconds = strtoll(text, NULL, 10);
    return seconds <= 253402300799 ? (time_t)seconds : time(NULL);
}

void wg_provenance_now(char out[32]) {
    const time_t now = recorded_time();
    struct tm utc = {0};
    (void)gmtime_r(&now, &utc);
    (void)strftime(out, 32, "%Y-%m-%dT%H:%M:%SZ", &utc);
}

static void write_attribute(struct wg_h5 *file, const char *name, const char *text) {
    (void)wg_h5_attribute(file, -1, name, text == NULL ? "" : text);
}

int wg_provenance_write_history(struct wg_h5 *file, const struct wg_provenance *provenance, struct wg_error *err) {
    const char *const started = provenance->started == NULL ? "" : provenance->started;
    const char *const command = provenance->command_line == NULL ? "" : provenance->command_line;
    const size_t size = strlen(started) + strlen(command) + sizeof ": ";
    char *const history = malloc(size);
    if (history == NULL)
        return wg_no_memory(err, NULL);
    (void)snprintf(history, size, "%s: %s", started, command);
    write_attribute(file, "history", history);
    write_attribute(file, "references",
                    "every number of the model with its source: " WG_PROVENANCE "/parameter_source");
    free(history);
    return 0;
}

void wg_provenance_write_program(struct wg_h5 *file, const struct wg_provenance *provenance) {
    char hdf5[32];
    wg_h5_version(hdf5, sizeof hdf5);
    write_attribute(file, WG_ATTRIBUTE_VERSION, WG_VERSION);
    write_attribute(file, WG_ATTRIBUTE_SOURCE, WG_GIT_DESCRIPTION);
    write_attribute(file, WG_ATTRIBUTE_DIGEST, wg_program_digest());
    write_attribute(file, WG_ATTRIBUTE_COMMAND, provenance->command_line);
    write_attribute(file, WG_ATTRIBUTE_STARTED, provenance->started);
    (void)wg_h5_attribute_number(file, WG_ATTRIBUTE_SEED, provenance->seed);
    (void)wg_h5_attribute_number(file, WG_ATTRIBUTE_REPLICATES, (uint64_t)provenance->replicates);
    write_attribute(file, "compiler", COMPILER);
    write_attribute(file, "gsl_version", gsl_version);
    write_attribute(file, "hdf5_version", hdf5);
    write_attribute(file, "libfyaml_version", WG_FYAML_VERSION);
}

static void write_scenario(struct wg_h5 *file, const struct wg_scenario *scenario) {
    char digest[WG_SHA256_TEXT_SIZE];
    wg_sha256(scenario->text, scenario->text_size, digest);
    write_attribute(file, WG_ATTRIBUTE_SCENARIO_PATH, scenario->path);
    write_attribute(file, WG_ATTRIBUTE_SCENARIO_SHA256, digest);
    const struct wg_h5_variable text = {
        .name = WG_TEXT_SCENARIO, .text = "text of the scenario file", .kind = WG_H5_STRING};
    const char *const value = scenario->text;
    (void)wg_h5_write(file, wg_h5_variable(file, &text), &value);
}

static void write_record(struct wg_h5 *file, const struct wg_scenario *scenario) {
    char digest[WG_SHA256_TEXT_SIZE];
    wg_sha256(scenario->record_text, scenario->record_size, digest);
    write_attribute(file, WG_ATTRIBUTE_RECORD_PATH, scenario->record_path);
    write_attribute(file, WG_ATTRIBUTE_RECORD_SHA256, digest);
    write_attribute(file, WG_ATTRIBUTE_RECORD_NOTE, scenario->record_note);
    const struct wg_h5_variable byte = {.name = "weather_byte", .kind = WG_H5_NO_VALUES, .n_dims = 1};
    const struct wg_h5_variable text = {.name = WG_TEXT_RECORD,
                                        .unit = "1",
                                        .text = "bytes of the weather file",
                                        .kind = WG_H5_BYTE,
                                        .n_dims = 1,
                                        .dim = {"weather_byte"}};
    (void)wg_h5_dimension(file, &byte, (int64_t)scenario->record_size, NULL);
    (void)wg_h5_write(file, wg_h5_variable(file, &text), scenario->record_text);
}

/* ---- the species parameters ---- */

static size_t count_parameters(void) {
    size_t n = 0;
    for (const struct wg_parameter *p = wg_species_parameters(); p->name != NULL; p++)
        n++;
    return n;
}

static void write_column(struct wg_h5 *file, const char *name, const char *text, const char *const *values) {
    const struct wg_h5_variable column = {
        .name = name, .text = text, .kind = WG_H5_STRING, .n_dims = 1, .dim = {"parameter"}};
    (void)wg_h5_write(file, wg_h5_variable(file, &column), values);
}

static void write_parameter_columns(struct wg_h5 *file, const struct wg_plan *plan, double *value,
                                    const char **column) {
    const struct wg_parameter *const table = wg_species_parameters();
    const size_t n = count_parameters();
    for (size_t i = 0; i < n; i++) {
        value[i] = wg_species_get(&plan->species, &table[i]);
        column[i] = table[i].name;
        column[n + i] = table[i].unit;
        column[2 * n + i] = table[i].source;
        column[3 * n + i] = table[i].text;
    }
    const struct wg_h5_variable names = {
        .name = "parameter", .text = "name of a number of the species", .kind = WG_H5_STRING, .n_dims = 1};
    const struct wg_h5_variable values = {.name = "parameter_value",
                                          .unit = "1",
                                          .text = "value used, in the unit of parameter_unit",
                                          .kind = WG_H5_REAL,
                                          .n_dims = 1,
                                          .dim = {"parameter"}};
    write_attribute(file, "species_numbers", plan->numbers);
    (void)wg_h5_dimension(file, &names, (int64_t)n, column);
    (void)wg_h5_write(file, wg_h5_variable(file, &values), value);
    write_column(file, "parameter_unit", "unit of the number", column + n);
    write_column(file, "parameter_source", "source of the default value", column + 2 * n);
    write_column(file, "parameter_meaning", "what the number is", column + 3 * n);
}

static int write_parameters(struct wg_h5 *file, const struct wg_plan *plan, struct wg_error *err) {
    const size_t n = count_parameters();
    double *const value = calloc(n + 1, sizeof *value);
    const char **const column = calloc(4 * n + 1, sizeof *column);
    const int code = value == NULL || column == NULL ? wg_no_memory(err, NULL) : 0;
    if (code == 0)
        write_parameter_columns(file, plan, value, column);
    free(column);
    free(value);
    return code;
}

int wg_provenance_write(struct wg_h5 *file, const struct wg_scenario *scenario, const struct wg_provenance *provenance,
                        struct wg_error *err) {
    return wg_provenance_write_as(file, WG_ATTRIBUTE_FORMAT, WG_RESULT_FORMAT, scenario, provenance, err);
}

int wg_provenance_write_as(struct wg_h5 *file, const char *name, uint64_t format, const struct wg_scenario *scenario,
                           const struct wg_provenance *provenance, struct wg_error *err) {
    (void)wg_h5_group(file, WG_PROVENANCE);
    (void)wg_h5_attribute_number(file, name, format);
    wg_provenance_write_program(file, provenance);
    write_scenario(file, scenario);
    if (scenario->record_text != NULL && scenario->record_size > 0)
        write_record(file, scenario);
    return write_parameters(file, &scenario->plan, err);
}
