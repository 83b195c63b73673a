/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * A plan from YAML to a result that numpy reads: write_result PLAN.yaml RESULT.h5, then in Python
 *
 *     import h5py
 *     larvae = h5py.File("RESULT.h5")["count"][:, :, 1]    # numpy array: replicate, day
 */
#include <wintergrub/wintergrub.h>

#include <inttypes.h>
#include <stdio.h>

/* Prints every mistake of the plan with its line, as `wintergrub check` does. */
static void print_mistakes(const wintergrub_mistakes *mistakes, const struct wintergrub_error *error) {
    if (wintergrub_mistakes_count(mistakes) == 0)
        fprintf(stderr, "%s: %s\n", error->where, error->text);
    for (size_t i = 0; i < wintergrub_mistakes_count(mistakes); i++) {
        const struct wintergrub_mistake mistake = wintergrub_mistakes_get(mistakes, i);
        fprintf(stderr, "%d:%d: %s\n", mistake.line, mistake.column, mistake.text);
    }
}

static int print_odds(const wintergrub_summary *summary, struct wintergrub_error *error) {
    struct wintergrub_share alive;
    const int code = wintergrub_summary_share(summary, "survived", 1, 1, &alive, error);
    if (code == 0)
        printf("alive at the end in %" PRId64 " of %" PRId64 " replicates, %.0f to %.0f of 100\n", alive.hits, alive.n,
               100 * alive.low, 100 * alive.high);
    return code;
}

int main(int argc, char **argv) {
    struct wintergrub_error error;
    wintergrub_plan *plan;
    wintergrub_mistakes *mistakes;
    wintergrub_ensemble *ensemble = NULL;
    if (argc != 3) {
        fprintf(stderr, "usage: write_result PLAN.yaml RESULT.h5\n");
        return 2;
    }
    int code = wintergrub_plan_read(&plan, argv[1], &mistakes, &error);
    if (code == 0)
        code = wintergrub_plan_set_replicates(plan, 64, &error);
    if (code == 0)
        code = wintergrub_ensemble_new(&ensemble, plan, &error);
    if (code == 0)
        code = wintergrub_ensemble_write(ensemble, argv[2], 0, "write_result", &error);
    if (code == 0)
        code = wintergrub_ensemble_run(ensemble, &error);
    if (code == 0)
        code = print_odds(wintergrub_ensemble_summary(ensemble), &error);
    if (code < 0)
        print_mistakes(mistakes, &error);
    wintergrub_mistakes_free(mistakes);
    wintergrub_ensemble_free(ensemble);
    wintergrub_plan_free(plan);
    return wintergrub_exit_status(code);
}
