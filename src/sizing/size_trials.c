/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Hands out replicates to the values of a search, and counts hits by animal and by winter.
 */
#include "sizing/size_trials.h"

#include <math.h>
#include <stdlib.h>

#define LANES (WG_LATTICE_BLOCK / WG_SIZE_ROW) /* rows of a block */

void wg_size_trials_free(struct wg_size_trials *trials) {
    free(trials->row);
    *trials = (struct wg_size_trials){0};
}

/* ---- which replicates ---- */

static bool is_at(const struct wg_size_row *row, double value) {
    return !(row->value != value);
}

/* Returns the number of rows handed out of a block; -1 if it is used up or the value has one of them. */
static int64_t free_lane(const struct wg_size_trials *trials, double value, int64_t block) {
    int64_t used = 0;
    for (int64_t i = 0; i < trials->n_rows; i++)
        if (trials->row[i].first / WG_LATTICE_BLOCK == block) {
            if (is_at(&trials->row[i], value))
                return -1;
            used++;
        }
    return used < LANES ? used : -1;
}

/* Returns the first replicate of the next row at a value: of the blocks with the animals whose turn it is. */
static int64_t next_first(const struct wg_size_trials *trials, double value) {
    int64_t rows = 0;
    for (int64_t i = 0; i < trials->n_rows; i++)
        rows += is_at(&trials->row[i], value);
    int64_t block = rows, lane;
    while ((lane = free_lane(trials, value, block)) < 0)
        block += WG_SIZE_PASS;
    return block * WG_LATTICE_BLOCK + lane * WG_SIZE_ROW;
}

static int grow(struct wg_size_trials *trials, struct wg_error *err) {
    if (trials->n_rows < trials->capacity)
        return 0;
    const int64_t capacity = trials->capacity > 0 ? 2 * trials->capacity : 64;
    struct wg_size_row *const row = realloc(trials->row, (size_t)capacity * sizeof *row);
    if (row == NULL)
        return wg_no_memory(err, NULL);
    trials->row = row;
    trials->capacity = capacity;
    return 0;
}

int wg_size_trials_add(struct wg_size_trials *trials, const struct wg_size_question *q, struct wg_size_point *point,
                       struct wg_error *err) {
    int code = grow(trials, err);
    if (code < 0)
        return code;
    struct wg_size_row *const row = &trials->row[trials->n_rows];
    *row = (struct wg_size_row){.value = point->value, .first = next_first(trials, point->value)};
    code = q->trial(q->self, row->value, row->first, WG_SIZE_ROW, row->met, err);
    if (code != 0)
        return code;
    trials->n_rows++;
    point->n += WG_SIZE_ROW;
    for (int g = 0; g < q->n_goals; g++)
        for (int i = 0; i < WG_SIZE_ROW; i++)
            point->hits[g] += row->met[i] >> g & 1;
    return 0;
}

static int point_of(const struct wg_size_point *point, int n, const struct wg_size_row *row) {
    for (int i = 0; i < n; i++)
        if (is_at(row, point[i].value))
            return i;
    return -1;
}

/* ---- what they share ---- */

/* Sums of influences. */
struct clusters {
    int64_t n_animals, n_winters;
    double *animal, *winter, single; /* single: of squares, by replicate */
};

static void count_clusters(const struct wg_size_trials *trials, const struct wg_size_question *q, struct clusters *c) {
    for (int64_t r = 0; r < trials->n_rows; r++)
        for (int i = 0; i < WG_SIZE_ROW; i++) {
            const struct wg_cell cell = q->cell(q->self, trials->row[r].first + i);
            c->n_animals = cell.animal >= c->n_animals ? cell.animal + 1 : c->n_animals;
            c->n_winters = cell.winter >= c->n_winters ? cell.winter + 1 : c->n_winters;
        }
}

static void add_to_clusters(const struct wg_size_trials *trials, const struct wg_size_question *q,
                            const struct wg_size_influence *of, struct clusters *c) {
    for (int64_t r = 0; r < trials->n_rows; r++) {
        const struct wg_size_row *const row = &trials->row[r];
        const int at = point_of(of->point, of->n_points, row);
        for (int i = 0; i < WG_SIZE_ROW && at >= 0; i++) {
            const struct wg_cell cell = q->cell(q->self, row->first + i);
            const double share = of->influence[at] * ((row->met[i] >> of->goal & 1) - of->chance[at]);
            if (cell.animal >= 0)
                c->animal[cell.animal] += share;
            c->winter[cell.winter] += share;
            c->single += share * share;
        }
    }
}

/* Returns the sum of squares times n/(n - 1), for the n clusters that are not empty. */
static double cluster_variance(const double *sum, int64_t n) {
    double squares = 0;
    int64_t used = 0;
    for (int64_t i = 0; i < n; i++) {
        squares += sum[i] * sum[i];
        used += fabs(sum[i]) > 0;
    }
    return used > 1 ? squares * (double)used / (double)(used - 1) : squares;
}

int wg_size_trials_design_effect(const struct wg_size_trials *trials, const struct wg_size_question *q,
                                 const struct wg_size_influence *of, double *effect, struct wg_error *err) {
    *effect = 1;
    if (q->cell == NULL || !(of->variance > 0) || isinf(of->variance))
        return 0;
    struct clusters c = {0};
    count_clusters(trials, q, &c);
    c.animal = calloc((size_t)c.n_animals + 1, sizeof *c.animal);
    c.winter = calloc((size_t)c.n_winters + 1, sizeof *c.winter);
    if (c.animal != NULL && c.winter != NULL) {
        add_to_clusters(trials, q, of, &c);
        const double winters = cluster_variance(c.winter, c.n_winters);
        const double animals = c.n_animals > 0 ? cluster_variance(c.animal, c.n_animals) - c.single : 0;
        *effect = fmax(1, (fmax(winters, c.single) + fmax(animals, 0)) / of->variance);
    }
    const int code = c.animal != NULL && c.winter != NULL ? 0 : wg_no_memory(err, NULL);
    free(c.animal);
    free(c.winter);
    return code;
}

int wg_size_trials_by_animal(const struct wg_size_trials *trials, const struct wg_size_question *q,
                             const struct wg_size *size, int goal, struct wg_curve_animal **animal, int *n_animals,
                             struct wg_error *err) {
    struct clusters c = {0};
    *animal = NULL;
    *n_animals = 0;
    if (q->cell != NULL)
        count_clusters(trials, q, &c);
    if (c.n_animals < 2)
        return 0;
    *animal = calloc((size_t)c.n_animals, sizeof **animal);
    if (*animal == NULL)
        return wg_no_memory(err, NULL);
    *n_animals = (int)c.n_animals;
    for (int64_t r = 0; r < trials->n_rows; r++) {
        const struct wg_size_row *const row = &trials->row[r];
        const int at = point_of(size->point, size->n_points, row);
        for (int i = 0; i < WG_SIZE_ROW && at >= 0; i++) {
            struct wg_curve_animal *const a = &(*animal)[q->cell(q->self, row->first + i).animal];
            a->n[at]++;
            a->hits[at] += row->met[i] >> goal & 1;
        }
    }
    return 0;
}
