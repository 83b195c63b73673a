/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/* Reads any text as a keeper's log: gives entries inside the period, sorted by day, or mistakes with positions. */
#include "fuzz/fuzz.h"
#include "records/log_file.h"

#include <math.h>
#include <string.h>

static const char plan_text[] = "period: {from: 2026-09-15, to: 2027-09-14}\n"
                                "climate: {constant: 27 degC}\n"
                                "places: [{name: bench, housing: laboratory, bins: [{name: trough}, {name: box}]}]\n"
                                "starter: [{on: 2026-09-15, in: trough, stage: egg, count: 1000}]\n"
                                "feeding: unlimited\n";

static const struct wg_plan *plan(void) {
    static struct wg_scenario scenario;
    struct wg_mistakes problems;
    struct wg_error err = {0};
    if (scenario.text == NULL) {
        MUST(wg_scenario_read_text(&scenario, "fuzz.yaml", plan_text, strlen(plan_text), NULL, 0, &problems, &err) ==
             0);
        wg_mistakes_free(&problems);
    }
    return &scenario.plan;
}

void fuzz_one(const uint8_t *data, size_t size) {
    struct wg_keeper_log log;
    struct wg_mistakes problems;
    struct wg_error err = {0};
    const int code = wg_keeper_log_read(&log, fuzz_file(data, size), plan(), &problems, &err);
    fuzz_check_error(code, &err);
    fuzz_check_mistakes(&problems);
    MUST(code == WG_ERR_INPUT || problems.n == 0);
    for (int i = 0; i < log.n && code == 0; i++) {
        MUST(log.note[i].day >= plan()->first_day && log.note[i].day <= plan()->last_day);
        MUST(log.note[i].since >= plan()->first_day && log.note[i].since <= log.note[i].day);
        MUST(isfinite(log.note[i].value) && log.note[i].bin >= 0 && log.note[i].bin < plan()->n_bins);
        MUST(i == 0 || log.note[i - 1].day <= log.note[i].day);
    }
    wg_keeper_log_free(&log);
    wg_mistakes_free(&problems);
}
