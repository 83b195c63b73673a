/*
 * How does one stop it? By a signal that only sets a flag: the work ends after the
 * year it is in, and tidies up.
 *
 * A signal handler is given no argument, so the flag is the one variable of this
 * program that lives outside every function.
 */
#include "cli/stop.h"

#include <signal.h>
#include <stddef.h>

static atomic_int stop;

static void note_signal(int number) {
    atomic_store_explicit(&stop, number, memory_order_relaxed);
}

static void handle(int number, void (*handler)(int)) {
    struct sigaction action = {.sa_handler = handler, .sa_flags = SA_RESTART};
    (void)sigemptyset(&action.sa_mask);
    (void)sigaction(number, &action, NULL);
}

void wg_stop_listen(void) {
    struct sigaction before;
    handle(SIGINT, note_signal);
    handle(SIGTERM, note_signal);
    if (sigaction(SIGHUP, NULL, &before) == 0 && before.sa_handler != SIG_IGN)
        handle(SIGHUP, note_signal);
    handle(SIGPIPE, SIG_IGN);
    handle(SIGXFSZ, SIG_IGN);
}

const atomic_int *wg_stop_flag(void) {
    return &stop;
}

int wg_stop_status(void) {
    return 128 + atomic_load_explicit(&stop, memory_order_relaxed);
}
