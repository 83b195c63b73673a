/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/* Lives years of a scenario with one animal and measures the seasonal findings. */
#include "calibration/seasons.h"

#include "base/calendar.h"
#include "forecast/replicate.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

const char *season_key(enum season_quantity quantity) {
    static const char *const key[N_SEASONS] = {"winter_flies", "dormant_january", "spring_width", "june_flies",
                                               "generations_wild"};
    return key[quantity];
}

bool season_is_wild(enum season_quantity quantity) {
    return quantity == SEASON_JUNE || quantity == SEASON_GENERATIONS;
}

static _Noreturn void season_fault(const char *what, const char *text) {
    (void)fprintf(stderr, "calibrate: %s: %s\n", what, text);
    exit(3);
}

void seasons_scenario(struct wg_scenario *scenario, const char *path) {
    struct wg_mistakes mistakes = {0};
    struct wg_error err = {0};
    if (wg_scenario_read(scenario, path, &mistakes, &err) != 0)
        season_fault(path, err.text);
    wg_mistakes_free(&mistakes);
}

void seasons_stop_harvest(struct wg_scenario *scenario) {
    struct wg_plan *const plan = &scenario->plan;
    int kept = 0;
    for (int i = 0; i < plan->n_actions; i++)
        if (plan->actions[i].kind != WG_ACTION_COLLECT && plan->actions[i].kind != WG_ACTION_SCOOP)
            plan->actions[kept++] = plan->actions[i];
    plan->n_actions = kept;
}

/* The days of the year, counted from the scenario's first. */
struct season_days {
    int january_5, february_9, march_1, june_1, june_30, last;
};

static struct season_days days_of(const struct wg_plan *plan) {
    const int year = wg_date_from_day(plan->first_day).year + 1;
    const int32_t first = plan->first_day;
    return (struct season_days){.january_5 = wg_day_from_date((struct wg_date){year, 1, 5}) - first,
                                .february_9 = wg_day_from_date((struct wg_date){year, 2, 9}) - first,
                                .march_1 = wg_day_from_date((struct wg_date){year, 3, 1}) - first,
                                .june_1 = wg_day_from_date((struct wg_date){year, 6, 1}) - first,
                                .june_30 = wg_day_from_date((struct wg_date){year, 6, 30}) - first,
                                .last = plan->last_day - first};
}

static int64_t most_flies(const struct wg_diary *diary, int from, int to) {
    int64_t most = 0;
    for (int day = from; day <= to; day++) {
        const int64_t *const count = diary->count + (ptrdiff_t)day * WG_N_STAGES;
        const int64_t flies = count[WG_FEMALE] + count[WG_MALE];
        most = flies > most ? flies : most;
    }
    return most;
}

/* Individuals past the egg, and the sum of their generation numbers. */
struct lineage {
    double count, generations;
};

static void add_lineage(struct lineage *lineage, const struct wg_diary *diary, int day) {
    for (int g = 0; g < diary->n_generations; g++)
        for (int stage = WG_LARVA; stage < WG_N_STAGES; stage++) {
            const double n = (double)wg_diary_living(diary, day, (enum wg_stage)stage, g);
            lineage->count += n;
            lineage->generations += n * g;
        }
}

enum { MAX_YEARS = 64 };

struct season_sums {
    int winter, dormant, june, n_widths;
    double width[MAX_YEARS], alive, harvest_kg;
    struct lineage spring, autumn;
};

static void add_year(struct season_sums *sums, const struct wg_diary *diary, const struct season_days *days) {
    const double width = diary->spring_emergence_90 - diary->spring_emergence_10;
    sums->winter += most_flies(diary, days->january_5, days->february_9 - 1) > 5;
    sums->dormant += diary->count[(ptrdiff_t)days->january_5 * WG_N_STAGES + WG_DORMANT] > 0;
    sums->june += most_flies(diary, days->june_1, days->june_30) > 20;
    if (isfinite(width))
        sums->width[sums->n_widths++] = width;
    sums->alive += diary->survived;
    sums->harvest_kg += diary->total_harvest_mass;
    add_lineage(&sums->spring, diary, days->march_1);
    add_lineage(&sums->autumn, diary, days->last);
}

static int compare_doubles(const void *a, const void *b) {
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static double median_of(double *value, int n) {
    if (n == 0)
        return (double)NAN;
    qsort(value, (size_t)n, sizeof *value, compare_doubles);
    return 0.5 * (value[(n - 1) / 2] + value[n / 2]);
}

static double generations_of(const struct season_sums *sums) {
    if (sums->spring.count <= 0.0 || sums->autumn.count <= 0.0)
        return (double)NAN;
    return sums->autumn.generations / sums->autumn.count - sums->spring.generations / sums->spring.count;
}

static void conclude(struct seasons *seasons, struct season_sums *sums, int years) {
    seasons->quantity[SEASON_WINTER_FLIES] = (double)sums->winter / years;
    seasons->quantity[SEASON_DORMANT] = (double)sums->dormant / years;
    seasons->quantity[SEASON_JUNE] = (double)sums->june / years;
    seasons->quantity[SEASON_SPRING_WIDTH] = median_of(sums->width, sums->n_widths);
    seasons->quantity[SEASON_GENERATIONS] = generations_of(sums);
    seasons->alive = sums->alive / years;
    seasons->harvest_kg = sums->harvest_kg / years;
}

void seasons_live(struct seasons *seasons, const struct wg_scenario *scenario, const struct wg_species *species,
                  int64_t first, int years) {
    struct wg_plan plan = scenario->plan;
    struct wg_world world;
    struct wg_simulator simulator = {0};
    struct wg_diary diary = {0};
    struct wg_error err = {0};
    struct season_sums sums = {0};
    plan.species = *species;
    plan.animals = WG_ANIMALS_MIDDLE;
    const struct season_days days = days_of(&plan);
    int code = wg_world_init(&world, &plan, &err);
    if (code == 0)
        code = wg_simulator_init(&simulator, &world, &err);
    if (code == 0)
        code = wg_diary_init(&diary, &plan, &err);
    for (int year = 0; year < years && code == 0; year++) {
        code = wg_simulator_run(&simulator, first + year, &diary, &err);
        if (code == 0)
            add_year(&sums, &diary, &days);
    }
    if (code != 0)
        season_fault("an animal cannot live", err.text);
    conclude(seasons, &sums, years);
    wg_diary_free(&diary);
    wg_simulator_free(&simulator);
    wg_world_free(&world);
}

double season_log_likelihood(const struct finding *finding, const struct seasons *seasons,
                             enum season_quantity quantity) {
    const double value = seasons->quantity[quantity];
    if (isnan(value))
        return -0.5 * M_LN2; /* the mean of exp(-z^2/2) over standard normal z is 2^-1/2 */
    return finding_log_likelihood(finding, finding_scaled(finding, value));
}
