/**
 * SHA-256 (FIPS 180-4), by which a result identifies its scenario and weather, and shows damage.
 */
#ifndef WG_STORAGE_SHA256_H
#define WG_STORAGE_SHA256_H

#include <stddef.h>
#include <sys/types.h>

#define WG_SHA256_TEXT_SIZE 65 /* 64 hexadecimal digits and a NUL */

/** Writes the digest of `size` bytes in lower-case hexadecimal. `data` may be NULL if size is 0. */
void wg_sha256(const void *data, size_t size, char out[WG_SHA256_TEXT_SIZE]);

/** Writes the digest of the first `size` bytes of an open file. Returns 0 or an errno (EIO: the file is shorter). */
int wg_sha256_file(int fd, off_t size, char out[WG_SHA256_TEXT_SIZE]);

#endif
