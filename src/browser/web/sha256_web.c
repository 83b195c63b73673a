/*
 * SHA-256 (FIPS 180-4, sections 4 to 6) of texts, for the names of events in calendars: a page has no library for it.
 */
#include "storage/sha256.h"

#include <stdint.h>
#include <stdio.h>
#include <string.h>

#define BLOCK 64
#define ROUNDS 64

/* Section 4.2.2: the first 32 bits of the fractional parts of the cube roots of the first 64 primes. */
static const uint32_t constant[ROUNDS] = {
    0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5, 0xd807aa98,
    0x12835b01, 0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174, 0xe49b69c1, 0xefbe4786,
    0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da, 0x983e5152, 0xa831c66d, 0xb00327c8,
    0xbf597fc7, 0xc6e00bf3, 0xd5a79147, 0x06ca6351, 0x14292967, 0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13,
    0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85, 0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819,
    0xd6990624, 0xf40e3585, 0x106aa070, 0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a,
    0x5b9cca4f, 0x682e6ff3, 0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208, 0x90befffa, 0xa4506ceb, 0xbef9a3f7,
    0xc67178f2};

static uint32_t turned(uint32_t x, int n) {
    return x >> n | x << (32 - n);
}

static void fill_schedule(const unsigned char block[BLOCK], uint32_t w[ROUNDS]) {
    for (int t = 0; t < 16; t++)
        w[t] = (uint32_t)block[4 * t] << 24 | (uint32_t)block[4 * t + 1] << 16 | (uint32_t)block[4 * t + 2] << 8 |
               (uint32_t)block[4 * t + 3];
    for (int t = 16; t < ROUNDS; t++) {
        const uint32_t a = w[t - 15], b = w[t - 2];
        w[t] = (turned(b, 17) ^ turned(b, 19) ^ b >> 10) + w[t - 7] + (turned(a, 7) ^ turned(a, 18) ^ a >> 3) +
               w[t - 16];
    }
}

static void digest_block(uint32_t hash[8], const unsigned char block[BLOCK]) {
    uint32_t w[ROUNDS], v[8];
    fill_schedule(block, w);
    memcpy(v, hash, sizeof v);
    for (int t = 0; t < ROUNDS; t++) {
        const uint32_t e = v[4], a = v[0];
        const uint32_t one =
            v[7] + (turned(e, 6) ^ turned(e, 11) ^ turned(e, 25)) + ((e & v[5]) ^ (~e & v[6])) + constant[t] + w[t];
        const uint32_t two =
            (turned(a, 2) ^ turned(a, 13) ^ turned(a, 22)) + ((a & v[1]) ^ (a & v[2]) ^ (v[1] & v[2]));
        memmove(v + 1, v, 7 * sizeof *v);
        v[4] += one;
        v[0] = one + two;
    }
    for (int i = 0; i < 8; i++)
        hash[i] += v[i];
}

/* The last block or two: a bit 1, zeros, and the length in bits. */
static void digest_end(uint32_t hash[8], const unsigned char *rest, size_t n, size_t size) {
    unsigned char tail[2 * BLOCK] = {0};
    const size_t length = n + 9 > BLOCK ? 2 * BLOCK : BLOCK;
    if (n > 0)
        memcpy(tail, rest, n);
    tail[n] = 0x80;
    for (int i = 0; i < 8; i++)
        tail[length - 1 - (size_t)i] = (unsigned char)((uint64_t)size * 8 >> (8 * i));
    for (size_t at = 0; at < length; at += BLOCK)
        digest_block(hash, tail + at);
}

void wg_sha256(const void *data, size_t size, char out[WG_SHA256_TEXT_SIZE]) {
    /* Section 5.3.3 */
    uint32_t hash[8] = {0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a, 0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19};
    const unsigned char *const bytes = data;
    size_t at = 0;
    for (; at + BLOCK <= size; at += BLOCK)
        digest_block(hash, bytes + at);
    digest_end(hash, bytes + at, size - at, size);
    for (int i = 0; i < 8; i++)
        (void)snprintf(out + 8 * i, 9, "%08x", (unsigned)hash[i]);
}
