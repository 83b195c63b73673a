/**
 * The last line of every HDF5 file of ours: the SHA-256 of all bytes before it.
 *
 *     wintergrub sha256 e3b0c442...b855
 *
 * Ordinary readers stop where HDF5's own bytes end and never see it. By hand:
 * `tail -c 83 FILE` shows it, `head -c -83 FILE | sha256sum` must say the same.
 */
#ifndef WG_STORAGE_SEAL_H
#define WG_STORAGE_SEAL_H

#include "base/error.h"

#define WG_SEAL_SIZE 83 /* bytes of the line, its end included */

/** Adds the line to a whole file, open for reading and writing. 0, or the errno of what failed. */
int wg_seal_add(int fd);
/**
 * Is this file as it was written? 0; WG_ERR_FORMAT: the line is missing or another one; WG_ERR_FILE: cannot be read.
 * `where` names the file in the message.
 */
int wg_seal_check(int fd, const char *where, struct wg_error *err);

#endif
