/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Lives orders of a search: makes their plans in the calling thread, then builds their worlds and lives their years on all.
 *
 * A job is a few years of one order, so that a single order keeps all threads busy. All plans share the tables of their animals.
 */
#include "search/plan_lives.h"

#include "colony/goal_met.h"
#include "forecast/replicate.h"
#include "forecast/thread_pool.h"
#include "species/plausible.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define TOGETHER 32 /* plans in memory at a time */
#define JOB_YEARS 4 /* years of a job */

struct wg_plan_lives {
    struct wg_plan
        own[WG_SEARCH_N_STREAMS]; /* copies of the own plan with the seed of each stream; their lists are borrowed */
    struct wg_cells cells[WG_SEARCH_N_STREAMS];
    const struct wg_search_maker *maker;
    uint32_t as_strong;
    struct wg_thread_pool pool;
    struct wg_doubts doubts;
    struct wg_tables *tables; /* of the animals, the same for most plans */
};

uint64_t wg_search_stream_seed(uint64_t seed, enum wg_search_stream stream) {
    return stream == WG_SEARCH_FRESH ? seed : wg_random_key(seed, (uint64_t)stream, WG_PURPOSE_PARAMETERS);
}

int64_t wg_search_replicate(const struct wg_plan *plan, int64_t year) {
    const int64_t rows_of_block = WG_LATTICE_BLOCK / WG_LATTICE_ANIMALS,
                  blocks = wg_plausible_count() / WG_LATTICE_ANIMALS;
    if (plan->animals == WG_ANIMALS_MIDDLE)
        return year;
    const int64_t row = year / WG_LATTICE_ANIMALS, cycle = row / (rows_of_block * blocks),
                  within = row % (rows_of_block * blocks);
    const int64_t block = cycle * blocks + within % blocks, lane = within / blocks;
    return block * WG_LATTICE_BLOCK + lane * WG_LATTICE_ANIMALS + year % WG_LATTICE_ANIMALS;
}

/* ---- one batch of orders ---- */

struct order_plan {
    const struct wg_search_life *life;
    struct wg_search_made made;
    struct wg_plan plan; /* a copy with the stream's seed and the variant's animal */
    struct wg_worlds *worlds;
    bool is_made;
};

struct job {
    const struct order_plan *order;
    int64_t first, n;
};

struct batch {
    const struct wg_plan_lives *lives;
    struct order_plan *order;
    struct job *job;
    int64_t n_orders, n_jobs;
};

/* ---- a year ---- */

/* Mixes 64 bits into a digest (multiplier: the golden ratio; it need not be secure). */
static uint64_t mix_word(uint64_t digest, uint64_t word) {
    digest = (digest ^ word) * UINT64_C(0x9E3779B97F4A7C15);
    return digest ^ digest >> 29;
}

static uint64_t mix_doubles(uint64_t digest, const double *values, int64_t n) {
    for (int64_t i = 0; i < n; i++) {
        uint64_t word;
        memcpy(&word, &values[i], sizeof word);
        digest = mix_word(digest, word);
    }
    return digest;
}

/* Digests what the animals did and how warm they had it: plans with the same course differ in nothing that matters. */
static uint64_t course_of(const struct wg_diary *diary) {
    uint64_t digest = 1;
    for (int64_t i = 0; i < (int64_t)diary->n_days * WG_N_STAGES; i++)
        digest = mix_word(digest, (uint64_t)diary->count[i]);
    digest = mix_doubles(digest, diary->air_temperature, (int64_t)diary->n_days * diary->n_places);
    digest = mix_doubles(digest, diary->harvest_mass, diary->n_days);
    return digest != 0 ? digest : 1;
}

static double left_at_end(const struct wg_diary *diary) {
    const int64_t *const last = diary->count + (ptrdiff_t)(diary->n_days - 1) * WG_N_STAGES;
    double left = 0;
    for (int s = 0; s < WG_N_STAGES; s++)
        left += (double)last[s];
    return left;
}

static double put_in(const struct wg_diary *diary) {
    double sum = 0;
    for (int d = 0; d < diary->n_days; d++)
        sum += (double)diary->put_in[d];
    return sum;
}

static int find_money(const struct wg_search_maker *maker, const struct wg_search_made *made,
                      const struct wg_diary *diary, double *money, struct wg_error *err) {
    *money =
        maker->money != NULL ? maker->money(maker->self, made, diary) : made->fixed_money + diary->total_heater_cost;
    return isfinite(*money)
               ? 0
               : wg_fail(err, WG_ERR_INPUT, NULL,
                         "The cost of a year is not known, because some of the energy bought has no "
                         "price. Give each heater, mat and lamp a price, for example price: 0.15 per kWh.");
}

static int describe_year(const struct wg_plan_lives *lives, const struct order_plan *order,
                         const struct wg_diary *diary, struct wg_search_year *year, struct wg_error *err) {
    const struct wg_plan *const plan = &order->plan;
    *year = (struct wg_search_year){.is_alive = diary->survived > 0,
                                    .harvest_kg = diary->total_harvest_mass,
                                    .left = left_at_end(diary),
                                    .course = course_of(diary)};
    const bool is_strong = year->left >= fmax(1, put_in(diary));
    for (int g = 0; g < plan->n_goals; g++) {
        const bool asks_strength = (lives->as_strong >> g & 1) != 0;
        const bool met = wg_goal_met(&plan->goal[g], diary) && (!asks_strength || is_strong);
        year->met |= (uint32_t)met << g;
    }
    return find_money(lives->maker, &order->made, diary, &year->money, err);
}

/* ---- jobs ---- */

static int build_worlds(void *self, int64_t i, struct wg_error *err) {
    const struct batch *const batch = self;
    struct order_plan *const order = &batch->order[i];
    return wg_worlds_new(&order->worlds, &order->plan, batch->lives->tables, err);
}

static int live_years(const struct batch *batch, const struct job *job, struct wg_simulator *simulator,
                      struct wg_diary *diary, struct wg_error *err) {
    const struct wg_search_life *const life = job->order->life;
    int code = 0;
    for (int64_t k = job->first; k < job->first + job->n && code == 0; k++) {
        code = wg_simulator_run(simulator, wg_search_replicate(&job->order->plan, k), diary, err);
        if (code == 0)
            code = describe_year(batch->lives, job->order, diary, &life->year[k - life->first], err);
    }
    return code;
}

static int run_job(void *self, int64_t i, struct wg_error *err) {
    const struct batch *const batch = self;
    const struct job *const job = &batch->job[i];
    struct wg_simulator simulator = {0};
    struct wg_diary diary = {0};
    int code = wg_simulator_init_all(&simulator, job->order->worlds, err);
    if (code == 0)
        code = wg_diary_init(&diary, &job->order->plan, err);
    if (code == 0)
        code = live_years(batch, job, &simulator, &diary, err);
    wg_diary_free(&diary);
    wg_simulator_free(&simulator);
    return code;
}

/* Passes what run_job() writes: its years. */
static void pass_years(void *self, int64_t i, void (*piece)(void *to, void *data, size_t size), void *to) {
    const struct batch *const batch = self;
    const struct job *const job = &batch->job[i];
    const struct wg_search_life *const life = job->order->life;
    piece(to, &life->year[job->first - life->first], (size_t)job->n * sizeof *life->year);
}

static int64_t count_jobs(const struct wg_search_life *life, int n) {
    int64_t jobs = 0;
    for (int i = 0; i < n; i++)
        jobs += (life[i].n + JOB_YEARS - 1) / JOB_YEARS;
    return jobs;
}

static void split_into_jobs(struct batch *batch) {
    batch->n_jobs = 0;
    for (int64_t i = 0; i < batch->n_orders; i++) {
        const struct wg_search_life *const life = batch->order[i].life;
        for (int64_t done = 0; done < life->n; done += JOB_YEARS)
            batch->job[batch->n_jobs++] = (struct job){&batch->order[i], life->first + done,
                                                       life->n - done < JOB_YEARS ? life->n - done : JOB_YEARS};
    }
}

/* ---- plans ---- */

/* Makes the plan of an order. */
static int make_plan(const struct wg_plan_lives *lives, struct order_plan *order, struct wg_error *err) {
    const struct wg_search_maker *const maker = lives->maker;
    const struct wg_plan *const own = &lives->own[order->life->stream];
    const int code = maker->make(maker->self, order->life->level, &order->made, err);
    wg_assert(code <= 0); /* check() found that it is a plan */
    if (code < 0)
        return code;
    order->is_made = true;
    order->plan = *order->made.plan;
    order->plan.seed = own->seed;
    order->plan.animals = own->animals;
    wg_assert(order->plan.n_goals == own->n_goals);
    const int variant = order->life->variant;
    wg_assert(variant <= 2 * lives->doubts.n);
    if (variant > 0)
        wg_doubt_apply(&lives->doubts.doubt[(variant - 1) / 2], variant % 2 == 0, &order->plan);
    return 0;
}

static int run_batch(struct batch *batch, struct wg_error *err) {
    const struct wg_plan_lives *const lives = batch->lives;
    struct wg_thread_pool sharing = lives->pool;
    int code = 0;
    sharing.pieces = pass_years;
    for (int64_t i = 0; i < batch->n_orders && code == 0; i++)
        code = make_plan(lives, &batch->order[i], err);
    if (code == 0)
        code = wg_thread_pool_run(&lives->pool, batch->n_orders, build_worlds, batch, err);
    split_into_jobs(batch);
    return code == 0 ? wg_thread_pool_run(&sharing, batch->n_jobs, run_job, batch, err) : code;
}

static void end_batch(struct batch *batch) {
    const struct wg_search_maker *const maker = batch->lives->maker;
    for (int64_t i = 0; batch->order != NULL && i < batch->n_orders; i++) {
        wg_worlds_free(batch->order[i].worlds);
        if (batch->order[i].is_made)
            maker->release(maker->self, &batch->order[i].made);
    }
    free(batch->order);
    free(batch->job);
}

static int live_together(const struct wg_plan_lives *lives, const struct wg_search_life *life, int n,
                         struct wg_error *err) {
    struct batch batch = {.lives = lives, .n_orders = n};
    batch.order = calloc((size_t)n, sizeof *batch.order);
    batch.job = calloc((size_t)count_jobs(life, n) + 1, sizeof *batch.job);
    int code = batch.order == NULL || batch.job == NULL ? wg_no_memory(err, NULL) : 0;
    for (int i = 0; i < n && code == 0; i++)
        batch.order[i].life = &life[i];
    if (code == 0)
        code = run_batch(&batch, err);
    end_batch(&batch);
    return code;
}

/* ---- what a question asks ---- */

static int live_orders(void *self, const struct wg_search_life *life, int n, struct wg_error *err) {
    int code = 0;
    for (int i = 0; i < n && code == 0; i += TOGETHER)
        code = live_together(self, &life[i], n - i < TOGETHER ? n - i : TOGETHER, err);
    return code;
}

static int check_levels(void *self, const int *level, struct wg_search_key *key, struct wg_error *err) {
    const struct wg_plan_lives *const lives = self;
    struct wg_search_made made = {0};
    const int code = lives->maker->make(lives->maker->self, level, &made, err);
    *key = made.key;
    if (code == 0)
        lives->maker->release(lives->maker->self, &made);
    return code;
}

static void place_year(void *self, enum wg_search_stream stream, int64_t year, struct wg_split_value *value) {
    struct wg_plan_lives *const lives = self;
    wg_cells_place(&lives->cells[stream], wg_search_replicate(&lives->own[stream], year), value);
}

int wg_plan_lives_new(struct wg_plan_lives **lives, const struct wg_plan *own, const struct wg_search_maker *maker,
                      uint32_t as_strong, int threads, const atomic_int *stop, struct wg_error *err) {
    struct wg_plan_lives *const made = calloc(1, sizeof *made);
    int code = made == NULL ? wg_no_memory(err, NULL) : 0;
    *lives = NULL;
    if (code < 0)
        return code;
    made->maker = maker;
    made->as_strong = as_strong;
    made->pool = (struct wg_thread_pool){.threads = threads, .stop = stop};
    wg_doubts_of(&made->doubts, own);
    for (int s = 0; s < WG_SEARCH_N_STREAMS && code == 0; s++) {
        made->own[s] = *own;
        made->own[s].seed = wg_search_stream_seed(own->seed, (enum wg_search_stream)s);
        code = wg_cells_init(&made->cells[s], &made->own[s], err);
    }
    if (code == 0)
        code = wg_tables_new(&made->tables, err);
    if (code < 0)
        wg_plan_lives_free(made);
    else
        *lives = made;
    return code;
}

void wg_plan_lives_free(struct wg_plan_lives *lives) {
    if (lives == NULL)
        return;
    wg_tables_free(lives->tables);
    for (int s = 0; s < WG_SEARCH_N_STREAMS; s++)
        wg_cells_free(&lives->cells[s]);
    free(lives);
}

void wg_plan_lives_ask(struct wg_plan_lives *lives, struct wg_search_question *question) {
    const struct wg_plan *const own = &lives->own[WG_SEARCH_FRESH];
    question->n_goals = own->n_goals;
    for (int g = 0; g < own->n_goals; g++)
        question->chance[g] = own->goal[g].chance;
    question->n_variants = 2 * lives->doubts.n;
    question->check = check_levels;
    question->live = live_orders;
    question->place = wg_plan_shares_cells(own) ? place_year : NULL;
    question->seed = own->seed;
    question->self = lives;
}

const struct wg_doubts *wg_plan_lives_doubts(const struct wg_plan_lives *lives) {
    return &lives->doubts;
}
