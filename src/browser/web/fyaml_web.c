/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Stands for the parts of libfyaml that reading events from a text never reaches: documents, paths and writing. Without
 * them the module is a tenth smaller.
 */
#include "base/error.h"

#include <stddef.h>

/* As libfyaml's headers declare them; these headers are its own. */
void fy_composer_destroy(void *composer);
void fy_document_builder_destroy(void *builder);
void fy_document_destroy(void *document);
void fy_path_expr_free(void *expression);
int fy_composer_process_event(void *composer, void *event);

void fy_composer_destroy(void *composer) {
    wg_assert(composer == NULL);
}

void fy_document_builder_destroy(void *builder) {
    wg_assert(builder == NULL);
}

void fy_document_destroy(void *document) {
    wg_assert(document == NULL);
}

void fy_path_expr_free(void *expression) {
    wg_assert(expression == NULL);
}

int fy_composer_process_event(void *composer, void *event) {
    wg_assert(composer == NULL && event == NULL);
    return -1;
}
