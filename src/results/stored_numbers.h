/**
 * Replaces today's numbers of the animal by those stored in a result.
 */
#ifndef WG_RESULTS_STORED_NUMBERS_H
#define WG_RESULTS_STORED_NUMBERS_H

#include "results/result_data.h"

#define WG_STORED_NUMBERS_SIZE 512

/** How the file's numbers differ from those of this program. Zero-initialise. */
struct wg_stored_numbers {
    int n_changed, n_gone, n_new;
    /* the first few of each, separated by commas */
    char changed[WG_STORED_NUMBERS_SIZE], gone[WG_STORED_NUMBERS_SIZE], new[WG_STORED_NUMBERS_SIZE];
};
/**
 * Sets the species to the stored numbers. Returns 0, or WG_ERR_FORMAT if one is out of range or they are inconsistent.
 */
int wg_stored_numbers_apply(const struct wg_result_data *data, struct wg_species *species,
                            struct wg_stored_numbers *numbers, struct wg_error *err);

#endif
