/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The questions of `wintergrub new` as a table: what is asked, what may be answered, what each answer means.
 *
 * A page can show the same table as a form. Nothing here reads or prints.
 */
#ifndef WG_ASKING_QUESTION_H
#define WG_ASKING_QUESTION_H

#include "text/text_file.h"

#include <stdbool.h>
#include <stdint.h>

enum wg_question_id {
    WG_ASK_UNITS,
    WG_ASK_NAME,
    WG_ASK_SHELTER,
    WG_ASK_LATITUDE,
    WG_ASK_ELEVATION,
    WG_ASK_CLIMATE,
    WG_ASK_WINTER, /* where larvae that live outdoors spend it */
    WG_ASK_WARMTH, /* of a room or cellar */
    WG_ASK_FLOOR,
    WG_ASK_HEAT,
    WG_ASK_SET_POINT,
    WG_ASK_POWER,
    WG_ASK_HEAT_SEASON,
    WG_ASK_LAMPS,
    WG_ASK_PRICE,
    WG_ASK_BINS,
    WG_ASK_VOLUME,
    WG_ASK_INSULATION,
    WG_ASK_START,
    WG_ASK_LENGTH,
    WG_ASK_STAGE,
    WG_ASK_NUMBER,
    WG_ASK_FEED,
    WG_ASK_AMOUNT,
    WG_ASK_AT_MOST,
    WG_ASK_EVERY,
    WG_ASK_HARVEST,
    WG_ASK_BACK,
    WG_ASK_SCOOP,
    WG_ASK_TRAPS,
    WG_ASK_WILD,
    WG_ASK_GOAL,
    WG_ASK_GOAL_AMOUNT,
    WG_N_QUESTIONS
};

#define WG_ANSWER_SIZE 128
#define WG_MAX_CHOICES 9

/** The answers so far. Begin with wg_answers_init(). */
struct wg_answers {
    int32_t today;                             /* the offered first day is after it */
    double latitude_deg, elevation_m;          /* as the reader understood the answers; wg_answer_read() sets them */
    char text[WG_N_QUESTIONS][WG_ANSWER_SIZE]; /* "": the offered answer */
    const struct wg_text_given *given;         /* texts in place of all files; NULL: the files themselves */
    bool is_on_page;                           /* the plan's comments name screens of the page, not commands */
};

struct wg_question_choice {
    const char *word;                                  /* in pounds and degF */
    const char *metric;                                /* the same in kilograms and degC; NULL: `word` */
    const char *meaning;                               /* a few words */
    bool (*applies)(const struct wg_answers *answers); /* NULL: always */
};

struct wg_question {
    const char *name;                                     /* one word, for files and forms: "shelter" */
    const char *ask;                                      /* one short line */
    const char *help;                                     /* what `?` prints */
    const char *help_on_page;                             /* the same, with screens instead of commands; NULL: `help` */
    bool is_free;                                         /* answers other than the choices are possible */
    bool is_short;                                        /* `also` names the choices, which are not listed */
    const char *also;                                     /* one line on these; NULL: none */
    struct wg_question_choice choice[WG_MAX_CHOICES + 1]; /* ended by a NULL word */
    const char *offered, *offered_metric;                 /* NULL: `offered`, then the first choice */
    void (*offer)(const struct wg_answers *answers,
                  char out[WG_ANSWER_SIZE]);                  /* instead of these, which are then examples */
    bool (*applies)(const struct wg_answers *answers);        /* NULL: it is always asked */
    const char *(*caution)(const struct wg_answers *answers); /* a line after the answer, or NULL */
};

/** Sets that nothing is answered yet; `today` is a day number (calendar.h). */
void wg_answers_init(struct wg_answers *answers, int32_t today);
/** Returns a row of the table. */
const struct wg_question *wg_question(enum wg_question_id id);
/** True if the question is asked, after the answers to those before it. */
bool wg_question_applies(const struct wg_answers *answers, enum wg_question_id id);
/** Returns the first question asked from `id` on; WG_N_QUESTIONS after the last. */
int wg_question_from(const struct wg_answers *answers, int id);
/** Returns the last question asked before `id`; -1 if there is none. */
int wg_question_before(const struct wg_answers *answers, int id);
/** Writes the offered answer. */
void wg_question_offer(const struct wg_answers *answers, enum wg_question_id id, char out[WG_ANSWER_SIZE]);
/** Lists the choices that apply, with the words in the keeper's units; returns how many. */
int wg_question_choices(const struct wg_answers *answers, enum wg_question_id id,
                        struct wg_question_choice out[WG_MAX_CHOICES]);
/** Writes the answer: what was given, else what is offered. */
void wg_answer(const struct wg_answers *answers, enum wg_question_id id, char out[WG_ANSWER_SIZE]);
/** True if the answer is this word. */
bool wg_answer_is(const struct wg_answers *answers, enum wg_question_id id, const char *word);
/** True if the keeper counts in kilograms and degC. */
bool wg_answers_are_metric(const struct wg_answers *answers);
/** True if the answer about climate is the name of a weather file: it has a dot. */
bool wg_answers_have_record(const struct wg_answers *answers);
/** True if larvae that live outdoors are carried indoors for the winter. */
bool wg_answers_move_in(const struct wg_answers *answers);
/** Returns the kind of housing of the place indoors: where they always live, or spend the winter; NULL if outdoors. */
const char *wg_answers_house(const struct wg_answers *answers);

#endif
