/*
 * How does one stop it? By a signal that only sets a flag: the work ends after the
 * year it is in, and tidies up. Where there is no year and nothing to tidy up but
 * a file or two, it ends at once.
 *
 * A signal handler is given no argument, so these two are the only variables of this
 * program that live outside every function.
 */
#include "cli/stop.h"

#include <signal.h>
#include <stddef.h>
#include <string.h>
#include <unistd.h>

static atomic_int stop;
static _Atomic(const struct wg_farewell *) farewell;

/* Calls nothing that a signal handler may not (POSIX.1-2017, 2.4.3). */
static _Noreturn void leave(const struct wg_farewell *how, int number) {
    if (how->file != NULL)
        (void)unlink(how->file);
    if (how->folder != NULL)
        (void)rmdir(how->folder);
    const ssize_t said = how->line != NULL ? write(STDERR_FILENO, how->line, strlen(how->line)) : 0;
    (void)said;
    _exit(128 + number);
}

static void note_signal(int number) {
    atomic_store(&stop, number);
    const struct wg_farewell *const how = atomic_load(&farewell);
    if (how != NULL)
        leave(how, number);
}

void wg_stop_at_once(const struct wg_farewell *how) {
    atomic_store(&farewell, how);
    const int number = atomic_load(&stop);
    if (how != NULL && number != 0)
        leave(how, number);
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
