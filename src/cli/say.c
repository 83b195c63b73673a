/*
 * How are mistakes and messages put to the keeper? In one line on standard error.
 */
#include "cli/say.h"

#include "figures/bytes.h"

#include <errno.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define LINE_SIZE 2048

/* U+200E, U+200F, U+2028 to U+202E, U+2066 to U+2069: marks that end a line or turn the direction of writing. */
static bool turns_writing(const char *text, size_t n) {
    const unsigned char *const c = (const unsigned char *)text;
    if (n != 3 || c[0] != 0xe2)
        return false;
    return (c[1] == 0x80 && (c[2] == 0x8e || c[2] == 0x8f || (c[2] >= 0xa8 && c[2] <= 0xae))) ||
           (c[1] == 0x81 && c[2] >= 0xa6 && c[2] <= 0xa9);
}

void wg_clean(char *text) {
    for (char *c = text; *c != '\0';) {
        const size_t n = wg_character(c); /* 0: a control character, or no UTF-8, which old terminals may obey */
        const bool is_fit = n > 0 && *c != '\t' && !turns_writing(c, n);
        for (size_t i = 0; i < n || i == 0; i++, c++)
            *c = is_fit ? *c : '?';
    }
}

static void put_line(const char *before, char *text, const char *after) {
    wg_clean(text);
    for (char *c = text; *c != '\0'; c++)
        if (*c == '\n')
            *c = ' ';
    (void)fprintf(stderr, "%s%s%s\n", before, text, after);
}

void wg_say(const char *format, ...) {
    char text[LINE_SIZE];
    va_list args;
    va_start(args, format);
    (void)vsnprintf(text, sizeof text, format, args);
    va_end(args);
    put_line("wintergrub: ", text, "");
}

int wg_say_error(const struct wg_error *err) {
    const char *const text = err->text[0] != '\0' ? err->text : wg_error_sentence(err->code);
    if (err->where[0] != '\0')
        wg_say("%s: %s", err->where, text);
    else
        wg_say("%s", text);
    return wg_error_exit_status(err->code);
}

int wg_say_usage(const struct wg_command *command, const char *format, ...) {
    char text[LINE_SIZE], before[64] = "wintergrub: ", after[64] = " See 'wintergrub help'.";
    va_list args;
    va_start(args, format);
    (void)vsnprintf(text, sizeof text, format, args);
    va_end(args);
    if (command != NULL) {
        (void)snprintf(before, sizeof before, "wintergrub %s: ", command->name);
        (void)snprintf(after, sizeof after, " See 'wintergrub help %s'.", command->name);
    }
    put_line(before, text, after);
    return WG_STATUS_USAGE;
}

/* A reader who has seen enough (`| head`) is no failure; a full disk is. */
int wg_say_output_end(int status) {
    errno = 0;
    const bool failed = fflush(stdout) != 0 || ferror(stdout) != 0;
    const int reason = errno;
    clearerr(stdout);
    if (!failed || reason == EPIPE)
        return status;
    struct wg_error err = {0};
    (void)wg_fail(&err, WG_ERR_FILE, "standard output", "It could not be written%s%s.", reason != 0 ? ": " : "",
                  reason != 0 ? strerror(reason) : "");
    return wg_say_error(&err);
}

bool wg_can_draw(FILE *stream) {
    const char *const terminal = getenv("TERM");
    return terminal != NULL && *terminal != '\0' && strcmp(terminal, "dumb") != 0 && isatty(fileno(stream));
}

/* NO_COLOR counts when it is set and not empty, as its authors ask (no-color.org). */
static bool has_colour(FILE *stream) {
    const char *const no_colour = getenv("NO_COLOR");
    return (no_colour == NULL || *no_colour == '\0') && wg_can_draw(stream);
}

const char *wg_ink(FILE *stream, enum wg_ink ink) {
    static const char *const code[] = {
        [WG_INK_PLAIN] = "\033[0m", [WG_INK_STRONG] = "\033[1m", [WG_INK_WARN] = "\033[1;33m"};
    return has_colour(stream) ? code[ink] : "";
}
