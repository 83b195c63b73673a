/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Words warnings and cautions, as the file of a comparison or an answer has them.
 */
#include "data/stored_warnings.h"

#include "analysis/compare.h"

#include <stdlib.h>
#include <string.h>

int wg_cautions_of(int n, const struct wg_plan *const *plan, const char *out[WG_N_CAUTIONS]) {
    int all = 0;
    for (int c = 0; c < WG_N_CAUTIONS; c++) {
        bool any = false;
        for (int i = 0; i < n; i++)
            any = any || wg_caution_applies(plan[i], (enum wg_caution)c);
        if (any)
            out[all++] = wg_caution_text((enum wg_caution)c);
    }
    return all;
}

/* Adds a warning; the setups of a comparison have letters. */
static int word_warning(struct wg_stored_warnings *warned, const struct wg_warnings *warnings, int number,
                        const char *setup) {
    char words[WG_WARNING_TEXT];
    wg_warning_text(warnings, number, words);
    warned->text[warned->n] = strdup(words);
    if (warned->setup != NULL)
        warned->setup[warned->n] = strdup(setup);
    const bool well = warned->text[warned->n] != NULL && (warned->setup == NULL || warned->setup[warned->n] != NULL);
    warned->n++;
    return well ? 0 : WG_ERR_MEMORY;
}

static int word_warnings(struct wg_stored_warnings *warned, int n, const struct wg_warnings *const *warnings) {
    int all = 0, code = 0;
    for (int i = 0; i < n; i++)
        all += warnings[i] != NULL ? warnings[i]->n : 0;
    if (all == 0)
        return 0;
    warned->text = calloc((size_t)all, sizeof *warned->text);
    warned->setup = n > 1 ? calloc((size_t)all, sizeof *warned->setup) : NULL;
    if (warned->text == NULL || (n > 1 && warned->setup == NULL))
        return WG_ERR_MEMORY;
    for (int i = 0; i < n; i++)
        for (int k = 0; warnings[i] != NULL && k < warnings[i]->n && code == 0; k++)
            code = word_warning(warned, warnings[i], k, wg_setup_letter(i));
    return code;
}

static int word_cautions(struct wg_stored_warnings *warned, int n, const struct wg_plan *const *plan) {
    const char *caution[WG_N_CAUTIONS];
    const int all = wg_cautions_of(n, plan, caution);
    warned->caution = all > 0 ? calloc((size_t)all, sizeof *warned->caution) : NULL;
    for (int i = 0; i < all && warned->caution != NULL; i++) {
        warned->caution[warned->n_cautions] = strdup(caution[i]);
        if (warned->caution[warned->n_cautions++] == NULL)
            return WG_ERR_MEMORY;
    }
    return all > 0 && warned->caution == NULL ? WG_ERR_MEMORY : 0;
}

int wg_stored_warnings_word(struct wg_stored_warnings *warned, int n, const struct wg_plan *const *plan,
                            const struct wg_warnings *const *warnings, struct wg_error *err) {
    *warned = (struct wg_stored_warnings){.is_kept = true};
    const bool well = word_warnings(warned, n, warnings) == 0 && word_cautions(warned, n, plan) == 0;
    return well ? 0 : wg_no_memory(err, NULL);
}

static void free_texts(char **text, int n) {
    for (int i = 0; text != NULL && i < n; i++)
        free(text[i]);
    free(text);
}

void wg_stored_warnings_free(struct wg_stored_warnings *warned) {
    free_texts(warned->text, warned->n);
    free_texts(warned->setup, warned->n);
    free_texts(warned->caution, warned->n_cautions);
    *warned = (struct wg_stored_warnings){0};
}
