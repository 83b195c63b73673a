/*
 * What stands in a result file, and does its plan give it again?
 */
#include "library/public.h"
#include "results/stored_numbers.h"

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
    return result->data.replicates;
}

int wintergrub_result_outcome(wintergrub_result *result, const char *name, double *values, size_t n,
                              struct wintergrub_error *error) {
    struct wg_error err = {0};
    double *stored = NULL;
    if (wg_public_find_outcome(name) < 0)
        return wg_public_fail(error, WG_ERR_USAGE, NULL, "There is no outcome \"%.60s\".", name);
    if (n != (size_t)result->data.replicates)
        return wg_public_fail(error, WG_ERR_USAGE, NULL, "The result holds %lld replicates, and there is room for %zu.",
                              (long long)result->data.replicates, n);
    if (wg_result_data_outcome(&result->data, name, &stored, &err) < 0)
        return wg_public_error(error, &err);
    memcpy(values, stored, n * sizeof *values);
    free(stored);
    return 0;
}

/* The numbers that stand in the file, and what the command line may have set. */
static int apply_result(const struct wg_result_data *data, struct wg_plan *plan, struct wg_error *err) {
    struct wg_stored_numbers numbers = {0};
    struct wg_public_locale locale;
    int code = wg_public_locale_begin(&locale, err);
    if (code < 0)
        return code;
    code = wg_stored_numbers_apply(data, &plan->species, &numbers, err);
    wg_public_locale_end(&locale);
    plan->replicates = data->record.replicates;
    plan->seed = data->record.seed;
    return code;
}

int wintergrub_result_plan(const wintergrub_result *result, wintergrub_plan **plan, struct wintergrub_error *error) {
    const struct wg_result_inputs *const record = &result->data.record;
    struct wg_error err = {0};
    const int code = wg_public_read_plan(plan, record->scenario_path, record->scenario_text, record->scenario_size,
                                         record->record_text, record->record_size, NULL, error);
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
    const int code = wg_result_compare(path_a, path_b, what, size, &err);
    return code < 0 ? wg_public_error(error, &err) : code;
}
