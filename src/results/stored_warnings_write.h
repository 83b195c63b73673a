/**
 * Warnings and cautions in the file of a comparison or an answer, so that a page made from it can show them.
 *
 *   notes of the group provenance   warnings, cautions: how many; a file without these notes kept none
 *   dimension warning               its sentence; warning_kind(warning), warning_about(warning) (a place or bin),
 *                                   warning_replicates(warning), and in a comparison warning_scenario(warning)
 *   dimension caution               its sentence
 */
#ifndef WG_RESULTS_STORED_WARNINGS_WRITE_H
#define WG_RESULTS_STORED_WARNINGS_WRITE_H

#include "results/stored_warnings.h"
#include "storage/hdf5_file.h"

/** Before the group provenance: n setups, their plans and warnings (NULL: none were looked for). 0 or WG_ERR_MEMORY. */
int wg_stored_warnings_put(struct wg_h5 *file, int n, const struct wg_plan *const *plan,
                           const struct wg_warnings *const *warnings, struct wg_error *err);
/** In that group. */
void wg_stored_warnings_put_counts(struct wg_h5 *file, int n, const struct wg_plan *const *plan,
                                   const struct wg_warnings *const *warnings);
/** 0, WG_ERR_FORMAT or WG_ERR_MEMORY; *warned is then safe to free. */
int wg_stored_warnings_read(struct wg_h5 *file, struct wg_stored_warnings *warned, struct wg_error *err);

#endif
