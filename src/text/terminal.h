/**
 * What a terminal may be shown: colours where it has them, and never a control character that came from outside.
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
/** Changes the control characters of a text into '?', those of one byte and those of two in UTF-8. Newlines stay. */
void wg_mask_controls(char *text);

#endif
