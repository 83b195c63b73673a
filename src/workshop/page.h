/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/** The web page of the workshop, workshop.html, which the build embeds in the program (embed.cmake). */
#ifndef WG_WORKSHOP_PAGE_H
#define WG_WORKSHOP_PAGE_H

#include <stddef.h>

/** UTF-8, wg_workshop_page_size bytes; not null-terminated. */
extern const unsigned char wg_workshop_page[];
extern const size_t wg_workshop_page_size;

#endif
