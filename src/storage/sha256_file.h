/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * SHA-256 of a file, by which it shows damage.
 */
#ifndef WG_STORAGE_SHA256_FILE_H
#define WG_STORAGE_SHA256_FILE_H

#include "base/sha256.h"

#include <sys/types.h>

/** Writes the digest of the first `size` bytes of an open file. Returns 0 or an errno (EIO: the file is shorter). */
int wg_sha256_file(int fd, off_t size, char out[WG_SHA256_TEXT_SIZE]);

#endif
