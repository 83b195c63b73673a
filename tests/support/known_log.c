/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

#include "support/known_log.h"
#include "support/plans.h"

#include <criterion/criterion.h>

static void make_plan(struct known_log *log, int days, bool outdoors) {
    if (outdoors)
        plan_outdoors(&log->plan, days);
    else
        plan_laboratory(&log->plan, 27, days);
    log->plan.animals = WG_ANIMALS_PLAUSIBLE;
    plan_start(&log->plan, 0, WG_MOVABLE_LARVAE, 5, 4000);
    plan_start(&log->plan, 0, WG_MOVABLE_PREPUPAE, 0, 800);
    plan_feed(&log->plan, 2.0);
    plan_collect(&log->plan, 0.6);
    plan_add(&log->plan, (struct wg_action){.kind = WG_ACTION_LAY_IN_TRAPS,
                                            .from = log->plan.first_day,
                                            .to = log->plan.last_day,
                                            .every = 1,
                                            .bin = -1,
                                            .as.traps = {.share = 0.5}});
}

static void add_notes(struct known_log *log, int weeks) {
    for (int week = 0; week < weeks; week++) {
        const int32_t day = log->plan.first_day + 7 * week + 6;
        log->note[log->n++] = (struct wg_log_entry){.kind = WG_LOG_CRAWL_OFF, .day = day, .since = day - 6};
        log->note[log->n++] = (struct wg_log_entry){.kind = WG_LOG_EGGS_TRAPPED, .day = day, .since = day - 6};
        log->note[log->n++] = (struct wg_log_entry){.kind = WG_LOG_ADULTS, .day = day, .since = day};
        if (week % 3 == 0)
            log->note[log->n++] = (struct wg_log_entry){.kind = WG_LOG_BIN_TEMPERATURE, .day = day, .since = day};
    }
}

/* The value at quantile u of the entry's error distribution: a keeper's measurement error. */
static void write_down(struct wg_log_entry *note, double truth, double u) {
    if (note->kind == WG_LOG_ADULTS) {
        note->value = u < truth;
        return;
    }
    double low = -50, high = 1e9;
    if (note->kind != WG_LOG_BIN_TEMPERATURE)
        low = 0;
    for (int i = 0; i < 80; i++) {
        note->value = (low + high) / 2;
        *(wg_log_entry_below(note, truth) < u ? &low : &high) = note->value;
    }
}

void known_log_fill(struct known_log *log, const struct wg_species *animal, uint64_t replicate,
                    struct wg_diary *diary) {
    struct wg_plan truth = log->plan;
    gsl_rng *const rng = gsl_rng_alloc(wg_rng_type());
    wg_rng_start(rng, 5, replicate, WG_PURPOSE_PARAMETERS);
    truth.species = *animal;
    truth.animals = WG_ANIMALS_MIDDLE;
    truth.seed = 4711;
    plan_simulate(&truth, replicate, diary);
    for (int i = 0; i < log->n; i++)
        write_down(&log->note[i], wg_log_entry_simulated(&log->note[i], animal, diary), wg_uniform(rng));
    gsl_rng_free(rng);
}

void known_log_make(struct known_log *log, int weeks, bool outdoors) {
    cr_assert(weeks >= 1 && weeks <= 30);
    log->n = 0;
    make_plan(log, 7 * (weeks + 5), outdoors);
    add_notes(log, weeks);
}
