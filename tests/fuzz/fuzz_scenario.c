/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads any text as a scenario: gives a plan that can be described, or mistakes with positions. What it leaves open to try
 * can be filled in with the values of now.
 */
#include "base/calendar.h"
#include "fuzz/fuzz.h"
#include "outline/outline.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Returns two years of weather for a scenario that names a record; reads no file. */
static const char *weather(size_t *size) {
    static char text[32 + 24 * 731];
    static size_t used;
    if (used == 0) {
        used = (size_t)snprintf(text, sizeof text, "date,tmin_C,tmax_C\n");
        for (int32_t day = 18262; day < 18262 + 731; day++) { /* from 2020-01-01 */
            char date[11];
            wg_day_format(day, date);
            used += (size_t)snprintf(text + used, sizeof text - used, "%s,%d,%d\n", date, 5 + day % 7, 15 + day % 11);
        }
    }
    *size = used;
    return text;
}

/* Reads the plan again with the value of now in each open place. */
static void read_filled_in(const struct wg_scenario *scenario, const char *record, size_t record_size) {
    struct wg_scenario filled;
    struct wg_mistakes problems;
    struct wg_error err = {0};
    int level[WG_MAX_OPENINGS];
    size_t size;
    for (int i = 0; i < scenario->openings.n; i++)
        level[i] = scenario->openings.opening[i].now;
    char *const text = wg_openings_text(&scenario->openings, scenario->text, scenario->text_size, level, &size);
    MUST(text != NULL);
    MUST(wg_scenario_read_text(&filled, "fuzz.yaml", text, size, record, record_size, &problems, &err) == 0);
    MUST(filled.openings.n == 0 && filled.plan.n_actions == scenario->plan.n_actions);
    wg_scenario_free(&filled);
    wg_mistakes_free(&problems);
    free(text);
}

void fuzz_one(const uint8_t *data, size_t size) {
    struct wg_scenario scenario;
    struct wg_mistakes problems;
    struct wg_error err = {0};
    size_t record_size;
    const char *const record = weather(&record_size);
    const int code =
        wg_scenario_read_text(&scenario, "fuzz.yaml", (const char *)data, size, record, record_size, &problems, &err);
    fuzz_check_error(code, &err);
    fuzz_check_mistakes(&problems);
    MUST((code == WG_ERR_INPUT) == (problems.n > 0));
    if (code == 0) {
        char *const text = wg_outline(&scenario);
        char *const keys = wg_outline_keys(&scenario);
        MUST(text != NULL && strlen(text) > 100);
        MUST(keys != NULL && strstr(keys, "(default)") != NULL);
        free(text);
        free(keys);
        read_filled_in(&scenario, record, record_size);
    }
    wg_scenario_free(&scenario);
    wg_mistakes_free(&problems);
}
