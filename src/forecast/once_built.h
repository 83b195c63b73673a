/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * A thing that the first thread to need it builds, while the others wait for it (private to forecast/).
 */
#ifndef WG_FORECAST_ONCE_BUILT_H
#define WG_FORECAST_ONCE_BUILT_H

#include "base/error.h"

#include <pthread.h>
#include <stdbool.h>

struct wg_once_built {
    enum { WG_BUILD_MISSING, WG_BUILD_RUNNING, WG_BUILD_DONE } state;
    int code; /* of a build that is done, with its error */
    struct wg_error err;
};

/** Guards the things of one owner, so that different ones are built at the same time. */
struct wg_builds {
    pthread_mutex_t lock;
    pthread_cond_t built;
};

/** Returns true if the caller has to build, false once it is built. The caller holds the lock. */
static inline bool wg_build_claim(struct wg_builds *builds, struct wg_once_built *build) {
    while (build->state == WG_BUILD_RUNNING)
        pthread_cond_wait(&builds->built, &builds->lock);
    if (build->state == WG_BUILD_DONE)
        return false;
    build->state = WG_BUILD_RUNNING;
    return true;
}

/** Ends a build; `code` and build->err are what everyone gets who asks for it. */
static inline void wg_build_finish(struct wg_builds *builds, struct wg_once_built *build, int code) {
    pthread_mutex_lock(&builds->lock);
    build->state = WG_BUILD_DONE;
    build->code = code;
    pthread_cond_broadcast(&builds->built);
    pthread_mutex_unlock(&builds->lock);
}

/** Returns the outcome of a build that is done. */
static inline int wg_build_report(const struct wg_once_built *build, struct wg_error *err) {
    if (build->code < 0 && err != NULL && err->code == 0)
        *err = build->err;
    return build->code;
}

#endif
