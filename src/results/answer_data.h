/**
 * Reads an answer back from its file (answer_file.h describes the layout).
 */
#ifndef WG_RESULTS_ANSWER_DATA_H
#define WG_RESULTS_ANSWER_DATA_H

#include "results/answer_file.h"
#include "results/stored_warnings.h"
#include "storage/stored_file.h"

/** An open answer. Zero-initialise; owns all it points to. Free with wg_answer_data_free() in every case. */
struct wg_answer_data {
    struct wg_stored_file in;
    struct wg_stored_inputs inputs;
    enum wg_answer_kind kind;
    char *text; /* the answer in words; "" if the file has none */
    char *why;  /* why no value is enough; "" if the file does not say */
    struct wg_stored_warnings warned;
};

/**
 * Takes ownership of an open file and zeroes it. Returns 0, WG_ERR_FORMAT (not an answer, other version, damaged) or
 * WG_ERR_MEMORY.
 */
int wg_answer_data_take(struct wg_answer_data *data, struct wg_stored_file *file, struct wg_error *err);
/** The result of wg_size_search() as written to the file, except `trial` and the position of the number in the text. */
struct wg_answer_size {
    struct wg_vary vary;
    struct wg_size_question question;
    struct wg_size size;
    char goal[WG_MAX_GOALS][200]; /* from wg_goal_text() */
};
/** Reads an open file of the kind SIZE; any other kind is WG_ERR_FORMAT. */
int wg_answer_data_size(struct wg_answer_data *data, struct wg_answer_size *to, struct wg_error *err);
/**
 * Reads an open file of the kind SENSITIVITY, but for the variance between animals (0: they do not differ) and what is not
 * stored. WG_ERR_FORMAT also if this program knows a number or a measurement no longer.
 */
int wg_answer_data_sensitivity(struct wg_answer_data *data, struct wg_sensitivity *to, struct wg_error *err);
/** Frees the data; may be zeroed, half-opened or already freed. */
void wg_answer_data_free(struct wg_answer_data *data);

#endif
