#include "support/known_log.h"
#include "support/plans.h"

#include <criterion/criterion.h>

/* A bench with daily feed, crawl-off collection and egg traps for twelve weeks. */
static void make_plan(struct known_log *log) {
    plan_laboratory(&log->plan, 27, 84);
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

/* Ten weeks of crawl-off, trapped eggs and adults each week, and four bin temperatures. */
static void add_entries(struct known_log *log) {
    for (int week = 0; week < 10; week++) {
        const int32_t day = log->plan.first_day + 7 * week + 6;
        log->note[log->n++] = (struct wg_log_entry){.kind = WG_LOG_CRAWL_OFF, .day = day, .since = day - 6};
        log->note[log->n++] = (struct wg_log_entry){.kind = WG_LOG_EGGS_TRAPPED, .day = day, .since = day - 6};
        log->note[log->n++] = (struct wg_log_entry){.kind = WG_LOG_ADULTS, .day = day, .since = day};
        if (week % 3 == 0)
            log->note[log->n++] = (struct wg_log_entry){.kind = WG_LOG_BIN_TEMPERATURE, .day = day, .since = day};
    }
}

/* Sets the value to quantile u of its distribution around the truth: a keeper's measurement error. */
static void set_value(struct wg_log_entry *note, double truth, double u) {
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

void known_log_write(struct known_log *log, const double factor[WG_N_FIT_PARAMETERS], uint64_t replicate) {
    struct wg_plan truth = log->plan;
    struct wg_diary d;
    gsl_rng *const rng = gsl_rng_alloc(wg_rng_type());
    wg_rng_start(rng, 5, replicate, WG_PURPOSE_PARAMETERS);
    wg_fit_parameter_apply(&truth.species, factor);
    truth.seed = 4711;
    plan_live(&truth, replicate, &d);
    for (int i = 0; i < log->n; i++)
        set_value(&log->note[i], wg_log_entry_simulated(&log->note[i], &d), wg_uniform(rng));
    gsl_rng_free(rng);
    wg_diary_free(&d);
}

void known_log_make(struct known_log *log) {
    log->n = 0;
    make_plan(log);
    add_entries(log);
}
