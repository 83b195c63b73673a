/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/** The page that holds the whole engine, src/app/wintergrub.html, which the build embeds in the program. */
#ifndef WG_BROWSER_PAGE_FILE_H
#define WG_BROWSER_PAGE_FILE_H

#include <stddef.h>

/** UTF-8, wg_page_file_size bytes; not null-terminated. */
extern const unsigned char wg_page_file[];
extern const size_t wg_page_file_size;

#endif
