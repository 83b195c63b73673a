/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Distributes a scenario's replicates over the processes of `mpirun` (see ranks.h). In an ordinary build, or with a
 * single process, there is nothing to distribute.
 */
#ifndef WG_CLI_DISTRIBUTE_H
#define WG_CLI_DISTRIBUTE_H

#include "forecast/ranks.h"
#include "scenario/scenario.h"

/** A scenario packed for the other processes. Zero-initialise; owns its bytes; must not be copied. */
struct wg_distributor {
    struct wg_ranks_order order;
    struct wg_backend elsewhere;
};
/**
 * Sets *elsewhere to the backend for an ensemble of this scenario's plan, NULL without other processes. Returns 0 or
 * WG_ERR_MEMORY. Call wg_distributor_free() in every case.
 */
int wg_distributor_init(struct wg_distributor *distributor, const struct wg_scenario *scenario,
                        const struct wg_backend **elsewhere, struct wg_error *err);
void wg_distributor_free(struct wg_distributor *distributor);

/** Runs a process other than number 0 until the end. Prints nothing. */
void wg_distributor_serve(void);

#endif
