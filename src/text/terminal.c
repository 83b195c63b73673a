/*
 * Styles terminal output and masks control characters.
 */
#include "text/terminal.h"

#include "text/bytes.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* U+200E, U+200F, U+2028 to U+202E, U+2066 to U+2069: marks that end a line or turn the direction of writing. */
static bool turns_writing(const char *text, size_t n) {
    const unsigned char *const c = (const unsigned char *)text;
    if (n != 3 || c[0] != 0xe2)
        return false;
    return (c[1] == 0x80 && (c[2] == 0x8e || c[2] == 0x8f || (c[2] >= 0xa8 && c[2] <= 0xae))) ||
           (c[1] == 0x81 && c[2] >= 0xa6 && c[2] <= 0xa9);
}

void wg_mask_controls(char *text) {
    for (char *c = text; *c != '\0';) {
        const size_t n = wg_character_size(c); /* 0: a control character, or no UTF-8, which old terminals may obey */
        const bool is_fit = n > 0 && *c != '\t' && !turns_writing(c, n);
        for (size_t i = 0; i < n || i == 0; i++, c++)
            *c = is_fit ? *c : '?';
    }
}

bool wg_can_draw(FILE *stream) {
    const char *const terminal = getenv("TERM");
    return terminal != NULL && *terminal != '\0' && strcmp(terminal, "dumb") != 0 && isatty(fileno(stream));
}

/* NO_COLOR counts if set and not empty (no-color.org). */
static bool has_colour(FILE *stream) {
    const char *const no_colour = getenv("NO_COLOR");
    return (no_colour == NULL || *no_colour == '\0') && wg_can_draw(stream);
}

const char *wg_terminal_style(FILE *stream, enum wg_terminal_style style) {
    static const char *const code[] = {
        [WG_STYLE_PLAIN] = "\033[0m", [WG_STYLE_STRONG] = "\033[1m", [WG_STYLE_WARN] = "\033[1;33m"};
    return has_colour(stream) ? code[style] : "";
}
