/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Calls wg_colony_verify() after every step. The build links it with the objects of wintergrub as wintergrub_verified.
 * An invalid state is printed to standard error and ends the program like any impossible state, with status 5.
 */
#include "colony/state.h"
#include "text/print_state.h"

void __real_wg_step_ledger(struct wg_colony *colony);
void __wrap_wg_step_ledger(struct wg_colony *colony);
void __wrap_wg_step_ledger(struct wg_colony *colony) {
    struct wg_error err = {0};
    __real_wg_step_ledger(colony);
    const int code = wg_colony_verify(colony, &err);
    if (code < 0)
        wg_colony_print_state(colony, stderr);
    wg_assert(code == 0);
}
