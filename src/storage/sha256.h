/**
 * SHA-256 (FIPS 180-4), so that a result can show that its scenario and weather are the ones it was made from, and that
 * it is whole.
 */
#ifndef WG_STORAGE_SHA256_H
#define WG_STORAGE_SHA256_H

#include <stddef.h>
#include <sys/types.h>

#define WG_SHA256_TEXT_SIZE 65 /* 64 hexadecimal digits and the end */

/** The digest of `size` bytes as lower-case hexadecimal digits. `data` may be NULL when size is 0. */
void wg_sha256(const void *data, size_t size, char out[WG_SHA256_TEXT_SIZE]);

/** The digest of the first `size` bytes of an open file. 0, or the errno of what failed (EIO: it is shorter than that). */
int wg_sha256_file(int fd, off_t size, char out[WG_SHA256_TEXT_SIZE]);

#endif
