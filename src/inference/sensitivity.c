/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Lives a plan with the plausible animals and collects what each of them answers and would show a keeper.
 */
#include "inference/sensitivity.h"

#include "forecast/lattice.h"
#include "species/plausible.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define UNKNOWN (double)NAN
static const struct wg_gain no_gain = {{UNKNOWN, {UNKNOWN, UNKNOWN}}, UNKNOWN, {UNKNOWN, UNKNOWN}};
#define WORTH_MORE                                                                                                     \
    0.02 /* of the variance between animals: a further measurement that gains less is not named (judgement) */

enum { TALLY_SURVIVAL, TALLY_CRAWL_OFF, TALLY_MEASUREMENTS, N_TALLIES = TALLY_MEASUREMENTS + WG_MAX_MEASUREMENTS };

/* One value over the years of an animal, odd and even years apart. */
struct animal_tally {
    double sum[2], squares;
    int n[2];
};

struct animal_study {
    const struct wg_plan *plan;
    int n_animals;                  /* in the sample; the first of the lattice's blocks */
    int *row;                       /* [plausible animal]: its row in the sample, -1: none */
    struct animal_tally *tally;     /* [N_TALLIES][animals] */
    double *x, *y, *luck, *half[2]; /* of the answer: x[number][animal], the rest [animal] */
    double *value[WG_MAX_MEASUREMENTS][2];
    struct wg_measured measured[WG_MAX_MEASUREMENTS];
};

/* ---- the years ---- */

static void add_year(struct animal_tally *tally, double value) {
    const int half = (tally->n[0] + tally->n[1]) % 2;
    tally->sum[half] += value;
    tally->squares += value * value;
    tally->n[half]++;
}

static int on_animal_year(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    struct animal_study *const study = self;
    const int all = wg_plausible_count(), animal = wg_lattice_cell(study->plan, replicate).animal;
    (void)err;
    if (study->row[animal] < 0)
        study->row[animal] = study->n_animals++;
    struct animal_tally *const own = study->tally + study->row[animal];
    add_year(own + TALLY_SURVIVAL * all, diary->survived);
    add_year(own + TALLY_CRAWL_OFF * all, diary->total_crawl_off_mass);
    for (int m = 0; wg_measurements()[m].name != NULL; m++)
        if (wg_measurements()[m].of_year != NULL)
            add_year(own + (TALLY_MEASUREMENTS + m) * all, wg_measurements()[m].of_year(study->plan, diary));
    return 0;
}

/* Whole blocks: each animal has eight years. Past all animals, whole rounds, so that they have equally many. */
static int64_t whole_blocks(int64_t replicates) {
    const int64_t round = WG_LATTICE_BLOCK / WG_LATTICE_ANIMALS * wg_plausible_count();
    return replicates >= round ? replicates / round * round : replicates / WG_LATTICE_BLOCK * WG_LATTICE_BLOCK;
}

static int live_animals(struct animal_study *study, const struct wg_sensitivity_options *options, int64_t replicates,
                        struct wg_error *err) {
    const struct wg_observer observer = {on_animal_year, study};
    const struct wg_ensemble_options ensemble = {.count = replicates,
                                                 .threads = options->threads,
                                                 .stop = options->stop,
                                                 .progress = options->progress,
                                                 .progress_self = options->progress_self};
    return wg_ensemble_run(study->plan, &ensemble, &observer, 1, err);
}

/* ---- the sample ---- */

/* Sets the means of both halves, and returns the mean variance of the values within an animal. */
static double take_tally(const struct animal_study *study, int which, double *half[2], double *luck) {
    double within = 0;
    for (int a = 0; a < study->n_animals; a++) {
        const struct animal_tally *const t = &study->tally[which * wg_plausible_count() + a];
        const double n = t->n[0] + t->n[1], sum = t->sum[0] + t->sum[1];
        const double variance = fmax(t->squares - sum * sum / n, 0) / (n - 1);
        for (int h = 0; h < 2; h++)
            half[h][a] = t->sum[h] / t->n[h];
        if (luck != NULL)
            luck[a] = variance / n;
        within += variance / study->n_animals;
    }
    return within;
}

static void take_answer(struct animal_study *study, enum wg_sensitivity_outcome outcome) {
    (void)take_tally(study, outcome == WG_SENSITIVITY_SURVIVAL ? TALLY_SURVIVAL : TALLY_CRAWL_OFF, study->half,
                     study->luck);
    for (int a = 0; a < study->n_animals; a++)
        study->y[a] = (study->half[0][a] + study->half[1][a]) / 2;
}

/* Finds a numbers' values over the animals; false: they are all the same. */
static bool take_number(const struct animal_study *study, const struct wg_species *species,
                        const struct wg_parameter *parameter, double *x, double *sorted, struct wg_unknown *unknown) {
    const size_t n = (size_t)study->n_animals;
    for (size_t a = 0; a < n; a++)
        sorted[a] = x[a] = wg_species_get(&species[a], parameter);
    wg_sort(sorted, n);
    *unknown = (struct wg_unknown){.parameter = parameter,
                                   .low = wg_quantile_sorted(sorted, n, 0.05),
                                   .high = wg_quantile_sorted(sorted, n, 0.95)};
    return sorted[0] < sorted[n - 1];
}

static void take_numbers(struct animal_study *study, const struct wg_species *species, struct wg_sensitivity *out) {
    for (const struct wg_parameter *p = wg_species_parameters(); p->name != NULL; p++) {
        wg_assert(out->n_unknowns < WG_MAX_NUMBERS);
        double *const x = study->x + (ptrdiff_t)out->n_unknowns * study->n_animals;
        const bool differs = take_number(study, species, p, x, study->y, &out->unknown[out->n_unknowns]);
        out->n_unknowns += differs;
        out->n_fixed += !differs;
    }
}

static void take_measurements(struct animal_study *study, const struct wg_species *species,
                              struct wg_sensitivity *out) {
    for (int m = 0; wg_measurements()[m].name != NULL; m++) {
        const struct wg_measurement *const measurement = &wg_measurements()[m];
        double within = 0;
        if (measurement->of_year != NULL)
            within = take_tally(study, TALLY_MEASUREMENTS + m, study->value[m], NULL);
        for (int a = 0; a < study->n_animals && measurement->of_animal != NULL; a++)
            study->value[m][0][a] = study->value[m][1][a] = measurement->of_animal(&species[a]);
        study->measured[m] = (struct wg_measured){{{study->value[m][0], study->value[m][1]}},
                                                  sqrt(measurement->error * measurement->error + within)};
        if (!isnan(study->value[m][0][0]))
            out->measurement[out->n_measurements++] = (struct wg_measurement_gain){measurement, no_gain};
    }
}

/* ---- the answers ---- */

static int by_share(const void *left, const void *right) {
    const struct wg_unknown *const a = left, *const b = right;
    const double x = fabs(a->trend), y = fabs(b->trend);
    return a->group != b->group ? (a->group > b->group) - (a->group < b->group)
           : x != y             ? (x < y) - (x > y)
                                : (a->parameter > b->parameter) - (a->parameter < b->parameter);
}

static int by_gain(const void *left, const void *right) {
    const struct wg_measurement_gain *const a = left, *const b = right;
    return (a->gain.share.value < b->gain.share.value) - (a->gain.share.value > b->gain.share.value);
}

static int split_answer(struct animal_study *study, const struct wg_sensitivity_options *options,
                        struct wg_sensitivity *out, struct wg_error *err) {
    const bool choose = options->outcome == WG_SENSITIVITY_CHOOSE;
    const struct wg_sample sample = {study->n_animals, out->n_unknowns, study->x, study->y, study->luck};
    out->outcome = choose ? WG_SENSITIVITY_SURVIVAL : options->outcome;
    take_answer(study, out->outcome);
    int code = wg_variance_shares(&sample, study->plan->seed, &out->shares, err);
    if (code == 0 && choose && !wg_is_above_luck(&out->shares.between)) {
        out->outcome = WG_SENSITIVITY_CRAWL_OFF;
        take_answer(study, out->outcome);
        code = wg_variance_shares(&sample, study->plan->seed, &out->shares, err);
    }
    for (int i = 0; i < out->n_unknowns; i++) {
        out->unknown[i].group = out->shares.group[i];
        out->unknown[i].trend = out->shares.trend[i];
    }
    qsort(out->unknown, (size_t)out->n_unknowns, sizeof *out->unknown, by_share);
    return code;
}

static int gain_of_some(const struct animal_study *study, const struct wg_sensitivity *out, const int *which, int k,
                        struct wg_gain *gain, struct wg_error *err) {
    const struct wg_measured *measured[WG_MEASUREMENTS_TOGETHER];
    for (int i = 0; i < k; i++)
        measured[i] = &study->measured[out->measurement[which[i]].measurement - wg_measurements()];
    return wg_measurements_gain(study->n_animals, (struct wg_halves){{study->half[0], study->half[1]}},
                                out->shares.between.value, out->shares.luck, measured, k, gain, err);
}

static bool is_chosen(const struct wg_sensitivity *out, int measurement) {
    for (int i = 0; i < out->n_steps; i++)
        if (out->step[i].measurement == measurement)
            return true;
    return false;
}

/* Finds the measurement that narrows the answer most with those chosen, and by more than `least`; -1: none does. */
static int find_step(const struct animal_study *study, const struct wg_sensitivity *out, double least,
                     struct wg_measurement_step *step, struct wg_error *err) {
    int which[WG_MEASUREMENTS_TOGETHER];
    step->measurement = -1;
    for (int i = 0; i < out->n_steps; i++)
        which[i] = out->step[i].measurement;
    for (int m = 0; m < out->n_measurements; m++) {
        struct wg_gain gain;
        which[out->n_steps] = m;
        if (is_chosen(out, m))
            continue;
        const int code = gain_of_some(study, out, which, out->n_steps + 1, &gain, err);
        if (code < 0)
            return code;
        if (wg_is_above_luck(&gain.share) && gain.share.value > least) {
            least = gain.share.value;
            *step = (struct wg_measurement_step){m, gain};
        }
    }
    return 0;
}

static int choose_steps(const struct animal_study *study, struct wg_sensitivity *out, struct wg_error *err) {
    double before = 0;
    while (out->n_steps < WG_MEASUREMENTS_TOGETHER) {
        struct wg_measurement_step step;
        const int code = find_step(study, out, before + WORTH_MORE, &step, err);
        if (code < 0 || step.measurement < 0)
            return code;
        before = step.gain.share.value;
        out->step[out->n_steps++] = step;
    }
    return 0;
}

static int find_gains(const struct animal_study *study, struct wg_sensitivity *out, struct wg_error *err) {
    int code = gain_of_some(study, out, NULL, 0, &out->before, err);
    for (int m = 0; m < out->n_measurements && code == 0; m++)
        code = gain_of_some(study, out, &m, 1, &out->measurement[m].gain, err);
    if (code < 0)
        return code;
    qsort(out->measurement, (size_t)out->n_measurements, sizeof *out->measurement, by_gain);
    return choose_steps(study, out, err);
}

/* ---- the study ---- */

static int allocate_study(struct animal_study *study, struct wg_species **species, struct wg_error *err) {
    const size_t n = (size_t)wg_plausible_count();
    study->row = malloc(n * sizeof *study->row);
    study->tally = calloc(N_TALLIES * n, sizeof *study->tally);
    study->x = calloc((WG_MAX_NUMBERS + 4 + 2 * WG_MAX_MEASUREMENTS) * n, sizeof *study->x);
    *species = calloc(n, sizeof **species);
    if (study->row == NULL || study->tally == NULL || study->x == NULL || *species == NULL)
        return wg_no_memory(err, NULL);
    for (size_t a = 0; a < n; a++)
        study->row[a] = -1;
    double *next = study->x + WG_MAX_NUMBERS * n;
    double **const lists[] = {&study->y, &study->luck, &study->half[0], &study->half[1]};
    for (int i = 0; i < 4; i++, next += n)
        *lists[i] = next;
    for (int i = 0; i < 2 * WG_MAX_MEASUREMENTS; i++, next += n)
        study->value[i / 2][i % 2] = next;
    return 0;
}

static void make_species(const struct animal_study *study, struct wg_species *species) {
    for (int i = 0; i < wg_plausible_count(); i++)
        if (study->row[i] >= 0)
            wg_lattice_species(study->plan, i, &species[study->row[i]]);
}

int wg_sensitivity_run(const struct wg_plan *plan, const struct wg_sensitivity_options *options,
                       struct wg_sensitivity *out, struct wg_error *err) {
    wg_assert(options->replicates >= WG_LATTICE_BLOCK);
    struct wg_plan own = *plan; /* borrows the lists */
    struct wg_species *species = NULL;
    own.animals = WG_ANIMALS_PLAUSIBLE;
    struct animal_study study = {.plan = &own};
    *out = (struct wg_sensitivity){.replicates = whole_blocks(options->replicates), .before = no_gain};
    int code = allocate_study(&study, &species, err);
    if (code == 0)
        code = live_animals(&study, options, out->replicates, err);
    if (code == 0) {
        make_species(&study, species);
        out->n_animals = study.n_animals;
        take_numbers(&study, species, out);
        take_measurements(&study, species, out);
        code = split_answer(&study, options, out, err);
    }
    if (code == 0 && wg_is_above_luck(&out->shares.between))
        code = find_gains(&study, out, err);
    free(species);
    free(study.x);
    free(study.tally);
    free(study.row);
    return code;
}

enum wg_outcome_number wg_sensitivity_answer(const struct wg_sensitivity *matters) {
    return matters->outcome == WG_SENSITIVITY_SURVIVAL ? WG_OUTCOME_survived : WG_OUTCOME_total_crawl_off_mass;
}
