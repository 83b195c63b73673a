/**
 * Writes the variables of a file, a call for each: of answers, comparisons and results. Failures stay in the file
 * (wg_h5_failed()).
 */
#ifndef WG_RESULTS_COLUMNS_H
#define WG_RESULTS_COLUMNS_H

#include "storage/hdf5_file.h"

/** Numbers, whole numbers, texts; of the dimensions a, and b inside it; NULL for none (both: one value). Gives the variable's number. */
int wg_put_reals(struct wg_h5 *file, const char *name, const char *unit, const char *text, const char *a, const char *b,
                 const double *values);
int wg_put_counts(struct wg_h5 *file, const char *name, const char *text, const char *a, const char *b,
                  const int64_t *values);
int wg_put_texts(struct wg_h5 *file, const char *name, const char *text, const char *a, const char *const *values);
int wg_put_real(struct wg_h5 *file, const char *name, const char *unit, const char *text, double value);
int wg_put_count(struct wg_h5 *file, const char *name, const char *text, int64_t value);
/** A dimension whose coordinate are texts. */
int wg_put_names(struct wg_h5 *file, const char *name, const char *text, int64_t size, const char *const *values);

#endif
