/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Makes the setups of a comparison from the options --vary, and reports what is wrong with them.
 */
#include "cli/vary_setups.h"

#include "cli/args.h"
#include "cli/load_scenario.h"
#include "cli/message.h"

/* Prints an error of a list: in its words, or in its key. Returns the exit status. */
static int report_list(const struct wg_args *args, int code, const struct wg_error *err) {
    if (code == WG_ERR_USAGE)
        return wg_message_usage(args->command, "%s", err->text);
    return code < 0 ? wg_message_error(err) : 0;
}

int wg_vary_read_list(const struct wg_args *args, const char *written, const struct wg_scenario *base,
                      struct wg_varied_number *number) {
    struct wg_error err = {0};
    const int code = wg_setups_read_list(written, base, number, &err);
    return report_list(args, code, &err);
}

int wg_vary_make_setups(const struct wg_args *args, const struct wg_scenario *base,
                        const struct wg_varied_number *number, int n_numbers, struct wg_varied *varied,
                        struct wg_scenario *const *scenario, int *n) {
    struct wg_mistakes mistakes = {0};
    struct wg_error err = {0};
    int setup = 0;
    const int code = wg_setups_make(base, number, n_numbers, varied, scenario, n, &setup, &mistakes, &err);
    if (code == WG_ERR_USAGE)
        return report_list(args, code, &err);
    const int status = wg_load_report(code, &mistakes, &err);
    const int at[2] = {setup / varied->n_values[1], setup % varied->n_values[1]};
    for (int k = 0; k < varied->n && status != 0; k++)
        wg_message("this was with %s at %s.", number[k].vary.path, varied->value[k][at[k]]);
    return status;
}

static int vary_base(const struct wg_args *args, const struct wg_scenario *base, struct wg_varied *varied,
                     struct wg_scenario *const *scenario, int *n) {
    static struct wg_varied_number number[WG_VARIED_MAX];
    const int n_numbers = wg_args_times(args, "vary");
    int status = 0;
    for (int k = 0; k < n_numbers && status == 0; k++)
        status = wg_vary_read_list(args, wg_args_each(args, "vary", k), base, &number[k]);
    return status == 0 ? wg_vary_make_setups(args, base, number, n_numbers, varied, scenario, n) : status;
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
