/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * "questions": the questions of `new` with the answers so far, and the plan that follows from them.
 */
#include "asking/answer.h"
#include "asking/plan_text.h"
#include "base/calendar.h"
#include "browser/page.h"

#include <stdlib.h>
#include <string.h>

struct asked {
    struct wg_answers answers;
    char mistake[WG_N_QUESTIONS][WG_ANSWER_MESSAGE];
    bool is_given[WG_N_QUESTIONS];
};

/* What is offered for later questions depends on where the keeper lives, so these two are read even if not answered. */
static bool must_be_read(int id) {
    return id == WG_ASK_LATITUDE || id == WG_ASK_ELEVATION;
}

/* Reads the answers in order, because which questions apply depends on those before. */
static int read_all_answers(struct wg_call *call, struct asked *asked) {
    const struct wg_request *const given = wg_request_part(call->request, "answers");
    for (int id = 0; id < WG_N_QUESTIONS; id++) {
        if (!wg_question_applies(&asked->answers, (enum wg_question_id)id))
            continue;
        const char *const text = wg_request_text(given, wg_question((enum wg_question_id)id)->name);
        asked->is_given[id] = text != NULL && text[0] != '\0';
        if (!asked->is_given[id] && !must_be_read(id))
            continue;
        const int code = wg_answer_read(&asked->answers, (enum wg_question_id)id, asked->is_given[id] ? text : "",
                                        "plan.yaml", asked->mistake[id]);
        if (code < 0)
            return wg_no_memory(&call->err, NULL);
        if (code == 0)
            asked->mistake[id][0] = '\0';
    }
    return 0;
}

static void put_offered_choices(struct wg_json *json, const struct wg_answers *answers, enum wg_question_id id) {
    struct wg_question_choice choice[WG_MAX_CHOICES];
    const int n = wg_question_choices(answers, id, choice);
    wg_json_list(json, "choices");
    for (int i = 0; i < n; i++) {
        wg_json_object(json, NULL);
        wg_json_text(json, "word", choice[i].word);
        wg_json_text(json, "meaning", choice[i].meaning);
        wg_json_close(json);
    }
    wg_json_close(json);
}

static void put_asked(struct wg_json *json, const struct asked *asked, enum wg_question_id id) {
    const struct wg_question *const question = wg_question(id);
    const struct wg_answers *const answers = &asked->answers;
    struct wg_answers others = *answers;
    char offered[WG_ANSWER_SIZE], answer[WG_ANSWER_SIZE];
    others.text[id][0] = '\0';
    wg_question_offer(&others, id, offered);
    wg_answer(answers, id, answer);
    wg_json_object(json, NULL);
    wg_json_text(json, "name", question->name);
    wg_json_text(json, "ask", question->ask);
    wg_json_text(json, "help", question->help_on_page != NULL ? question->help_on_page : question->help);
    put_offered_choices(json, answers, id);
    wg_json_text(json, "also", question->also);
    wg_json_flag(json, "is_free", question->is_free);
    wg_json_text(json, "offered", offered);
    wg_json_flag(json, "is_given", asked->is_given[id] && asked->mistake[id][0] == '\0');
    wg_json_text(json, "answer", answer);
    wg_json_text(json, "mistake", asked->mistake[id][0] != '\0' ? asked->mistake[id] : NULL);
    wg_json_text(json, "caution", question->caution != NULL ? question->caution(answers) : NULL);
    wg_json_close(json);
}

static int put_answers(struct wg_call *call, const struct asked *asked) {
    struct wg_bytes plan = {0};
    wg_json_list(call->answer, "questions");
    for (int id = wg_question_from(&asked->answers, 0); id < WG_N_QUESTIONS;
         id = wg_question_from(&asked->answers, id + 1))
        put_asked(call->answer, asked, (enum wg_question_id)id);
    wg_json_close(call->answer);
    wg_plan_text(&asked->answers, &plan);
    const int code = wg_call_put_bytes(call, "plan", &plan);
    wg_bytes_free(&plan);
    return code;
}

int wg_call_questions(struct wg_call *call) {
    const char *const today = wg_request_text(call->request, "today");
    int32_t day;
    if (today == NULL || wg_day_parse(today, &day) != 0)
        return wg_fail(&call->err, WG_ERR_USAGE, "request", "\"today\" must be a date such as 2026-11-15.");
    struct asked *const asked = calloc(1, sizeof *asked);
    struct wg_text_given *const files = wg_call_files(wg_request_part(call->request, "files"));
    int code = asked == NULL || files == NULL ? wg_no_memory(&call->err, NULL) : 0;
    if (code == 0) {
        wg_answers_init(&asked->answers, day);
        asked->answers.given = files;
        asked->answers.is_on_page = true;
        code = read_all_answers(call, asked);
    }
    if (code == 0)
        code = put_answers(call, asked);
    free(asked);
    free(files);
    return code;
}
