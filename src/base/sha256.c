/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Computes SHA-256 digests of texts (FIPS 180-4, sections 4.1.2, 5.1.1 and 6.2).
 */
#include "base/sha256.h"

#include <stdint.h>
#include <string.h>

#define BLOCK 64 /* bytes */

/* The first 32 bits of the fractions of the cube roots of the first 64 primes (FIPS 180-4, section 4.2.2). */
static const uint32_t root[64] = {
    0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5,
    0xd807aa98, 0x12835b01, 0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174,
    0xe49b69c1, 0xefbe4786, 0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da,
    0x983e5152, 0xa831c66d, 0xb00327c8, 0xbf597fc7, 0xc6e00bf3, 0xd5a79147, 0x06ca6351, 0x14292967,
    0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13, 0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85,
    0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070,
    0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a, 0x5b9cca4f, 0x682e6ff3,
    0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208, 0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2};

static uint32_t rotate(uint32_t x, int by) {
    return x >> by | x << (32 - by);
}

/* Expands a block into 64 words. */
static void schedule(const unsigned char *block, uint32_t word[64]) {
    for (int i = 0; i < 16; i++)
        word[i] = (uint32_t)block[4 * i] << 24 | (uint32_t)block[4 * i + 1] << 16 | (uint32_t)block[4 * i + 2] << 8 |
                  block[4 * i + 3];
    for (int i = 16; i < 64; i++) {
        const uint32_t a = word[i - 15], b = word[i - 2];
        word[i] = word[i - 16] + (rotate(a, 7) ^ rotate(a, 18) ^ a >> 3) + word[i - 7] +
                  (rotate(b, 17) ^ rotate(b, 19) ^ b >> 10);
    }
}

static void hash_block(uint32_t hash[8], const unsigned char *block) {
    uint32_t word[64], v[8];
    schedule(block, word);
    memcpy(v, hash, sizeof v);
    for (int i = 0; i < 64; i++) {
        const uint32_t chosen = (v[4] & v[5]) ^ (~v[4] & v[6]);
        const uint32_t most = (v[0] & v[1]) ^ (v[0] & v[2]) ^ (v[1] & v[2]);
        const uint32_t one =
            v[7] + (rotate(v[4], 6) ^ rotate(v[4], 11) ^ rotate(v[4], 25)) + chosen + root[i] + word[i];
        const uint32_t two = (rotate(v[0], 2) ^ rotate(v[0], 13) ^ rotate(v[0], 22)) + most;
        memmove(v + 1, v, 7 * sizeof *v);
        v[4] += one;
        v[0] = one + two;
    }
    for (int i = 0; i < 8; i++)
        hash[i] += v[i];
}

/* Adds the last bytes, the bit that ends them, and the length. */
static void hash_end(uint32_t hash[8], const unsigned char *bytes, size_t left, size_t size) {
    unsigned char block[2 * BLOCK] = {0};
    const size_t n = left + 9 <= BLOCK ? BLOCK : 2 * BLOCK;
    if (left > 0)
        memcpy(block, bytes, left);
    block[left] = 0x80;
    for (size_t i = 0; i < 8; i++)
        block[n - 1 - i] = (unsigned char)((uint64_t)size * 8 >> 8 * i);
    for (size_t at = 0; at < n; at += BLOCK)
        hash_block(hash, block + at);
}

void wg_sha256(const void *data, size_t size, char out[WG_SHA256_TEXT_SIZE]) {
    static const char digit[] = "0123456789abcdef";
    uint32_t hash[8] = {0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a, 0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19};
    const unsigned char *bytes = data;
    size_t left = size;
    for (; left >= BLOCK; left -= BLOCK, bytes += BLOCK)
        hash_block(hash, bytes);
    hash_end(hash, bytes, left, size);
    for (int i = 0; i < 64; i++)
        out[i] = digit[hash[i / 8] >> (28 - 4 * (i % 8)) & 15];
    out[64] = '\0';
}
