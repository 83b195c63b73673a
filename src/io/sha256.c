/*
 * Is this text the same, byte for byte, as the one that was simulated?
 *
 * SHA-256 (FIPS 180-4) by the nettle library.
 */
#include "io/sha256.h"

#include <nettle/sha2.h>
#include <stdint.h>

void wg_sha256(const void *data, size_t size, char out[WG_SHA256_TEXT]) {
    static const char digit[] = "0123456789abcdef";
    uint8_t digest[SHA256_DIGEST_SIZE];
    struct sha256_ctx context;
    sha256_init(&context);
    if (size > 0)
        sha256_update(&context, size, data);
    sha256_digest(&context, sizeof digest, digest);
    for (size_t i = 0; i < sizeof digest; i++) {
        out[2 * i] = digit[digest[i] >> 4];
        out[2 * i + 1] = digit[digest[i] & 15];
    }
    out[WG_SHA256_TEXT - 1] = '\0';
}
