/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Makes a plan from the sliders of a lesson (one place, one bin, one starter, scraps every day, a share of the
 * crawl-off harvested), simulates its lives one at a time and reads the diary of the last.
 *
 * Without wild visitors and mishaps, so that all differences come from weather, luck and what a learner changes. Life i
 * is replicate i of the seed with the middle animal: a scenario of these numbers has the same draws.
 */
#include "workshop/lesson.h"

#include "colony/colony.h"
#include "workshop/lesson_years.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define N_ACTIONS 3
#define BIN_M3 0.150     /* a trough of 150 L */
#define FOAM_M 0.025     /* foam of the bin outside the laboratory: an inch, common practice */
#define LAMP_HOURS 12    /* a day in a shed: common practice indoors is 8 to 16 */
#define START_AGE 5      /* days: larvae as sold, common practice */
#define COLD_NIGHT_K 8.0 /* design temperature of the heater, below the coldest month's mean low: judgement */

struct number_range {
    double least, most, first;
};

static const struct number_range rows[WG_LESSON_N_NUMBERS] = {
#define ROW(name, least, most, first) {least, most, first},
    WG_LESSON_TABLE(ROW)
#undef ROW
};

/* What is shared by all lives of a plan. */
struct lesson_model {
    struct wg_world world;
    struct wg_colony *colony;
    struct wg_weather weather;
    gsl_rng *rng[3];
    bool is_ready;
};

struct wg_lesson {
    double number[WG_LESSON_N_NUMBERS];
    struct wg_plan plan;
    struct lesson_model model;
    struct wg_diary diary;
    int days; /* simulated */
    struct wg_error err;
};

/* ---- numbers ---- */

static bool is_number(int number) {
    return number >= 0 && number < WG_LESSON_N_NUMBERS;
}
double wg_lesson_least(int number) {
    return is_number(number) ? rows[number].least : (double)NAN;
}
double wg_lesson_most(int number) {
    return is_number(number) ? rows[number].most : (double)NAN;
}
double wg_lesson_first(int number) {
    return is_number(number) ? rows[number].first : (double)NAN;
}

struct wg_lesson *wg_lesson_new(void) {
    struct wg_lesson *const lesson = calloc(1, sizeof *lesson);
    for (int i = 0; lesson != NULL && i < WG_LESSON_N_NUMBERS; i++)
        lesson->number[i] = rows[i].first;
    return lesson;
}

static void free_model(struct lesson_model *model) {
    for (int i = 0; i < 3; i++)
        if (model->rng[i] != NULL)
            gsl_rng_free(model->rng[i]);
    wg_colony_free(model->colony);
    wg_weather_free(&model->weather);
    wg_world_free(&model->world);
    *model = (struct lesson_model){0};
}

static void reset_lesson(struct wg_lesson *lesson) {
    free_model(&lesson->model);
    wg_diary_free(&lesson->diary);
    wg_plan_free(&lesson->plan);
    lesson->diary = (struct wg_diary){0};
    lesson->plan = (struct wg_plan){0};
    lesson->days = 0;
    lesson->err = (struct wg_error){0};
}

void wg_lesson_free(struct wg_lesson *lesson) {
    if (lesson == NULL)
        return;
    reset_lesson(lesson);
    free(lesson);
}

int wg_lesson_set(struct wg_lesson *lesson, int number, double value) {
    if (!is_number(number) || !(value >= rows[number].least && value <= rows[number].most))
        return -1;
    lesson->number[number] = value;
    return 0;
}

/* ---- the plan ---- */

static void plan_weather(struct wg_plan *plan, const double *number) {
    const int weather = (int)number[WG_LESSON_WEATHER];
    const struct wg_date start =
        weather == WG_LESSON_STEADY ? (struct wg_date){2026, 1, 1} : (struct wg_date){2026, 9, 15};
    plan->first_day = wg_day_from_date(start);
    plan->last_day = plan->first_day + (int32_t)number[WG_LESSON_DAYS] - 1;
    if (weather == WG_LESSON_STEADY)
        plan->climate = (struct wg_climate_spec){.kind = WG_CLIMATE_CONSTANT, .constant_c = number[WG_LESSON_TEMP_C]};
    else
        wg_lesson_climate(&plan->climate, weather);
}

/* A steady temperature means a laboratory; a heater needs a house. */
static void plan_place(struct wg_plan *plan, const double *number) {
    const bool steady = (int)number[WG_LESSON_WEATHER] == WG_LESSON_STEADY;
    const enum wg_housing_kind kind = steady ? WG_LABORATORY : (enum wg_housing_kind)number[WG_LESSON_SHELTER];
    struct wg_place_plan *const place = plan->places;
    wg_shelter_defaults(&place->shelter, kind);
    wg_ground_defaults(&place->ground, kind);
    if (kind == WG_SHED)
        place->shelter.lamp_hours = LAMP_HOURS; /* of 0 W: not counted, as the page says */
    strcpy(place->name, "place");
    strcpy(plan->bins->name, "bin");
    wg_bin_defaults(&plan->bins->spec, kind, BIN_M3, steady ? 0 : FOAM_M);
    if (steady || kind == WG_OUTDOORS || number[WG_LESSON_HEATER] < 1)
        return;
    const double set_point_c = number[WG_LESSON_SET_POINT_C];
    const double cold_night_c = wg_lesson_coldest_c(&plan->climate) - COLD_NIGHT_K;
    place->heater =
        (struct wg_heater_spec){.power_w = fmax(0, wg_heater_size_w(&place->shelter, set_point_c, cold_night_c)),
                                .set_point_c = set_point_c,
                                .efficiency = 1,
                                .price_per_kwh = number[WG_LESSON_PRICE],
                                .season = WG_ALL_YEAR};
}

static void plan_keeping(struct wg_plan *plan, const double *number) {
    const bool steady = (int)number[WG_LESSON_WEATHER] == WG_LESSON_STEADY;
    const struct wg_action daily = {.from = plan->first_day, .to = plan->last_day, .every = 1, .place = -1};
    struct wg_action *const start = &plan->actions[0], *const feed = &plan->actions[1],
                            *const collect = &plan->actions[2];
    *start = *feed = *collect = daily;
    start->kind = WG_ACTION_START;
    start->to = plan->first_day;
    start->as.start.what = steady ? WG_MOVABLE_EGGS : WG_MOVABLE_LARVAE;
    start->as.start.age_days = steady ? 0 : START_AGE;
    start->as.start.count = (int64_t)number[WG_LESSON_STARTER];
    feed->kind = WG_ACTION_FEED;
    feed->as.feed.type = wg_feed_find("kitchen scraps");
    feed->as.feed.wet_kg = number[WG_LESSON_FEED_KG];
    collect->kind = WG_ACTION_COLLECT;
    collect->as.collect.share = number[WG_LESSON_CATCH];
    plan->n_actions = N_ACTIONS;
    wg_plan_sort(plan);
}

static void plan_species(struct wg_plan *plan, const double *number) {
    const int known = wg_species_set(&plan->species, "keepers");
    wg_assert(known == 0);
    strcpy(plan->numbers, "keepers");
    plan->species.clutch_low = fmin(number[WG_LESSON_CLUTCH_LOW], number[WG_LESSON_CLUTCH_HIGH]);
    plan->species.clutch_high = fmax(number[WG_LESSON_CLUTCH_LOW], number[WG_LESSON_CLUTCH_HIGH]);
}

static int make_lesson_plan(struct wg_plan *plan, const double *number, struct wg_error *err) {
    *plan = (struct wg_plan){
        .n_places = 1, .n_bins = 1, .replicates = 1, .seed = (uint64_t)number[WG_LESSON_SEED], .steps_per_day = 1};
    plan->places = calloc(1, sizeof *plan->places);
    plan->bins = calloc(1, sizeof *plan->bins);
    plan->actions = calloc(N_ACTIONS, sizeof *plan->actions);
    if (plan->places == NULL || plan->bins == NULL || plan->actions == NULL)
        return wg_no_memory(err, NULL);
    plan_weather(plan, number);
    plan_place(plan, number);
    plan_keeping(plan, number);
    plan_species(plan, number);
    return 0;
}

/* ---- lives ---- */

static int make_model(struct lesson_model *model, const struct wg_plan *plan, struct wg_error *err) {
    for (int i = 0; i < 3; i++) {
        model->rng[i] = gsl_rng_alloc(wg_rng_type());
        if (model->rng[i] == NULL)
            return wg_no_memory(err, NULL);
    }
    int code = wg_world_init(&model->world, plan, err);
    if (code == 0)
        code = wg_weather_init(&model->weather, model->world.climate, err);
    if (code == 0)
        code = wg_colony_new(&model->colony, &model->world, err);
    return code;
}

int wg_lesson_begin(struct wg_lesson *lesson) {
    reset_lesson(lesson);
    int code = make_lesson_plan(&lesson->plan, lesson->number, &lesson->err);
    if (code == 0)
        code = make_model(&lesson->model, &lesson->plan, &lesson->err);
    if (code == 0)
        code = wg_diary_init(&lesson->diary, &lesson->plan, &lesson->err);
    lesson->model.is_ready = code == 0;
    return code;
}

static void start_streams(struct lesson_model *model, uint64_t seed, uint64_t life) {
    static const enum wg_purpose purpose[3] = {WG_PURPOSE_WEATHER, WG_PURPOSE_DEMOGRAPHY, WG_PURPOSE_MISHAPS};
    for (int i = 0; i < 3; i++)
        wg_rng_start(model->rng[i], seed, life, purpose[i]);
}

int wg_lesson_live_one(struct wg_lesson *lesson, int life) {
    struct lesson_model *const model = &lesson->model;
    if (!model->is_ready || life < 0)
        return -1;
    lesson->days = 0;
    start_streams(model, lesson->plan.seed, (uint64_t)life);
    wg_weather_draw(&model->weather, model->world.climate, model->rng[0]);
    const int code =
        wg_colony_run(model->colony, &model->weather, model->rng[1], model->rng[2], &lesson->diary, &lesson->err);
    if (code == 0 && lesson->diary.stopped_day >= 0)
        return wg_fail(&lesson->err, WG_ERR_OVERGROWN, NULL,
                       "the colony grew beyond the largest number that can be counted");
    if (code == 0)
        lesson->days = lesson->diary.n_days;
    return code;
}

int wg_lesson_live(struct wg_lesson *lesson) {
    const int code = wg_lesson_begin(lesson);
    return code == 0 ? wg_lesson_live_one(lesson, 0) : code;
}

const char *wg_lesson_problem(const struct wg_lesson *lesson) {
    return lesson->err.text;
}

/* ---- results ---- */

int wg_lesson_days(const struct wg_lesson *lesson) {
    return lesson->days;
}
int wg_lesson_generations(const struct wg_lesson *lesson) {
    return lesson->days > 0 ? lesson->diary.n_generations : 0;
}
double wg_lesson_heater_w(const struct wg_lesson *lesson) {
    return lesson->days > 0 ? lesson->plan.places->heater.power_w : 0;
}
double wg_lesson_heater_short_w(const struct wg_lesson *lesson) {
    return lesson->days > 0 ? lesson->diary.heater_short_w : 0;
}

int wg_lesson_spring_day(const struct wg_lesson *lesson) {
    const struct wg_diary *const diary = &lesson->diary;
    if (lesson->days == 0 || isnan(diary->spring_emergence_10))
        return -1;
    int day = wg_plan_spring(&lesson->plan).from - diary->first_day;
    while (diary->spring_flies[day] == 0)
        day++;
    return day;
}

double wg_lesson_count(const struct wg_lesson *lesson, int day, int stage, int generation) {
    const struct wg_diary *const diary = &lesson->diary;
    if (day < 0 || day >= lesson->days || stage < 0 || stage >= WG_N_STAGES || generation < 0 ||
        generation >= diary->n_generations)
        return (double)NAN;
    return (double)wg_diary_living(diary, day, (enum wg_stage)stage, generation);
}

double wg_lesson_value(const struct wg_lesson *lesson, int day, int series) {
    const struct wg_diary *const diary = &lesson->diary;
    if (day < 0 || day >= lesson->days)
        return (double)NAN;
    switch (series) {
    case WG_LESSON_OVERLAP:
        return wg_diary_overlap(diary, day);
    case WG_LESSON_OUTDOOR_C:
        return diary->outdoor_temperature[day];
    case WG_LESSON_AIR_C:
        return diary->air_temperature[day];
    case WG_LESSON_AIR_LOW_C:
        return diary->air_low[day];
    case WG_LESSON_BIN_C:
        return diary->bin_temperature[day];
    case WG_LESSON_GROUND_C:
        return diary->ground_temperature[day];
    case WG_LESSON_CRAWL_OFF:
        return (double)diary->crawl_off_count[day];
    case WG_LESSON_HARVEST_KG:
        return diary->harvest_mass[day];
    case WG_LESSON_EGGS_LAID:
        return (double)diary->eggs_laid[day];
    case WG_LESSON_HEATER_KWH:
        return diary->heater_energy[day];
    case WG_LESSON_HEATER_COST:
        return diary->heater_cost[day];
    default:
        return (double)NAN;
    }
}

double wg_lesson_fact(const struct wg_lesson *lesson, int fact) {
    if (lesson->days == 0 || fact < 0 || fact >= WG_LESSON_N_FACTS)
        return (double)NAN;
    const struct wg_diary *const diary = &lesson->diary;
    const struct wg_species *const species = &lesson->plan.species;
    struct wg_colony_end end;
    wg_colony_end_find(&end, diary);
    const double value[WG_LESSON_N_FACTS] = {
        [WG_LESSON_END] = end.end,
        [WG_LESSON_LAST_DAY] = end.last_day,
        [WG_LESSON_LAST_EGGS_DAY] = end.last_eggs_day,
        [WG_LESSON_LOST] = (double)end.lost,
        [WG_LESSON_LOST_MOST] = (double)end.lost_most,
        [WG_LESSON_LATE_FLIES] = (double)end.late_flies,
        [WG_LESSON_LATE_AIR_C] = end.late_air_c,
        [WG_LESSON_BREEDING_C] = fmax(species->mate_air_c, species->lay_air_c),
        [WG_LESSON_MEAN_OVERLAP] = diary->overlap,
        [WG_LESSON_TOTAL_HARVEST_KG] = diary->total_harvest_mass,
        [WG_LESSON_TOTAL_KWH] = diary->total_heater_energy,
        [WG_LESSON_TOTAL_COST] = diary->total_heater_cost,
    };
    return value[fact];
}
