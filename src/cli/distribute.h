/**
 * A scenario's replicates spread over the processes of `mpirun` (see ranks.h).
 * In an ordinary build, and in a process alone, there is nobody to spread them to.
 */
#ifndef WG_CLI_DISTRIBUTE_H
#define WG_CLI_DISTRIBUTE_H

#include "forecast/ranks.h"
#include "scenario/scenario.h"

/** The scenario on its way to the other processes. Zero-initialise; owns its bytes; not to be copied. */
struct wg_distributor {
    struct wg_ranks_order order;
    struct wg_backend elsewhere;
};
/**
 * What to put into the options of an ensemble of this scenario's plan: NULL in *elsewhere when there are no others. 0 or
 * WG_ERR_MEMORY. wg_distributor_free() in every case.
 */
int wg_distributor_init(struct wg_distributor *hands, const struct wg_scenario *scenario,
                        const struct wg_backend **elsewhere, struct wg_error *err);
void wg_distributor_free(struct wg_distributor *hands);

/** The whole life of a process that is not number 0. It prints nothing. */
void wg_distributor_serve(void);

#endif
