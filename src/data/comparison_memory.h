/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * A comparison that was just computed, as its file would have it.
 */
#ifndef WG_DATA_COMPARISON_MEMORY_H
#define WG_DATA_COMPARISON_MEMORY_H

#include "data/comparison_data.h"

/**
 * Opens a finished comparison; scenario[compare->n] and warnings[compare->n] (NULL: not checked) belong to the setups, in
 * order. `compare` must outlive the data. Returns 0 or WG_ERR_MEMORY; free the data in every case.
 */
int wg_comparison_data_now(struct wg_comparison_data *data, const struct wg_compare *compare,
                           const struct wg_scenario *const *scenario, const struct wg_warnings *const *warnings,
                           const struct wg_comparison_words *words, const struct wg_provenance *provenance,
                           struct wg_error *err);

#endif
