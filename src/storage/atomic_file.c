/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Writes a file atomically.
 *
 * Writes a hidden file in the same folder, syncs it (fsync), gives it its name in one step (rename, or link where no file
 * may be replaced) and syncs the folder: the order that POSIX.1-2017 requires for a file to be either old or new after a
 * power cut.
 */
#include "storage/atomic_file.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#define WRITE_BITS (S_IWUSR | S_IWGRP | S_IWOTH)
#define MODE_BITS 0777u
#define MAX_TRIES 100 /* names of temporary files to try: judgement, more than one run leaves behind */
#define MAX_STEM 120  /* of the 255 bytes of a file name, leaving space for ".HOST.PID.N.part" */
#define PREFIX_SIZE (MAX_STEM + MAX_HOST + 3)
#define MAX_HOST 64 /* POSIX allows 255; the lock distinguishes longer names that share this prefix */

static int fail_exists(const struct wg_atomic_file *file, struct wg_error *err) {
    return wg_fail(err, WG_ERR_EXISTS, file->path,
                   "There is already a file of this name. Choose another name, or use --force to replace it.");
}

/* ---- identity ---- */

int wg_file_identify(const char *path, struct wg_file_identity *identity) {
    struct stat status;
    if (stat(path, &status) != 0)
        return -1;
    *identity = (struct wg_file_identity){.device = (uint64_t)status.st_dev,
                                          .number = (uint64_t)status.st_ino,
                                          .size = (int64_t)status.st_size,
                                          .changed_s = (int64_t)status.st_mtim.tv_sec,
                                          .changed_ns = (int64_t)status.st_mtim.tv_nsec};
    return 0;
}

/* True if the path is the same, unchanged file. */
static bool is_same_file(const char *path, const struct wg_file_identity *before) {
    struct wg_file_identity now;
    return wg_file_identify(path, &now) == 0 && now.device == before->device && now.number == before->number &&
           now.size == before->size && now.changed_s == before->changed_s && now.changed_ns == before->changed_ns;
}

static int fail_changed(const struct wg_atomic_file *file, struct wg_error *err) {
    return wg_fail(err, WG_ERR_EXISTS, file->path,
                   "The file of this name was replaced or changed during the run, so it is not overwritten.");
}

/* ---- before the simulation ---- */

int wg_atomic_file_make_folder(const char *folder, struct wg_error *err) {
    struct stat status;
    if (mkdir(folder, 0777) == 0)
        return 0;
    const int reason = errno;
    if (reason == EEXIST && stat(folder, &status) == 0 && S_ISDIR(status.st_mode))
        return 0;
    return wg_fail(err, WG_ERR_FILE, folder, "This folder cannot be created: %s.",
                   reason == EEXIST ? "a file has that name" : strerror(reason));
}

/* Returns the folder of a path, "." if it has none; malloc'ed. */
static char *folder_of(const char *path) {
    const char *const slash = strrchr(path, '/');
    if (slash == NULL)
        return strdup(".");
    return strndup(path, slash == path ? 1 : (size_t)(slash - path));
}

static const char *name_in(const char *path) {
    const char *const slash = strrchr(path, '/');
    return slash == NULL ? path : slash + 1;
}

static int check_folder(const struct wg_atomic_file *file, struct wg_error *err) {
    struct stat status;
    if (stat(file->folder, &status) != 0) {
        if (errno == ENOENT)
            return wg_fail(err, WG_ERR_FILE, file->path,
                           "The folder %s does not exist. Create it, or write to another folder.", file->folder);
        return wg_fail(err, WG_ERR_FILE, file->path, "The folder %s is not accessible: %s.", file->folder,
                       strerror(errno));
    }
    if (!S_ISDIR(status.st_mode))
        return wg_fail(err, WG_ERR_FILE, file->path, "%s is a file, not a folder.", file->folder);
    return 0;
}

/* Resolves a link, so that the commit replaces its target and not the link. */
static int follow_link(struct wg_atomic_file *file, struct wg_error *err) {
    char *const real = realpath(file->path, NULL);
    if (real == NULL)
        return wg_fail(err, WG_ERR_FILE, file->path, "This is a broken link (%s). Remove it first.", strerror(errno));
    char *const folder = folder_of(real);
    if (folder == NULL) {
        free(real);
        return wg_no_memory(err, NULL);
    }
    free(file->path);
    free(file->folder);
    file->path = real;
    file->folder = folder;
    return 0;
}

static bool is_writable(const char *path) {
    return faccessat(AT_FDCWD, path, W_OK, AT_EACCESS) == 0;
}

/* Checks a file that exists under the name; open_part() reports an unwritable folder. */
static int check_existing_file(struct wg_atomic_file *file, struct wg_error *err) {
    struct stat status;
    if (lstat(file->path, &status) != 0) {
        if (errno == ENOENT)
            return 0;
        return wg_fail(err, WG_ERR_FILE, file->path, "This name cannot be used: %s.", strerror(errno));
    }
    if (S_ISLNK(status.st_mode)) {
        const int code = follow_link(file, err);
        if (code < 0)
            return code;
        if (stat(file->path, &status) != 0)
            return wg_fail(err, WG_ERR_FILE, file->path, "This name cannot be used: %s.", strerror(errno));
    }
    if (S_ISDIR(status.st_mode))
        return wg_fail(err, WG_ERR_FILE, file->path, "This is a folder. Name a file in it.");
    if (!S_ISREG(status.st_mode))
        return wg_fail(err, WG_ERR_FILE, file->path, "This is a device or a pipe, not a regular file.");
    if (file->is_over && !is_same_file(file->path, &file->over))
        return fail_changed(file, err);
    if (!file->force && !file->is_over)
        return fail_exists(file, err);
    /* root may write everywhere, so mode bits that forbid writing to all count too */
    if ((status.st_mode & WRITE_BITS) == 0 || (!is_writable(file->path) && is_writable(file->folder)))
        return wg_fail(
            err, WG_ERR_FILE, file->path,
            "This file is read-only, so it is not replaced. Choose another name, or make it writable (chmod u+w).");
    file->old_mode = (unsigned)status.st_mode & MODE_BITS;
    file->is_replacing = 1;
    return 0;
}

/* ---- temporary files of killed runs ------------------------------------------------
 *
 * A run holds a lock (flock) on its temporary file until the rename. The lock ends with
 * the process, so a temporary file that can be locked is stale and is removed; a file
 * system without locks grants none. On some network disks a lock is visible only on its
 * own host, so the name contains the host, and files of other hosts stay.
 */

/* Writes ".NAME.HOST", the prefix of this host's temporary files. */
static void part_prefix(const char *name, char out[PREFIX_SIZE]) {
    char host[256] = "";
    if (gethostname(host, sizeof host - 1) != 0 || host[0] == '\0')
        (void)snprintf(host, sizeof host, "host");
    for (char *c = host; *c != '\0'; c++)
        if (*c == '/')
            *c = '-';
    (void)snprintf(out, PREFIX_SIZE, ".%.*s.%.*s", MAX_STEM, name, MAX_HOST, host);
}

/* True for ".NAME.HOST.PID.N.part" with that prefix. */
static bool has_part_prefix(const char *entry, const char *prefix) {
    const size_t length = strlen(prefix);
    if (strncmp(entry, prefix, length) != 0)
        return false;
    const char *rest = entry + length;
    for (int number = 0; number < 2; number++) {
        const size_t digits = rest[0] == '.' ? strspn(rest + 1, "0123456789") : 0;
        if (digits == 0)
            return false;
        rest += 1 + digits;
    }
    return strcmp(rest, ".part") == 0;
}

static void remove_if_unlocked(int folder, const char *entry) {
    struct stat status;
    const int fd = openat(folder, entry, O_RDWR | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC);
    if (fd < 0)
        return;
    if (fstat(fd, &status) == 0 && S_ISREG(status.st_mode) && flock(fd, LOCK_EX | LOCK_NB) == 0)
        (void)unlinkat(folder, entry, 0);
    (void)close(fd);
}

/* Removes stale temporary files; ignores errors. */
static void remove_stale_parts(const struct wg_atomic_file *file, const char *prefix) {
    DIR *const folder = opendir(file->folder);
    if (folder == NULL)
        return;
    for (const struct dirent *entry; (entry = readdir(folder)) != NULL;)
        if (has_part_prefix(entry->d_name, prefix))
            remove_if_unlocked(dirfd(folder), entry->d_name);
    (void)closedir(folder);
}

/* Creates and locks a file. If another run removes it before the lock, fails with EEXIST, for the next name. */
static int create_locked(const char *part) {
    struct stat status;
    const int fd = open(part, O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (fd < 0)
        return -1;
    const bool is_removed = (flock(fd, LOCK_EX | LOCK_NB) != 0 && errno == EWOULDBLOCK) ||
                            (fstat(fd, &status) == 0 && status.st_nlink == 0);
    if (!is_removed)
        return fd;
    (void)close(fd);
    errno = EEXIST;
    return -1;
}

/* Opens "FOLDER/.NAME.HOST.PID.N.part" with the first free N. */
static int open_part(struct wg_atomic_file *file, struct wg_error *err) {
    char prefix[PREFIX_SIZE];
    const size_t size = strlen(file->folder) + PREFIX_SIZE + 64;
    char *const part = malloc(size);
    if (part == NULL)
        return wg_no_memory(err, NULL);
    int fd = -1;
    part_prefix(name_in(file->path), prefix);
    remove_stale_parts(file, prefix);
    for (int i = 0; i < MAX_TRIES && fd < 0; i++) {
        (void)snprintf(part, size, "%s/%s.%ld.%d.part", file->folder, prefix, (long)getpid(), i);
        fd = create_locked(part);
        if (fd < 0 && errno != EEXIST)
            break;
    }
    if (fd < 0) {
        const int saved_errno = errno;
        free(part);
        return wg_fail(err, WG_ERR_FILE, file->path, "The folder %s is not writable: %s.", file->folder,
                       strerror(saved_errno));
    }
    file->part = part;
    file->fd = fd;
    file->open = 1;
    /* before the first byte, so that a private file stays private */
    if (file->is_replacing && fchmod(fd, (mode_t)file->old_mode) != 0)
        return wg_fail(err, WG_ERR_FILE, file->path, "The permissions of this file cannot be kept: %s.",
                       strerror(errno));
    return 0;
}

static int open_atomic_file(struct wg_atomic_file *file, const char *path, struct wg_error *err) {
    const size_t length = strlen(path);
    if (length == 0)
        return wg_fail(err, WG_ERR_FILE, NULL, "The file name is empty.");
    if (path[length - 1] == '/')
        return wg_fail(err, WG_ERR_FILE, path, "This is the name of a folder. Name a file in it.");
    file->path = strdup(path);
    file->folder = folder_of(path);
    if (file->path == NULL || file->folder == NULL)
        return wg_no_memory(err, NULL);
    int code = check_folder(file, err);
    if (code == 0)
        code = check_existing_file(file, err);
    if (code == 0)
        code = open_part(file, err);
    return code;
}

int wg_atomic_file_open(struct wg_atomic_file *file, const char *path, int force, struct wg_error *err) {
    *file = (struct wg_atomic_file){.force = force};
    return open_atomic_file(file, path, err);
}

int wg_atomic_file_open_over(struct wg_atomic_file *file, const char *path, const struct wg_file_identity *over,
                             struct wg_error *err) {
    *file = (struct wg_atomic_file){.is_over = 1, .over = *over};
    return open_atomic_file(file, path, err);
}

int wg_atomic_file_write(struct wg_atomic_file *file, const void *data, size_t size, struct wg_error *err) {
    for (size_t done = 0; done < size;) {
        const ssize_t n = write(file->fd, (const char *)data + done, size - done);
        if (n > 0)
            done += (size_t)n;
        else if (n == 0 || errno != EINTR)
            return wg_fail(err, WG_ERR_FILE, file->path, "This file could not be written: %s.",
                           strerror(n == 0 ? ENOSPC : errno));
    }
    return 0;
}

/* ---- after the simulation ---- */

static int fail_not_written(const struct wg_atomic_file *file, int saved_errno, struct wg_error *err) {
    return wg_fail(err, WG_ERR_FILE, file->path, "The result could not be written: %s.", strerror(saved_errno));
}

/* Syncs and closes the temporary file; closes it in every case. */
static int sync_file(struct wg_atomic_file *file, struct wg_error *err) {
    int saved_errno = fsync(file->fd) == 0 ? 0 : errno;
    file->open = 0;
    /* the data are on the disk: a signal during close() (EINTR, a network disk) loses nothing */
    if (close(file->fd) != 0 && saved_errno == 0 && errno != EINTR)
        saved_errno = errno;
    return saved_errno == 0 ? 0 : fail_not_written(file, saved_errno, err);
}

static int rename_over(struct wg_atomic_file *file, struct wg_error *err) {
    if (rename(file->part, file->path) != 0)
        return fail_not_written(file, errno, err);
    free(file->part);
    file->part = NULL;
    return 0;
}

/* Takes the name only if it is free, in one step: link() fails for an existing name, rename() does not. */
static int link_free_name(struct wg_atomic_file *file, struct wg_error *err) {
    if (link(file->part, file->path) == 0)
        return 0; /* remove_part() removes the temporary name */
    if (errno == EEXIST)
        return fail_exists(file, err);
    /* a file system without hard links (FAT, some network folders): check, then rename */
    struct stat status;
    if (lstat(file->path, &status) == 0)
        return fail_exists(file, err);
    return rename_over(file, err);
}

/* Replaces the file `over` if it is unchanged; a name that has become free is taken like any free name. */
static int replace_known_file(struct wg_atomic_file *file, struct wg_error *err) {
    struct stat status;
    if (lstat(file->path, &status) != 0 && errno == ENOENT)
        return link_free_name(file, err);
    return is_same_file(file->path, &file->over) ? rename_over(file, err) : fail_changed(file, err);
}

static void remove_part(struct wg_atomic_file *file) {
    if (file->part != NULL)
        (void)unlink(file->part);
    free(file->part);
    file->part = NULL;
}

/* Syncs the folder; a folder without read permission or a file system without support is no error. */
static int sync_folder(const struct wg_atomic_file *file, struct wg_error *err) {
    const int fd = open(file->folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (fd < 0)
        return 0;
    const int saved_errno = fsync(fd) == 0 || errno == EINVAL || errno == ENOTSUP ? 0 : errno;
    (void)close(fd);
    if (saved_errno != 0)
        return wg_fail(err, WG_ERR_FILE, file->path,
                       "The result was written, but the disk did not confirm it (%s): check it before you use it.",
                       strerror(saved_errno));
    return 0;
}

int wg_atomic_file_commit(struct wg_atomic_file *file, struct wg_error *err) {
    wg_assert(file->open && file->part != NULL);
    const int lock = dup(file->fd); /* close() reports the last errors, and must not release the lock */
    int code = sync_file(file, err);
    if (code == 0)
        code = file->force     ? rename_over(file, err)
               : file->is_over ? replace_known_file(file, err)
                               : link_free_name(file, err);
    remove_part(file);
    if (lock >= 0)
        (void)close(lock);
    return code == 0 ? sync_folder(file, err) : code;
}

void wg_atomic_file_free(struct wg_atomic_file *file) {
    if (file->open)
        (void)close(file->fd);
    file->open = 0;
    remove_part(file);
    free(file->path);
    free(file->folder);
    file->path = file->folder = NULL;
}
