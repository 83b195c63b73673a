/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Makes the figures of a result, a comparison or an answer.
 */
#ifndef WG_FIGURES_FIGURES_H
#define WG_FIGURES_FIGURES_H

#include "data/answer_data.h"
#include "data/comparison_data.h"
#include "data/result_data.h"

#include <stddef.h>

struct wg_figure;

/** Zero-initialise; free with wg_figures_free() in every case. */
struct wg_figures {
    size_t n;
    struct wg_figure *figure;
};

/**
 * Makes all figures that the result has data for: stages, winter, stack, generations, temperatures-1, -2, ... (one per place),
 * crawl-off, spring. The same file gives the same bytes. Holds the tables of all figures, and one series of all
 * replicates at a time. WG_ERR_FORMAT, WG_ERR_MEMORY.
 */
int wg_figures_make(struct wg_figures *figures, struct wg_result_data *data, struct wg_error *err);
/** Lists the daily series that wg_figures_make() reads, NULL-terminated. */
const char *const *wg_figures_series(void);
/** Makes the figure of an answer of `size`, read from `in`: probability against value. */
int wg_figures_size(struct wg_figures *figures, const struct wg_run_facts *in, const struct wg_answer_size *answer,
                    struct wg_error *err);
/** Makes the figures of an answer of `run --what-matters`: shares, and measurements if any is worth it. None without both. */
int wg_figures_sensitivity(struct wg_figures *figures, const struct wg_run_facts *in,
                           const struct wg_sensitivity *matters, struct wg_error *err);
void wg_figures_free(struct wg_figures *figures);

/** Returns the name of its file, such as "stages". */
const char *wg_figure_name(const struct wg_figure *figure);
/** Returns one sentence: the finding. */
const char *wg_figure_title(const struct wg_figure *figure);
/** Returns one or two sentences: how to read it. */
const char *wg_figure_note(const struct wg_figure *figure);
const struct wg_figure *wg_figures_get(const struct wg_figures *figures, size_t i);

#endif
