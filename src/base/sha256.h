/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * SHA-256 (FIPS 180-4) of a text, by which a result identifies its scenario and weather.
 */
#ifndef WG_BASE_SHA256_H
#define WG_BASE_SHA256_H

#include <stddef.h>

#define WG_SHA256_TEXT_SIZE 65 /* 64 hexadecimal digits and a NUL */

/** Writes the digest of `size` bytes in lower-case hexadecimal. `data` may be NULL if size is 0. */
void wg_sha256(const void *data, size_t size, char out[WG_SHA256_TEXT_SIZE]);

#endif
