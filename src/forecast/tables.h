/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The clocks and growth tables of animals, each built once for all plans and threads that need it.
 *
 * Studies simulate a few replicates of many plans with the same animals, whose tables take more time than the replicates. Equal
 * numbers give equal tables, so what is shared changes no bit. The plausible animals have spreads of two decimals: at most 205
 * clocks exist (20 MB; 64 animals need about 8 MB), beside 6 kB for each animal.
 */
#ifndef WG_FORECAST_TABLES_H
#define WG_FORECAST_TABLES_H

#include "species/growth.h"

struct wg_tables;
/** Returns 0 or WG_ERR_MEMORY. */
int wg_tables_new(struct wg_tables **tables, struct wg_error *err);
void wg_tables_free(struct wg_tables *tables);
/** Sets *tables to new ones if it is NULL. The caller frees *own: these new ones, else NULL. Returns 0 or WG_ERR_MEMORY. */
int wg_tables_share(struct wg_tables **own, struct wg_tables **tables, struct wg_error *err);
/** Lends the clocks of an animal. Any thread may call it. Returns 0 or an error of wg_clocks_init(). */
int wg_tables_clocks(struct wg_tables *tables, const struct wg_species *species, struct wg_clocks *out,
                     struct wg_error *err);
/** Lends the growth table of an animal with its clock and `ahead` (see wg_cohort_growth_init()). Any thread may call it. */
int wg_tables_growth(struct wg_tables *tables, const struct wg_species *species, const struct wg_clock *larva,
                     double ahead, struct wg_cohort_growth *out, struct wg_error *err);

#endif
