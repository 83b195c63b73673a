/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Sums the number alive by day, stage and generation over replicates.
 */
#include "data/generation_sums.h"

#include <stdlib.h>
#include <string.h>

/* Sums over the replicates so far, in order, for a spell of days and the generations alive in it. */
struct wg_spell_sums {
    int first, n;
    double *sum; /* [generation][day][stage] */
};

int wg_generation_sums_init(struct wg_generation_sums *sums, const struct wg_diary *shape, struct wg_error *err) {
    sums->n_days = shape->n_days;
    sums->n_generations = shape->n_generations;
    sums->n_spells = (shape->n_days + WG_SPELL - 1) / WG_SPELL;
    sums->spell = calloc((size_t)sums->n_spells, sizeof *sums->spell);
    return sums->spell != NULL ? 0 : wg_no_memory(err, NULL);
}

void wg_generation_sums_free(struct wg_generation_sums *sums) {
    for (int i = 0; sums->spell != NULL && i < sums->n_spells; i++)
        free(sums->spell[i].sum);
    free(sums->spell);
    *sums = (struct wg_generation_sums){0};
}

/* Extends the sums to generations first .. end - 1. */
static int extend_spell(struct wg_spell_sums *spell, int first, int end, struct wg_error *err) {
    const struct wg_spell_sums old = *spell;
    const size_t size = WG_SPELL * WG_N_STAGES * sizeof *old.sum; /* bytes of one generation */
    if (old.n > 0 && old.first < first)
        first = old.first;
    if (old.n > 0 && old.first + old.n > end)
        end = old.first + old.n;
    if (end - first == old.n)
        return 0;
    double *const sum = calloc((size_t)(end - first), size);
    if (sum == NULL)
        return wg_no_memory(err, NULL);
    if (old.n > 0)
        memcpy((char *)sum + (size_t)(old.first - first) * size, old.sum, (size_t)old.n * size);
    free(old.sum);
    spell->first = first;
    spell->n = end - first;
    spell->sum = sum;
    return 0;
}

int wg_generation_sums_add(struct wg_generation_sums *sums, const struct wg_diary *diary, struct wg_error *err) {
    for (int day = 0; day < diary->n_days; day++) {
        const struct wg_living_generations *const living = &diary->living[day];
        struct wg_spell_sums *const spell = &sums->spell[day / WG_SPELL];
        const int code = living->n > 0 ? extend_spell(spell, living->first, living->first + living->n, err) : 0;
        if (code < 0)
            return code;
        const int64_t *alive = diary->alive + living->from;
        for (int g = living->first; g < living->first + living->n; g++)
            for (int stage = 0; stage < WG_N_STAGES; stage++)
                spell->sum[((g - spell->first) * WG_SPELL + day % WG_SPELL) * WG_N_STAGES + stage] += (double)*alive++;
    }
    return 0;
}

int wg_generation_means(const struct wg_generation_sums *sums, int spell, int64_t replicates, double *out) {
    const struct wg_spell_sums *const from = &sums->spell[spell];
    const int left = sums->n_days - spell * WG_SPELL, days = left < WG_SPELL ? left : WG_SPELL;
    memset(out, 0, (size_t)sums->n_generations * WG_N_STAGES * (size_t)days * sizeof *out);
    for (int g = from->first; g < from->first + from->n; g++)
        for (int i = 0; i < days * WG_N_STAGES; i++)
            out[i * sums->n_generations + g] =
                from->sum[(g - from->first) * WG_SPELL * WG_N_STAGES + i] / (double)replicates;
    return days;
}
