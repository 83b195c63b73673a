/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Shares work among the workers of a page: each does pieces by number in its copy of the collector's memory and sends the
 * bytes of the results; the collector takes them in order, and does pieces itself while it waits.
 */
#include "browser/web/shared_work.h"

#include "browser/web/host.h"

#include <stdlib.h>

static bool is_shared; /* the workers get it with their copies */

bool wg_is_work_shared(void) {
    return is_shared;
}

static unsigned char *packet_of(struct wg_shared_work *work, size_t size) {
    if (size > work->packet_size) {
        free(work->packet);
        work->packet = malloc(size);
        work->packet_size = work->packet != NULL ? size : 0;
    }
    return work->packet;
}

/* ---- in any worker ---- */

static void give_result(struct wg_shared_work *work, int32_t index) {
    const size_t size = work->size(work->self, index);
    unsigned char *const packet = packet_of(work, size);
    struct wg_error err = {0};
    if (packet == NULL) {
        (void)wg_no_memory(&err, NULL);
        wg_host_give(index, WG_ERR_MEMORY, &err, sizeof err);
        return;
    }
    work->write(work->self, index, packet);
    wg_host_give(index, 0, packet, size);
}

/** Does a piece of the work and gives its result to the host. */
WG_HOST_EXPORT("wg_web_work") void wg_web_work(struct wg_shared_work *work, int32_t index);
void wg_web_work(struct wg_shared_work *work, int32_t index) {
    struct wg_error err = {0};
    const int code = work->run(work->self, index, &err);
    if (code == 0)
        give_result(work, index);
    else
        wg_host_give(index, code, &err, sizeof err);
}

/* ---- in the collector ---- */

/* Takes the result of a piece, which another worker does, or this one while it waits. */
static int take_result(struct wg_shared_work *work, int32_t index, struct wg_error *err) {
    int32_t outcome = wg_host_wait(index);
    while (outcome >= 0) {
        wg_web_work(work, outcome);
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
    unsigned char *const packet = packet_of(work, size);
    if (packet == NULL)
        return wg_no_memory(err, NULL);
    wg_host_take(packet);
    return work->take(work->self, index, packet, size, err);
}

int wg_shared_work_run(struct wg_shared_work *work, struct wg_error *err) {
    int code = 0;
    wg_assert(!is_shared && work->count <= INT32_MAX);
    is_shared = true;
    wg_host_begin(work, (int32_t)work->count, work->key);
    for (int32_t i = 0; i < work->count && code == 0; i++)
        code = take_result(work, i, err);
    wg_host_end();
    is_shared = false;
    free(work->packet);
    work->packet = NULL;
    return code;
}
