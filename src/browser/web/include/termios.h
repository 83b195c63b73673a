/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * What libfyaml compiles of terminals; a page has none, and nothing calls it.
 */
#ifndef WG_BROWSER_WEB_TERMIOS_H
#define WG_BROWSER_WEB_TERMIOS_H

struct termios {
    unsigned c_iflag, c_oflag, c_cflag, c_lflag;
    unsigned char c_cc[32];
};

#define TCSANOW 0
#define TCSAFLUSH 2

static inline int tcgetattr(int fd, struct termios *out) {
    (void)fd;
    (void)out;
    return -1;
}
static inline int tcsetattr(int fd, int when, const struct termios *in) {
    (void)fd;
    (void)when;
    (void)in;
    return -1;
}

#endif
