/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Implements ranks.h without MPI, for the default build; with WINTERGRUB_MPI, ranks_mpi.c does.
 */
#include "forecast/ranks.h"

#ifndef WG_MPI

int wg_ranks_begin(int *argc, /* NOLINT(readability-non-const-parameter): MPI may change it */
                   char ***argv, struct wg_error *err) {
    (void)argc;
    (void)argv;
    (void)err;
    return 0;
}

int wg_ranks_count(void) {
    return 1;
}

int wg_ranks_rank(void) {
    return 0;
}

void wg_ranks_end(void) {}

struct wg_backend wg_ranks_backend(const struct wg_ranks_order *order) {
    (void)order;
    return (struct wg_backend){0};
}

void wg_ranks_serve(const struct wg_ranks_reader *reader, const atomic_int *stop) {
    (void)reader;
    (void)stop;
}

#endif
