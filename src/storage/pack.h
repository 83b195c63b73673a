/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Compresses eight-byte values in the format of HDF5's filters shuffle and deflate, so that every HDF5 reader can unpack
 * them, in a third of their time.
 *
 * A block of `capacity` values is eight planes of `capacity` bytes: all first bytes, then all second bytes, and so on.
 */
#ifndef WG_STORAGE_PACK_H
#define WG_STORAGE_PACK_H

#include <stddef.h>
#include <stdint.h>

#define WG_PACK_VALUE 8 /* bytes of a value */

struct wg_pack;

/** Allocates a packer for blocks of at most `max_values` values; NULL: not enough memory. Free with wg_pack_free(). */
struct wg_pack *wg_pack_new(size_t max_values);
/** NULL is allowed. */
void wg_pack_free(struct wg_pack *pack);
/** Shuffles n values into the planes, from position `at`; at + n <= capacity. */
void wg_pack_spread(const void *values, size_t n, unsigned char *planes, size_t capacity, size_t at);
/** Returns the packed block, *size bytes, owned by the packer and valid until the next call. */
const void *wg_pack(struct wg_pack *pack, const unsigned char *planes, size_t capacity, size_t *size);

/** Continues a CRC-32 (ISO 3309, as in zlib and gzip), which begins with 0, over `size` more bytes. */
uint32_t wg_pack_crc(uint32_t crc, const void *bytes, size_t size);

#endif
