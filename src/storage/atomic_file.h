/**
 * Where a result goes: a file made beside its final name and put in place only when whole.
 *
 * Whatever fails, the file that was there before is left as it was and nothing
 * unfinished stays behind. If the process is killed outright, a hidden file
 * ".NAME.HOST.PID.N.part" is left; the next run for the same name on the same host
 * removes it (and leaves alone those of runs that are still at work).
 */
#ifndef WG_STORAGE_ATOMIC_FILE_H
#define WG_STORAGE_ATOMIC_FILE_H

#include "base/error.h"

#include <stddef.h>
#include <stdint.h>

/** A file as it was when it was looked at. */
struct wg_file_identity {
    uint64_t device, number;       /* of its disk, and on it */
    int64_t size;                  /* bytes */
    int64_t changed_s, changed_ns; /* when its contents were written last */
};
/** Follows links. 0, or -1: there is none, or it cannot be reached. */
int wg_file_identify(const char *path, struct wg_file_identity *identity);

/** Zero-initialise. Owns its strings, the open file and, until it is in place, the unfinished file itself. */
struct wg_atomic_file {
    char *path;   /* the final name */
    char *folder; /* that holds it */
    char *part;   /* the unfinished file; NULL once it is in place or gone */
    int fd;       /* of the unfinished file, open for reading and writing; valid while `open` */
    int open;
    int force;   /* 1: may replace an existing file */
    int is_over; /* 1: may replace the file `over`, and no other */
    struct wg_file_identity over;
    int is_replacing; /* 1: a file was there, with these permissions */
    unsigned old_mode;
};

/** Makes a folder for results, or takes the one that is there. 0 or WG_ERR_FILE. */
int wg_atomic_file_make_folder(const char *folder, struct wg_error *err);

/**
 * Checks that `path` can become a result and opens the unfinished file beside it.
 * WG_ERR_EXISTS if it is there and not `force`; WG_ERR_FILE for a folder, a
 * missing or unwritable folder, a file that may not be written, anything that is not an ordinary file.
 * A replaced file's permissions are those of the new one. Free with wg_atomic_file_free() in every case.
 */
int wg_atomic_file_open(struct wg_atomic_file *place, const char *path, int force, struct wg_error *err);
/** The same; if a file is there it must be this one, which is then replaced, also at the end. */
int wg_atomic_file_open_over(struct wg_atomic_file *place, const char *path, const struct wg_file_identity *over,
                             struct wg_error *err);

/** Writes all of it, or WG_ERR_FILE. */
int wg_atomic_file_write(struct wg_atomic_file *place, const void *data, size_t size, struct wg_error *err);

/**
 * fsync, close, rename, fsync of the folder. Without `force` a file that has
 * appeared under the name meanwhile is kept: WG_ERR_EXISTS. On failure the
 * unfinished file is gone.
 */
int wg_atomic_file_commit(struct wg_atomic_file *place, struct wg_error *err);

/** Removes what is unfinished and frees. Safe on a zeroed or settled place, and twice. */
void wg_atomic_file_free(struct wg_atomic_file *place);

#endif
