/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Finds what a plan leaves open to search, written in place of a value:
 *
 *   set_point: {now: 70 degF, try: 40 to 80 degF by 5, or: off}
 *   choose: {wake: {now: 04-25, try: [03-15, 04-25]}}       and, where its value goes,   from: wake
 *
 * `now` is the keeper's own value, which every command but `cheapest` uses. A candidate is the text of the plan with one
 * of the values in each place, so that the ordinary reader checks it and people can read it.
 */
#ifndef WG_VARIANTS_OPENINGS_H
#define WG_VARIANTS_OPENINGS_H

#include "records/yaml.h"
#include "schema/schema.h"
#include "text/bytes.h"
#include "variants/levels.h"

#include <stddef.h>

#define WG_MAX_OPENINGS 24
#define WG_MAX_USES 16 /* of one choice */
#define WG_MAX_PLANS 1e9
#define WG_OPENING_LABEL 176

/** A place in the text that a value goes to. */
struct wg_opening_use {
    size_t at, length;
    bool has_colon; /* the bytes begin behind a key, so that the value needs a colon before it */
    int line, column;
    struct wg_key key;      /* the row that a value must obey */
    enum wg_group_id owner; /* the group of that row */
};

struct wg_opening {
    char path[160];                 /* "places.shed.heater.set_point", "choose.wake" */
    char subject[WG_OPENING_LABEL]; /* "shed: heater set point", "wake" */
    bool is_choice;
    int line, column;
    struct wg_levels levels; /* `now` among them */
    int now;
    int n_uses;
    struct wg_opening_use use[WG_MAX_USES];
};

/** Zero-initialise. Owns its values. */
struct wg_openings {
    int n;
    struct wg_opening *opening;
    size_t choose_at, choose_length; /* the key `choose` with its value, which no candidate has */
};

/**
 * Finds the openings of a tree and puts `now` in their places in it; the tree is then a plan without openings. Adds
 * mistakes to `problems`. Returns 0 or WG_ERR_MEMORY. Free *openings in every case.
 */
int wg_openings_take(struct wg_openings *openings, struct wg_yaml *yaml, struct wg_mistakes *problems);
/** Returns the number of plans: the product of the numbers of values. */
double wg_openings_plans(const struct wg_openings *openings);
/**
 * Returns the text with value number level[i] of each opening, malloc'ed and NUL-terminated (*new_size excludes the
 * NUL); NULL: out of memory. `text` is the one that the openings were taken from.
 */
char *wg_openings_text(const struct wg_openings *openings, const char *text, size_t size, const int *level,
                       size_t *new_size);
/** Writes a value in brackets, so that it fits wherever it is put. */
void wg_openings_put_value(const struct wg_yaml_node *node, struct wg_bytes *out);
void wg_openings_free(struct wg_openings *openings);

#endif
