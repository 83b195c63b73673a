/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/* Pools of cohorts, oldest first. A cohort costs the same whether it holds one larva or a billion. */
#include "colony/cohort.h"

#include <stdlib.h>
#include <string.h>

void wg_pool_free(struct wg_pool *pool) {
    free(pool->cohort);
    *pool = (struct wg_pool){0};
}

int wg_pool_reserve(struct wg_pool *pool, int more, struct wg_error *err) {
    const int need = pool->n + more;
    if (need <= pool->capacity)
        return 0;
    const int capacity = need + need / 2 + 16;
    struct wg_cohort *const grown = realloc(pool->cohort, (size_t)capacity * sizeof *grown);
    if (grown == NULL)
        return wg_no_memory(err, NULL);
    pool->cohort = grown;
    pool->capacity = capacity;
    return 0;
}

void wg_pool_add(struct wg_pool *pool, const struct wg_cohort *cohort) {
    if (cohort->count == 0)
        return;
    wg_assert(cohort->count > 0 && pool->n < pool->capacity);
    pool->cohort[pool->n++] = *cohort;
}

void wg_pool_join(struct wg_pool *pool, const struct wg_cohort *cohort) {
    /* from the youngest, where a match is most likely */
    for (int i = pool->n - 1; i >= 0; i--) {
        struct wg_cohort *const c = &pool->cohort[i];
        if (c->x != cohort->x || c->mark != cohort->mark || c->days != cohort->days || c->lineage != cohort->lineage)
            continue;
        const double n = (double)c->count, m = (double)cohort->count;
        if (cohort->count > 0)
            c->mass_g = (n * c->mass_g + m * cohort->mass_g) / (n + m);
        c->count += cohort->count;
        return;
    }
    wg_pool_add(pool, cohort);
}

void wg_pool_begin_moves(struct wg_pool *pool) {
    pool->held = pool->n;
    pool->moved = 0;
}

void wg_pool_end_moves(struct wg_pool *pool) {
    const int end = pool->n;
    pool->n = pool->held;
    for (int i = pool->held; i < end; i++) {
        const struct wg_cohort moved = pool->cohort[i];
        wg_pool_join(pool, &moved);
    }
    wg_pool_compact(pool);
}

void wg_pool_compact(struct wg_pool *pool) {
    int kept = 0;
    for (int i = 0; i < pool->n; i++)
        if (pool->cohort[i].count > 0) {
            if (kept < i)
                pool->cohort[kept] = pool->cohort[i];
            kept++;
        }
    pool->n = kept;
}

int64_t wg_pool_count(const struct wg_pool *pool) {
    int64_t count = 0;
    for (int i = 0; i < pool->n; i++)
        count += pool->cohort[i].count;
    return count;
}

double wg_pool_mass_kg(const struct wg_pool *pool) {
    double mass_g = 0;
    for (int i = 0; i < pool->n; i++)
        mass_g += (double)pool->cohort[i].count * pool->cohort[i].mass_g;
    return mass_g / 1000;
}

void wg_flow_add(struct wg_flow *flow, int lineage, int64_t count, double mean_mass_g) {
    if (count == 0)
        return;
    for (; flow->n_lineages <= lineage; flow->n_lineages++) {
        flow->count[flow->n_lineages] = 0;
        flow->mass_g[flow->n_lineages] = 0;
    }
    flow->count[lineage] += count;
    flow->mass_g[lineage] += (double)count * mean_mass_g;
}

double wg_flow_take(struct wg_flow *flow, int lineage, int64_t count) {
    if (count == 0)
        return 0;
    wg_assert(lineage < flow->n_lineages && count > 0 && count <= flow->count[lineage]);
    const double mean_g = flow->mass_g[lineage] / (double)flow->count[lineage];
    flow->count[lineage] -= count;
    flow->mass_g[lineage] = (double)flow->count[lineage] * mean_g;
    return mean_g;
}
