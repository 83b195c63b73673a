/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Writes a result, replicate by replicate in order. The tables of the diary list the series and outcomes.
 */
#include "analysis/goal_tally.h"
#include "base/calendar.h"
#include "colony/goal_met.h"
#include "data/generation_sums.h"
#include "data/series_terms.h"
#include "forecast/warnings.h"
#include "results/columns.h"
#include "results/result_file.h"
#include "results/stored_parts.h"
#include "storage/atomic_file.h"
#include "storage/provenance.h"
#include "text/goal_text.h"
#include <wintergrub/version.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define PLUS_ONE(...) +1
enum { N_SERIES = 0 WG_DIARY_TABLE(PLUS_ONE) };

#define GOAL_CONFIDENCE 0.95 /* as in the forecast's answer */
static const char *const goal_real[][2] = {{"goal_chance_asked", "chance wanted of meeting the goal"},
                                           {"goal_chance", "share of the replicates that met the goal"},
                                           {"goal_chance_low", "lower end of the 95 % interval of goal_chance"},
                                           {"goal_chance_high", "upper end of the 95 % interval of goal_chance"}};
enum { N_GOAL_REALS = sizeof goal_real / sizeof *goal_real };

#define BLOCK 4096 /* replicates; judgement: a megabyte of outcomes */

struct wg_result_writer {
    struct wg_atomic_file place;
    struct wg_h5 *file;
    struct wg_diary shape;      /* sizes only, no arrays */
    int series[N_SERIES];       /* number of the variable in the file, -1: not stored */
    double *rounded;            /* one replicate of the widest series */
    int outcome[WG_N_OUTCOMES]; /* likewise */
    struct wg_plan lattice;     /* what wg_lattice_cell() needs of the plan */
    struct wg_cell_columns cells;
    int by_generation;
    bool has_latitude;
    int n_goals, goal_met, goal_real[N_GOAL_REALS]; /* numbers of the variables, if there are goals */
    struct wg_goal_tally odds;
    int64_t replicates, seen;
    int64_t block;    /* replicates whose outcomes are buffered, so that memory does not grow */
    double *outcomes; /* [WG_N_OUTCOMES][block] */
    struct wg_generation_sums generations;
    double *means; /* of a spell, [day][stage][generation] as in the file */
    struct wg_warning_tally watch;
    struct wg_work work; /* keeps no weeks of single replicates: warnings need only counts */
};

/* ---- dimensions and their coordinates ---- */

/* Writes a coordinate 0, 1, 2, ... */
static int add_counting(struct wg_h5 *file, const char *name, const char *unit, const char *text, int64_t size,
                        struct wg_error *err) {
    int64_t *const values = malloc((size_t)size * sizeof *values);
    if (values == NULL)
        return wg_no_memory(err, NULL);
    for (int64_t i = 0; i < size; i++)
        values[i] = i;
    const struct wg_h5_variable variable = {.name = name, .unit = unit, .text = text, .kind = WG_H5_COUNT, .n_dims = 1};
    const int number = wg_h5_dimension(file, &variable, size, values);
    free(values);
    return number;
}

/* Writes the beginning and the end of each day (CF-1.10, section 7.1). */
static int add_time_bounds(struct wg_h5 *file, const struct wg_diary *shape, const char *unit, struct wg_error *err) {
    const struct wg_h5_variable both = {.name = "bound", .kind = WG_H5_NO_VALUES, .n_dims = 1};
    const struct wg_h5_variable bounds = {.name = "time_bnds",
                                          .unit = unit,
                                          .text = "beginning and end of the day",
                                          .kind = WG_H5_COUNT,
                                          .n_dims = 2,
                                          .dim = {"time", "bound"}};
    int64_t *const values = malloc(2 * (size_t)shape->n_days * sizeof *values);
    if (values == NULL)
        return wg_no_memory(err, NULL);
    for (int day = 0; day < shape->n_days; day++) {
        values[2 * day] = day;
        values[2 * day + 1] = day + 1;
    }
    (void)wg_h5_dimension(file, &both, 2, NULL);
    const int number = wg_h5_variable(file, &bounds);
    if (number >= 0) {
        (void)wg_h5_attribute(file, number, "calendar", "proleptic_gregorian");
        (void)wg_h5_write(file, number, values);
    }
    free(values);
    return number;
}

static int add_time(struct wg_h5 *file, const struct wg_diary *shape, struct wg_error *err) {
    char unit[WG_DAYS_UNIT_SIZE];
    wg_days_unit(shape->first_day, unit);
    const int time = add_counting(file, "time", unit, "beginning of the day", shape->n_days, err);
    if (time < 0)
        return time;
    (void)wg_h5_attribute(file, time, "calendar", "proleptic_gregorian");
    (void)wg_h5_attribute(file, time, "standard_name", "time");
    (void)wg_h5_attribute(file, time, "axis", "T");
    (void)wg_h5_attribute(file, time, "bounds", "time_bnds");
    return add_time_bounds(file, shape, unit, err);
}

static void add_stages_and_causes(struct wg_h5 *file) {
    const char *name[WG_N_STAGES], *cause[WG_N_CAUSES];
    for (int i = 0; i < WG_N_STAGES; i++)
        name[i] = wg_stage_name((enum wg_stage)i);
    for (int i = 0; i < WG_N_CAUSES; i++)
        cause[i] = wg_cause_name((enum wg_cause)i);
    (void)wg_put_names(file, "stage", "life stage", WG_N_STAGES, name);
    (void)wg_put_names(file, "cause", "cause of death", WG_N_CAUSES, cause);
}

static void add_places_and_bins(struct wg_h5 *file, const struct wg_plan *plan) {
    const char *place[WG_MAX_PLACES], *bin[WG_MAX_BINS], *bin_place[WG_MAX_BINS];
    wg_assert(plan->n_places <= WG_MAX_PLACES && plan->n_bins <= WG_MAX_BINS);
    for (int i = 0; i < plan->n_places; i++)
        place[i] = plan->places[i].name;
    for (int i = 0; i < plan->n_bins; i++) {
        bin[i] = plan->bins[i].name;
        bin_place[i] = plan->places[plan->bins[i].place].name;
    }
    if (plan->n_places > 0)
        (void)wg_put_names(file, "place", "place", plan->n_places, place);
    if (plan->n_bins == 0)
        return;
    (void)wg_put_names(file, "bin", "bin", plan->n_bins, bin);
    (void)wg_put_texts(file, "bin_place", "place of the bin", "bin", bin_place);
}

static void add_goals(struct wg_result_writer *writer, const struct wg_plan *plan) {
    char text[WG_MAX_GOALS][WG_GOAL_SENTENCE_SIZE];
    const char *name[WG_MAX_GOALS];
    for (int i = 0; i < plan->n_goals; i++) {
        wg_goal_text(&plan->goal[i], plan->currency, text[i]);
        name[i] = text[i];
    }
    writer->n_goals = plan->n_goals;
    wg_goal_tally_init(&writer->odds, plan);
    if (plan->n_goals > 0)
        (void)wg_put_names(writer->file, "goal", "goal of the keeper", plan->n_goals, name);
}

static int add_frame(struct wg_result_writer *writer, const struct wg_scenario *scenario,
                     const struct wg_provenance *provenance, struct wg_error *err) {
    const struct wg_plan *const plan = &scenario->plan;
    struct wg_h5 *const file = writer->file;
    (void)wg_h5_attribute(file, -1, "Conventions", "CF-1.10");
    (void)wg_h5_attribute(file, -1, "title", wg_scenario_name(scenario));
    (void)wg_h5_attribute(file, -1, "source", "wintergrub " WG_VERSION);
    int code = wg_provenance_write_history(file, provenance, err);
    if (code < 0)
        return code;
    code = add_counting(file, "replicate", "1", "number of the replicate", writer->replicates, err);
    if (code >= 0) {
        (void)wg_h5_attribute(file, code, "standard_name", "realization");
        code = add_time(file, &writer->shape, err);
    }
    if (code >= 0)
        code = add_counting(file, "generation", "1",
                            "generation: starters are 0, offspring one more than their mother; after the last number "
                            "it starts again at 0",
                            writer->shape.n_generations, err);
    if (code < 0) {
        const int failed = wg_h5_failed(file, err); /* reports a failure of the file itself */
        return failed < 0 ? failed : code;
    }
    wg_put_latitude(file, &plan->climate);
    add_stages_and_causes(file);
    add_places_and_bins(file, plan);
    add_goals(writer, plan);
    return wg_h5_failed(file, err);
}

/* ---- the variables ---- */

static const char *third_dimension(enum wg_series_dims dims) {
    switch (dims) {
    case WG_PER_DAY:
        break;
    case WG_PER_DAY_STAGE:
        return "stage";
    case WG_PER_DAY_PLACE:
        return "place";
    case WG_PER_DAY_BIN:
        return "bin";
    case WG_PER_DAY_CAUSE:
        return "cause";
    }
    return NULL;
}

static int add_series(struct wg_result_writer *writer, const struct wg_series *series) {
    const bool outdoors = wg_series_outdoors(writer->watch.plan);
    if (wg_diary_width(&writer->shape, series->dims) == 0 ||
        wg_series_place(&writer->shape, outdoors, series).series != series)
        return -1;
    const struct wg_series_terms *const terms = wg_series_terms(series->name);
    const char *const third = third_dimension(series->dims);
    const struct wg_h5_variable variable = {.name = series->name,
                                            .unit = series->unit,
                                            .text = series->text,
                                            .kind = series->is_count ? WG_H5_COUNT : WG_H5_REAL,
                                            .n_dims = third == NULL ? 2 : 3,
                                            .dim = {"replicate", "time", third}};
    const int number = wg_h5_variable(writer->file, &variable);
    if (number < 0)
        return number;
    (void)wg_h5_attribute(writer->file, number, "cell_methods", terms->cell_methods);
    if (terms->standard_name != NULL)
        (void)wg_h5_attribute(writer->file, number, "standard_name", terms->standard_name);
    if (terms->standard_name != NULL && writer->has_latitude)
        (void)wg_h5_attribute(writer->file, number, "coordinates", "latitude");
    if (!series->is_count) /* netCDF 4.9, quantize.c: bits of the fraction that were kept */
        (void)wg_h5_variable_whole(writer->file, number, "_QuantizeBitRoundNumberOfSignificantBits", WG_SERIES_BITS);
    return number;
}

static int add_outcome_variable(struct wg_result_writer *writer, const struct wg_outcome *outcome) {
    char days[WG_DAYS_UNIT_SIZE];
    const bool is_date = wg_outcome_is_date(outcome);
    wg_days_unit(writer->shape.first_day, days);
    const struct wg_h5_variable variable = {.name = outcome->name,
                                            .unit = is_date ? days : outcome->unit,
                                            .text = outcome->text,
                                            .kind = WG_H5_REAL,
                                            .n_dims = 1,
                                            .dim = {"replicate"}};
    const int number = wg_h5_variable(writer->file, &variable);
    if (number >= 0 && is_date)
        (void)wg_h5_attribute(writer->file, number, "calendar", "proleptic_gregorian");
    return number;
}

static int add_goal_real(struct wg_h5 *file, const char *name, const char *text) {
    const struct wg_h5_variable variable = {
        .name = name, .unit = "1", .text = text, .kind = WG_H5_REAL, .n_dims = 1, .dim = {"goal"}};
    return wg_h5_variable(file, &variable);
}

static void add_variables(struct wg_result_writer *writer) {
    const struct wg_h5_variable by_generation = {
        .name = "count_by_generation",
        .unit = "1",
        .text = "individuals alive at the end of the day, by stage and generation, mean over replicates",
        .kind = WG_H5_REAL,
        .n_dims = 3,
        .dim = {"time", "stage", "generation"}};
    const struct wg_h5_variable goal_met = {.name = "goal_met",
                                            .unit = "1",
                                            .text = "1 if the replicate met the goal, else 0",
                                            .kind = WG_H5_COUNT,
                                            .n_dims = 2,
                                            .dim = {"replicate", "goal"}};
    for (int i = 0; i < N_SERIES; i++)
        writer->series[i] = add_series(writer, &wg_diary_series()[i]);
    for (int i = 0; i < WG_N_OUTCOMES; i++)
        writer->outcome[i] = wg_outcome_is_kept((enum wg_outcome_number)i, writer->odds.plan)
                                 ? add_outcome_variable(writer, &wg_diary_outcomes()[i])
                                 : -1;
    writer->cells = wg_cell_columns_add(writer->file);
    writer->by_generation = wg_h5_variable(writer->file, &by_generation);
    if (writer->by_generation >= 0)
        (void)wg_h5_attribute(writer->file, writer->by_generation, "cell_methods",
                              "time: point (at the end of the day) realization: mean");
    if (writer->n_goals > 0)
        writer->goal_met = wg_h5_variable(writer->file, &goal_met);
    for (int i = 0; i < N_GOAL_REALS && writer->n_goals > 0; i++)
        writer->goal_real[i] = add_goal_real(writer->file, goal_real[i][0], goal_real[i][1]);
}

/* ---- from create to close ---- */

void wg_result_abandon(struct wg_result_writer *writer) {
    if (writer == NULL)
        return;
    wg_h5_free(writer->file);
    wg_atomic_file_free(&writer->place);
    wg_goal_tally_free(&writer->odds);
    wg_work_free(&writer->work);
    wg_generation_sums_free(&writer->generations);
    free(writer->means);
    free(writer->outcomes);
    free(writer->rounded);
    free(writer);
}

/* Returns the most values of one replicate in a series. */
static size_t widest_series(const struct wg_diary *shape) {
    int widest = 1;
    for (const struct wg_series *series = wg_diary_series(); series->name != NULL; series++) {
        const int width = wg_diary_width(shape, series->dims);
        widest = width > widest ? width : widest;
    }
    return (size_t)widest * (size_t)shape->n_days;
}

static int begin_result(struct wg_result_writer *writer, const struct wg_scenario *scenario,
                        const struct wg_provenance *provenance, struct wg_error *err) {
    writer->block = writer->replicates < BLOCK ? writer->replicates : BLOCK;
    writer->outcomes = calloc((size_t)writer->block * WG_N_OUTCOMES, sizeof *writer->outcomes);
    writer->means = calloc((size_t)writer->shape.n_generations * WG_N_STAGES * WG_SPELL, sizeof *writer->means);
    writer->rounded = calloc(widest_series(&writer->shape), sizeof *writer->rounded);
    if (writer->outcomes == NULL || writer->rounded == NULL || writer->means == NULL)
        return wg_no_memory(err, NULL);
    int code = wg_work_init(&writer->work, &scenario->plan, 1, err);
    if (code == 0)
        code = wg_generation_sums_init(&writer->generations, &writer->shape, err);
    if (code == 0)
        code = wg_h5_create(&writer->file, writer->place.fd, writer->place.path, err);
    if (code == 0)
        code = add_frame(writer, scenario, provenance, err);
    if (code < 0)
        return code;
    add_variables(writer);
    code = wg_provenance_write(writer->file, scenario, provenance, err);
    if (code == 0)
        code = wg_stored_animals_write(writer->file, &scenario->plan, writer->replicates, err);
    return code < 0 ? code : wg_h5_failed(writer->file, err);
}

/* With `over` NULL, `force` decides whether any file is replaced. */
static int create(struct wg_result_writer **out, const char *path, int force, const struct wg_file_identity *over,
                  const struct wg_scenario *scenario, const struct wg_provenance *provenance, struct wg_error *err) {
    *out = NULL;
    wg_assert(provenance->replicates > 0);
    struct wg_result_writer *const writer = calloc(1, sizeof *writer);
    if (writer == NULL)
        return wg_no_memory(err, NULL);
    writer->shape = wg_series_shape(&scenario->plan);
    writer->has_latitude = scenario->plan.climate.kind != WG_CLIMATE_CONSTANT;
    writer->watch.plan = &scenario->plan;
    writer->lattice = (struct wg_plan){.animals = scenario->plan.animals, .seed = scenario->plan.seed};
    writer->replicates = provenance->replicates;
    int code = over != NULL ? wg_atomic_file_open_over(&writer->place, path, over, err)
                            : wg_atomic_file_open(&writer->place, path, force, err);
    if (code == 0)
        code = begin_result(writer, scenario, provenance, err);
    if (code < 0)
        wg_result_abandon(writer);
    else
        *out = writer;
    return code;
}

int wg_result_create(struct wg_result_writer **out, const char *path, int force, const struct wg_scenario *scenario,
                     const struct wg_provenance *provenance, struct wg_error *err) {
    return create(out, path, force, NULL, scenario, provenance, err);
}

int wg_result_create_over(struct wg_result_writer **out, const char *path, const struct wg_file_identity *over,
                          const struct wg_scenario *scenario, const struct wg_provenance *provenance,
                          struct wg_error *err) {
    return create(out, path, 0, over, scenario, provenance, err);
}

static void check_diary_shape(const struct wg_diary *shape, const struct wg_diary *diary) {
    wg_assert(diary->n_days == shape->n_days && diary->n_places == shape->n_places);
    wg_assert(diary->n_bins == shape->n_bins && diary->n_generations == shape->n_generations);
}

/* Writes the outcomes of the replicates since the last block, up to `replicate`. */
static void write_outcomes(struct wg_result_writer *writer, int64_t replicate) {
    const int64_t n = replicate % writer->block + 1;
    for (int i = 0; i < WG_N_OUTCOMES; i++)
        if (writer->outcome[i] >= 0)
            (void)wg_h5_write_rows(writer->file, writer->outcome[i], replicate + 1 - n, n,
                                   writer->outcomes + i * writer->block);
}

static void write_series(struct wg_result_writer *writer, int i, int64_t replicate, const struct wg_diary *diary) {
    const struct wg_series *const series = &wg_diary_series()[i];
    const void *values = wg_diary_values(diary, series);
    if (!series->is_count) {
        wg_series_round(values, (size_t)diary->n_days * (size_t)wg_diary_width(diary, series->dims), writer->rounded);
        values = writer->rounded;
    }
    (void)wg_h5_write_rows(writer->file, writer->series[i], replicate, 1, values);
}

/* Passes a replicate to what is known only after the last one. */
static int tell_observers(struct wg_result_writer *writer, int64_t replicate, const struct wg_diary *diary,
                          struct wg_error *err) {
    const struct wg_observer observer[] = {wg_goal_tally_observer(&writer->odds), wg_warning_observer(&writer->watch),
                                           wg_work_observer(&writer->work)};
    int code = 0;
    for (size_t i = 0; i < sizeof observer / sizeof *observer && code == 0; i++)
        code = observer[i].on_replicate(observer[i].self, replicate, diary, err);
    return code == 0 ? wg_generation_sums_add(&writer->generations, diary, err) : code;
}

static int on_replicate_result(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    struct wg_result_writer *const writer = self;
    check_diary_shape(&writer->shape, diary);
    wg_assert(replicate == writer->seen && replicate < writer->replicates);
    for (int i = 0; i < N_SERIES; i++)
        if (writer->series[i] >= 0)
            write_series(writer, i, replicate, diary);
    for (int i = 0; i < WG_N_OUTCOMES; i++)
        writer->outcomes[i * writer->block + replicate % writer->block] =
            wg_diary_outcome(diary, &wg_diary_outcomes()[i]);
    wg_cell_columns_write(writer->file, &writer->cells, replicate, wg_lattice_cell(&writer->lattice, replicate));
    if ((replicate + 1) % writer->block == 0 || replicate + 1 == writer->replicates)
        write_outcomes(writer, replicate);
    int64_t met[WG_MAX_GOALS];
    for (int i = 0; i < writer->n_goals; i++)
        met[i] = wg_goal_met(&writer->odds.plan->goal[i], diary);
    if (writer->n_goals > 0)
        (void)wg_h5_write_rows(writer->file, writer->goal_met, replicate, 1, met);
    writer->seen++;
    const int code = tell_observers(writer, replicate, diary, err);
    return code < 0 ? code : wg_h5_failed(writer->file, err);
}

struct wg_observer wg_result_observer(struct wg_result_writer *writer) {
    return (struct wg_observer){on_replicate_result, writer};
}

static void write_generations(struct wg_result_writer *writer) {
    for (int i = 0; i < writer->generations.n_spells; i++) {
        const int days = wg_generation_means(&writer->generations, i, writer->replicates, writer->means);
        (void)wg_h5_write_rows(writer->file, writer->by_generation, i * WG_SPELL, days, writer->means);
    }
}

static int write_goals(struct wg_result_writer *writer, struct wg_error *err) {
    double values[N_GOAL_REALS][WG_MAX_GOALS];
    for (int i = 0; i < writer->n_goals; i++) {
        struct wg_goal_chance chance;
        const int code = wg_goal_tally_chance(&writer->odds, i, GOAL_CONFIDENCE, &chance, err);
        if (code < 0)
            return code;
        values[0][i] = writer->odds.plan->goal[i].chance;
        values[1][i] = chance.share;
        values[2][i] = chance.interval.low;
        values[3][i] = chance.interval.high;
    }
    for (int i = 0; i < N_GOAL_REALS && writer->n_goals > 0; i++)
        (void)wg_h5_write(writer->file, writer->goal_real[i], values[i]);
    return 0;
}

/* Writes the warnings in words. */
static int write_comment(struct wg_result_writer *writer, struct wg_error *err) {
    struct wg_warnings *const warnings = malloc(sizeof *warnings);
    if (warnings == NULL)
        return wg_no_memory(err, NULL);
    wg_warnings_find(warnings, &writer->watch, &writer->work);
    wg_h5_leave_group(writer->file);
    const int code = wg_stored_warnings_comment(writer->file, 1, &writer->odds.plan,
                                                (const struct wg_warnings *const *)&warnings, err);
    free(warnings);
    return code;
}

void wg_result_explain(struct wg_result_writer *writer, const char *why, const char *checked) {
    (void)wg_h5_attribute(writer->file, -1, WG_ATTRIBUTE_WHY, why);
    (void)wg_h5_attribute(writer->file, -1, WG_ATTRIBUTE_CHECKED, checked);
}

int wg_result_close(struct wg_result_writer *writer, struct wg_error *err) {
    int code = 0;
    if (writer->seen < writer->replicates)
        code = wg_fail(err, WG_ERR_INTERNAL, writer->place.path,
                       "Only %lld of %lld replicates were written, so the file is not kept.", (long long)writer->seen,
                       (long long)writer->replicates);
    if (code == 0) {
        write_generations(writer);
        code = write_goals(writer, err);
    }
    if (code == 0)
        code = write_comment(writer, err);
    if (code == 0) {
        code = wg_h5_finish(writer->file, err);
        writer->file = NULL;
    }
    if (code == 0)
        code = wg_atomic_file_commit(&writer->place, err);
    wg_result_abandon(writer); /* frees; keeps the file if it is in place */
    return code;
}
