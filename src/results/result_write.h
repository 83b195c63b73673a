/**
 * The result file: HDF5 that is also netCDF-4/CF, written beside its final name
 * and put in place only when whole.
 */
#ifndef WG_RESULTS_RESULT_WRITE_H
#define WG_RESULTS_RESULT_WRITE_H

#include "forecast/ensemble.h"
#include "storage/atomic_file.h"
#include "storage/provenance.h"

struct wg_result_writer;

/**
 * Opens a new result for `path`. An existing file is refused (WG_ERR_EXISTS)
 * unless `force`; a folder, a device, a missing or unwritable folder always
 * (WG_ERR_FILE). Nothing appears under `path` before wg_result_close(): until
 * then the file is ".NAME.HOST.PID.N.part" beside it. A symbolic link is followed.
 * On failure *out is NULL and nothing is left. One thread for all of this.
 */
int wg_result_create(struct wg_result_writer **out, const char *path, int force, const struct wg_scenario *scenario,
                     const struct wg_provenance *provenance, struct wg_error *err);
/**
 * The same where a file is known to be there: this one is replaced, any other is kept (WG_ERR_EXISTS), as is this one if
 * it has changed by the time of wg_result_close().
 */
int wg_result_create_over(struct wg_result_writer **out, const char *path, const struct wg_file_identity *over,
                          const struct wg_scenario *scenario, const struct wg_provenance *provenance,
                          struct wg_error *err);
/** The observer that writes replicates: it must see 0, 1, 2, ... up to `replicates` of the provenance. */
struct wg_observer wg_result_observer(struct wg_result_writer *writer);
/**
 * Finishes (means by generation, flush, fsync, close, rename, fsync of the
 * folder) and frees the writer. A file that appeared under the name meanwhile is
 * kept unless `force` (WG_ERR_EXISTS); too few replicates are WG_ERR_INTERNAL.
 * On failure the old file is whole and no temporary file is left. SIGXFSZ should
 * be ignored by the program, so that a file grown too large is an error only.
 */
int wg_result_close(struct wg_result_writer *writer, struct wg_error *err);
/** Drops the unfinished file and frees the writer. NULL is allowed. */
void wg_result_abandon(struct wg_result_writer *writer);

#endif
