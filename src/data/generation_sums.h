/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Means over replicates of the number alive by day, stage and generation.
 *
 * A day has few living generations of many possible ones, so sums are kept for spells of days and the generations alive in
 * them.
 */
#ifndef WG_DATA_GENERATION_SUMS_H
#define WG_DATA_GENERATION_SUMS_H

#include "colony/diary.h"

#define WG_SPELL 64 /* days */

/** Zero-initialise; free with wg_generation_sums_free() in every case. */
struct wg_generation_sums {
    int n_days, n_spells, n_generations;
    struct wg_spell_sums *spell;
};
/** Begins with the sizes of a diary. Returns 0 or WG_ERR_MEMORY. */
int wg_generation_sums_init(struct wg_generation_sums *sums, const struct wg_diary *shape, struct wg_error *err);
/** Adds a replicate; replicates must come in order. Returns 0 or WG_ERR_MEMORY. */
int wg_generation_sums_add(struct wg_generation_sums *sums, const struct wg_diary *diary, struct wg_error *err);
/**
 * Writes the means of a spell over so many replicates, [day][stage][generation]; returns its number of days. The last spell
 * may be shorter.
 */
int wg_generation_means(const struct wg_generation_sums *sums, int spell, int64_t replicates, double *out);
void wg_generation_sums_free(struct wg_generation_sums *sums);

#endif
