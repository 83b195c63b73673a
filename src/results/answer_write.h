/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Writes the three kinds of answers. The file remembers failures (wg_h5_failed()).
 */
#ifndef WG_RESULTS_ANSWER_WRITE_H
#define WG_RESULTS_ANSWER_WRITE_H

#include "results/answer_file.h"
#include "results/columns.h"

int wg_put_size(struct wg_h5 *file, const struct wg_answer *answer);
/** Returns 0 or WG_ERR_MEMORY, as does the next. */
int wg_put_sensitivity(struct wg_h5 *file, const struct wg_answer *answer, struct wg_error *err);
int wg_put_fit(struct wg_h5 *file, const struct wg_answer *answer, struct wg_error *err);

#endif
