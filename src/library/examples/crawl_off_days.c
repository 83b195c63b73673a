/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * A plan in memory with a callback: on which day do most prepupae of 1,000 eggs leave a tray at 27 degC?
 *
 *     cc crawl_off_days.c $(pkg-config --cflags --libs wintergrub) -o crawl_off_days && ./crawl_off_days
 */
#include <wintergrub/wintergrub.h>

#include <stdio.h>

#define DAYS 60

/* Returns the day with the largest value, from 0. */
static int day_of_most(const double *values) {
    int most = 0;
    for (int day = 1; day < DAYS; day++)
        if (values[day] > values[most])
            most = day;
    return most;
}

/* Sees every replicate, in order, in the thread that called the run. A value other than 0 would stop the run. */
static int tally_replicate(void *self, int64_t number, const wintergrub_replicate *replicate) {
    int *const replicates = self;
    double crawl_off[DAYS];
    (void)number;
    if (wintergrub_replicate_series(replicate, "crawl_off_count", 0, crawl_off, DAYS) != 0)
        return 1;
    replicates[day_of_most(crawl_off)]++;
    return 0;
}

int main(void) {
    struct wintergrub_error error;
    int replicates[DAYS] = {0};
    wintergrub_plan *plan;
    wintergrub_ensemble *ensemble = NULL;
    int code = wintergrub_plan_laboratory(&plan, "2026-03-01", "2026-04-29", 27, 1000, 0, &error);
    if (code == 0)
        code = wintergrub_plan_set_replicates(plan, 64, &error);
    if (code == 0)
        code = wintergrub_ensemble_new(&ensemble, plan, &error);
    if (code == 0) {
        wintergrub_ensemble_on_replicate(ensemble, tally_replicate, replicates);
        code = wintergrub_ensemble_run(ensemble, &error);
    }
    for (int day = 0; day < DAYS && code == 0; day++)
        if (replicates[day] > 0)
            printf("day %2d: %2d of 64\n", day, replicates[day]);
    if (code < 0)
        fprintf(stderr, "%s: %s\n", error.where, error.text);
    wintergrub_ensemble_free(ensemble);
    wintergrub_plan_free(plan);
    return wintergrub_exit_status(code);
}
