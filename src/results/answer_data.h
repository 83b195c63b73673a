/**
 * An answer read back from its file (its layout is in answer_file.h).
 */
#ifndef WG_RESULTS_ANSWER_DATA_H
#define WG_RESULTS_ANSWER_DATA_H

#include "results/answer_file.h"
#include "results/stored_file.h"
#include "results/stored_warnings.h"

/** An open answer. Zero-initialise; owns all it points to. Free with wg_answer_data_free() in every case. */
struct wg_answer_data {
    struct wg_stored_file in;
    struct wg_stored_inputs inputs;
    enum wg_answer_kind kind;
    char *text; /* the answer in words; "" where the file says nothing */
    struct wg_stored_warnings warned;
};

/** Takes over an open file and leaves it zeroed. WG_ERR_FORMAT (no answer, another version's, damaged), WG_ERR_MEMORY. */
int wg_answer_data_take(struct wg_answer_data *data, struct wg_stored_file *file, struct wg_error *err);
/** What wg_size_search() found: as it was given to the file, but for `trial` and the place of the number in the text. */
struct wg_answer_size {
    struct wg_vary vary;
    struct wg_size_question question;
    struct wg_size size;
    char goal[WG_MAX_GOALS][200]; /* as wg_goal_text() has it */
};
/** Of an open file of the kind SIZE (else WG_ERR_FORMAT, in plain words). */
int wg_answer_data_size(struct wg_answer_data *data, struct wg_answer_size *to, struct wg_error *err);
/** Safe on a zeroed or half-opened one, and twice. */
void wg_answer_data_free(struct wg_answer_data *data);

#endif
