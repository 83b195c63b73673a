/*
 * Writes the parts that several pages share: cautions, the work week by week, the setup, assumptions, provenance.
 */
#include "pages/page_parts.h"

#include "report/calendar_text.h"
#include "report/forecast_facts.h"
#include "text/warning_sentences.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- cautions ---- */

void wg_report_stored_cautions(const struct wg_stored_warnings *warned, struct wg_bytes *page) {
    if (!warned->is_kept)
        wg_page_paragraph(page, "warning",
                          "This file was made by an older wintergrub, which stored neither warnings nor cautions. "
                          "Run the command again to see them.");
    for (int i = 0; i < warned->n_cautions; i++)
        wg_page_paragraph(page, "note", warned->caution[i]);
}

void wg_report_cautions(const struct wg_plan *plan, struct wg_bytes *page) {
    for (int c = 0; c < WG_N_CAUTIONS; c++)
        if (wg_caution_applies(plan, (enum wg_caution)c))
            wg_page_paragraph(page, "note", wg_caution_text((enum wg_caution)c));
}

/* ---- work ---- */

static void put_week(const struct wg_work *work, int week, const char *const *head, struct wg_bytes *page) {
    struct wg_work_week w;
    char date[WG_SHOWN_SIZE], wanted[WG_SHOWN_SIZE], given[WG_SHOWN_SIZE] = "without limit", pull[WG_SHOWN_SIZE],
                                                     crawl_off[WG_SHOWN_SIZE];
    wg_work_week(work, week, &w);
    const struct wg_work_spread *const kg = work->plan->feed_unlimited ? &w.wanted_dry_kg : &w.wanted_wet_kg;
    wg_show_date(work->plan->first_day, w.from, "", date);
    if (isnan(kg->q50))
        (void)snprintf(wanted, sizeof wanted, "-");
    else
        wg_show_mass_range(kg->q05, kg->q95, wanted);
    if (!isnan(w.given_wet_kg))
        wg_show_mass(w.given_wet_kg, given);
    wg_work_show_pull(wg_work_shortest_pull(work, week), pull);
    wg_show_mass_range(w.crawl_off_kg.q05, w.crawl_off_kg.q95, crawl_off);
    const char *const cell[] = {date, wanted, given, pull, crawl_off};
    wg_page_table_row(page, head, cell, 5);
}

void wg_report_work(const struct wg_work *work, struct wg_bytes *page) {
    const char *const head[] = {
        "week from", work->plan->feed_unlimited ? "the larvae could eat (dry)" : "the larvae could eat (fresh)",
        "the plan gives", "pull traps every", "crawl-off"};
    char caption[96], last[48] = "";
    const int days = (work->plan->last_day - work->plan->first_day + 1) % 7;
    if (days > 0)
        (void)snprintf(last, sizeof last, " The last row covers only %d day%s.", days, days == 1 ? "" : "s");
    (void)snprintf(caption, sizeof caption, "Ranges hold 9 %s in 10.%s", wg_forecast_noun(work->plan), last);
    wg_page_table_begin(page, caption, head, 5);
    for (int week = 0; week < work->n_weeks; week++)
        put_week(work, week, head, page);
    wg_page_table_end(page);
}

/* ---- the setup ---- */

int wg_report_setup(const struct wg_scenario *scenario, struct wg_bytes *page, struct wg_error *err) {
    char *const setup = wg_scenario_describe(scenario);
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

void wg_report_assumptions(const struct wg_result_data *data, const struct wg_plan *plan, struct wg_bytes *page) {
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

void wg_report_fact(struct wg_bytes *page, const char *name, const char *value) {
    const char *const cell[] = {name, value};
    if (value != NULL && *value != '\0')
        wg_page_table_row(page, NULL, cell, 2);
}

void wg_report_provenance_begin(const struct wg_stored_file *in, const char *caption, struct wg_bytes *page) {
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
