/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Plans without questions: answers that make a template.
 */
#ifndef WG_ASKING_TEMPLATE_H
#define WG_ASKING_TEMPLATE_H

#include "asking/question.h"

struct wg_template_answer {
    enum wg_question_id id;
    const char *text;
};

struct wg_template {
    const char *name, *meaning;
    const struct wg_template_answer *answers; /* ended by a NULL text */
};

/** Returns template number i, NULL after the last. */
const struct wg_template *wg_template_at(int i);
/** Answers as the template does; what it leaves out is as offered. */
void wg_template_answer(const struct wg_template *from, struct wg_answers *answers);

#endif
