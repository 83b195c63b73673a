/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Simulates replicates in the workers of a page and passes their diaries to the observers in order, as ensemble.c does
 * with threads: the same bytes for any number of workers.
 */
#include "browser/diary_packet.h"
#include "browser/web/shared_work.h"
#include "forecast/ensemble.h"
#include "forecast/replicate.h"

struct web_ensemble {
    const struct wg_ensemble_options *options;
    struct wg_worlds *worlds;
    const struct wg_observer *observers;
    int n_observers;
    struct wg_diary diary; /* that the observers get */
    /* which each worker makes for itself: */
    bool is_ready;
    struct wg_simulator simulator;
    struct wg_diary lived;
};

static int64_t replicate_number(const struct wg_ensemble_options *options, int64_t index) {
    return options->first + index * (options->stride > 1 ? options->stride : 1);
}

/* ---- in any worker ---- */

static int make_ready(struct web_ensemble *ensemble, struct wg_error *err) {
    if (ensemble->is_ready)
        return 0;
    ensemble->is_ready = true;
    ensemble->simulator = (struct wg_simulator){0};
    ensemble->lived = (struct wg_diary){0};
    const int code = wg_simulator_init_all(&ensemble->simulator, ensemble->worlds, err);
    return code == 0 ? wg_diary_init(&ensemble->lived, ensemble->simulator.world->plan, err) : code;
}

static int simulate_replicate(void *self, int64_t index, struct wg_error *err) {
    struct web_ensemble *const ensemble = self;
    const int code = make_ready(ensemble, err);
    return code == 0 ? wg_simulator_run(&ensemble->simulator, replicate_number(ensemble->options, index),
                                        &ensemble->lived, err)
                     : code;
}

static size_t size_of_diary(void *self, int64_t index) {
    const struct web_ensemble *const ensemble = self;
    (void)index;
    return wg_diary_packet_size(&ensemble->lived);
}

static void write_diary(void *self, int64_t index, unsigned char *packet) {
    const struct web_ensemble *const ensemble = self;
    (void)index;
    wg_diary_packet_write(&ensemble->lived, packet);
}

/* ---- in the collector ---- */

static int observe_diary(void *self, int64_t index, const unsigned char *packet, size_t size, struct wg_error *err) {
    struct web_ensemble *const ensemble = self;
    const struct wg_ensemble_options *const options = ensemble->options;
    if (wg_is_stop_asked(options->stop))
        return WG_STOPPED;
    wg_assert(wg_diary_packet_read(&ensemble->diary, packet, size));
    for (int i = 0; i < ensemble->n_observers; i++) {
        const struct wg_observer *const observer = &ensemble->observers[i];
        const int code =
            observer->on_replicate(observer->self, replicate_number(options, index), &ensemble->diary, err);
        if (code != 0)
            return code;
    }
    if (options->progress != NULL)
        options->progress(options->progress_self, index + 1, options->count);
    return 0;
}

int wg_ensemble_run(const struct wg_plan *plan, const struct wg_ensemble_options *options,
                    const struct wg_observer *observers, int n_observers, struct wg_error *err) {
    struct web_ensemble ensemble = {.options = options, .observers = observers, .n_observers = n_observers};
    struct wg_shared_work work = {.count = options->count,
                                  .key = options->key,
                                  .run = simulate_replicate,
                                  .size = size_of_diary,
                                  .write = write_diary,
                                  .take = observe_diary,
                                  .self = &ensemble};
    int code = wg_diary_init(&ensemble.diary, plan, err);
    if (code == 0)
        code = wg_worlds_new(&ensemble.worlds, plan, options->tables, err);
    if (code == 0)
        code = wg_shared_work_run(&work, err);
    wg_diary_free(&ensemble.diary);
    wg_diary_free(&ensemble.lived);
    wg_simulator_free(&ensemble.simulator);
    wg_worlds_free(ensemble.worlds);
    return code;
}
