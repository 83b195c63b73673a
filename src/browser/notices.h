/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The libraries in the page, with the notices that their licences want kept.
 */
#ifndef WG_BROWSER_NOTICES_H
#define WG_BROWSER_NOTICES_H

struct wg_notice {
    const char *name;    /* "libfyaml 0.7.12" */
    const char *licence; /* SPDX: "MIT" */
    const char *text;    /* the notice */
};
/** Returns all of them, wintergrub first; ended by a NULL name. */
const struct wg_notice *wg_notices(void);

#endif
