/**
 * A file of this program, open for reading: a result, a comparison or an answer. It is opened and its checksum
 * verified once, asked for its kind, and handed on to the reader of that kind.
 */
#ifndef WG_RESULTS_STORED_FILE_H
#define WG_RESULTS_STORED_FILE_H

#include "storage/hdf5_file.h"

enum wg_stored_kind { WG_STORED_OTHER, WG_STORED_RESULT, WG_STORED_COMPARISON, WG_STORED_ANSWER };

/** Zero-initialise; owns all it points to. One thread for all of this. */
struct wg_stored_file {
    struct wg_h5 *h5;
    char *path;
    enum wg_stored_kind kind;
    uint64_t format; /* number of its layout */
    /* from here on: once wg_stored_expect() has accepted the file; texts are "" where it says nothing */
    char *title, *command_line, *started;
    char *source; /* of a result "wintergrub 0.1.0 (v0.1-3-g12ab)", else "wintergrub 0.1.0" */
    int64_t replicates;
    uint64_t seed;
};

/** Opens any HDF5 file and finds its kind. WG_ERR_FILE: cannot be read; WG_ERR_FORMAT: damaged or no HDF5; WG_ERR_MEMORY. */
int wg_stored_open(struct wg_stored_file *file, const char *path, struct wg_error *err);
/** Refuses a file of another kind or format in plain words, then reads what all kinds hold. WG_ERR_FORMAT, WG_ERR_MEMORY. */
int wg_stored_expect(struct wg_stored_file *file, enum wg_stored_kind kind, struct wg_error *err);
/** Safe on a zeroed or half-opened one, and twice. */
void wg_stored_free(struct wg_stored_file *file);

/** WG_ERR_FORMAT, "This result is damaged: WHAT cannot be read.", or the failure that hides behind it. */
int wg_stored_damaged(const struct wg_stored_file *file, const char *what, struct wg_error *err);
/** All of a variable of reals (or counts) that must have this shape; malloc'ed into *values, NULL on failure. */
int wg_stored_values(struct wg_stored_file *file, const char *name, enum wg_h5_kind kind,
                     const struct wg_h5_shape *must, void **values, struct wg_error *err);

/** What was simulated, as texts that still have the digests stored beside them. Zero-initialise; owned. */
struct wg_stored_inputs {
    char *scenario_path, *scenario_text, *scenario_sha256;
    char *record_text, *record_sha256; /* NULL: no weather record */
    char *version;                     /* of the program */
    size_t scenario_size, record_size;
};
/** Of a result or an answer. WG_ERR_FORMAT: something is missing or was changed; WG_ERR_MEMORY. */
int wg_stored_inputs_read(struct wg_stored_file *file, struct wg_stored_inputs *inputs, struct wg_error *err);
void wg_stored_inputs_free(struct wg_stored_inputs *inputs);

#endif
