/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Handles Ctrl-C and similar signals. A signal sets a flag, and the run ends after the current replicate and removes
 * its files. Where no replicate is running and at most a file or two must be removed, the program ends at once.
 */
#include "cli/stop.h"

#include <signal.h>
#include <stddef.h>
#include <string.h>
#include <unistd.h>

static atomic_int stop;
static _Atomic(const struct wg_exit_cleanup *) cleanup;

/* Calls only async-signal-safe functions (POSIX.1-2017, 2.4.3). */
static _Noreturn void exit_on_signal(const struct wg_exit_cleanup *how, int number) {
    if (how->file != NULL)
        (void)unlink(how->file);
    if (how->folder != NULL)
        (void)rmdir(how->folder);
    const ssize_t written = how->line != NULL ? write(STDERR_FILENO, how->line, strlen(how->line)) : 0;
    (void)written;
    _exit(128 + number);
}

static void on_signal(int number) {
    atomic_store(&stop, number);
    const struct wg_exit_cleanup *const how = atomic_load(&cleanup);
    if (how != NULL)
        exit_on_signal(how, number);
}

void wg_stop_immediately(const struct wg_exit_cleanup *how) {
    atomic_store(&cleanup, how);
    const int number = atomic_load(&stop);
    if (how != NULL && number != 0)
        exit_on_signal(how, number);
}

static void install_handler(int number, void (*handler)(int)) {
    struct sigaction action = {.sa_handler = handler, .sa_flags = SA_RESTART};
    (void)sigemptyset(&action.sa_mask);
    (void)sigaction(number, &action, NULL);
}

void wg_stop_install(void) {
    struct sigaction before;
    install_handler(SIGINT, on_signal);
    install_handler(SIGTERM, on_signal);
    if (sigaction(SIGHUP, NULL, &before) == 0 && before.sa_handler != SIG_IGN)
        install_handler(SIGHUP, on_signal);
    install_handler(SIGPIPE, SIG_IGN);
    install_handler(SIGXFSZ, SIG_IGN);
}

const atomic_int *wg_stop_flag(void) {
    return &stop;
}

int wg_stop_status(void) {
    return 128 + atomic_load_explicit(&stop, memory_order_relaxed);
}
