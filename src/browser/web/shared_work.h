/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Numbered pieces of work that the workers of a page share (private to browser/web/). The results are taken in order, so
 * they do not depend on the number of workers.
 */
#ifndef WG_BROWSER_WEB_SHARED_WORK_H
#define WG_BROWSER_WEB_SHARED_WORK_H

#include "base/error.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/** Must lie in memory that does not move: the workers find it at the same address in their copies. */
struct wg_shared_work {
    int64_t count;   /* numbers 0 .. count-1 */
    const char *key; /* works with the same key have the same results by number; NULL: not known */
    /** Does a piece of the work, in any worker. Returns 0 or a negative error. */
    int (*run)(void *self, int64_t index, struct wg_error *err);
    /** Returns the size of the result of the piece that this worker did last, and writes it. */
    size_t (*size)(void *self, int64_t index);
    void (*write)(void *self, int64_t index, unsigned char *packet);
    /** Takes a result in the collector, in order of `index`. Returns 0, WG_STOPPED or a negative error, which ends the work. */
    int (*take)(void *self, int64_t index, const unsigned char *packet, size_t size, struct wg_error *err);
    void *self;
    unsigned char *packet; /* its own */
    size_t packet_size;
};

/** Does all of the work. Returns 0, WG_STOPPED or the first error, by number. */
int wg_shared_work_run(struct wg_shared_work *work, struct wg_error *err);
/** True within a piece of shared work, which shares no work itself. */
bool wg_is_work_shared(void);

#endif
