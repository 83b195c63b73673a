/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads answers. The reader of plans checks them, so that limits, units and messages are those of a file.
 */
#include "asking/answer.h"

#include "asking/plan_text.h"
#include "base/utf8.h"
#include "climate/sketch.h"
#include "scenario/scenario.h"
#include "text/nearest_word.h"
#include "text/quantity.h"
#include "text/units.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

/* ---- choices ---- */

/* True if a text is an item of a list with commas: "kg" of "degC, kg, litres, metres". */
static bool is_item(const char *list, const char *text) {
    const size_t length = strlen(text);
    for (const char *p = list; *p != '\0'; p += strspn(p, ", ")) {
        const size_t n = strcspn(p, ",");
        if (n == length && n < strlen(list) && strncasecmp(p, text, n) == 0)
            return true;
        p += n;
    }
    return false;
}

/*
 * Returns the choice that the text names: by letter, by its words in any case, their unique beginning or an item of its meaning;
 * else -1.
 */
static int find_choice(const struct wg_question_choice *choice, int n, const char *text) {
    const size_t length = strlen(text);
    int found = -1, n_found = 0;
    if (length == 1 && isalpha((unsigned char)text[0])) {
        const int i = tolower((unsigned char)text[0]) - 'a';
        return i < n ? i : -1;
    }
    for (int i = 0; i < n; i++) {
        const bool is_none = strcasecmp(text, "no") == 0 && strcmp(choice[i].word, "none") == 0;
        if (strcasecmp(text, choice[i].word) == 0 || is_none ||
            (choice[i].meaning != NULL && is_item(choice[i].meaning, text)))
            return i;
        if (length >= 3 && strncasecmp(text, choice[i].word, length) == 0) {
            found = i;
            n_found++;
        }
    }
    return n_found == 1 ? found : -1;
}

static void word_no_choice(const struct wg_question_choice *choice, int n, const char *text,
                           char message[WG_ANSWER_MESSAGE]) {
    const char *words[WG_MAX_CHOICES + 1];
    char list[400];
    for (int i = 0; i < n; i++)
        words[i] = choice[i].word;
    words[n] = NULL;
    wg_word_list(words, list, sizeof list);
    const char *const nearest = wg_word_nearest(text, words);
    if (nearest != NULL)
        (void)snprintf(message, WG_ANSWER_MESSAGE, "\"%.60s\" is none of these. Did you mean \"%s\"?", text, nearest);
    else
        (void)snprintf(message, WG_ANSWER_MESSAGE, "\"%.60s\" is none of these. It can be %s.", text, list);
    wg_utf8_clean(message);
}

/* ---- checking ---- */

/* Reads a plan; the message is the first mistake's. Latitude and height are known even if the climate does not fit. */
static int read_answers(struct wg_answers *answers, const char *path, char message[WG_ANSWER_MESSAGE]) {
    struct wg_bytes text = {0};
    struct wg_scenario scenario = {0};
    struct wg_mistakes mistakes = {0};
    struct wg_error err = {0};
    wg_plan_text(answers, &text);
    int code = wg_bytes_failed(&text, &err);
    if (code == 0)
        code = wg_scenario_read_given(&scenario, path, text.data, text.size, answers->given, &mistakes, &err);
    answers->latitude_deg = scenario.plan.climate.latitude_deg;
    answers->elevation_m = scenario.plan.climate.elevation_m;
    if (code < 0)
        (void)snprintf(message, WG_ANSWER_MESSAGE, "%s", mistakes.n > 0 ? mistakes.items[0].message : err.text);
    wg_bytes_free(&text);
    wg_mistakes_free(&mistakes);
    wg_scenario_free(&scenario);
    return code == WG_ERR_MEMORY ? code : code < 0 ? 1 : 0;
}

/* Checks the plan as answered up to `id`. What is offered behind a latitude depends on it, so that is read first. */
static int check_plan(struct wg_answers *answers, enum wg_question_id id, const char *path,
                      char message[WG_ANSWER_MESSAGE]) {
    struct wg_answers until = *answers;
    for (int later = (int)id + 1; later < WG_N_QUESTIONS; later++)
        until.text[later][0] = '\0';
    int code = read_answers(&until, path, message);
    if (code == 1 && id == WG_ASK_LATITUDE)
        code = read_answers(&until, path, message);
    if (code == 0) {
        answers->latitude_deg = until.latitude_deg;
        answers->elevation_m = until.elevation_m;
    }
    return code;
}

static void copy_trimmed(char out[WG_ANSWER_SIZE], const char *text) {
    while (isspace((unsigned char)*text))
        text++;
    size_t n = strlen(text);
    while (n > 0 && isspace((unsigned char)text[n - 1]))
        n--;
    n = n < WG_ANSWER_SIZE ? n : WG_ANSWER_SIZE - 1;
    memcpy(out, text, n);
    out[n] = '\0';
}

static bool is_printable_line(const char *text) {
    const char *const end = text + strlen(text);
    uint32_t code;
    for (size_t n; text < end; text += n) {
        n = wg_utf8_decode(text, end, &code);
        if (n == 0 || !wg_utf8_is_printable(code))
            return false;
    }
    return true;
}

/* "78 degF" with the number 70 is "70 degF". Returns false if either is no number. */
static bool with_other_number(const char *offered, const char *number, char out[WG_ANSWER_SIZE]) {
    double value;
    const char *rest;
    const size_t sign = strcspn(offered, "0123456789");
    if (wg_number_read(number, &value, &rest) < 0 || *rest != '\0' ||
        wg_number_read(offered + sign, &value, &rest) < 0 || *rest == '\0')
        return false;
    (void)snprintf(out, WG_ANSWER_SIZE, "%.*s%.40s%.40s", (int)sign, offered, number, rest);
    return true;
}

/* Finds an answer with a unit to put the number into: what is offered, a choice, or the usual one. */
static bool find_with_number(const struct wg_answers *answers, enum wg_question_id id, const char *number,
                             char out[WG_ANSWER_SIZE]) {
    struct wg_question_choice choice[WG_MAX_CHOICES];
    const struct wg_question *const question = wg_question(id);
    const bool metric = wg_answers_are_metric(answers) && question->offered_metric != NULL;
    char offered[WG_ANSWER_SIZE];
    const int n = wg_question_choices(answers, id, choice);
    wg_question_offer(answers, id, offered);
    if (with_other_number(offered, number, out))
        return true;
    for (int i = 0; i < n; i++)
        if (with_other_number(choice[i].word, number, out))
            return true;
    return question->offered != NULL &&
           with_other_number(metric ? question->offered_metric : question->offered, number, out);
}

/* Adds the line to copy to the message on a number without a unit, if the reader accepts that line. */
static int suggest_unit(const struct wg_answers *answers, enum wg_question_id id, const char *given, const char *path,
                        char message[WG_ANSWER_MESSAGE]) {
    struct wg_answers with = *answers;
    char unused[WG_ANSWER_MESSAGE];
    if (!find_with_number(answers, id, given, with.text[id]))
        return 1;
    const int code = check_plan(&with, id, path, unused);
    const size_t n = strlen(message);
    if (code == 0)
        (void)snprintf(message + n, WG_ANSWER_MESSAGE - n, " Did you mean %s?", with.text[id]);
    return code < 0 ? code : 1;
}

int wg_answer_read(struct wg_answers *answers, enum wg_question_id id, const char *text, const char *path,
                   char message[WG_ANSWER_MESSAGE]) {
    struct wg_question_choice choice[WG_MAX_CHOICES];
    char given[WG_ANSWER_SIZE];
    const struct wg_answers before = *answers;
    const int n = wg_question_choices(answers, id, choice);
    copy_trimmed(given, text);
    if (strlen(text) >= WG_ANSWER_SIZE || !is_printable_line(given)) {
        (void)snprintf(message, WG_ANSWER_MESSAGE, "Write one short line of plain text, without tabs.");
        return 1;
    }
    if (given[0] == '\0')
        wg_answer(answers, id, given);
    const int i = find_choice(choice, n, given);
    if (i < 0 && (!wg_question(id)->is_free || (n > 0 && strlen(given) == 1 && isalpha((unsigned char)given[0])))) {
        word_no_choice(choice, n, given, message);
        return 1;
    }
    (void)snprintf(answers->text[id], WG_ANSWER_SIZE, "%s", i >= 0 ? choice[i].word : given);
    const int code = check_plan(answers, id, path, message);
    if (code != 0)
        *answers = before;
    return code == 1 ? suggest_unit(answers, id, given, path, message) : code;
}

/* ---- showing ---- */

/* "a  mild coast     Jan 41 to 51, Jul 56 to 75 degF    cool, little frost": the coldest and the warmest month. */
static void show_sketch(const struct wg_answers *answers, char letter, const struct wg_sketch *sketch,
                        struct wg_bytes *out) {
    const bool metric = wg_answers_are_metric(answers);
    const char *const unit = metric ? "degC" : "degF";
    double high_c[12], low_c[12], high_sd_c[12], low_sd_c[12];
    char months[64];
    wg_sketch_normals(sketch, answers->latitude_deg, answers->elevation_m, high_c, low_c, high_sd_c, low_sd_c);
    (void)snprintf(months, sizeof months, "Jan %.0f to %.0f, Jul %.0f to %.0f %s",
                   wg_units_convert(low_c[0], "degC", unit, true), wg_units_convert(high_c[0], "degC", unit, true),
                   wg_units_convert(low_c[6], "degC", unit, true), wg_units_convert(high_c[6], "degC", unit, true),
                   unit);
    wg_bytes_printf(out, "  %c  %-14s %-34s %s\n", letter, sketch->name, months, sketch->meaning);
}

static void show_choice(const struct wg_answers *answers, enum wg_question_id id, int i,
                        const struct wg_question_choice *choice, struct wg_bytes *out) {
    const struct wg_sketch *const sketch = id == WG_ASK_CLIMATE ? wg_sketch_find(choice->word) : NULL;
    if (sketch != NULL)
        show_sketch(answers, (char)('a' + i), sketch, out);
    else
        wg_bytes_printf(out, "  %c  %-20s %s\n", 'a' + i, choice->word, choice->meaning);
}

void wg_question_show(const struct wg_answers *answers, enum wg_question_id id, int number, struct wg_bytes *out) {
    struct wg_question_choice choice[WG_MAX_CHOICES];
    const struct wg_question *const question = wg_question(id);
    const int n = wg_question_choices(answers, id, choice);
    wg_bytes_printf(out, "%d. %s\n", number, question->ask);
    for (int i = 0; i < n && !question->is_short; i++)
        show_choice(answers, id, i, &choice[i], out);
    if (question->also != NULL)
        wg_bytes_printf(out, "     %s\n", question->also);
}
