/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Holds an answer, as its file has it.
 */
#include "data/answer_data.h"

#include "text/goal_text.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const char *wg_answer_kind_name(enum wg_answer_kind kind) {
    static const char *const name[WG_ANSWER_N_KINDS] = {"size", "what-matters", "fit"};
    wg_assert((int)kind >= 0 && kind < WG_ANSWER_N_KINDS);
    return name[kind];
}

int wg_answer_data_now(struct wg_answer_data *data, const struct wg_answer *answer, struct wg_error *err) {
    const struct wg_plan *const plan = &answer->scenario->plan;
    const char *const why = answer->why != NULL ? answer->why : "";
    *data = (struct wg_answer_data){.kind = answer->kind, .text = strdup(answer->text), .why = strdup(why)};
    int code = data->text == NULL || data->why == NULL ? wg_no_memory(err, NULL) : 0;
    if (code == 0)
        code = wg_run_facts_now(&data->in, wg_scenario_name(answer->scenario), answer->provenance, false, err);
    if (code == 0)
        code = wg_run_inputs_copy(&data->inputs, answer->scenario, err);
    return code == 0 ? wg_stored_warnings_word(&data->warned, 1, &plan, &answer->warnings, err) : code;
}

void wg_answer_size_now(struct wg_answer_size *size, const struct wg_answer *answer) {
    const struct wg_plan *const plan = &answer->scenario->plan;
    *size = (struct wg_answer_size){
        .vary = *answer->as.size.vary, .question = *answer->as.size.question, .size = *answer->as.size.found};
    for (int g = 0; g < size->question.n_goals; g++) {
        char text[WG_GOAL_SENTENCE_SIZE];
        wg_goal_text(&plan->goal[g], plan->currency, text);
        (void)snprintf(size->goal[g], sizeof size->goal[g], "%s", text);
    }
}

void wg_answer_data_free(struct wg_answer_data *data) {
    if (data->free != NULL)
        data->free(data->file);
    else
        wg_run_facts_free(&data->in);
    wg_run_inputs_free(&data->inputs);
    free(data->text);
    free(data->why);
    wg_stored_warnings_free(&data->warned);
    memset(data, 0, sizeof *data);
}
