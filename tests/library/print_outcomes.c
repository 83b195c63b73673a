/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * print_outcomes PLAN RESULT: simulates a plan through the public header alone, writes a result, and prints the spread
 * of every outcome and the odds of survival, a line each, in hexadecimal floating point.
 */
#include <wintergrub/wintergrub.h>

#include <stdio.h>

static int print_outcomes(const wintergrub_summary *summary, struct wintergrub_error *error) {
    struct wintergrub_spread s;
    struct wintergrub_share share;
    int code = 0;
    for (int i = 0; code == 0 && wintergrub_outcome(i) != NULL; i++) {
        const struct wintergrub_variable *const outcome = wintergrub_outcome(i);
        code = wintergrub_summary_spread(summary, outcome->name, &s, error);
        if (code == 0)
            printf("%s\t%s\t%s\t%lld\t%lld\t%a\t%a\t%a\t%a\t%a\t%a\n", outcome->name, outcome->unit, outcome->meaning,
                   (long long)s.n, (long long)s.happened, s.mean, s.q05, s.q25, s.q50, s.q75, s.q95);
    }
    if (code == 0)
        code = wintergrub_summary_share(summary, "survived", 1, 1, &share, error);
    if (code == 0)
        printf("odds\t%lld\t%lld\t%a\t%a\t%a\n", (long long)share.hits, (long long)share.n, share.share, share.low,
               share.high);
    return code;
}

int main(int argc, char **argv) {
    struct wintergrub_error error;
    wintergrub_plan *plan = NULL;
    wintergrub_ensemble *ensemble = NULL;
    if (argc != 3)
        return 2;
    int code = wintergrub_plan_read(&plan, argv[1], NULL, &error);
    if (code == 0)
        code = wintergrub_plan_set_replicates(plan, 8, &error);
    if (code == 0)
        code = wintergrub_ensemble_new(&ensemble, plan, &error);
    if (code == 0)
        code = wintergrub_ensemble_write(ensemble, argv[2], 0, "print_outcomes", &error);
    if (code == 0)
        code = wintergrub_ensemble_run(ensemble, &error);
    if (code == 0)
        code = print_outcomes(wintergrub_ensemble_summary(ensemble), &error);
    if (code < 0)
        fprintf(stderr, "%s: %s\n", error.where, error.text);
    wintergrub_ensemble_free(ensemble);
    wintergrub_plan_free(plan);
    return wintergrub_exit_status(code);
}
