/**
 * An answer read back from its file (its layout is in answer_file.h).
 */
#ifndef WG_RESULTS_ANSWER_DATA_H
#define WG_RESULTS_ANSWER_DATA_H

#include "results/answer_file.h"
#include "results/stored_warnings.h"

struct wg_h5;

/** An open answer. Zero-initialise; owns all it points to. Free with wg_answer_data_free() in every case. */
struct wg_answer_data {
    struct wg_h5 *file;
    char *path;
    enum wg_answer_kind kind;
    char *title, *text, *source, *command_line, *started; /* "" where the file says nothing */
    char *scenario_path, *scenario_text, *scenario_sha256, *record_text;
    size_t scenario_size, record_size;
    uint64_t seed;
    int64_t replicates; /* in all */
    struct wg_stored_warnings warned;
};

/** 1 if the file is an answer of any version, 0 if it is something else; WG_ERR_FILE, WG_ERR_FORMAT (damaged), WG_ERR_MEMORY. */
int wg_answer_data_is(const char *path, struct wg_error *err);
/** WG_ERR_FILE, WG_ERR_FORMAT (no answer, another version's, damaged, its scenario changed), WG_ERR_MEMORY. */
int wg_answer_data_open(struct wg_answer_data *data, const char *path, struct wg_error *err);
/** All values of a variable of numbers, of one dimension or more, last one fastest; malloc'ed into *values, *n of them. */
int wg_answer_data_reals(struct wg_answer_data *data, const char *name, int64_t *n, double **values,
                         struct wg_error *err);
/** A single number. */
int wg_answer_data_real(struct wg_answer_data *data, const char *name, double *value, struct wg_error *err);
/** All n texts of a variable, each malloc'ed; out[n] are NULL at first. */
int wg_answer_data_texts(struct wg_answer_data *data, const char *name, int64_t n, char **out, struct wg_error *err);
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
