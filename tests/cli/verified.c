/*
 * The program with wg_colony_verify() after every step: linked with the objects of wintergrub into wintergrub_verified. A
 * state that cannot be is printed on standard error and ends it as any impossible state does, with status 5.
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
