/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Makes the setups of a comparison from the options --vary, and reports what is wrong with them.
 */
#include "cli/load_scenario.h"

#include "cli/args.h"
#include "cli/message.h"

int wg_vary_report(const struct wg_args *args, const struct wg_varied *varied, const struct wg_varied_number *number,
                   int setup, int code, struct wg_mistakes *mistakes, const struct wg_error *err) {
    const bool is_of_setup = mistakes->n > 0;
    if (code == WG_ERR_USAGE)
        return wg_message_usage(args->command, "%s", err->text);
    const int status = wg_load_report(code, mistakes, err);
    for (int k = 0; k < varied->n && is_of_setup; k++)
        wg_message("this was with %s at %s.", number[k].vary.path,
                   varied->value[k][k == 0 ? setup / varied->n_values[1] : setup % varied->n_values[1]]);
    return status;
}

static int vary_base(const struct wg_args *args, const struct wg_scenario *base, struct wg_varied *varied,
                     struct wg_scenario *const *scenario, int *n) {
    static struct wg_varied_number number[WG_VARIED_MAX];
    const int n_numbers = wg_args_times(args, "vary");
    struct wg_mistakes mistakes = {0};
    struct wg_error err = {0};
    int setup = 0, code = 0;
    for (int k = 0; k < n_numbers && code == 0; k++)
        code = wg_setups_read_list(wg_args_each(args, "vary", k), base, &number[k], &err);
    if (code == 0)
        code = wg_setups_make(base, number, n_numbers, varied, scenario, n, &setup, &mistakes, &err);
    return wg_vary_report(args, varied, number, setup, code, &mistakes, &err);
}

int wg_vary_setups(const struct wg_args *args, struct wg_varied *varied, struct wg_scenario *const *scenario, int *n) {
    struct wg_scenario base = {0};
    if (args->n != 1)
        return wg_message_usage(args->command, "--vary makes the setups from one scenario, but %d are given.", args->n);
    if (wg_args_times(args, "vary") > WG_VARIED_MAX)
        return wg_message_usage(args->command, "at most %d numbers can be varied.", WG_VARIED_MAX);
    int status = wg_load_scenario(&base, args->argument[0]);
    if (status == 0)
        status = wg_args_check_inputs(args, "output", wg_args_option(args, "output"), &base);
    if (status == 0)
        status = vary_base(args, &base, varied, scenario, n);
    wg_scenario_free(&base);
    return status;
}
