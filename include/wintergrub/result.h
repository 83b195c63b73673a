/* layer: io */
/**
 * The result file: HDF5 that is also netCDF-4/CF, written beside its final name
 * and put in place only when whole.
 */
#ifndef WINTERGRUB_RESULT_H
#define WINTERGRUB_RESULT_H

#include <wintergrub/ensemble.h>
#include <wintergrub/scenario.h>

struct wg_result_writer;

/** What made the result: all strings borrowed until wg_result_close(). */
struct wg_provenance {
    const char *command_line;
    const char *started;      /* ISO 8601 UTC */
    int64_t replicates;
    uint64_t seed;
};

/**
 * Opens a new result for `path`. An existing file is refused (WG_ERR_EXISTS)
 * unless `force`. Nothing appears under `path` before wg_result_close().
 */
int wg_result_create(struct wg_result_writer **writer, const char *path, int force, const struct wg_scenario *scenario,
                     const struct wg_provenance *provenance, struct wg_error *err);
/** The observer that writes replicates. */
struct wg_observer wg_result_observer(struct wg_result_writer *writer);
/** Finishes (means by generation, flush, fsync, close, rename, fsync of the folder). On failure the old file is whole and no temporary file is left. Frees the writer. */
int wg_result_close(struct wg_result_writer *writer, struct wg_error *err);
/** Drops the unfinished file and frees the writer. NULL is allowed. */
void wg_result_abandon(struct wg_result_writer *writer);

/** A result's own record, read back for `rerun`. */
struct wg_result_record {
    char *scenario_text, *scenario_path, *record_text, *version;
    size_t scenario_size, record_size;
    int64_t replicates;
    uint64_t seed;
};
/** WG_ERR_FORMAT with a plain sentence for foreign, truncated or older files. */
int wg_result_read_record(const char *path, struct wg_result_record *record, struct wg_error *err);
void wg_result_record_free(struct wg_result_record *record);
/**
 * Compares the data of two results (all but start time and command line).
 * 0: the same bit for bit; 1: different, first difference in `what` (size bytes); negative error.
 */
int wg_result_compare(const char *path_a, const char *path_b, char *what, size_t size, struct wg_error *err);

#endif
