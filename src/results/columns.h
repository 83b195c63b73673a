/**
 * Defines and writes variables of answers, comparisons and results in one call each. The file remembers failures
 * (wg_h5_failed()).
 */
#ifndef WG_RESULTS_COLUMNS_H
#define WG_RESULTS_COLUMNS_H

#include "storage/hdf5_file.h"

/**
 * Writes real numbers over the dimensions a and b; NULL for none (both NULL: one value). Returns the number of the
 * variable.
 */
int wg_put_reals(struct wg_h5 *file, const char *name, const char *unit, const char *text, const char *a, const char *b,
                 const double *values);
int wg_put_counts(struct wg_h5 *file, const char *name, const char *text, const char *a, const char *b,
                  const int64_t *values);
int wg_put_texts(struct wg_h5 *file, const char *name, const char *text, const char *a, const char *const *values);
int wg_put_real(struct wg_h5 *file, const char *name, const char *unit, const char *text, double value);
int wg_put_count(struct wg_h5 *file, const char *name, const char *text, int64_t value);
/** Defines a dimension whose coordinates are texts. */
int wg_put_names(struct wg_h5 *file, const char *name, const char *text, int64_t size, const char *const *values);

#endif
