/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Prints one line and aborts when an assertion fails.
 *
 * Alone in its file, so that the linker leaves it out of a program that defines its own wg_assert_failed().
 */
#include "base/error.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

_Noreturn void wg_assert_failed(const char *condition, const char *file, int line) {
    const char *const slash = strrchr(file, '/');
    (void)fprintf(stderr, "wintergrub: %s:%d: internal error, please report it: not (%s)\n",
                  slash == NULL ? file : slash + 1, line, condition);
    abort();
}
