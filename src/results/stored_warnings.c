/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Stores warnings and cautions as sentences, with their kinds and numbers for other programs, and reads them back.
 */
#include "analysis/compare.h"
#include "results/columns.h"
#include "results/stored_parts.h"
#include "storage/provenance.h"
#include "text/bytes.h"

#include <stdlib.h>
#include <string.h>

static int count_warnings(int n, const struct wg_warnings *const *warnings) {
    int all = 0;
    for (int i = 0; i < n; i++)
        all += warnings[i] != NULL ? warnings[i]->n : 0;
    return all;
}

struct warning_columns {
    char (*words)[WG_WARNING_TEXT];
    const char **text, **setup, **kind, **about;
    int64_t *replicates;
};

static void free_columns(struct warning_columns *c) {
    free(c->words);
    free(c->text);
    free(c->setup);
    free(c->kind);
    free(c->about);
    free(c->replicates);
}

static void fill_warning_columns(struct warning_columns *c, int n, const struct wg_warnings *const *warnings) {
    int at = 0;
    for (int i = 0; i < n; i++)
        for (int k = 0; warnings[i] != NULL && k < warnings[i]->n; k++, at++) {
            const struct wg_warning *const warning = &warnings[i]->list[k];
            wg_warning_text(warnings[i], k, c->words[at]);
            c->text[at] = c->words[at];
            c->setup[at] = wg_setup_letter(i);
            c->kind[at] = wg_warning_name(warning->kind);
            c->about[at] = warning->about;
            c->replicates[at] = warning->replicates;
        }
}

static int write_warnings(struct wg_h5 *file, int n, const struct wg_warnings *const *warnings, struct wg_error *err) {
    const size_t all = (size_t)count_warnings(n, warnings);
    struct warning_columns c = {
        .words = calloc(all, sizeof *c.words),
        .text = calloc(all, sizeof *c.text),
        .setup = calloc(all, sizeof *c.setup),
        .kind = calloc(all, sizeof *c.kind),
        .about = calloc(all, sizeof *c.about),
        .replicates = calloc(all, sizeof *c.replicates),
    };
    int code = 0;
    if (c.words == NULL || c.text == NULL || c.setup == NULL || c.kind == NULL || c.about == NULL ||
        c.replicates == NULL) {
        code = wg_no_memory(err, NULL);
    } else {
        fill_warning_columns(&c, n, warnings);
        (void)wg_put_names(file, "warning", "text of the warning", (int64_t)all, c.text);
        (void)wg_put_texts(file, "warning_kind", "kind of the warning", "warning", c.kind);
        (void)wg_put_texts(file, "warning_about", "place or bin that the warning is about", "warning", c.about);
        (void)wg_put_counts(file, "warning_replicates", "replicates to which the warning applies", "warning", NULL,
                            c.replicates);
        if (n > 1)
            (void)wg_put_texts(file, "warning_scenario", "letter of the scenario", "warning", c.setup);
    }
    free_columns(&c);
    return code;
}

/* Each sentence is a line; with several setups it begins with the letter of its own. */
static void word_comment(struct wg_bytes *out, int n, const struct wg_plan *const *plan,
                         const struct wg_warnings *const *warnings) {
    char words[WG_WARNING_TEXT];
    const char *caution[WG_N_CAUTIONS];
    bool is_checked = false;
    for (int i = 0; i < n; i++)
        is_checked = is_checked || warnings[i] != NULL;
    if (!is_checked)
        wg_bytes_put(out, "Not checked for warnings.");
    for (int i = 0; i < n; i++)
        for (int k = 0; warnings[i] != NULL && k < warnings[i]->n; k++) {
            wg_warning_text(warnings[i], k, words);
            wg_bytes_printf(out, "%s%s%s%s", out->size > 0 ? "\n" : "", n > 1 ? wg_setup_letter(i) : "",
                            n > 1 ? ": " : "", words);
        }
    const int n_cautions = wg_cautions_of(n, plan, caution);
    for (int i = 0; i < n_cautions; i++)
        wg_bytes_printf(out, "%s%s", out->size > 0 ? "\n" : "", caution[i]);
    if (out->size == 0)
        wg_bytes_put(out, "No warnings.");
}

int wg_stored_warnings_comment(struct wg_h5 *file, int n, const struct wg_plan *const *plan,
                               const struct wg_warnings *const *warnings, struct wg_error *err) {
    struct wg_bytes text = {0};
    word_comment(&text, n, plan, warnings);
    const int code = wg_bytes_failed(&text, err);
    if (code == 0)
        (void)wg_h5_attribute(file, -1, "comment", text.data);
    wg_bytes_free(&text);
    return code;
}

int wg_stored_warnings_put(struct wg_h5 *file, int n, const struct wg_plan *const *plan,
                           const struct wg_warnings *const *warnings, struct wg_error *err) {
    const char *caution[WG_N_CAUTIONS];
    const int n_cautions = wg_cautions_of(n, plan, caution);
    wg_assert(n <= WG_COMPARE_MAX);
    const int code = wg_stored_warnings_comment(file, n, plan, warnings, err);
    if (code < 0)
        return code;
    if (n_cautions > 0)
        (void)wg_put_names(file, "caution", "text of the caution", n_cautions, caution);
    return count_warnings(n, warnings) > 0 ? write_warnings(file, n, warnings, err) : 0;
}

void wg_stored_warnings_put_counts(struct wg_h5 *file, int n, const struct wg_plan *const *plan,
                                   const struct wg_warnings *const *warnings) {
    const char *caution[WG_N_CAUTIONS];
    (void)wg_h5_attribute_number(file, "warnings", (uint64_t)count_warnings(n, warnings));
    (void)wg_h5_attribute_number(file, "cautions", (uint64_t)wg_cautions_of(n, plan, caution));
}

/* ---- reading ---- */

static int read_warning_texts(struct wg_h5 *file, const char *name, int n, char ***out, struct wg_error *err) {
    *out = n > 0 ? calloc((size_t)n, sizeof **out) : NULL;
    if (n > 0 && *out == NULL)
        return wg_no_memory(err, NULL);
    return n > 0 ? wg_h5_read_texts(file, name, n, *out, err) : 0;
}

int wg_stored_warnings_read(struct wg_h5 *file, struct wg_stored_warnings *warned, struct wg_error *err) {
    struct wg_h5_shape shape;
    uint64_t n = 0, n_cautions = 0;
    *warned = (struct wg_stored_warnings){0};
    warned->is_kept = wg_h5_find_number(file, WG_PROVENANCE, "warnings", &n) &&
                      wg_h5_find_number(file, WG_PROVENANCE, "cautions", &n_cautions);
    if (!warned->is_kept)
        return wg_h5_failed(file, err);
    if (n > WG_COMPARE_MAX * WG_MAX_WARNINGS || n_cautions > WG_N_CAUTIONS)
        return wg_fail(err, WG_ERR_FORMAT, NULL, "This file is damaged: its warnings cannot be read.");
    int code = read_warning_texts(file, "warning", (int)n, &warned->text, err);
    warned->n = (int)n;
    if (code == 0 && n > 0 && wg_h5_find_shape(file, "warning_scenario", WG_H5_STRING, &shape))
        code = read_warning_texts(file, "warning_scenario", (int)n, &warned->setup, err);
    if (code == 0)
        code = read_warning_texts(file, "caution", (int)n_cautions, &warned->caution, err);
    warned->n_cautions = code == 0 ? (int)n_cautions : 0;
    return code;
}
