/**
 * Makes the setups of a comparison from one scenario and the options --vary KEY=VALUE,VALUE,...
 */
#ifndef WG_CLI_VARY_SETUPS_H
#define WG_CLI_VARY_SETUPS_H

#include "cli/command.h"
#include "results/comparison_file.h"

/**
 * Reads the scenario of args->argument[0] once for each value of --vary (for each pair of values, if it is given twice),
 * into scenario[*n], with titles that name the values. Returns 0, or the exit status after printing the reason; every
 * scenario must be freed in every case.
 */
int wg_vary_setups(const struct wg_args *args, struct wg_varied *varied, struct wg_scenario *const *scenario, int *n);

#endif
