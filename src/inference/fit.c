/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Moves the plausible animals until their notes are those of a log (smoother.h).
 */
#include "inference/fit.h"

#include "base/elementary.h"
#include "base/random.h"
#include "forecast/thread_pool.h"
#include "inference/animal_numbers.h"
#include "inference/smoother.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define FARTHEST 4.0    /* standard deviations of the plausible animals by which a number may move (judgement) */
#define NEARLY_ALL 0.99 /* of the logs of other animals are as near as one that agrees (judgement) */

struct fit_run {
    struct wg_fit *fit;
    const struct wg_plan *plan;
    const struct wg_log_entry *entries;
    const struct wg_fit_options *options;
    struct wg_animal_numbers numbers;
    int n;                       /* notes */
    int64_t animals, m, columns; /* m replicates of each animal: columns = animals m */
    int64_t jobs_before;         /* of earlier passes, for the progress */
    bool is_whole;               /* this pass simulates the whole period and keeps outcomes */
    struct wg_species *animal;   /* [animals] */
    double low[WG_SPECIES_NUMBERS], high[WG_SPECIES_NUMBERS]; /* how far coordinates may move */
    double *x;                                                /* [number][animals]: their coordinates */
    double *written, *noted; /* [note][columns], [note]: on the scale of the keeper's errors */
    struct wg_smoother smoother;
    struct wg_fit_sample sample;
};

/* ---- memory ---- */

static void free_sample(struct wg_fit_sample *sample) {
    free(sample->simulated);
    free(sample->outcome);
    free(sample->now);
    *sample = (struct wg_fit_sample){.n = 0};
}

static int alloc_sample(struct fit_run *run, struct wg_error *err) {
    const size_t n = (size_t)run->columns;
    run->sample = (struct wg_fit_sample){.n = run->columns,
                                         .simulated = calloc(n * (size_t)run->n, sizeof(double)),
                                         .outcome = calloc(n * WG_N_OUTCOMES, sizeof(double)),
                                         .now = calloc(n * (size_t)run->fit->today.n, sizeof(double))};
    if (run->sample.simulated != NULL && run->sample.outcome != NULL && run->sample.now != NULL)
        return 0;
    return wg_no_memory(err, NULL);
}

static void free_fit_run(struct fit_run *run) {
    free(run->x);
    free(run->written);
    free(run->noted);
    free(run->animal);
    free_sample(&run->sample);
    wg_smoother_free(&run->smoother);
}

static double *alloc_rows(int64_t rows, int64_t columns) {
    return calloc((size_t)(rows * columns), sizeof(double));
}

static int alloc_fit_run(struct fit_run *run, struct wg_error *err) {
    struct wg_fit *const fit = run->fit;
    run->animal = calloc((size_t)run->animals, sizeof *run->animal);
    run->x = alloc_rows(run->numbers.n + 1, run->animals);
    run->written = alloc_rows(run->n, run->columns);
    run->noted = alloc_rows(run->n, 1);
    fit->sorting = alloc_rows(run->columns, 1);
    fit->misfit = alloc_rows(run->n, 1);
    fit->learnt = alloc_rows(WG_N_LEARNT, run->animals);
    fit->learnt_before = alloc_rows(WG_N_LEARNT, run->animals);
    if (run->animal == NULL || run->x == NULL || run->written == NULL || run->noted == NULL || fit->sorting == NULL ||
        fit->misfit == NULL || fit->learnt == NULL || fit->learnt_before == NULL)
        return wg_no_memory(err, NULL);
    return wg_smoother_init(&run->smoother, run->n, run->animals, run->m, err);
}

/* ---- simulating ---- */

/* One animal during its simulation. */
struct animal_in_progress {
    struct fit_run *run;
    int64_t column; /* of the next replicate */
};

static int on_replicate_fit(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    struct animal_in_progress *const one = self;
    struct fit_run *const run = one->run;
    const int64_t k = one->column++;
    (void)replicate;
    (void)err;
    for (int j = 0; j < run->n; j++)
        run->sample.simulated[j * run->columns + k] =
            wg_log_entry_simulated(&run->entries[j], &run->animal[k / run->m], diary);
    for (int o = 0; o < WG_N_OUTCOMES && run->is_whole; o++)
        run->sample.outcome[o * run->columns + k] = wg_diary_outcome(diary, &wg_diary_outcomes()[o]);
    for (int q = 0; q < run->fit->today.n && run->is_whole; q++)
        run->sample.now[q * run->columns + k] = wg_now_value(&run->fit->today, q, diary);
    return 0;
}

/* Only passes that keep outcomes simulate what comes after the log. */
static int simulate_animal(void *self, int64_t i, struct wg_error *err) {
    struct fit_run *const run = self;
    struct wg_plan plan = *run->plan; /* borrows the lists */
    struct animal_in_progress one = {run, i * run->m};
    const struct wg_observer observer = {on_replicate_fit, &one};
    plan.species = run->animal[i];
    plan.animals = WG_ANIMALS_MIDDLE;
    plan.n_goals = 0;
    if (!run->is_whole)
        plan.last_day = run->fit->today.today;
    return wg_replicates_run(&plan, run->fit->replicates + i * run->m, run->m, &observer, err);
}

/* Passes what simulate_animal() writes: the columns of the animal. */
static void pass_animal(void *self, int64_t i, void (*piece)(void *to, void *data, size_t size), void *to) {
    const struct fit_run *const run = self;
    const struct {
        double *table;
        int64_t rows;
    } written[] = {{run->sample.simulated, run->n},
                   {run->sample.outcome, run->is_whole ? WG_N_OUTCOMES : 0},
                   {run->sample.now, run->is_whole ? run->fit->today.n : 0}};
    for (size_t t = 0; t < sizeof written / sizeof *written; t++)
        for (int64_t row = 0; row < written[t].rows; row++)
            piece(to, written[t].table + row * run->columns + i * run->m, (size_t)run->m * sizeof(double));
}

static void progress_of_fit(void *self, int64_t done, int64_t count) {
    const struct fit_run *const run = self;
    (void)count;
    run->options->progress(run->options->progress_self, run->jobs_before + done, wg_fit_jobs(run->options));
}

/* Starts the random numbers of a pass. The streams of animals are far below. */
#define PASS_STREAM (UINT64_C(1) << 62)

static gsl_rng *start_pass_rng(const struct fit_run *run, int pass, struct wg_error *err) {
    gsl_rng *const rng = gsl_rng_alloc(wg_rng_type());
    if (rng == NULL)
        (void)wg_no_memory(err, NULL);
    else
        wg_rng_start(rng, run->plan->seed, PASS_STREAM + (uint64_t)pass, WG_PURPOSE_PARAMETERS);
    return rng;
}

/* Returns what a keeper writes where the simulated value is true, on the scale of the errors. */
static double write_one_note(const struct wg_log_entry *entry, double simulated, gsl_rng *rng) {
    if (entry->kind == WG_LOG_ADULTS)
        return wg_uniform(rng) < simulated;
    return wg_log_entry_scaled(entry, simulated) + sqrt(wg_log_entry_variance(entry, simulated)) * wg_normal(rng);
}

/* Writes the notes of all replicates, errors included, and puts the log's on the same scale. */
static void write_notes(struct fit_run *run, gsl_rng *rng) {
    for (int j = 0; j < run->n; j++) {
        run->noted[j] = wg_log_entry_scaled(&run->entries[j], run->entries[j].value);
        for (int64_t k = 0; k < run->columns; k++)
            run->written[j * run->columns + k] =
                write_one_note(&run->entries[j], run->sample.simulated[j * run->columns + k], rng);
    }
}

static int simulate_pass(struct fit_run *run, gsl_rng *rng, struct wg_error *err) {
    const struct wg_fit_options *const options = run->options;
    const struct wg_thread_pool pool = {.threads = options->threads,
                                        .stop = options->stop,
                                        .progress = options->progress != NULL ? progress_of_fit : NULL,
                                        .progress_self = run,
                                        .pieces = pass_animal};
    const int code = wg_thread_pool_run(&pool, run->animals, simulate_animal, run, err);
    run->fit->replicates += run->columns;
    run->jobs_before += run->animals;
    if (code != 0)
        return code;
    write_notes(run, rng);
    return wg_smoother_take(&run->smoother, run->written, run->noted, err);
}

/* ---- moving the animals ---- */

static void read_coordinates(struct fit_run *run) {
    double x[WG_SPECIES_NUMBERS];
    for (int64_t k = 0; k < run->animals; k++) {
        wg_animal_numbers_get(&run->numbers, &run->animal[k], x);
        for (int i = 0; i < run->numbers.n; i++)
            run->x[i * run->animals + k] = x[i];
    }
}

static void write_coordinates(struct fit_run *run) {
    double x[WG_SPECIES_NUMBERS];
    for (int64_t k = 0; k < run->animals; k++) {
        for (int i = 0; i < run->numbers.n; i++)
            x[i] = fmin(run->high[i], fmax(run->low[i], run->x[i * run->animals + k]));
        wg_animal_numbers_move(&run->numbers, x, &run->animal[k]);
    }
}

static int draw_animals(struct fit_run *run, struct wg_error *err) {
    for (int64_t k = 0; k < run->animals; k++) {
        const int code =
            wg_animal_numbers_draw(&run->numbers, run->plan, k, false, run->plan->seed, &run->animal[k], err);
        if (code < 0)
            return code;
    }
    read_coordinates(run);
    for (int i = 0; i < run->numbers.n; i++) {
        const double *const x = run->x + i * run->animals;
        const double sd = sqrt(wg_covariance(x, x, run->animals, run->animals));
        double mean = 0;
        for (int64_t k = 0; k < run->animals; k++)
            mean += x[k] / (double)run->animals;
        run->low[i] = mean - FARTHEST * sd;
        run->high[i] = mean + FARTHEST * sd;
    }
    return 0;
}

/* ---- who agrees ---- */

/* Moves the columns of the animals that agree to the front of each row. Returns how many columns remain. */
static int64_t keep_columns(double *table, int rows, int64_t columns, int64_t group, const bool *agrees) {
    int64_t kept = 0;
    for (int64_t i = 0; i < columns / group; i++)
        kept += agrees[i] ? group : 0;
    double *to = table;
    for (int64_t row = 0; row < rows; row++)
        for (int64_t k = 0; k < columns; k++)
            if (agrees[k / group])
                *to++ = table[row * columns + k];
    return kept;
}

/* What the distance of a log from an animal needs, on the scale of the errors. */
struct distances {
    const struct fit_run *run;
    gsl_rng *rng;
    double *scaled, *means;          /* [note][columns], [note][animals]: without errors */
    double *error, *factor, *vector; /* [note], [note][note], [note] */
    bool *agrees;                    /* [animals] */
};

static int alloc_distances(struct distances *d, struct wg_error *err) {
    const int64_t n = d->run->n;
    d->scaled = alloc_rows(n, d->run->columns);
    d->means = alloc_rows(n, d->run->animals);
    d->error = alloc_rows(n, 1);
    d->factor = alloc_rows(n, n);
    d->vector = alloc_rows(n, 1);
    d->agrees = calloc((size_t)d->run->animals, sizeof *d->agrees);
    if (d->scaled == NULL || d->means == NULL || d->error == NULL || d->factor == NULL || d->vector == NULL ||
        d->agrees == NULL)
        return wg_no_memory(err, NULL);
    return 0;
}

static void free_distances(const struct distances *d) {
    free(d->scaled);
    free(d->means);
    free(d->error);
    free(d->factor);
    free(d->vector);
    free(d->agrees);
}

/* A yes or no is at most two standard deviations off: one fly that was overlooked must not outweigh all other notes. */
static double distance_variance(const struct wg_log_entry *entry, double simulated) {
    const double variance = wg_log_entry_variance(entry, simulated);
    return entry->kind == WG_LOG_ADULTS ? fmax(variance, 0.25) : variance;
}

static void scale_notes(const struct distances *d) {
    const struct fit_run *const run = d->run;
    for (int j = 0; j < run->n; j++) {
        double *const means = d->means + j * run->animals;
        for (int64_t k = 0; k < run->columns; k++) {
            const double simulated = run->sample.simulated[j * run->columns + k],
                         scaled = wg_log_entry_scaled(&run->entries[j], simulated);
            d->scaled[j * run->columns + k] = scaled;
            d->error[j] += distance_variance(&run->entries[j], simulated) / (double)run->columns;
            means[k / run->m] += scaled / (double)run->m;
        }
    }
}

/* Factors the covariance of notes over animals, luck and errors together: luck alone differs too much between animals. */
static int factor_distances(const struct distances *d, struct wg_error *err) {
    const struct fit_run *const run = d->run;
    const size_t n = (size_t)run->n;
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j <= i; j++)
            d->factor[i * n + j] = d->factor[j * n + i] =
                wg_covariance(d->scaled + (int64_t)i * run->columns, d->scaled + (int64_t)j * run->columns,
                              run->columns, run->columns) +
                (i == j ? d->error[i] : 0);
    return wg_cholesky(d->factor, run->n, err);
}

static double distance_of_log(const struct distances *d, int64_t animal) {
    for (int j = 0; j < d->run->n; j++)
        d->vector[j] = d->run->noted[j] - d->means[j * d->run->animals + animal];
    return wg_squared_distance(d->factor, d->run->n, d->vector);
}

/* Returns the distance of replicate k from another animal, in turn each. */
static double distance_of_replicate(const struct distances *d, int64_t k) {
    const struct fit_run *const run = d->run;
    const int64_t animal = (k / run->m + 1 + k % (run->animals - 1)) % run->animals;
    for (int j = 0; j < run->n; j++)
        d->vector[j] = d->scaled[j * run->columns + k] - d->means[j * run->animals + animal] +
                       sqrt(d->error[j]) * wg_normal(d->rng);
    return wg_squared_distance(d->factor, run->n, d->vector);
}

/* An animal agrees if the log is not farther from it than nearly all logs of the other animals are. */
static void find_agreeing(const struct distances *d) {
    double *const distance = d->run->fit->sorting;
    for (int64_t k = 0; k < d->run->columns; k++)
        distance[k] = distance_of_replicate(d, k);
    wg_sort(distance, (size_t)d->run->columns);
    const double farthest = wg_quantile_sorted(distance, (size_t)d->run->columns, NEARLY_ALL);
    for (int64_t i = 0; i < d->run->animals; i++) {
        d->agrees[i] = distance_of_log(d, i) <= farthest;
        d->run->fit->agree += d->agrees[i];
    }
}

/* Returns the chance of a note as low (side -1) or as high (side 1) as the log's among those of all replicates. */
static double tail_of_note(const struct distances *d, int j, double side) {
    const struct fit_run *const run = d->run;
    double chance = 0;
    for (int64_t k = 0; k < run->columns; k++) {
        const double simulated = run->sample.simulated[j * run->columns + k];
        chance += run->entries[j].kind == WG_LOG_ADULTS
                      ? ((run->noted[j] > 0) == (side > 0) ? (side > 0 ? simulated : 1 - simulated) : 1)
                      : wg_normal_cdf(side * (d->scaled[j * run->columns + k] - run->noted[j]) /
                                      sqrt(wg_log_entry_variance(&run->entries[j], simulated)));
    }
    return chance / (double)run->columns;
}

#define LEAST_CHANCE 1e-300

/* Sets how far each note lies off: the normal deviate as rare as the note. */
static void find_misfit(const struct distances *d) {
    for (int j = 0; j < d->run->n; j++) {
        const double low = tail_of_note(d, j, -1), high = tail_of_note(d, j, 1);
        const double rare = fmin(0.5, fmax(LEAST_CHANCE, fmin(low, high)));
        d->run->fit->misfit[j] = (low < high ? -1 : 1) * wg_normal_quantile_above(rare);
    }
}

static void fill_learnt(const struct fit_run *run, double *learnt) {
    for (int i = 0; i < WG_N_LEARNT; i++)
        for (int64_t k = 0; k < run->animals; k++)
            learnt[i * run->animals + k] = wg_learnt_value((enum wg_learnt)i, run->plan, &run->animal[k]);
}

/* Moves what belongs to the agreeing animals to the front, into the fit. */
static void take_agreeing(struct fit_run *run, const bool *agrees) {
    struct wg_fit *const fit = run->fit;
    fill_learnt(run, fit->learnt);
    (void)keep_columns(fit->learnt, WG_N_LEARNT, run->animals, 1, agrees);
    (void)keep_columns(run->sample.simulated, run->n, run->columns, run->m, agrees);
    (void)keep_columns(run->sample.now, fit->today.n, run->columns, run->m, agrees);
    run->sample.n = keep_columns(run->sample.outcome, WG_N_OUTCOMES, run->columns, run->m, agrees);
    fit->after = run->sample;
    run->sample = (struct wg_fit_sample){.n = 0};
}

/* Leaves only the animals that agree with the log. */
static int keep_agreeing(struct fit_run *run, gsl_rng *rng, struct wg_error *err) {
    struct distances d = {.run = run, .rng = rng};
    int code = alloc_distances(&d, err);
    if (code == 0) {
        scale_notes(&d);
        code = factor_distances(&d, err);
    }
    if (code == 0) {
        find_agreeing(&d);
        find_misfit(&d);
        take_agreeing(run, d.agrees);
    }
    free_distances(&d);
    return code;
}

/* ---- the passes ---- */

/* The first pass also gives the forecast without the log, the last has the answer. */
static int run_pass(struct fit_run *run, int pass, gsl_rng *rng, struct wg_error *err) {
    const int passes = run->options->passes;
    run->is_whole = pass == 0 || pass == passes;
    int code = run->sample.simulated == NULL ? alloc_sample(run, err) : 0;
    if (code == 0)
        code = simulate_pass(run, rng, err);
    if (code == 0 && pass == 0) {
        run->fit->before = run->sample;
        run->sample = (struct wg_fit_sample){.n = 0};
    }
    if (code == 0 && pass < passes) {
        read_coordinates(run);
        wg_smoother_move(&run->smoother, passes, run->x, run->numbers.n, rng);
        write_coordinates(run);
    } else if (code == 0) {
        wg_smoother_correct(&run->smoother, run->sample.now, run->fit->today.n);
        code = keep_agreeing(run, rng, err);
    }
    return code;
}

static int run_passes(struct fit_run *run, struct wg_error *err) {
    int code = 0;
    for (int pass = 0; pass <= run->options->passes && code == 0; pass++) {
        gsl_rng *const rng = start_pass_rng(run, pass, err);
        code = rng == NULL ? WG_ERR_MEMORY : run_pass(run, pass, rng, err);
        if (rng != NULL)
            gsl_rng_free(rng);
    }
    return code;
}

int64_t wg_fit_jobs(const struct wg_fit_options *options) {
    return (options->passes + 1) * options->draws;
}

static int32_t last_noted_day(const struct wg_log_entry *entries, int n) {
    int32_t last = entries[0].day;
    for (int i = 1; i < n; i++)
        last = entries[i].day > last ? entries[i].day : last;
    return last;
}

int wg_fit_run(struct wg_fit *fit, const struct wg_plan *plan, const struct wg_log_entry *entries, int n,
               const struct wg_fit_options *options, struct wg_error *err) {
    wg_assert(n >= 1 && n <= WG_MAX_NOTES && options->draws >= WG_FIT_LEAST_DRAWS && options->per_draw >= 2 &&
              options->passes >= 1);
    *fit = (struct wg_fit){.n_entries = n, .drawn = options->draws, .per_draw = options->per_draw};
    for (int o = 0; o < WG_N_OUTCOMES; o++)
        if (wg_outcome_is_kept((enum wg_outcome_number)o, plan))
            fit->outcome[fit->n_outcomes++] = o;
    struct fit_run run = {.fit = fit,
                          .plan = plan,
                          .entries = entries,
                          .options = options,
                          .n = n,
                          .animals = options->draws,
                          .m = options->per_draw,
                          .columns = options->draws * options->per_draw};
    wg_now_init(&fit->today, plan, last_noted_day(entries, n));
    wg_animal_numbers_init(&run.numbers, plan);
    int code = alloc_fit_run(&run, err);
    if (code == 0)
        code = draw_animals(&run, err);
    if (code == 0)
        fill_learnt(&run, fit->learnt_before);
    if (code == 0)
        code = run_passes(&run, err);
    free_fit_run(&run);
    return code;
}

void wg_fit_free(struct wg_fit *fit) {
    free_sample(&fit->after);
    free_sample(&fit->before);
    free(fit->learnt);
    free(fit->learnt_before);
    free(fit->misfit);
    free(fit->sorting);
    *fit = (struct wg_fit){.drawn = 0};
}
