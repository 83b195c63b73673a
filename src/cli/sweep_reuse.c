/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Decides whether an existing file is already this scenario's result, and if not, whether it may be replaced.
 *
 * It is the same result if these agree: the texts of the scenario and its weather file, seed, number of replicates,
 * numbers of the animals, and the program (by its sources). Its contents are trusted only after the checksum at its end
 * has been verified. Only a complete result of this format that a changed scenario or program has made stale, and to
 * which no other program has written, may be replaced; everything else may be somebody's work.
 */
#include "cli/sweep.h"
#include "results/result_file.h"
#include "results/stored_parts.h"
#include "storage/provenance.h"
#include <wintergrub/version.h>

#include <inttypes.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

/* ---- is it the same? ---- */

static bool same_bytes(const char *a, size_t size_a, const char *b, size_t size_b) {
    return size_a == size_b && (size_a == 0 || memcmp(a, b, size_a) == 0);
}

/* Compares version and sources. The name that git gives them may be missing, or the same for two states ("-dirty"). */
static bool is_same_program(const struct wg_result_data *data) {
    return strcmp(data->inputs.version, WG_VERSION) == 0 && strcmp(data->digest, wg_program_digest()) == 0;
}

static bool has_same_animal(const struct wg_result_data *data, const struct wg_species *species) {
    int n = 0;
    for (const struct wg_parameter *p = wg_species_parameters(); p->name != NULL; p++)
        n++;
    bool same = n == data->n_parameters;
    for (int i = 0; i < data->n_parameters && same; i++) {
        const struct wg_parameter *const p = wg_species_find(data->parameter[i].name);
        same = p != NULL && strtod(data->parameter[i].value, NULL) == wg_species_get(species, p);
    }
    return same;
}

/* Returns the first difference as a clause, NULL if there is none. */
static const char *find_difference(const struct wg_result_data *data, const struct wg_scenario *scenario) {
    if (!same_bytes(data->inputs.scenario_text, data->inputs.scenario_size, scenario->text, scenario->text_size))
        return "the scenario has changed";
    if (!same_bytes(data->inputs.record_text, data->inputs.record_size, scenario->record_text, scenario->record_size))
        return "its weather file has changed";
    if (data->in.replicates != scenario->plan.replicates)
        return "it had fewer replicates";
    if (!is_same_program(data))
        return "it was made by a different version";
    if (!has_same_animal(data, &scenario->plan.species))
        return "the numbers of the animal have changed";
    const bool same_animals =
        data->animals.animals == scenario->plan.animals && wg_stored_animals_changed(data, &scenario->plan) == 0;
    return same_animals ? NULL : "the plausible animals have changed";
}

/* ---- may it be replaced? ---- */

#define ADVICE "Move it away, or use --force to replace it."

/* Refuses to replace a longer result, or one with another seed, because of a forgotten option. */
static int check_options(const struct wg_result_data *data, const struct wg_plan *plan, struct wg_error *err) {
    if (data->in.seed != plan->seed)
        return wg_fail(err, WG_ERR_EXISTS, data->in.path,
                       "This result has seed %" PRIu64 "; a result with seed %" PRIu64 " would replace it. " ADVICE,
                       data->in.seed, plan->seed);
    if (data->in.replicates > plan->replicates)
        return wg_fail(err, WG_ERR_EXISTS, data->in.path,
                       "This result has %lld replicates; one with %lld would replace it. " ADVICE,
                       (long long)data->in.replicates, (long long)plan->replicates);
    return 0;
}

/* Refuses to replace a result to which another program may have added something. */
static int check_replaceable(const struct wg_result_data *data, struct wg_error *err) {
    if (!wg_h5_is_resealed(wg_result_data_file(data)->h5))
        return 0;
    return wg_fail(err, WG_ERR_EXISTS, data->in.path,
                   "This result is out of date, but another program has written to it since (it was sealed again): "
                   "replacing it would lose what that program added. " ADVICE);
}

static int compare_with_scenario(struct wg_result_data *data, const struct wg_scenario *scenario, bool with_numbers,
                                 struct wg_sweep_existing *found, struct wg_error *err) {
    int code = check_options(data, &scenario->plan, err);
    if (code < 0)
        return code;
    const char *const difference = find_difference(data, scenario);
    if (difference != NULL && (code = check_replaceable(data, err)) < 0)
        return code;
    found->is_same = difference == NULL;
    found->is_other = difference != NULL;
    (void)snprintf(found->why, sizeof found->why, "%s", difference != NULL ? difference : "");
    if (!found->is_same || !with_numbers)
        return 0;
    code = wg_result_data_summary(data, &scenario->plan, &found->numbers.summary, &found->numbers.odds, err);
    if (code < 0) {
        wg_goal_tally_free(&found->numbers.odds);
        wg_summary_free(&found->numbers.summary);
    }
    return code;
}

int wg_sweep_find_existing(const char *path, const struct wg_scenario *scenario, bool with_numbers,
                           struct wg_sweep_existing *found, struct wg_error *err) {
    struct wg_error fault = {0};
    struct wg_result_data data = {0};
    *found = (struct wg_sweep_existing){.is_same = false};
    if (wg_file_identify(path, &found->file) != 0)
        return 0; /* no such file; if the path is invalid, opening it for writing reports that */
    int code = wg_result_data_open(&data, path, &fault);
    if (code == 0)
        code = compare_with_scenario(&data, scenario, with_numbers, found, &fault);
    wg_result_data_free(&data);
    if (code == WG_ERR_FORMAT)
        return wg_fail(err, WG_ERR_EXISTS, path, "%.560s " ADVICE, fault.text);
    if (code < 0)
        *err = fault;
    return code;
}
