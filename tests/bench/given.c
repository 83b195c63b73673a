/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

#include "bench/given.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The signature of a wrapped function is fixed, so these are file-scope variables. One thread. */
static const struct recorded_hours *given; /* NULL: not replaying */
static int32_t given_first_day;            /* of the plan, which is given->day[HOURS_LEAD_DAYS] */

void __real_wg_weather_draw(struct wg_weather *weather, const struct wg_climate *climate, gsl_rng *rng);
void __wrap_wg_weather_draw(struct wg_weather *weather, const struct wg_climate *climate, gsl_rng *rng);
void __real_wg_climate_sky(const struct wg_climate *climate, const struct wg_weather *weather, int32_t day,
                           struct wg_sky *sky);
void __wrap_wg_climate_sky(const struct wg_climate *climate, const struct wg_weather *weather, int32_t day,
                           struct wg_sky *sky);

void __wrap_wg_weather_draw(struct wg_weather *weather, const struct wg_climate *climate, gsl_rng *rng) {
    if (given == NULL)
        __real_wg_weather_draw(weather, climate, rng);
}

/*
 * Animals need only the day length of a sky (and, in sunny houses with lamps, which do not occur here, its sun). The
 * other values are used by the housing, once, for the spin-up before the first day, and for the outdoor temperature in
 * the diary, which is not read here.
 */
void __wrap_wg_climate_sky(const struct wg_climate *climate, const struct wg_weather *weather, int32_t day,
                           struct wg_sky *sky) {
    if (given == NULL || day < given_first_day)
        __real_wg_climate_sky(climate, weather, day, sky);
    else
        sky->day_length_h = given->day[HOURS_LEAD_DAYS + day - given_first_day].day_length_h;
}

static void live_given(struct subject *subject, int replicate) {
    given = &subject->hours[replicate];
    given_first_day = subject->scenario.plan.first_day;
    hours_play(given);
    subject_live(subject, replicate);
    hours_play(NULL);
    given = NULL;
}

static void stop_unless(int right, const char *what, int replicate) {
    if (right)
        return;
    (void)fprintf(stderr, "bench: %s replicate %d with its own hours given\n", what, replicate);
    exit(EXIT_FAILURE);
}

void given_check(struct subject *subject) {
    const struct wg_diary *const diary = &subject->diary;
    const size_t size = (size_t)diary->n_days * WG_N_STAGES * sizeof *diary->count;
    int64_t *const own = malloc(size);
    for (int k = 0; k < REPLICATES && subject->hours != NULL; k++) {
        stop_unless(own != NULL, "out of memory for", k);
        subject_live(subject, k);
        memcpy(own, diary->count, size);
        live_given(subject, k);
        stop_unless(memcmp(own, diary->count, size) == 0, "different counts in", k);
    }
    free(own);
}

static void live_all_given(struct subject *subject) {
    for (int k = 0; k < subject->replicates; k++)
        live_given(subject, k);
}

double time_given(struct subject *subject) {
    if (subject->hours == NULL)
        return (double)NAN;
    return time_lives(subject, live_all_given);
}
