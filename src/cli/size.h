/* layer: cli, private */
/**
 * What `size` found, as text and as JSON.
 */
#ifndef WG_CLI_SIZE_H
#define WG_CLI_SIZE_H

#include "cli/decide.h"

#include <wintergrub/size.h>
#include <wintergrub/vary.h>

struct wg_sizing {
    const struct wg_scenario *scenario;
    const struct wg_vary *vary;
    const struct wg_size_question *question;
    const struct wg_size *size;
    uint64_t seed;
};

/** The chance at each value tried and the answer in words. */
void wg_sizing_print(const struct wg_sizing *sizing, FILE *to);
/** 0 or WG_ERR_MEMORY. */
int wg_sizing_print_json(const struct wg_sizing *sizing, FILE *to, struct wg_error *err);

#endif
