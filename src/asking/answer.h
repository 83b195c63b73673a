/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Reads an answer: a choice by its letter or words, or a value that the reader of plans accepts.
 */
#ifndef WG_ASKING_ANSWER_H
#define WG_ASKING_ANSWER_H

#include "asking/question.h"
#include "base/error.h"
#include "text/bytes.h"

#define WG_ANSWER_MESSAGE 1024

/**
 * Sets an answer if the plan that follows from it, from the answers before it and from what is offered for the later
 * ones has no mistake; an empty text takes the answer that stands or is offered. `path` is the plan's file, beside which
 * a weather file lies. Returns 0; 1 with a message and nothing changed; or WG_ERR_MEMORY.
 */
int wg_answer_read(struct wg_answers *answers, enum wg_question_id id, const char *text, const char *path,
                   char message[WG_ANSWER_MESSAGE]);

/** Appends question number `number` as lines for a terminal of 80 columns, without the prompt. */
void wg_question_show(const struct wg_answers *answers, enum wg_question_id id, int number, struct wg_bytes *out);

#endif
