/*
 * The output of a lesson without a browser: lesson_dump NUMBER=VALUE... (numbers by their index in the table) prints
 * one line a day, all counts by stage and generation, then all series. tests/workshop/browser.py compares.
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

int main(int argc, char **argv) {
    struct wg_lesson *const lesson = wg_lesson_new();
    if (lesson == NULL)
        return 1;
    for (int i = 1; i < argc; i++) {
        const char *const value = strchr(argv[i], '=');
        if (value == NULL || wg_lesson_set(lesson, atoi(argv[i]), atof(value + 1)) < 0) {
            (void)fprintf(stderr, "not understood: %s\n", argv[i]);
            return 2;
        }
    }
    if (wg_lesson_live(lesson) < 0) {
        (void)fprintf(stderr, "%s\n", wg_lesson_problem(lesson));
        return 3;
    }
    for (int day = 0; day < wg_lesson_days(lesson); day++)
        print_day(lesson, day);
    wg_lesson_free(lesson);
    return 0;
}
