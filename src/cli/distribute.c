/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Sends a scenario to the other MPI processes as the texts that process 0 has read: they need no files, and a file that
 * changes meanwhile cannot give them a different plan.
 */
#include "cli/distribute.h"

#include "cli/stop.h"

#include <stdlib.h>
#include <string.h>

/* The parts of a scenario: path, text, text of the weather file. */
enum { N_PARTS = 3 };

struct parts {
    const char *text[N_PARTS]; /* NULL: none */
    size_t size[N_PARTS];
};

/* ---- packing ---- */

static struct parts parts_of(const struct wg_scenario *scenario) {
    return (struct parts){{scenario->path, scenario->text, scenario->record_text},
                          {strlen(scenario->path), scenario->text_size, scenario->record_size}};
}

/* Packs each part as its size (SIZE_MAX: none), its bytes and a zero. */
static void *pack(const struct parts *parts, size_t *size) {
    *size = 0;
    for (int i = 0; i < N_PARTS; i++)
        *size += sizeof *size + (parts->text[i] != NULL ? parts->size[i] + 1 : 0);
    char *const bytes = malloc(*size), *to = bytes;
    for (int i = 0; i < N_PARTS && bytes != NULL; i++) {
        const size_t n = parts->text[i] != NULL ? parts->size[i] : SIZE_MAX;
        memcpy(to, &n, sizeof n);
        to += sizeof n;
        if (parts->text[i] == NULL)
            continue;
        memcpy(to, parts->text[i], n);
        to += n;
        *to++ = '\0';
    }
    return bytes;
}

int wg_distributor_init(struct wg_distributor *distributor, const struct wg_scenario *scenario,
                        const struct wg_backend **elsewhere, struct wg_error *err) {
    *distributor = (struct wg_distributor){0};
    *elsewhere = NULL;
    if (wg_ranks_count() == 1)
        return 0;
    const struct parts parts = parts_of(scenario);
    distributor->order.bytes = pack(&parts, &distributor->order.size);
    if (distributor->order.bytes == NULL)
        return wg_no_memory(err, NULL);
    distributor->elsewhere = wg_ranks_backend(&distributor->order);
    *elsewhere = &distributor->elsewhere;
    return 0;
}

void wg_distributor_free(struct wg_distributor *distributor) {
    free((void *)(uintptr_t)distributor->order.bytes);
    *distributor = (struct wg_distributor){0};
}

/* ---- unpacking ---- */

static struct parts unpack(const char *bytes, size_t size) {
    struct parts parts = {0};
    const char *at = bytes;
    for (int i = 0; i < N_PARTS; i++) {
        size_t n;
        memcpy(&n, at, sizeof n);
        at += sizeof n;
        if (n == SIZE_MAX)
            continue;
        parts.text[i] = at;
        parts.size[i] = n;
        at += n + 1;
    }
    wg_assert((size_t)(at - bytes) == size);
    return parts;
}

static int unpack_plan(void *self, const void *bytes, size_t size, struct wg_plan **plan, struct wg_error *err) {
    struct wg_scenario *const scenario = self;
    struct wg_mistakes problems = {0};
    const struct parts parts = unpack(bytes, size);
    const int code = wg_scenario_read_text(scenario, parts.text[0], parts.text[1], parts.size[1], parts.text[2],
                                           parts.size[2], &problems, err);
    wg_mistakes_free(&problems); /* process 0 has reported them */
    *plan = &scenario->plan;
    return code;
}

static void release(void *self) {
    wg_scenario_free(self);
}

void wg_distributor_serve(void) {
    struct wg_scenario scenario = {0};
    const struct wg_ranks_reader reader = {unpack_plan, release, &scenario};
    wg_ranks_serve(&reader, wg_stop_flag());
}
