/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Builds the tables of animals once and lends them.
 */
#include "forecast/tables.h"

#include "forecast/once_built.h"

#include <stdlib.h>

struct shared_clock {
    struct wg_once_built build;
    bool is_lognormal;
    double spread;
    struct wg_clock clock;
    struct shared_clock *next;
};

/* All numbers that make a growth table. */
struct growth_numbers {
    double larva_spread, hatch_mass_g, final_mass_g, growth_rate, ahead;
};

struct shared_growth {
    struct wg_once_built build;
    struct growth_numbers of;
    struct wg_cohort_growth growth;
    struct shared_growth *next;
};

struct wg_tables {
    struct shared_clock *clocks;
    struct shared_growth *growths;
    struct wg_builds builds;
};

int wg_tables_new(struct wg_tables **tables, struct wg_error *err) {
    *tables = calloc(1, sizeof **tables);
    if (*tables == NULL)
        return wg_no_memory(err, NULL);
    pthread_mutex_init(&(*tables)->builds.lock, NULL);
    pthread_cond_init(&(*tables)->builds.built, NULL);
    return 0;
}

void wg_tables_free(struct wg_tables *tables) {
    if (tables == NULL)
        return;
    for (struct shared_clock *clock = tables->clocks, *next; clock != NULL; clock = next) {
        next = clock->next;
        wg_clock_free(&clock->clock);
        free(clock);
    }
    for (struct shared_growth *growth = tables->growths, *next; growth != NULL; growth = next) {
        next = growth->next;
        wg_cohort_growth_free(&growth->growth);
        free(growth);
    }
    pthread_cond_destroy(&tables->builds.built);
    pthread_mutex_destroy(&tables->builds.lock);
    free(tables);
}

int wg_tables_share(struct wg_tables **own, struct wg_tables **tables, struct wg_error *err) {
    *own = NULL;
    if (*tables != NULL)
        return 0;
    const int code = wg_tables_new(own, err);
    *tables = *own;
    return code;
}

/* ---- clocks ---- */

/* Returns the clock of a spread, new if it is the first; NULL: out of memory. The caller holds the lock. */
static struct shared_clock *find_clock(struct wg_tables *tables, bool is_lognormal, double spread) {
    struct shared_clock *clock = tables->clocks;
    while (clock != NULL && (clock->is_lognormal != is_lognormal || clock->spread != spread))
        clock = clock->next;
    if (clock != NULL)
        return clock;
    clock = calloc(1, sizeof *clock);
    if (clock != NULL) {
        *clock = (struct shared_clock){.is_lognormal = is_lognormal, .spread = spread, .next = tables->clocks};
        tables->clocks = clock;
    }
    return clock;
}

/* Lends a clock to *out. */
static int lend_clock(struct wg_tables *tables, bool is_lognormal, double spread, struct wg_clock *out,
                      struct wg_error *err) {
    pthread_mutex_lock(&tables->builds.lock);
    struct shared_clock *const clock = find_clock(tables, is_lognormal, spread);
    const bool is_mine = clock != NULL && wg_build_claim(&tables->builds, &clock->build);
    pthread_mutex_unlock(&tables->builds.lock);
    if (clock == NULL)
        return wg_no_memory(err, NULL);
    if (is_mine)
        wg_build_finish(&tables->builds, &clock->build,
                        is_lognormal ? wg_clock_init_lognormal(&clock->clock, spread, &clock->build.err)
                                     : wg_clock_init_gamma(&clock->clock, spread, &clock->build.err));
    *out = clock->clock;
    return wg_build_report(&clock->build, err);
}

int wg_tables_clocks(struct wg_tables *tables, const struct wg_species *species, struct wg_clocks *out,
                     struct wg_error *err) {
    int code = lend_clock(tables, true, species->dorm_heat_sigma, &out->dormancy, err);
    for (int i = 0; i < WG_N_CLOCKS && code == 0; i++)
        code = lend_clock(tables, false, species->spread[i], &out->stage[i], err);
    return code;
}

/* ---- growth ---- */

static bool same_growth(const struct growth_numbers *a, const struct growth_numbers *b) {
    return a->larva_spread == b->larva_spread && a->hatch_mass_g == b->hatch_mass_g &&
           a->final_mass_g == b->final_mass_g && a->growth_rate == b->growth_rate && a->ahead == b->ahead;
}

/* Returns the table of these numbers, as find_clock() does. */
static struct shared_growth *find_growth(struct wg_tables *tables, const struct growth_numbers *of) {
    struct shared_growth *growth = tables->growths;
    while (growth != NULL && !same_growth(&growth->of, of))
        growth = growth->next;
    if (growth != NULL)
        return growth;
    growth = calloc(1, sizeof *growth);
    if (growth != NULL) {
        *growth = (struct shared_growth){.of = *of, .next = tables->growths};
        tables->growths = growth;
    }
    return growth;
}

int wg_tables_growth(struct wg_tables *tables, const struct wg_species *species, const struct wg_clock *larva,
                     double ahead, struct wg_cohort_growth *out, struct wg_error *err) {
    const struct growth_numbers of = {species->spread[WG_CLOCK_LARVA], species->hatch_mass_g, species->final_mass_g,
                                      species->growth_rate, ahead};
    pthread_mutex_lock(&tables->builds.lock);
    struct shared_growth *const growth = find_growth(tables, &of);
    const bool is_mine = growth != NULL && wg_build_claim(&tables->builds, &growth->build);
    pthread_mutex_unlock(&tables->builds.lock);
    if (growth == NULL)
        return wg_no_memory(err, NULL);
    if (is_mine)
        wg_build_finish(&tables->builds, &growth->build,
                        wg_cohort_growth_init(&growth->growth, species, larva, ahead, &growth->build.err));
    *out = growth->growth;
    return wg_build_report(&growth->build, err);
}
