/*
 * What made this result, and is that one the same?
 *
 * The record is read back from the group `provenance` and trusted only if its
 * texts still have the digests stored beside them.
 */
#include "results/result.h"
#include "storage/provenance.h"
#include "storage/sha256.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define SCENARIO_PATH WG_PROVENANCE "/" WG_TEXT_SCENARIO
#define RECORD_PATH WG_PROVENANCE "/" WG_TEXT_RECORD

void wg_result_inputs_free(struct wg_result_inputs *record) {
    free(record->scenario_text);
    free(record->scenario_path);
    free(record->record_text);
    free(record->version);
    memset(record, 0, sizeof *record);
}

/* The eight bytes every HDF5 file begins with (file format specification, section II.A). */
static int has_signature(int fd) {
    static const unsigned char signature[8] = {0x89, 'H', 'D', 'F', '\r', '\n', 0x1A, '\n'};
    unsigned char head[8];
    return pread(fd, head, sizeof head, 0) == (ssize_t)sizeof head && memcmp(head, signature, sizeof head) == 0;
}

static int open_descriptor(const char *path, int *fd, struct wg_error *err) {
    struct stat about;
    *fd = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK); /* a pipe must not hold us up before it is refused */
    if (*fd < 0)
        return wg_fail(err, WG_ERR_FILE, path, "This file cannot be read: %s.", strerror(errno));
    int code = 0;
    if (fstat(*fd, &about) != 0)
        code = wg_fail(err, WG_ERR_FILE, path, "This file cannot be read: %s.", strerror(errno));
    else if (!S_ISREG(about.st_mode))
        code = wg_fail(err, WG_ERR_FILE, path, "This is not an ordinary file, so it is no result.");
    else if (about.st_size == 0)
        code = wg_fail(err, WG_ERR_FORMAT, path, "This file is empty.");
    else if (!has_signature(*fd))
        code = wg_fail(err, WG_ERR_FORMAT, path, "This is not a result: it is not an HDF5 file.");
    if (code < 0)
        (void)close(*fd);
    return code;
}

static int check_result_format(struct wg_h5 *file, const char *path, struct wg_error *err) {
    uint64_t format = 0;
    if (wg_h5_find_number(file, WG_PROVENANCE, WG_ATTRIBUTE_COMPARISON, &format))
        return wg_fail(err, WG_ERR_FORMAT, path,
                       "This is a comparison, not the result of one scenario: run 'wintergrub compare' again.");
    if (wg_h5_find_number(file, WG_PROVENANCE, WG_ATTRIBUTE_ANSWER, &format))
        return wg_fail(err, WG_ERR_FORMAT, path,
                       "This is an answer, not a result: it holds no days and no replicates. The command that made it "
                       "is in it (command_line of group provenance): run that again.");
    if (!wg_h5_find_number(file, WG_PROVENANCE, WG_ATTRIBUTE_FORMAT, &format))
        return wg_fail(err, WG_ERR_FORMAT, path, "This HDF5 file is not a result of wintergrub.");
    if (format < WG_RESULT_FORMAT)
        return wg_fail(err, WG_ERR_FORMAT, path,
                       "This result has the older format %llu, and this wintergrub reads %d: run its scenario again.",
                       (unsigned long long)format, WG_RESULT_FORMAT);
    if (format > WG_RESULT_FORMAT)
        return wg_fail(err, WG_ERR_FORMAT, path,
                       "This result has format %llu of a newer wintergrub, and this one reads %d.",
                       (unsigned long long)format, WG_RESULT_FORMAT);
    return 0;
}

int wg_hdf5_open(struct wg_h5 **file, const char *path, struct wg_error *err) {
    int fd;
    *file = NULL;
    const int code = open_descriptor(path, &fd, err);
    return code == 0 ? wg_h5_open(file, fd, path, err) : code;
}

int wg_hdf5_has(const char *path, const char *name, struct wg_error *err) {
    struct wg_h5 *file = NULL;
    uint64_t number;
    const int code = wg_hdf5_open(&file, path, err);
    const int has = code == 0 && wg_h5_find_number(file, WG_PROVENANCE, name, &number);
    wg_h5_free(file);
    return code < 0 ? code : has;
}

int wg_result_open(struct wg_h5 **file, const char *path, struct wg_error *err) {
    int code = wg_hdf5_open(file, path, err);
    if (code == 0)
        code = check_result_format(*file, path, err);
    if (code < 0) {
        wg_h5_free(*file);
        *file = NULL;
    }
    return code;
}

/* Something is not there, or there was no memory for it. */
static int fail_incomplete(const struct wg_h5 *file, const char *path, const char *what, struct wg_error *err) {
    const int code = wg_h5_failed(file, err);
    if (code < 0)
        return code;
    return wg_fail(err, WG_ERR_FORMAT, path, "This result is damaged: %s cannot be read.", what);
}

/* A text is the one that was simulated if it has the digest stored with it. */
static int check_digest(struct wg_h5 *file, const char *path, const char *note, const char *text, size_t size,
                        struct wg_error *err) {
    char digest[WG_SHA256_TEXT_SIZE], *stored;
    if (!wg_h5_find_attribute(file, WG_PROVENANCE, note, &stored))
        return fail_incomplete(file, path, "the digest of its scenario or weather", err);
    wg_sha256(text, size, digest);
    const int same = strcmp(stored, digest) == 0;
    free(stored);
    return same ? 0
                : wg_fail(err, WG_ERR_FORMAT, path, "A text in this result was changed after it was made (%s).", note);
}

static int read_weather_record(struct wg_h5 *file, const char *path, struct wg_result_inputs *record,
                               struct wg_error *err) {
    char *digest;
    const int has_record = wg_h5_find_attribute(file, WG_PROVENANCE, WG_ATTRIBUTE_RECORD_SHA256, &digest);
    free(digest);
    if (!has_record)
        return wg_h5_failed(file, err);
    if (!wg_h5_find_text(file, RECORD_PATH, &record->record_text, &record->record_size))
        return fail_incomplete(file, path, "its weather record", err);
    return check_digest(file, path, WG_ATTRIBUTE_RECORD_SHA256, record->record_text, record->record_size, err);
}

static int read_result_scenario(struct wg_h5 *file, const char *path, struct wg_result_inputs *record,
                                struct wg_error *err) {
    if (!wg_h5_find_text(file, SCENARIO_PATH, &record->scenario_text, &record->scenario_size))
        return fail_incomplete(file, path, "its scenario", err);
    return check_digest(file, path, WG_ATTRIBUTE_SCENARIO_SHA256, record->scenario_text, record->scenario_size, err);
}

static int read_run_attributes(struct wg_h5 *file, const char *path, struct wg_result_inputs *record,
                               struct wg_error *err) {
    uint64_t replicates = 0;
    if (!wg_h5_find_number(file, WG_PROVENANCE, WG_ATTRIBUTE_SEED, &record->seed))
        return fail_incomplete(file, path, "its seed", err);
    if (!wg_h5_find_number(file, WG_PROVENANCE, WG_ATTRIBUTE_REPLICATES, &replicates) || replicates == 0 ||
        replicates > INT64_MAX)
        return fail_incomplete(file, path, "its number of replicates", err);
    record->replicates = (int64_t)replicates;
    if (!wg_h5_find_attribute(file, WG_PROVENANCE, WG_ATTRIBUTE_VERSION, &record->version))
        return fail_incomplete(file, path, "its version", err);
    if (!wg_h5_find_attribute(file, WG_PROVENANCE, WG_ATTRIBUTE_SCENARIO_PATH, &record->scenario_path))
        return fail_incomplete(file, path, "the name of its scenario", err);
    return 0;
}

int wg_result_read_inputs(const char *path, struct wg_result_inputs *record, struct wg_error *err) {
    memset(record, 0, sizeof *record);
    struct wg_h5 *file = NULL;
    int code = wg_result_open(&file, path, err);
    if (code == 0)
        code = read_run_attributes(file, path, record, err);
    if (code == 0)
        code = read_result_scenario(file, path, record, err);
    if (code == 0)
        code = read_weather_record(file, path, record, err);
    wg_h5_free(file);
    if (code < 0)
        wg_result_inputs_free(record);
    return code;
}
