/**
 * Colours on a terminal, where it has them.
 */
#ifndef WG_TEXT_TERMINAL_H
#define WG_TEXT_TERMINAL_H

#include <stdbool.h>
#include <stdio.h>

/** Is the stream a terminal worth drawing on: TERM neither "dumb" nor empty nor missing? */
bool wg_can_draw(FILE *stream);

/** How text may look on a terminal. */
enum wg_terminal_style { WG_STYLE_PLAIN, WG_STYLE_STRONG, WG_STYLE_WARN };
/**
 * What to print before inked text (WG_STYLE_PLAIN: after it): "" when NO_COLOR is not empty or wg_can_draw() says no.
 */
const char *wg_terminal_style(FILE *stream, enum wg_terminal_style ink);

#endif
