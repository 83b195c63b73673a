/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Writes the file of an answer: what was asked, tried and found, and the provenance. answer_size.c,
 * answer_sensitivity.c and answer_fit.c write the parts of each kind.
 */
#include "results/answer_file.h"
#include "results/stored_parts.h"
#include "storage/atomic_file.h"
#include "storage/provenance.h"
#include <wintergrub/version.h>

#include <stdlib.h>

struct wg_answer_file {
    struct wg_atomic_file place;
    struct wg_h5 *file;
};

/* ---- from create to close ---- */

void wg_answer_file_abandon(struct wg_answer_file *file) {
    if (file == NULL)
        return;
    wg_h5_free(file->file);
    wg_atomic_file_free(&file->place);
    free(file);
}

int wg_answer_file_create(struct wg_answer_file **out, const char *path, int force, struct wg_error *err) {
    *out = NULL;
    struct wg_answer_file *const file = calloc(1, sizeof *file);
    if (file == NULL)
        return wg_no_memory(err, NULL);
    int code = wg_atomic_file_open(&file->place, path, force, err);
    if (code == 0)
        code = wg_h5_create(&file->file, file->place.fd, file->place.path, err);
    if (code < 0)
        wg_answer_file_abandon(file);
    else
        *out = file;
    return code;
}

static int write_answer_content(struct wg_h5 *file, const struct wg_answer *answer, struct wg_error *err) {
    int code = 0;
    (void)wg_h5_attribute(file, -1, "Conventions", "CF-1.10");
    (void)wg_h5_attribute(file, -1, "title", wg_scenario_name(answer->scenario));
    (void)wg_h5_attribute(file, -1, "source", "wintergrub " WG_VERSION);
    code = wg_provenance_write_history(file, answer->provenance, err);
    if (code < 0)
        return code;
    wg_put_latitude(file, &answer->scenario->plan.climate);
    (void)wg_h5_attribute(file, -1, WG_ATTRIBUTE_KIND, wg_answer_kind_name(answer->kind));
    (void)wg_h5_attribute(file, -1, "answer", answer->text);
    if (answer->why != NULL && *answer->why != '\0')
        (void)wg_h5_attribute(file, -1, "why", answer->why);
    if (answer->kind == WG_ANSWER_SIZE)
        (void)wg_put_size(file, answer);
    else if (answer->kind == WG_ANSWER_SENSITIVITY)
        code = wg_put_sensitivity(file, answer, err);
    else
        code = wg_put_fit(file, answer, err);
    const struct wg_plan *const plan = &answer->scenario->plan;
    if (code == 0)
        code = wg_stored_warnings_put(file, 1, &plan, &answer->warnings, err);
    if (code == 0)
        code = wg_provenance_write_as(file, WG_ATTRIBUTE_ANSWER, WG_ANSWER_FORMAT, answer->scenario, answer->provenance,
                                      err);
    if (code == 0)
        wg_stored_warnings_put_counts(file, 1, &plan, &answer->warnings);
    return code;
}

int wg_answer_file_close(struct wg_answer_file *file, const struct wg_answer *answer, struct wg_error *err) {
    int code = write_answer_content(file->file, answer, err);
    if (code == 0) {
        code = wg_h5_finish(file->file, err);
        file->file = NULL;
    }
    if (code == 0)
        code = wg_atomic_file_commit(&file->place, err);
    wg_answer_file_abandon(file); /* frees; keeps the file if it is in place */
    return code;
}
