/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/* Reads any text as a scenario: gives a plan that can be described, or mistakes with positions. */
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
    }
    wg_scenario_free(&scenario);
    wg_mistakes_free(&problems);
}
