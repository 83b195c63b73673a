/**
 * Makes the figures of a result and writes them as SVG, PDF and PNG, with their numbers.
 */
#ifndef WG_FIGURES_FIGURES_H
#define WG_FIGURES_FIGURES_H

#include "results/answer_data.h"
#include "results/comparison_data.h"
#include "results/result_data.h"

#include <stdatomic.h>
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
/** Makes the figure of an answer of `size`, read from `in`: probability against value. */
int wg_figures_size(struct wg_figures *figures, const struct wg_stored_file *in, const struct wg_answer_size *answer,
                    struct wg_error *err);
/** Makes the figures of an answer of `run --what-matters`: shares, and measurements if any is worth it. None without both. */
int wg_figures_sensitivity(struct wg_figures *figures, const struct wg_stored_file *in,
                           const struct wg_sensitivity *matters, struct wg_error *err);
void wg_figures_free(struct wg_figures *figures);

/**
 * Writes NAME.svg, NAME.pdf and NAME.png of each figure into a folder, which it creates if needed. Unless `force`, an
 * existing file is WG_ERR_EXISTS, and no file is written. Writes each file atomically. Starts no further file once *stop
 * is nonzero: WG_STOPPED. WG_ERR_FILE, WG_ERR_MEMORY.
 *
 * The SVG has <title>, <desc> and, in <metadata>, the numbers as CSV: the day or name of each row, columns
 * "NAME [UNIT]", without unit for counts; an empty field is a missing value.
 */
int wg_figures_save(const struct wg_figures *figures, const char *folder, int force, const atomic_int *stop,
                    struct wg_error *err);

/** Returns the name of its file, such as "stages". */
const char *wg_figure_name(const struct wg_figure *figure);
/** Returns one sentence: the finding. */
const char *wg_figure_title(const struct wg_figure *figure);
/** Returns one or two sentences: how to read it. */
const char *wg_figure_note(const struct wg_figure *figure);
const struct wg_figure *wg_figures_get(const struct wg_figures *figures, size_t i);

#endif
