/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Prints messages and errors, one line each, on standard error.
 */
#include "cli/message.h"

#include "base/utf8.h"
#include "cli/progress.h"

#include <errno.h>
#include <stdarg.h>
#include <string.h>

#define LINE_SIZE 2048

static void write_message_line(const char *before, char *text, const char *after) {
    wg_utf8_clean(text);
    wg_progress_clear();
    (void)fprintf(stderr, "%s%s%s\n", before, text, after);
}

void wg_message(const char *format, ...) {
    char text[LINE_SIZE];
    va_list args;
    va_start(args, format);
    (void)vsnprintf(text, sizeof text, format, args);
    va_end(args);
    write_message_line("wintergrub: ", text, "");
}

int wg_message_error(const struct wg_error *err) {
    const char *const text = err->text[0] != '\0' ? err->text : wg_error_sentence(err->code);
    if (err->where[0] != '\0')
        wg_message("%s: %s", err->where, text);
    else
        wg_message("%s", text);
    return wg_error_exit_status(err->code);
}

int wg_message_usage(const struct wg_command *command, const char *format, ...) {
    char text[LINE_SIZE], before[64] = "wintergrub: ", after[64] = " See 'wintergrub help'.";
    va_list args;
    va_start(args, format);
    (void)vsnprintf(text, sizeof text, format, args);
    va_end(args);
    if (command != NULL) {
        (void)snprintf(before, sizeof before, "wintergrub %s: ", command->name);
        (void)snprintf(after, sizeof after, " See 'wintergrub help %s'.", command->name);
    }
    write_message_line(before, text, after);
    return WG_STATUS_USAGE;
}

/* A closed pipe (`| head`) is not a failure; a full disk is. */
static int report_output(bool failed, int reason, int status) {
    clearerr(stdout);
    if (!failed || reason == EPIPE)
        return status;
    struct wg_error err = {0};
    (void)wg_fail(&err, WG_ERR_FILE, "standard output", "It could not be written%s%s.", reason != 0 ? ": " : "",
                  reason != 0 ? strerror(reason) : "");
    return wg_message_error(&err);
}

int wg_output_finish(int status) {
    errno = 0;
    const bool failed = fflush(stdout) != 0 || ferror(stdout) != 0;
    return report_output(failed, errno, status);
}

int wg_output_write(const void *data, size_t size) {
    errno = 0;
    const bool failed = fwrite(data, 1, size, stdout) != size || fflush(stdout) != 0;
    return report_output(failed, errno, WG_STATUS_DONE);
}
