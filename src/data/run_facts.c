/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Collects what a run, a comparison or an answer says about itself.
 */
#include "data/run_facts.h"

#include "base/sha256.h"
#include <wintergrub/source_digest.h>
#include <wintergrub/version.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const char *wg_program_digest(void) {
    return WG_SOURCE_DIGEST;
}

char *wg_version_line(const char *version, const char *source) {
    const size_t size = sizeof "wintergrub  ()" + strlen(version) + strlen(source);
    const bool has_source = *source != '\0';
    char *const line = malloc(size);
    if (line != NULL)
        (void)snprintf(line, size, "wintergrub %s%s%s%s", version, has_source ? " (" : "", source,
                       has_source ? ")" : "");
    return line;
}

void wg_parameter_text(double value, char out[WG_PARAMETER_TEXT]) {
    for (int digits = 6; digits <= 17; digits++) {
        (void)snprintf(out, WG_PARAMETER_TEXT, "%.*g", digits, value);
        if (strtod(out, NULL) == value)
            return;
    }
}

int wg_run_facts_now(struct wg_run_facts *facts, const char *title, const struct wg_provenance *provenance,
                     bool is_result, struct wg_error *err) {
    const char *const command = provenance->command_line, *const started = provenance->started;
    *facts = (struct wg_run_facts){.path = strdup(""),
                                   .title = strdup(title),
                                   .command_line = strdup(command != NULL ? command : ""),
                                   .started = strdup(started != NULL ? started : ""),
                                   .source = wg_version_line(WG_VERSION, is_result ? WG_GIT_DESCRIPTION : ""),
                                   .replicates = provenance->replicates,
                                   .seed = provenance->seed};
    const bool well = facts->path != NULL && facts->title != NULL && facts->command_line != NULL &&
                      facts->started != NULL && facts->source != NULL;
    return well ? 0 : wg_no_memory(err, NULL);
}

void wg_run_facts_free(struct wg_run_facts *facts) {
    free(facts->path);
    free(facts->title);
    free(facts->command_line);
    free(facts->started);
    free(facts->source);
    *facts = (struct wg_run_facts){0};
}

/* Copies bytes and adds a NUL. */
static char *copy_bytes(const char *text, size_t size) {
    char *const copy = malloc(size + 1);
    if (copy != NULL && size > 0)
        memcpy(copy, text, size);
    if (copy != NULL)
        copy[size] = '\0';
    return copy;
}

int wg_run_inputs_copy(struct wg_run_inputs *inputs, const struct wg_scenario *scenario, struct wg_error *err) {
    char digest[WG_SHA256_TEXT_SIZE];
    wg_sha256(scenario->text, scenario->text_size, digest);
    *inputs = (struct wg_run_inputs){.scenario_path = strdup(scenario->path != NULL ? scenario->path : ""),
                                     .scenario_text = copy_bytes(scenario->text, scenario->text_size),
                                     .scenario_sha256 = strdup(digest),
                                     .version = strdup(WG_VERSION),
                                     .scenario_size = scenario->text_size};
    bool well = inputs->scenario_path != NULL && inputs->scenario_text != NULL && inputs->scenario_sha256 != NULL &&
                inputs->version != NULL;
    if (scenario->record_text != NULL && scenario->record_size > 0) {
        wg_sha256(scenario->record_text, scenario->record_size, digest);
        inputs->record_text = copy_bytes(scenario->record_text, scenario->record_size);
        inputs->record_sha256 = strdup(digest);
        inputs->record_size = scenario->record_size;
        well = well && inputs->record_text != NULL && inputs->record_sha256 != NULL;
    }
    return well ? 0 : wg_no_memory(err, NULL);
}

void wg_run_inputs_free(struct wg_run_inputs *inputs) {
    free(inputs->scenario_path);
    free(inputs->scenario_text);
    free(inputs->scenario_sha256);
    free(inputs->record_text);
    free(inputs->record_sha256);
    free(inputs->version);
    *inputs = (struct wg_run_inputs){0};
}
