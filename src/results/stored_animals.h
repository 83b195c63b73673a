/**
 * Stores which animal lived which winter in each replicate of a result, and the numbers of those animals.
 */
#ifndef WG_RESULTS_STORED_ANIMALS_H
#define WG_RESULTS_STORED_ANIMALS_H

#include "forecast/lattice.h"
#include "storage/stored_file.h"

/** The variables `animal` and `winter`, over replicates. */
struct wg_cell_columns {
    int animal, winter; /* numbers of the variables in the file */
};
/** Defines them. The file remembers failures (wg_h5_failed()), as below. */
struct wg_cell_columns wg_cell_columns_add(struct wg_h5 *file);
/** Writes those of a replicate; in order. */
void wg_cell_columns_write(struct wg_h5 *file, const struct wg_cell_columns *columns, int64_t replicate,
                           struct wg_cell cell);

/** Writes the numbers of all animals that `replicates` replicates live, after wg_provenance_write(). 0 or WG_ERR_MEMORY. */
int wg_stored_animals_write(struct wg_h5 *file, const struct wg_plan *plan, int64_t replicates, struct wg_error *err);

/** The plausible animals of a result. Zero-initialise; owns its arrays. */
struct wg_stored_animals {
    enum wg_animals animals;
    int n;           /* animals stored, 0 unless they are plausible */
    int64_t *number; /* of each, as in wg_cell */
    double *value;   /* [animal][number of the species, in the order of the file's list] */
};
/** Reads them; n_parameters is the length of the file's list. Returns 0, WG_ERR_FORMAT or WG_ERR_MEMORY. */
int wg_stored_animals_read(struct wg_stored_file *file, int n_parameters, struct wg_stored_animals *animals,
                           struct wg_error *err);
void wg_stored_animals_free(struct wg_stored_animals *animals);

#endif
