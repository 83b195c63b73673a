/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * The output of a lesson without a browser: lesson_dump [lives=N] NUMBER=VALUE... (numbers by their index in the table)
 * prints one line a day of the first life, all counts by stage and generation, then all series; or one line a life, all
 * facts. tests/workshop/browser.py compares.
 */
#include "species/species.h"
#include "workshop/lesson.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void print_day(const struct wg_lesson *lesson, int day) {
    for (int stage = 0; stage < WG_N_STAGES; stage++)
        for (int generation = 0; generation < wg_lesson_generations(lesson); generation++)
            (void)printf("%.0f ", wg_lesson_count(lesson, day, stage, generation));
    for (int series = 0; series < WG_LESSON_N_SERIES; series++)
        (void)printf("%.17g%c", wg_lesson_value(lesson, day, series), series == WG_LESSON_N_SERIES - 1 ? '\n' : ' ');
}

static int print_days(struct wg_lesson *lesson) {
    const int code = wg_lesson_live(lesson);
    for (int day = 0; day < wg_lesson_days(lesson); day++)
        print_day(lesson, day);
    return code;
}

static int print_lives(struct wg_lesson *lesson, int lives) {
    int code = wg_lesson_begin(lesson);
    for (int life = 0; code == 0 && life < lives; life++) {
        code = wg_lesson_live_one(lesson, life);
        for (int fact = 0; fact < WG_LESSON_N_FACTS; fact++)
            (void)printf("%.17g%c", wg_lesson_fact(lesson, fact), fact == WG_LESSON_N_FACTS - 1 ? '\n' : ' ');
    }
    return code;
}

static int set_number(struct wg_lesson *lesson, const char *word, int *lives) {
    const char *const value = strchr(word, '=');
    if (value == NULL)
        return -1;
    if (strncmp(word, "lives=", 6) != 0)
        return wg_lesson_set(lesson, atoi(word), atof(value + 1));
    *lives = atoi(value + 1);
    return 0;
}

int main(int argc, char **argv) {
    struct wg_lesson *const lesson = wg_lesson_new();
    int lives = 0;
    if (lesson == NULL)
        return 1;
    for (int i = 1; i < argc; i++)
        if (set_number(lesson, argv[i], &lives) < 0) {
            (void)fprintf(stderr, "not understood: %s\n", argv[i]);
            return 2;
        }
    if ((lives > 0 ? print_lives(lesson, lives) : print_days(lesson)) < 0) {
        (void)fprintf(stderr, "%s\n", wg_lesson_problem(lesson));
        return 3;
    }
    wg_lesson_free(lesson);
    return 0;
}
