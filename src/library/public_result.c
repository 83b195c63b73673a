/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads result files, restores their plans and compares them.
 */
#include "library/public.h"
#include "results/result_file.h"
#include "results/stored_parts.h"

#include <stdlib.h>
#include <string.h>

int wintergrub_result_open(wintergrub_result **result, const char *path, struct wintergrub_error *error) {
    struct wg_error err = {0};
    *result = NULL;
    wintergrub_result *const made = calloc(1, sizeof *made);
    const int code = made == NULL ? wg_no_memory(&err, path) : wg_result_data_open(&made->data, path, &err);
    if (code < 0) {
        wintergrub_result_free(made);
        return wg_public_error(error, &err);
    }
    *result = made;
    return 0;
}

void wintergrub_result_free(wintergrub_result *result) {
    if (result == NULL)
        return;
    wg_result_data_free(&result->data);
    free(result);
}

int64_t wintergrub_result_replicates(const wintergrub_result *result) {
    return result->data.in.replicates;
}

int wintergrub_result_outcome(wintergrub_result *result, const char *name, double *values, size_t n,
                              struct wintergrub_error *error) {
    struct wg_error err = {0};
    double *stored = NULL;
    const int outcome = wg_public_find_outcome(name);
    if (outcome < 0)
        return wg_public_fail(error, WG_ERR_USAGE, NULL, "There is no outcome \"%.60s\".", name);
    if (n != (size_t)result->data.in.replicates)
        return wg_public_fail(error, WG_ERR_USAGE, NULL, "The result holds %lld replicates, and there is room for %zu.",
                              (long long)result->data.in.replicates, n);
    if (wg_result_data_outcome(&result->data, (enum wg_outcome_number)outcome, &stored, &err) < 0)
        return wg_public_error(error, &err);
    memcpy(values, stored, n * sizeof *values);
    free(stored);
    return 0;
}

/* Restores the file's numbers of the animal and what the command line may have set. */
static int apply_result(const struct wg_result_data *data, struct wg_plan *plan, struct wg_error *err) {
    struct wg_stored_numbers numbers = {0};
    struct wg_public_locale locale;
    int code = wg_public_locale_begin(&locale, err);
    if (code < 0)
        return code;
    code = wg_stored_numbers_apply(data, plan, &numbers, err);
    wg_public_locale_end(&locale);
    plan->replicates = data->in.replicates;
    plan->seed = data->in.seed;
    return code;
}

int wintergrub_result_plan(const wintergrub_result *result, wintergrub_plan **plan, struct wintergrub_error *error) {
    const struct wg_run_inputs *const inputs = &result->data.inputs;
    struct wg_error err = {0};
    const int code = wg_public_read_plan(plan, inputs->scenario_path, inputs->scenario_text, inputs->scenario_size,
                                         inputs->record_text, inputs->record_size, NULL, error);
    if (code < 0 || apply_result(&result->data, &(*plan)->scenario.plan, &err) == 0)
        return code;
    wintergrub_plan_free(*plan);
    *plan = NULL;
    return wg_public_error(error, &err);
}

int wintergrub_result_compare(const char *path_a, const char *path_b, char *what, size_t size,
                              struct wintergrub_error *error) {
    struct wg_error err = {0};
    _Static_assert((int)WINTERGRUB_DIFFERENT == WG_RESULT_DIFFERENT && (int)WINTERGRUB_SAME == WG_RESULT_SAME &&
                       (int)WINTERGRUB_SAME_NUMBERS == WG_RESULT_SAME_NUMBERS,
                   "one number inside and outside");
    const char *const path[] = {path_a, path_b};
    struct wg_stored_file file[2] = {0};
    int code = 0;
    for (int i = 0; i < 2 && code == 0; i++) {
        code = wg_stored_open(&file[i], path[i], &err);
        if (code == 0)
            code = wg_stored_expect(&file[i], WG_STORED_RESULT, &err);
    }
    if (code == 0)
        code = wg_result_compare(&file[0], &file[1], what, size, &err);
    for (int i = 0; i < 2; i++)
        wg_stored_free(&file[i]);
    return code < 0 ? wg_public_error(error, &err) : code;
}
