/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Moves the plausible animals until their notes are those of a log (smoother.h).
 */
#include "inference/fit.h"

#include "base/elementary.h"
#include "base/random.h"
#include "forecast/tables.h"
#include "forecast/thread_pool.h"
#include "inference/animal_numbers.h"
#include "inference/smoother.h"
#include "species/plausible.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define FARTHEST 4.0    /* standard deviations of the plausible animals by which a number may move (judgement) */
#define NEARLY_ALL 0.99 /* of the logs of other animals are as near as one that agrees (judgement) */
#define MOST_LIVES 8 /* times that the animals live to the end, while few have a future that agrees (judgement: time) */
#define HARDLY 0.05  /* an entry about flies with a smaller chance contradicts a future (judgement) */
#define RARE_ERRORS                                                                                                    \
    0.01 /* more wrong entries than have this chance are not taken for errors of the keeper (judgement) */

/* The futures of one pass to the end. */
struct lived_futures {
    struct wg_fit_sample sample;
    int *contradictions; /* [columns]: entries about flies */
};

struct fit_run {
    struct wg_fit *fit;
    const struct wg_plan *plan;
    const struct wg_log_entry *entries;
    const struct wg_fit_options *options;
    struct wg_animal_numbers numbers;
    int n;                       /* notes */
    int64_t animals, m, columns; /* m replicates of each animal: columns = animals m */
    int64_t jobs_before;         /* of earlier passes, for the progress */
    struct wg_tables *tables;    /* of plausible animals, which only the first pass simulates; NULL: not shared */
    bool is_whole;               /* this pass simulates the whole period and keeps outcomes */
    struct wg_species *animal;   /* [animals] */
    double low[WG_SPECIES_NUMBERS], high[WG_SPECIES_NUMBERS]; /* how far coordinates may move */
    double *x;                                                /* [number][animals]: their coordinates */
    double *written, *noted; /* [note][columns], [note]: on the scale of the keeper's errors */
    struct wg_smoother smoother;
    struct wg_fit_sample sample;
    bool *is_near;                          /* [animals]: the log is near the animal */
    struct lived_futures lived[MOST_LIVES]; /* after the last move */
    int n_lived;
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
    free(run->is_near);
    free_sample(&run->sample);
    for (int i = 0; i < run->n_lived; i++) {
        free_sample(&run->lived[i].sample);
        free(run->lived[i].contradictions);
    }
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
    run->is_near = calloc((size_t)run->animals, sizeof *run->is_near);
    fit->sorting = alloc_rows(run->columns, MOST_LIVES);
    fit->misfit = alloc_rows(run->n, 1);
    fit->learnt = alloc_rows(WG_N_LEARNT, run->animals);
    fit->learnt_before = alloc_rows(WG_N_LEARNT, run->animals);
    if (run->animal == NULL || run->x == NULL || run->written == NULL || run->noted == NULL || run->is_near == NULL ||
        fit->sorting == NULL || fit->misfit == NULL || fit->learnt == NULL || fit->learnt_before == NULL)
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
    struct wg_tables *const tables = i < wg_plausible_count() ? run->tables : NULL; /* the others are jittered */
    return wg_replicates_run(&plan, tables, run->fit->replicates + i * run->m, run->m, &observer, err);
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
    const int64_t all = wg_fit_jobs(run->options), now = run->jobs_before + done;
    run->options->progress(run->options->progress_self, now < all ? now : all, all); /* it may live more than planned */
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

/* ---- which animals are near the log ---- */

/* What the distance of a log from an animal needs, on the scale of the errors. */
struct distances {
    const struct fit_run *run;
    gsl_rng *rng;
    double *scaled, *means;          /* [note][columns], [note][animals]: without errors */
    double *error, *factor, *vector; /* [note], [note][note], [note] */
};

static int alloc_distances(struct distances *d, struct wg_error *err) {
    const int64_t n = d->run->n;
    d->scaled = alloc_rows(n, d->run->columns);
    d->means = alloc_rows(n, d->run->animals);
    d->error = alloc_rows(n, 1);
    d->factor = alloc_rows(n, n);
    d->vector = alloc_rows(n, 1);
    if (d->scaled == NULL || d->means == NULL || d->error == NULL || d->factor == NULL || d->vector == NULL)
        return wg_no_memory(err, NULL);
    return 0;
}

static void free_distances(const struct distances *d) {
    free(d->scaled);
    free(d->means);
    free(d->error);
    free(d->factor);
    free(d->vector);
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

/* An animal is near if the log is not farther from it than nearly all logs of the other animals are. */
static void find_near(const struct distances *d) {
    double *const distance = d->run->fit->sorting;
    for (int64_t k = 0; k < d->run->columns; k++)
        distance[k] = distance_of_replicate(d, k);
    wg_sort(distance, (size_t)d->run->columns);
    const double farthest = wg_quantile_sorted(distance, (size_t)d->run->columns, NEARLY_ALL);
    for (int64_t i = 0; i < d->run->animals; i++)
        d->run->is_near[i] = distance_of_log(d, i) <= farthest;
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

static int find_near_animals(struct fit_run *run, gsl_rng *rng, struct wg_error *err) {
    struct distances d = {.run = run, .rng = rng};
    int code = alloc_distances(&d, err);
    if (code == 0) {
        scale_notes(&d);
        code = factor_distances(&d, err);
    }
    if (code == 0) {
        find_near(&d);
        find_misfit(&d);
    }
    free_distances(&d);
    return code;
}

/* ---- which futures agree ---- */

/* Returns how many of n entries about flies a keeper may have wrong: more have a chance below RARE_ERRORS; never all. */
static int most_errors(int n) {
    double term = wg_exp(n * wg_log1p(-WG_LOG_ERROR_RATE)), more = 1 - term;
    int errors = 0;
    while (more > RARE_ERRORS && errors + 1 < n) {
        errors++;
        term *= (n - errors + 1) * WG_LOG_ERROR_RATE / (errors * (1 - WG_LOG_ERROR_RATE));
        more -= term;
    }
    return errors;
}

static int most_errors_of_log(const struct fit_run *run) {
    int n = 0;
    for (int j = 0; j < run->n; j++)
        n += run->entries[j].kind == WG_LOG_ADULTS;
    return n > 0 ? most_errors(n) : 0;
}

/* Takes the futures just simulated, and counts which entries about flies they contradict. */
static int take_futures(struct fit_run *run, struct wg_error *err) {
    struct lived_futures *const lived = &run->lived[run->n_lived];
    lived->contradictions = calloc((size_t)run->columns, sizeof *lived->contradictions);
    if (lived->contradictions == NULL)
        return wg_no_memory(err, NULL);
    run->n_lived++;
    for (int j = 0; j < run->n; j++)
        for (int64_t k = 0; k < run->columns && run->entries[j].kind == WG_LOG_ADULTS; k++) {
            const double yes = run->sample.simulated[j * run->columns + k];
            lived->contradictions[k] += (run->entries[j].value > 0 ? yes : 1 - yes) < HARDLY;
        }
    lived->sample = run->sample;
    run->sample = (struct wg_fit_sample){.n = 0};
    return 0;
}

static bool future_agrees(const struct fit_run *run, int lived, int64_t k, int errors) {
    return run->is_near[k / run->m] && run->lived[lived].contradictions[k] <= errors;
}

/* Numbers the near animals that have a future with at most so many contradictions; -1: not one. Returns how many have. */
static int64_t number_agreeing(const struct fit_run *run, int errors, int64_t *number) {
    int64_t n = 0;
    for (int64_t i = 0; i < run->animals; i++) {
        bool has = false;
        for (int l = 0; l < run->n_lived; l++)
            for (int64_t k = i * run->m; k < (i + 1) * run->m; k++)
                has |= future_agrees(run, l, k, errors);
        number[i] = has ? n++ : -1;
    }
    return n;
}

static int64_t count_near(const struct fit_run *run) {
    int64_t n = 0;
    for (int64_t i = 0; i < run->animals; i++)
        n += run->is_near[i];
    return n;
}

/* Copies the futures of one pass that agree, of `rows` rows, behind `before` others; a row of the copy has n. */
static void copy_futures(const struct fit_run *run, int lived, int errors, const double *from, int rows, int64_t before,
                         double *to, int64_t n) {
    for (int row = 0; row < rows; row++) {
        double *at = to + row * n + before;
        for (int64_t k = 0; k < run->columns; k++)
            if (future_agrees(run, lived, k, errors))
                *at++ = from[row * run->columns + k];
    }
}

static int64_t count_futures(const struct fit_run *run, int lived, int errors) {
    int64_t n = 0;
    for (int64_t k = 0; k < run->columns; k++)
        n += future_agrees(run, lived, k, errors);
    return n;
}

/* Gathers the futures that agree, those of an animal in one pass side by side. */
static int gather_futures(struct fit_run *run, int errors, const int64_t *number, struct wg_error *err) {
    struct wg_fit *const fit = run->fit;
    struct wg_fit_sample *const after = &fit->after;
    for (int l = 0; l < run->n_lived; l++)
        after->n += count_futures(run, l, errors);
    const size_t n = (size_t)(after->n > 0 ? after->n : 1);
    after->simulated = calloc(n * (size_t)run->n, sizeof(double));
    after->outcome = calloc(n * WG_N_OUTCOMES, sizeof(double));
    after->now = calloc(n * (size_t)fit->today.n, sizeof(double));
    fit->animal_of = calloc(n, sizeof *fit->animal_of);
    if (after->simulated == NULL || after->outcome == NULL || after->now == NULL || fit->animal_of == NULL)
        return wg_no_memory(err, NULL);
    int64_t before = 0;
    for (int l = 0; l < run->n_lived; l++) {
        const struct wg_fit_sample *const sample = &run->lived[l].sample;
        copy_futures(run, l, errors, sample->simulated, run->n, before, after->simulated, after->n);
        copy_futures(run, l, errors, sample->outcome, WG_N_OUTCOMES, before, after->outcome, after->n);
        copy_futures(run, l, errors, sample->now, fit->today.n, before, after->now, after->n);
        for (int64_t k = 0; k < run->columns; k++)
            if (future_agrees(run, l, k, errors))
                fit->animal_of[before++] = number[k / run->m];
    }
    return 0;
}

/* Keeps what is learnt of the animals that agree. */
static void keep_learnt(struct fit_run *run, const int64_t *number) {
    double *to = run->fit->learnt;
    for (int i = 0; i < WG_N_LEARNT; i++)
        for (int64_t k = 0; k < run->animals; k++)
            if (number[k] >= 0)
                *to++ = wg_learnt_value((enum wg_learnt)i, run->plan, &run->animal[k]);
}

/* ---- the passes ---- */

/* Simulates the whole period after the last move; what can be measured today is corrected for luck. */
static int live_to_the_end(struct fit_run *run, gsl_rng *rng, struct wg_error *err) {
    run->is_whole = true;
    int code = run->sample.simulated == NULL ? alloc_sample(run, err) : 0;
    if (code == 0)
        code = simulate_pass(run, rng, err);
    if (code == 0)
        wg_smoother_correct(&run->smoother, run->sample.now, run->fit->today.n);
    if (code == 0 && run->n_lived == 0)
        code = find_near_animals(run, rng, err);
    return code == 0 ? take_futures(run, err) : code;
}

/* Does the first pass: plausible animals have many tables in common. */
static int simulate_first_pass(struct fit_run *run, gsl_rng *rng, struct wg_error *err) {
    int code = run->plan->animals == WG_ANIMALS_PLAUSIBLE ? wg_tables_new(&run->tables, err) : 0;
    if (code == 0)
        code = simulate_pass(run, rng, err);
    wg_tables_free(run->tables);
    run->tables = NULL;
    return code;
}

/* The first pass also gives the forecast without the log. */
static int move_towards_log(struct fit_run *run, int pass, gsl_rng *rng, struct wg_error *err) {
    run->is_whole = pass == 0;
    int code = run->sample.simulated == NULL ? alloc_sample(run, err) : 0;
    if (code == 0)
        code = pass == 0 ? simulate_first_pass(run, rng, err) : simulate_pass(run, rng, err);
    if (code == 0 && pass == 0) {
        run->fit->before = run->sample;
        run->sample = (struct wg_fit_sample){.n = 0};
    }
    if (code == 0) {
        read_coordinates(run);
        wg_smoother_move(&run->smoother, run->options->passes, run->x, run->numbers.n, rng);
        write_coordinates(run);
    }
    return code;
}

static int run_pass(struct fit_run *run, int pass, struct wg_error *err) {
    gsl_rng *const rng = start_pass_rng(run, pass, err);
    if (rng == NULL)
        return WG_ERR_MEMORY;
    const int code =
        pass < run->options->passes ? move_towards_log(run, pass, rng, err) : live_to_the_end(run, rng, err);
    gsl_rng_free(rng);
    return code;
}

/* Raises how many contradictions are accepted, from 0, to the fewest with which enough animals have a future; lives more for it. */
static int find_futures(struct fit_run *run, int64_t *number, int *errors, struct wg_error *err) {
    const int most = most_errors_of_log(run);
    for (;;) {
        const int64_t found = number_agreeing(run, *errors, number);
        if (found >= WG_FIT_FEWEST || count_near(run) < WG_FIT_FEWEST)
            return 0;
        if (run->n_lived < MOST_LIVES && found * MOST_LIVES >= WG_FIT_FEWEST * run->n_lived) {
            const int code = run_pass(run, run->options->passes + run->n_lived, err);
            if (code != 0)
                return code;
        } else if (*errors < most) {
            ++*errors;
        } else {
            return 0;
        }
    }
}

static int keep_agreeing(struct fit_run *run, struct wg_error *err) {
    int64_t *const number = calloc((size_t)run->animals, sizeof *number);
    int errors = 0, code = number == NULL ? wg_no_memory(err, NULL) : find_futures(run, number, &errors, err);
    if (code == 0) {
        run->fit->agree = number_agreeing(run, errors, number);
        run->fit->lived = count_near(run) * run->m * run->n_lived;
        keep_learnt(run, number);
        code = gather_futures(run, errors, number, err);
    }
    free(number);
    return code;
}

static int run_passes(struct fit_run *run, struct wg_error *err) {
    int code = 0;
    for (int pass = 0; pass <= run->options->passes && code == 0; pass++)
        code = run_pass(run, pass, err);
    return code == 0 ? keep_agreeing(run, err) : code;
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
    free(fit->animal_of);
    free(fit->learnt);
    free(fit->learnt_before);
    free(fit->misfit);
    free(fit->sorting);
    *fit = (struct wg_fit){.drawn = 0};
}
