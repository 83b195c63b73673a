/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

#include "reference/recorded_hours.h"
#include "forecast/replicate.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The signature of a wrapped function is fixed, so this is a file-scope variable. One thread. */
static struct {
    struct recorded_hours *into;       /* NULL: not recording */
    const struct recorded_hours *from; /* NULL: not replaying */
    int day;                           /* counted from the first day recorded */
} tape;

void __real_wg_place_run(struct wg_place_state *state, const struct wg_place_model *model,
                         const struct wg_place_settings *settings, const struct wg_sky *sky, int from, int to,
                         struct wg_bin_heat *heat, const double *substrate_kg, bool power_out,
                         struct wg_place_hours *hours);
void __wrap_wg_place_run(struct wg_place_state *state, const struct wg_place_model *model,
                         const struct wg_place_settings *settings, const struct wg_sky *sky, int from, int to,
                         struct wg_bin_heat *heat, const double *substrate_kg, bool power_out,
                         struct wg_place_hours *hours);

static void copy(double to[24], const double from[24], int first, int end) {
    memcpy(to + first, from + first, (size_t)(end - first) * sizeof *to);
}

void __wrap_wg_place_run(struct wg_place_state *state, const struct wg_place_model *model,
                         const struct wg_place_settings *settings, const struct wg_sky *sky, int from, int to,
                         struct wg_bin_heat *heat, const double *substrate_kg, bool power_out,
                         struct wg_place_hours *hours) {
    if (tape.from != NULL) {
        const struct day_hours *const day = &tape.from->day[tape.day % tape.from->n_days];
        for (int b = 0; b < model->n_bins; b++) {
            copy(hours->bin_c[b], day->bin_c, from, to);
            hours->mat_short_w[b] = 0;
        }
        copy(hours->ground_c, day->ground_c, from, to);
        copy(hours->air_c, day->air_c, from, to);
        copy(hours->light_w_m2, day->light_w_m2, from, to);
        hours->heater_kwh = hours->mats_kwh = hours->lamps_kwh = hours->cost = 0;
        hours->heater_short_w = hours->vent_hours = 0;
    } else {
        __real_wg_place_run(state, model, settings, sky, from, to, heat, substrate_kg, power_out, hours);
    }
    if (tape.into != NULL) {
        struct day_hours *const day = &tape.into->day[tape.day];
        copy(day->bin_c, hours->bin_c[0], from, to);
        copy(day->ground_c, hours->ground_c, from, to);
        copy(day->air_c, hours->air_c, from, to);
        copy(day->light_w_m2, hours->light_w_m2, from, to);
        day->day_length_h = sky->day_length_h;
    }
    if (to == 24 && (tape.from != NULL || tape.into != NULL))
        tape.day++;
}

static void fail(const char *what) {
    (void)fprintf(stderr, "recorded hours: %s\n", what);
    exit(EXIT_FAILURE);
}

void hours_record(struct recorded_hours *hours, const struct wg_plan *plan, int64_t replicate) {
    struct wg_world world = {0};
    struct wg_simulator liver = {0};
    struct wg_diary diary = {0};
    struct wg_error err = {0};
    hours->n_days = HOURS_LEAD_DAYS + plan->last_day - plan->first_day + 1;
    hours->day = calloc((size_t)hours->n_days, sizeof *hours->day);
    if (plan->n_places != 1 || hours->day == NULL)
        fail("only one place is supported");
    tape.into = hours;
    tape.from = NULL;
    tape.day = 0;
    if (wg_world_init(&world, plan, &err) < 0 || wg_simulator_init(&liver, &world, &err) < 0 ||
        wg_diary_init(&diary, plan, &err) < 0 || wg_simulator_run(&liver, replicate, &diary, &err) < 0)
        fail(err.text);
    wg_assert(tape.day == hours->n_days);
    tape.into = NULL;
    wg_diary_free(&diary);
    wg_simulator_free(&liver);
    wg_world_free(&world);
}

void hours_free(struct recorded_hours *hours) {
    free(hours->day);
    *hours = (struct recorded_hours){0};
}

void hours_play(const struct recorded_hours *hours) {
    tape.from = hours;
    tape.day = 0;
}
