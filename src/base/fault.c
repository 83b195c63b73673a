/*
 * What happens at an impossible state? One line, and the end of the process.
 *
 * The only function of its file, so that a program that defines wg_assert_failed() itself gets its own and this one is
 * never linked: the library needs no variable to remember a handler in.
 */
#include "base/error.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

_Noreturn void wg_assert_failed(const char *condition, const char *file, int line) {
    const char *const slash = strrchr(file, '/');
    (void)fprintf(stderr, "wintergrub: %s:%d: impossible state, please report it: not (%s)\n",
                  slash == NULL ? file : slash + 1, line, condition);
    abort();
}
