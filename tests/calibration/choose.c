/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/* Systematic resampling and van der Corput's order. */
#include "calibration/choose.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

double effective_weights(int n, const double *weight) {
    double sum = 0.0, squares = 0.0;
    for (int i = 0; i < n; i++) {
        sum += weight[i];
        squares += weight[i] * weight[i];
    }
    return sum * sum / squares;
}

struct ranked {
    double score;
    int item;
};

/* Ties in the order of the items. */
static int compare_ranked(const void *a, const void *b) {
    const struct ranked *const x = a, *const y = b;
    if (x->score != y->score)
        return x->score > y->score ? 1 : -1;
    return (x->item > y->item) - (x->item < y->item);
}

static struct ranked *rank_by(int n, const double *score) {
    struct ranked *const ranked = calloc((size_t)n, sizeof *ranked);
    if (ranked == NULL) {
        (void)fprintf(stderr, "calibrate: not enough memory\n");
        exit(3);
    }
    for (int i = 0; i < n; i++)
        ranked[i] = (struct ranked){.score = score[i], .item = i};
    qsort(ranked, (size_t)n, sizeof *ranked, compare_ranked);
    return ranked;
}

void choose_systematic(int n, const double *weight, const double *score, double u, int chosen, int *choice) {
    struct ranked *const ranked = rank_by(n, score);
    double sum = 0.0, passed = 0.0;
    for (int i = 0; i < n; i++)
        sum += weight[i];
    int made = 0;
    for (int i = 0; i < n && made < chosen; i++) {
        passed += weight[ranked[i].item] / sum * chosen;
        while (made < chosen && made + u < passed)
            choice[made++] = ranked[i].item;
    }
    while (made < chosen) /* rounding at the end of the sum */
        choice[made++] = ranked[n - 1].item;
    free(ranked);
}

void slice_other(int n, const double *weight, const double *other, const double *score, int slices, double *mass) {
    struct ranked *const ranked = rank_by(n, score);
    double sum = 0.0, passed = 0.0;
    for (int i = 0; i < n; i++)
        sum += weight[i];
    for (int slice = 0; slice < slices; slice++)
        mass[slice] = 0.0;
    for (int i = 0; i < n; i++) {
        const double width = weight[ranked[i].item] / sum * slices, end = passed + width;
        if (!(width > 0.0))
            continue;
        for (int slice = (int)passed; slice < slices && slice < end; slice++) {
            const double inside = fmin(end, slice + 1.0) - fmax(passed, slice);
            mass[slice] += inside / width * other[ranked[i].item];
        }
        passed = end;
    }
    free(ranked);
}

static int reverse_bits(int i, int n) {
    int reversed = 0;
    for (int bit = 1; bit < n; bit *= 2) {
        reversed = 2 * reversed + i % 2;
        i /= 2;
    }
    return reversed;
}

void order_fairly(int n, const double *score, int *order) {
    struct ranked *const ranked = rank_by(n, score);
    for (int rank = 0; rank < n; rank++)
        order[reverse_bits(rank ^ rank >> 1, n)] = ranked[rank].item;
    free(ranked);
}
