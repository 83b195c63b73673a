/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Simulates replicates in the workers of a page and passes their diaries to the observers in order, as ensemble.c does
 * with threads: the same bytes for any number of workers.
 */
#include "browser/diary_packet.h"
#include "browser/web/host.h"
#include "forecast/ensemble.h"
#include "forecast/replicate.h"

#include <stdlib.h>

/* Lies on the collector's stack, and so at the same address in every worker. */
struct web_ensemble {
    const struct wg_ensemble_options *options;
    struct wg_worlds *worlds;
    bool is_ready; /* the simulator and its diary, which each worker makes for itself */
    struct wg_simulator simulator;
    struct wg_diary lived; /* by this worker */
    unsigned char *packet;
    size_t packet_size;
};

static int64_t replicate_number(const struct wg_ensemble_options *options, int64_t index) {
    return options->first + index * (options->stride > 1 ? options->stride : 1);
}

/* ---- simulating ---- */

static int make_ready(struct web_ensemble *ensemble, struct wg_error *err) {
    if (ensemble->is_ready)
        return 0;
    ensemble->is_ready = true;
    ensemble->simulator = (struct wg_simulator){0};
    ensemble->lived = (struct wg_diary){0};
    const int code = wg_simulator_init_all(&ensemble->simulator, ensemble->worlds, err);
    return code == 0 ? wg_diary_init(&ensemble->lived, ensemble->simulator.world->plan, err) : code;
}

static unsigned char *packet_of(struct web_ensemble *ensemble, size_t size) {
    if (size > ensemble->packet_size) {
        free(ensemble->packet);
        ensemble->packet = malloc(size);
        ensemble->packet_size = ensemble->packet != NULL ? size : 0;
    }
    return ensemble->packet;
}

static void give_diary(struct web_ensemble *ensemble, int32_t index) {
    const size_t size = wg_diary_packet_size(&ensemble->lived);
    unsigned char *const packet = packet_of(ensemble, size);
    struct wg_error err = {0};
    if (packet == NULL) {
        (void)wg_no_memory(&err, NULL);
        wg_host_give(index, WG_ERR_MEMORY, &err, sizeof err);
        return;
    }
    wg_diary_packet_write(&ensemble->lived, packet);
    wg_host_give(index, 0, packet, size);
}

/** Simulates a replicate and gives its diary to the host. */
WG_HOST_EXPORT("wg_web_simulate") void wg_web_simulate(void *self, int32_t index);
void wg_web_simulate(void *self, int32_t index) {
    struct web_ensemble *const ensemble = self;
    struct wg_error err = {0};
    int code = make_ready(ensemble, &err);
    if (code == 0)
        code =
            wg_simulator_run(&ensemble->simulator, replicate_number(ensemble->options, index), &ensemble->lived, &err);
    if (code == 0)
        give_diary(ensemble, index);
    else
        wg_host_give(index, code, &err, sizeof err);
}

/* ---- collecting ---- */

/* Fills the diary with the result of a replicate, which others simulate, or this worker while it waits. */
static int receive_diary(struct web_ensemble *ensemble, int32_t index, struct wg_diary *diary, struct wg_error *err) {
    int32_t outcome = wg_host_wait(index);
    while (outcome >= 0) {
        wg_web_simulate(ensemble, outcome);
        outcome = wg_host_wait(index);
    }
    if (outcome == WG_HOST_STOPPED)
        return WG_STOPPED;
    const int32_t code = wg_host_code();
    struct wg_error other;
    if (code < 0) {
        wg_host_take(&other);
        if (err != NULL && err->code == 0)
            *err = other;
        return code;
    }
    const size_t size = wg_host_size();
    unsigned char *const packet = packet_of(ensemble, size);
    if (packet == NULL)
        return wg_no_memory(err, NULL);
    wg_host_take(packet);
    wg_assert(wg_diary_packet_read(diary, packet, size));
    return 0;
}

static int observe_all(const struct wg_ensemble_options *options, int32_t index, const struct wg_diary *diary,
                       const struct wg_observer *observers, int n_observers, struct wg_error *err) {
    for (int i = 0; i < n_observers; i++) {
        const int code = observers[i].on_replicate(observers[i].self, replicate_number(options, index), diary, err);
        if (code != 0)
            return code;
    }
    if (options->progress != NULL)
        options->progress(options->progress_self, index + 1, options->count);
    return 0;
}

static int collect_diaries(struct web_ensemble *ensemble, struct wg_diary *diary, const struct wg_observer *observers,
                           int n_observers, struct wg_error *err) {
    const struct wg_ensemble_options *const options = ensemble->options;
    int code = 0;
    wg_host_begin(ensemble, (int32_t)options->count);
    for (int32_t k = 0; k < options->count && code == 0; k++) {
        code = receive_diary(ensemble, k, diary, err);
        if (code == 0 && wg_is_stop_asked(options->stop))
            code = WG_STOPPED;
        if (code == 0)
            code = observe_all(options, k, diary, observers, n_observers, err);
    }
    wg_host_end();
    return code;
}

int wg_ensemble_run(const struct wg_plan *plan, const struct wg_ensemble_options *options,
                    const struct wg_observer *observers, int n_observers, struct wg_error *err) {
    struct web_ensemble ensemble = {.options = options};
    struct wg_diary diary = {0};
    int code = wg_diary_init(&diary, plan, err);
    if (code == 0)
        code = wg_worlds_new(&ensemble.worlds, plan, err);
    if (code == 0)
        code = collect_diaries(&ensemble, &diary, observers, n_observers, err);
    wg_diary_free(&diary);
    wg_diary_free(&ensemble.lived);
    wg_simulator_free(&ensemble.simulator);
    wg_worlds_free(ensemble.worlds);
    free(ensemble.packet);
    return code;
}
