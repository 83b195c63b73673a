/*
 * How are half a million winter days made small without making the simulation wait?
 *
 * A number's bytes are unlike each other: some say how large it is and repeat from day to day, others are as good as
 * random. So like bytes are put together (HDF5's shuffle filter) and deflated (RFC 1950, RFC 1951, by zlib).
 * Deflating as the library does it, level 1 all through, was a fifth of all work of a run. A deflate stream may change
 * its means on the way, and most of that work is for bytes that cannot be made smaller, or that are but runs. Measured
 * on 77 MB of the main scenario:
 *
 *   level 1                                     0.44 s   19.8 MB
 *   runs only                                   0.25 s   19.6 MB
 *   runs only, varied bytes kept as they are    0.16 s   21.2 MB    <- this
 *
 * Only where varied bytes come in the same order again is level 1 worth its work.
 */
#include "storage/pack.h"

#include "base/error.h"

#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <zlib.h>

/* Looked at: 64 bytes of every 1024, side by side, so that no stride of stages or bins hides anything (judgement). */
#define LOOK_EVERY 1024
#define LOOK_AT 64
#define VARIED 8       /* measured: at 64 it took a fifth longer and 7 % less room, at 3 a quarter less and 18 % more */
#define WINDOW_BITS 15 /* zlib's own, as HDF5 uses them */
#define MEMORY_LEVEL 8

struct wg_pack {
    z_stream stream;
    size_t most_bytes; /* of a packed block */
    unsigned char *bytes;
};

struct wg_pack *wg_pack_new(size_t most) {
    struct wg_pack *const pack = calloc(1, sizeof *pack);
    if (pack == NULL)
        return NULL;
    /* what does not shrink is kept with 5 bytes for each 16 kB or more, and a few where the means change */
    pack->most_bytes = WG_PACK_VALUE * most + WG_PACK_VALUE * most / 512 + 512;
    pack->bytes = malloc(pack->most_bytes);
    if (pack->bytes != NULL &&
        deflateInit2(&pack->stream, Z_BEST_SPEED, Z_DEFLATED, WINDOW_BITS, MEMORY_LEVEL, Z_RLE) == Z_OK)
        return pack;
    free(pack->bytes);
    free(pack);
    return NULL;
}

void wg_pack_free(struct wg_pack *pack) {
    if (pack == NULL)
        return;
    (void)deflateEnd(&pack->stream);
    free(pack->bytes);
    free(pack);
}

/* Eight values at a time: byte by byte through a row that another thread wrote took three times as long (measured). */
void wg_pack_spread(const void *values, size_t n, unsigned char *planes, size_t capacity, size_t at) {
    const unsigned char *const from = values;
    unsigned char *const to = planes + at;
    size_t i = 0;
    for (; i + 8 <= n; i += 8)
        for (size_t plane = 0; plane < WG_PACK_VALUE; plane++) {
            const unsigned char *const f = from + WG_PACK_VALUE * i + plane;
            const unsigned char eight[8] = {f[0], f[8], f[16], f[24], f[32], f[40], f[48], f[56]};
            memcpy(to + plane * capacity + i, eight, sizeof eight);
        }
    for (; i < n; i++)
        for (size_t plane = 0; plane < WG_PACK_VALUE; plane++)
            to[plane * capacity + i] = from[WG_PACK_VALUE * i + plane];
}

/* Two bytes taken blindly are equal less often than one time in VARIED (all values alike often: one time in 256). */
static bool is_varied(const unsigned char *bytes, size_t n) {
    uint32_t count[256] = {0};
    uint64_t looked = 0, equal = 0;
    for (size_t i = 0; i < n; i += LOOK_EVERY)
        for (size_t j = i; j < n && j < i + LOOK_AT; j++, looked++)
            count[bytes[j]]++;
    for (int i = 0; i < 256; i++)
        equal += (uint64_t)count[i] * count[i];
    return equal * VARIED < looked * looked;
}

/*
 * Rows of recorded weather come again and again, bit for bit, and then even varied bytes can be made small: what follows
 * one value of a byte, four bytes, is what followed it before in a third of the cases (judgement; by chance: never).
 */
static bool is_repeated(const unsigned char *bytes, size_t n) {
    uint32_t seen[256] = {0}, after;
    size_t looked = 0, again = 0;
    const unsigned char *at = bytes;
    for (size_t left = n; left > sizeof after; left = n - (size_t)(at - bytes)) {
        at = memchr(at, bytes[n / 2], left - sizeof after);
        if (at == NULL)
            break;
        memcpy(&after, ++at, sizeof after);
        const size_t slot = after * UINT32_C(2654435769) >> 24; /* 2^32 over the golden ratio (Knuth 1973) */
        again += seen[slot] == after;
        looked++;
        seen[slot] = after;
    }
    return 3 * again > looked;
}

/* How this plane is to be deflated from here on. */
static void choose_means(z_stream *stream, const unsigned char *plane, size_t capacity) {
    const bool varied = is_varied(plane, capacity), repeated = varied && is_repeated(plane, capacity);
    stream->avail_in = 0; /* a change first deflates what there is */
    (void)deflateParams(stream, varied && !repeated ? Z_NO_COMPRESSION : Z_BEST_SPEED,
                        repeated ? Z_DEFAULT_STRATEGY : Z_RLE);
}

const void *wg_pack(struct wg_pack *pack, const unsigned char *planes, size_t capacity, size_t *size) {
    z_stream *const stream = &pack->stream;
    int code = deflateReset(stream);
    stream->next_out = pack->bytes;
    stream->avail_out = (uInt)pack->most_bytes;
    for (size_t plane = 0; plane < WG_PACK_VALUE; plane++) {
        const unsigned char *const bytes = planes + plane * capacity;
        choose_means(stream, bytes, capacity);
        stream->next_in = (z_const Bytef *)(uintptr_t)bytes;
        stream->avail_in = (uInt)capacity;
        code = deflate(stream, plane + 1 < WG_PACK_VALUE ? Z_NO_FLUSH : Z_FINISH);
    }
    wg_assert(code == Z_STREAM_END); /* there was room for it */
    *size = pack->most_bytes - stream->avail_out;
    return pack->bytes;
}
