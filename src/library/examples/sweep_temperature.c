/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * A parameter sweep: what 1,000 eggs become in four months at 21 to 33 degC. Every run has the same seed, and so the same
 * animals.
 */
#include <wintergrub/wintergrub.h>

#include <stdio.h>

/* Prints a row of the table. */
static int print_row(const char *temperature, const wintergrub_summary *summary, struct wintergrub_error *error) {
    struct wintergrub_spread batch, mass;
    struct wintergrub_share alive;
    int code = wintergrub_summary_spread(summary, "first_batch_50", &batch, error);
    if (code == 0)
        code = wintergrub_summary_spread(summary, "total_crawl_off_mass", &mass, error);
    if (code == 0)
        code = wintergrub_summary_share(summary, "survived", 1, 1, &alive, error);
    if (code == 0)
        printf("%-8s %8.0f %10.2f %6.2f to %.2f %8.0f\n", temperature, batch.q50, mass.q50, mass.q05, mass.q95,
               100 * alive.share);
    return code;
}

static int simulate(const wintergrub_plan *plan, const char *temperature, struct wintergrub_error *error) {
    wintergrub_plan *varied;
    wintergrub_ensemble *ensemble = NULL;
    int code = wintergrub_plan_vary(&varied, plan, "climate.constant", temperature, error);
    if (code == 0)
        code = wintergrub_ensemble_new(&ensemble, varied, error);
    if (code == 0)
        code = wintergrub_ensemble_run(ensemble, error);
    if (code == 0)
        code = print_row(temperature, wintergrub_ensemble_summary(ensemble), error);
    wintergrub_ensemble_free(ensemble);
    wintergrub_plan_free(varied);
    return code;
}

int main(void) {
    static const char *const temperature[] = {"21 degC", "24 degC", "27 degC", "30 degC", "33 degC"};
    struct wintergrub_error error;
    wintergrub_plan *plan;
    int code = wintergrub_plan_laboratory(&plan, "2026-03-01", "2026-06-28", 27, 1000, 2, &error);
    if (code == 0)
        code = wintergrub_plan_set_replicates(plan, 64, &error);
    if (code == 0)
        printf("         day of   crawl-off  in 9 of 10\n"
               "at       batch 1  kg         replicates        alive of 100\n");
    for (int i = 0; i < 5 && code == 0; i++)
        code = simulate(plan, temperature[i], &error);
    if (code < 0)
        fprintf(stderr, "%s: %s\n", error.where, error.text);
    wintergrub_plan_free(plan);
    return wintergrub_exit_status(code);
}
