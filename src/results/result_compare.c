/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Compares the numbers of two results bit for bit.
 *
 * It ignores when and by which program they were made, and reports differences in descriptions apart from those in
 * numbers, because a reworded description changes no result.
 */
#include "results/result_file.h"

#include "storage/provenance.h"

#include <stdio.h>
#include <string.h>

struct result_comparison {
    struct wg_h5 *first;
    int has_words; /* a difference only in words was found; `what` names it */
    char *what;
    size_t size;
};

static int is_one_of(const char *name, const char *const *names) {
    for (int i = 0; name != NULL && names[i] != NULL; i++)
        if (strcmp(name, names[i]) == 0)
            return 1;
    return 0;
}

static int is_left_out(const struct wg_h5_difference *d) {
    static const char *const attributes[] = {
        WG_ATTRIBUTE_STARTED,   WG_ATTRIBUTE_COMMAND, "history", WG_ATTRIBUTE_WHY, WG_ATTRIBUTE_CHECKED,
        WG_SOFTWARE_ATTRIBUTES, WG_H5_LIST_ATTRIBUTE, NULL};
    return is_one_of(d->attribute, attributes);
}

/* Texts that determine the simulation. */
static int is_input(const struct wg_h5_difference *d) {
    static const char *const attributes[] = {WG_ATTRIBUTE_SCENARIO_SHA256, WG_ATTRIBUTE_RECORD_SHA256, NULL};
    static const char *const variables[] = {WG_PROVENANCE "/" WG_TEXT_SCENARIO, WG_PROVENANCE "/" WG_TEXT_RECORD, NULL};
    return d->attribute != NULL ? is_one_of(d->attribute, attributes) : is_one_of(d->object, variables);
}

/*
 * Whether only descriptions differ, another program added something to the first file, or the second file, of a later
 * version, has something more.
 */
static int are_words(const struct result_comparison *c, const struct wg_h5_difference *d) {
    if (is_input(d) || d->is_text)
        return !is_input(d);
    if (d->attribute != NULL)
        return d->mismatch == WG_H5_ONLY_IN_FIRST || d->mismatch == WG_H5_ONLY_IN_SECOND;
    if (d->mismatch == WG_H5_ONLY_IN_FIRST && strcmp(d->object, "air_temperature") == 0)
        return 1; /* earlier builds stored it also where it repeats the outdoor temperature */
    return (d->mismatch == WG_H5_ONLY_IN_FIRST && wg_h5_was_written(c->first, d->object) == 0) ||
           (d->mismatch == WG_H5_ONLY_IN_SECOND && wg_h5_was_written(c->first, d->object) <= 0);
}

static void describe_difference(const struct wg_h5_difference *d, char *out, size_t size) {
    const char *const object = d->object[0] == '\0' ? "the file" : d->object;
    char row[32] = "";
    if (d->row >= 0)
        (void)snprintf(row, sizeof row, " at %lld", (long long)d->row);
    (void)snprintf(out, size, "%s%s%s%s%s", d->mismatch == WG_H5_OTHER_SHAPE ? "type or size of " : "",
                   d->attribute == NULL ? "" : d->attribute, d->attribute == NULL ? "" : " of ", object, row);
}

static int judge_difference(void *self, const struct wg_h5_difference *d) {
    struct result_comparison *const c = self;
    if (is_left_out(d))
        return 0;
    const int words = are_words(c, d);
    if (!words || !c->has_words)
        describe_difference(d, c->what, c->size);
    c->has_words |= words;
    return !words;
}

int wg_result_compare(const struct wg_stored_file *first, const struct wg_stored_file *second, char *what, size_t size,
                      struct wg_error *err) {
    struct result_comparison c = {.first = first->h5, .what = what, .size = size};
    if (size > 0)
        what[0] = '\0';
    const int code = wg_h5_compare(first->h5, second->h5, (struct wg_h5_comparator){judge_difference, &c}, err);
    return code == 0 && c.has_words ? WG_RESULT_SAME_NUMBERS : code;
}
