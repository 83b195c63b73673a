/*
 * Is this text the same, byte for byte, as the one that was simulated?
 *
 * SHA-256 (FIPS 180-4) by the nettle library.
 */
#include "storage/sha256.h"

#include <errno.h>
#include <nettle/sha2.h>
#include <stdint.h>
#include <unistd.h>

static void put_digits(struct sha256_ctx *context, char out[WG_SHA256_TEXT_SIZE]) {
    static const char digit[] = "0123456789abcdef";
    uint8_t digest[SHA256_DIGEST_SIZE];
    sha256_digest(context, sizeof digest, digest);
    for (size_t i = 0; i < sizeof digest; i++) {
        out[2 * i] = digit[digest[i] >> 4];
        out[2 * i + 1] = digit[digest[i] & 15];
    }
    out[WG_SHA256_TEXT_SIZE - 1] = '\0';
}

void wg_sha256(const void *data, size_t size, char out[WG_SHA256_TEXT_SIZE]) {
    struct sha256_ctx context;
    sha256_init(&context);
    if (size > 0)
        sha256_update(&context, size, data);
    put_digits(&context, out);
}

int wg_sha256_file(int fd, off_t size, char out[WG_SHA256_TEXT_SIZE]) {
    uint8_t piece[16384];
    struct sha256_ctx context;
    sha256_init(&context);
    for (off_t at = 0; at < size;) {
        const size_t wanted = size - at < (off_t)sizeof piece ? (size_t)(size - at) : sizeof piece;
        const ssize_t n = pread(fd, piece, wanted, at);
        if (n < 0 && errno == EINTR)
            continue;
        if (n <= 0)
            return n < 0 ? errno : EIO;
        sha256_update(&context, (size_t)n, piece);
        at += n;
    }
    put_digits(&context, out);
    return 0;
}
