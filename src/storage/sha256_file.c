/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Computes SHA-256 digests of files by the nettle library, which is several times as fast as base/sha256.c.
 */
#include "storage/seal.h"

#include <errno.h>
#include <nettle/sha2.h>
#include <stdint.h>
#include <unistd.h>

static void write_digest(struct sha256_ctx *context, char out[WG_SHA256_TEXT_SIZE]) {
    static const char digit[] = "0123456789abcdef";
    uint8_t digest[SHA256_DIGEST_SIZE];
    sha256_digest(context, sizeof digest, digest);
    for (size_t i = 0; i < sizeof digest; i++) {
        out[2 * i] = digit[digest[i] >> 4];
        out[2 * i + 1] = digit[digest[i] & 15];
    }
    out[WG_SHA256_TEXT_SIZE - 1] = '\0';
}

int wg_sha256_file(int fd, off_t size, char out[WG_SHA256_TEXT_SIZE]) {
    uint8_t buffer[16384];
    struct sha256_ctx context;
    sha256_init(&context);
    for (off_t offset = 0; offset < size;) {
        const size_t wanted = size - offset < (off_t)sizeof buffer ? (size_t)(size - offset) : sizeof buffer;
        const ssize_t n = pread(fd, buffer, wanted, offset);
        if (n < 0 && errno == EINTR)
            continue;
        if (n <= 0)
            return n < 0 ? errno : EIO;
        sha256_update(&context, (size_t)n, buffer);
        offset += n;
    }
    write_digest(&context, out);
    return 0;
}
