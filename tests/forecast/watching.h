/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/* Observers that record a hash of each diary and the order of replicates. */
#ifndef WG_TESTS_WATCHING_H
#define WG_TESTS_WATCHING_H

#include "forecast/ensemble.h"

#include <criterion/criterion.h>
#include <string.h>

#define MOST_SEEN 64

struct watching {
    int n;
    int64_t replicate[MOST_SEEN];
    uint64_t hash[MOST_SEEN];
    int refuse_at, refuse_with; /* the code to return at diary number refuse_at; 0: none */
};

/* FNV-1a hash, 64 bits (Fowler, Noll & Vo). */
static inline uint64_t hash_bytes(uint64_t hash, const void *bytes, size_t n) {
    for (size_t i = 0; i < n; i++)
        hash = (hash ^ ((const unsigned char *)bytes)[i]) * UINT64_C(0x100000001b3);
    return hash;
}

/* Hashes a whole diary: all series, the generations, all outcomes, the day it stopped. */
static inline uint64_t hash_diary(const struct wg_diary *diary) {
    uint64_t hash = UINT64_C(0xcbf29ce484222325);
    for (const struct wg_series *s = wg_diary_series(); s->name != NULL; s++)
        hash = hash_bytes(hash, wg_diary_values(diary, s),
                          sizeof(double) * (size_t)diary->n_days * (size_t)wg_diary_width(diary, s->dims));
    hash = hash_bytes(hash, diary->living, (size_t)diary->n_days * sizeof *diary->living);
    hash = hash_bytes(hash, diary->alive, diary->n_alive * sizeof *diary->alive);
    for (const struct wg_outcome *o = wg_diary_outcomes(); o->name != NULL; o++) {
        const double value = wg_diary_outcome(diary, o);
        hash = hash_bytes(hash, &value, sizeof value);
    }
    return hash_bytes(hash, &diary->stopped_day, sizeof diary->stopped_day);
}

static inline int watch_see(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    struct watching *const watching = self;
    cr_assert(watching->n < MOST_SEEN);
    const int at = watching->n++;
    watching->replicate[at] = replicate;
    watching->hash[at] = hash_diary(diary);
    if (watching->refuse_with == 0 || at != watching->refuse_at)
        return 0;
    return watching->refuse_with < 0 ? wg_fail(err, watching->refuse_with, "here", "refused") : watching->refuse_with;
}

/* Runs replicates first..first+count-1 on `threads` threads with one observer. */
static inline int watch_run(struct watching *watching, const struct wg_plan *plan, int64_t first, int64_t count,
                            int threads, struct wg_error *err) {
    const struct wg_observer observer = {.on_replicate = watch_see, .self = watching};
    const struct wg_ensemble_options options = {.first = first, .count = count, .threads = threads};
    return wg_ensemble_run(plan, &options, &observer, 1, err);
}

#endif
