/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * An answer of `size` or `run --what-matters` as charts and pages read it: from its file (results/answer_file.h) or from
 * memory.
 */
#ifndef WG_DATA_ANSWER_DATA_H
#define WG_DATA_ANSWER_DATA_H

#include "data/run_facts.h"
#include "data/stored_warnings.h"
#include "forecast/warnings.h"
#include "inference/fit.h"
#include "inference/sensitivity.h"
#include "records/log_file.h"
#include "sizing/size.h"
#include "variants/vary.h"

enum wg_answer_kind { WG_ANSWER_SIZE, WG_ANSWER_SENSITIVITY, WG_ANSWER_FIT, WG_ANSWER_N_KINDS };
/** Returns "size", "what-matters" or "fit". */
const char *wg_answer_kind_name(enum wg_answer_kind kind);

/** The contents of the file; all borrowed. */
struct wg_answer {
    const struct wg_scenario *scenario;
    const struct wg_provenance *provenance;
    const char *text;                   /* the answer in words */
    const char *why;                    /* why no value is enough (SIZE); NULL or "": nothing to say */
    const struct wg_warnings *warnings; /* NULL: not checked */
    enum wg_answer_kind kind;
    union {
        struct wg_size_answer {
            const struct wg_vary *vary;
            const struct wg_size_question *question;
            const struct wg_size *found;
        } size;
        const struct wg_sensitivity *sensitivity;
        struct wg_fit_answer {
            const struct wg_fit *found;
            const struct wg_keeper_log *log;
            const char *log_path;
        } fit;
    } as;
};

/** An answer. Zero-initialise; owns all it points to but `file`. Free with wg_answer_data_free() in every case. */
struct wg_answer_data {
    void *file;               /* what it is read from: struct wg_stored_file; NULL: memory */
    void (*free)(void *file); /* frees the file and the facts; NULL: memory */
    struct wg_run_facts in;
    struct wg_run_inputs inputs;
    enum wg_answer_kind kind;
    char *text; /* the answer in words; "" if the file has none */
    char *why;  /* why no value is enough; "" if the file does not say */
    struct wg_stored_warnings warned;
};

/** The result of wg_size_search() as written to the file, except `trial` and the position of the number in the text. */
struct wg_answer_size {
    struct wg_vary vary;
    struct wg_size_question question;
    struct wg_size size;
    char goal[WG_MAX_GOALS][200]; /* from wg_goal_text() */
};
/**
 * Fills the data of an answer that was just computed, in the words and numbers of its file. Returns 0 or WG_ERR_MEMORY.
 */
int wg_answer_data_now(struct wg_answer_data *data, const struct wg_answer *answer, struct wg_error *err);
/** Fills what is read of an answer of the kind SIZE. */
void wg_answer_size_now(struct wg_answer_size *size, const struct wg_answer *answer);
/** Frees the data; may be zeroed, half-opened or already freed. */
void wg_answer_data_free(struct wg_answer_data *data);

#endif
