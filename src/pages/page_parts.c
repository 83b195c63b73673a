/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Writes the parts that several pages share: cautions, the setup, assumptions, provenance.
 */
#include "pages/page_parts.h"

#include "outline/outline.h"
#include "text/warning_sentences.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- cautions ---- */

void wg_report_stored_cautions(const struct wg_stored_warnings *warned, const struct wg_page *page) {
    if (!warned->is_kept)
        wg_page_paragraph(page, "warning",
                          "This file was made by an older wintergrub, which stored neither warnings nor cautions. "
                          "Run the command again to see them.");
    for (int i = 0; i < warned->n_cautions; i++)
        wg_page_paragraph(page, "note", warned->caution[i]);
}

void wg_report_cautions(const struct wg_plan *plan, const struct wg_page *page) {
    for (int c = 0; c < WG_N_CAUTIONS; c++)
        if (wg_caution_applies(plan, (enum wg_caution)c))
            wg_page_paragraph(page, "note", wg_caution_text((enum wg_caution)c));
}

/* ---- the setup ---- */

int wg_report_setup(const struct wg_scenario *scenario, const struct wg_page *page, struct wg_error *err) {
    char *const setup = wg_outline(scenario);
    if (setup == NULL)
        return wg_no_memory(err, NULL);
    wg_page_section(page, "The setup");
    wg_page_preformatted(page, NULL, setup);
    free(setup);
    return 0;
}

/* ---- assumptions ---- */

/* "judgement" in a source means that nobody has measured the number. */
static bool is_judged(const struct wg_result_parameter *parameter) {
    return strstr(parameter->source, "judgement") != NULL;
}

/* True if the value differs from the default of the set of numbers that the scenario names. */
static bool is_changed(const struct wg_species *defaults, const struct wg_result_parameter *parameter) {
    const struct wg_parameter *const known = wg_species_find(parameter->name);
    return known != NULL && wg_species_get(defaults, known) != strtod(parameter->value, NULL);
}

void wg_report_assumptions(const struct wg_result_data *data, const struct wg_plan *plan, const struct wg_page *page) {
    static const char *const head[] = {"number", "what it is", "value", "unit", "where the default comes from", "mark"};
    struct wg_species defaults;
    const bool has_defaults = wg_species_set(&defaults, plan->numbers) == 0;
    wg_page_table_begin(
        page,
        "Marked judgement: nobody has measured it. Marked set: the scenario gives its own value. MEMORY: "
        "from memory, source not checked again.",
        head, 6);
    for (int i = 0; i < data->n_parameters; i++) {
        const struct wg_result_parameter *const p = &data->parameter[i];
        const bool changed = has_defaults && is_changed(&defaults, p);
        const char *const cell[] = {p->name,   p->meaning,
                                    p->value,  strcmp(p->unit, "1") == 0 ? "" : p->unit,
                                    p->source, changed ? "set" : is_judged(p) ? "judgement" : ""};
        wg_page_table_row(page, NULL, cell, 6);
    }
    wg_page_table_end(page);
}

/* ---- provenance ---- */

void wg_report_fact(const struct wg_page *page, const char *name, const char *value) {
    const char *const cell[] = {name, value};
    if (value != NULL && *value != '\0')
        wg_page_table_row(page, NULL, cell, 2);
}

void wg_report_provenance_begin(const struct wg_run_facts *in, const char *caption, const struct wg_page *page) {
    static const char *const head[] = {"what", "value"};
    char seed[32];
    (void)snprintf(seed, sizeof seed, "%llu", (unsigned long long)in->seed);
    wg_page_section(page, "Where this comes from");
    wg_page_table_begin(page, caption, head, 2);
    wg_report_fact(page, "made by", in->source);
    wg_report_fact(page, "command line", in->command_line);
    wg_report_fact(page, "started (UTC)", in->started);
    wg_report_fact(page, "seed", seed);
}
