/**
 * Packs values of eight bytes as HDF5's filters shuffle and deflate do, so that every reader of HDF5 unpacks them, in a
 * third of their time.
 *
 * A block of `room` values is kept as eight planes of `room` bytes: all first bytes, then all second bytes, and so on.
 */
#ifndef WG_STORAGE_PACK_H
#define WG_STORAGE_PACK_H

#include <stddef.h>

#define WG_PACK_VALUE 8 /* bytes of a value */

struct wg_pack;

/** For blocks of at most `most` values. NULL: there is not enough memory. Freed by wg_pack_free(). */
struct wg_pack *wg_pack_new(size_t most);
/** NULL is allowed. */
void wg_pack_free(struct wg_pack *pack);
/** Lays n values into the planes, from place `at` on; at + n <= room. */
void wg_pack_spread(const void *values, size_t n, unsigned char *planes, size_t capacity, size_t at);
/** The bytes of the packed block, their number in *size; they are the pack's and last until the next call. */
const void *wg_pack(struct wg_pack *pack, const unsigned char *planes, size_t capacity, size_t *size);

#endif
