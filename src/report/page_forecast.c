/*
 * What stands in a report, from top to bottom?
 */
#include "report/goals_report.h"
#include "report/page.h"
#include "text/show.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void put_forecast_question(const struct wg_report *report, struct wg_bytes *page) {
    const struct wg_plan *const plan = &report->forecast->scenario->plan;
    const bool is_one_day = plan->first_day == plan->last_day;
    char from[24], to[24], all[WG_SHOWN_SIZE], weather[WG_SENTENCE_SIZE], text[WG_SENTENCE_SIZE + 64];
    wg_day_format_long(plan->first_day, from);
    wg_day_format_long(plan->last_day, to);
    wg_show_whole(report->forecast->summary->n, all);
    (void)snprintf(text, sizeof text, "What comes of this plan %s%s%s%s? The program lived it through %s possible %s.",
                   is_one_day ? "on " : "from ", from, is_one_day ? "" : " to ", is_one_day ? "" : to, all,
                   wg_forecast_noun_of(plan, report->forecast->summary->n));
    wg_page_paragraph(page, NULL, text);
    wg_forecast_weather(report->forecast->scenario, weather);
    (void)snprintf(text, sizeof text, "Weather: %s.", weather);
    wg_page_paragraph(page, "note", text);
}

/* As the forecast says them. */
static void put_goal_odds(const struct wg_report *report, struct wg_bytes *page) {
    const struct wg_plan *const plan = &report->forecast->scenario->plan;
    char *text = NULL;
    size_t size = 0;
    if (plan->n_goals == 0)
        return;
    FILE *const to = open_memstream(&text, &size);
    if (to != NULL)
        wg_goals_text_print(report->forecast->odds, wg_forecast_noun_of(plan, report->forecast->summary->n), to);
    if (to != NULL && fclose(to) == 0)
        wg_page_preformatted(page, NULL, text);
    else
        page->failed = true; /* no memory: a page without its goals would be taken for one that has none */
    free(text);
}

void wg_report_stored_cautions(const struct wg_stored_warnings *warned, struct wg_bytes *page) {
    if (!warned->is_kept)
        wg_page_paragraph(page, "warning",
                          "This file was made by an older wintergrub, which kept neither warnings nor cautions in it. "
                          "Make it again to see them.");
    for (int i = 0; i < warned->n_cautions; i++)
        wg_page_paragraph(page, "note", warned->caution[i]);
}

void wg_report_cautions(const struct wg_plan *plan, struct wg_bytes *page) {
    for (int c = 0; c < WG_N_CAUTIONS; c++)
        if (wg_caution_applies(plan, (enum wg_caution)c))
            wg_page_paragraph(page, "note", wg_caution_text((enum wg_caution)c));
}

static void put_forecast_answer(const struct wg_report *report, struct wg_bytes *page) {
    char text[WG_SENTENCE_SIZE];
    wg_page_section(page, "The answer");
    for (int i = 0; i < 3; i++) {
        if (wg_report_answer(report->forecast, i, text) < 0)
            page->failed = true; /* told with the rest, by wg_bytes_failed() */
        wg_page_paragraph(page, "answer", text);
    }
    put_goal_odds(report, page);
    const struct wg_warnings *const warnings = report->forecast->warnings;
    for (int i = 0; i < warnings->n; i++) {
        char warning[WG_WARNING_TEXT], line[WG_WARNING_TEXT + 16];
        wg_warning_text(warnings, i, warning);
        (void)snprintf(line, sizeof line, "Warning: %s", warning);
        wg_page_paragraph(page, "warning", line);
    }
    wg_report_cautions(&report->forecast->scenario->plan, page);
}

static int put_figures(const struct wg_report *report, struct wg_bytes *page, struct wg_error *err) {
    int code = 0;
    wg_page_section(page, "Figures");
    for (size_t i = 0; i < report->figures->n && code == 0; i++)
        code = wg_page_figure(page, wg_figures_get(report->figures, i), err);
    return code;
}

static int put_forecast_setup(const struct wg_report *report, struct wg_bytes *page, struct wg_error *err) {
    char *const setup = wg_scenario_describe(report->forecast->scenario);
    if (setup == NULL)
        return wg_no_memory(err, NULL);
    wg_page_section(page, "The setup");
    wg_page_preformatted(page, NULL, setup);
    free(setup);
    return 0;
}

static void put_fact(struct wg_bytes *page, const char *name, const char *value) {
    const char *const cell[] = {name, value};
    if (value != NULL && *value != '\0')
        wg_page_table_row(page, NULL, cell, 2);
}

static void put_result_provenance(const struct wg_result_data *data, struct wg_bytes *page) {
    static const char *const head[] = {"what", "value"};
    char number[32];
    wg_page_section(page, "Where this comes from");
    wg_page_table_begin(page, "The result file alone gives these numbers again: wintergrub rerun.", head, 2);
    put_fact(page, "made by", data->source);
    put_fact(page, "command line", data->command_line);
    put_fact(page, "started (UTC)", data->started);
    (void)snprintf(number, sizeof number, "%llu", (unsigned long long)data->record.seed);
    put_fact(page, "seed", number);
    (void)snprintf(number, sizeof number, "%lld", (long long)data->replicates);
    put_fact(page, "replicates", number);
    put_fact(page, "scenario", data->record.scenario_path);
    put_fact(page, "SHA-256 of the scenario", data->scenario_sha256);
    put_fact(page, "SHA-256 of the weather record", data->record_sha256);
    wg_page_table_end(page);
    wg_page_preformatted(page, "The scenario as it was read", data->record.scenario_text);
}

int wg_report_put(const struct wg_report *report, struct wg_bytes *page, struct wg_error *err) {
    static const char *const headings[] = {"The answer",
                                           "Figures",
                                           "The work, week by week",
                                           "The setup",
                                           "What we assume about the flies",
                                           "Where this comes from",
                                           NULL};
    wg_page_begin(page, report->data->title, headings);
    put_forecast_question(report, page);
    put_forecast_answer(report, page);
    int code = put_figures(report, page, err);
    if (code < 0)
        return code;
    wg_page_section(page, "The work, week by week");
    wg_report_work(report->forecast->work, page);
    code = put_forecast_setup(report, page, err);
    if (code < 0)
        return code;
    wg_page_section(page, "What we assume about the flies");
    wg_report_assumptions(report->data, &report->forecast->scenario->plan, page);
    put_result_provenance(report->data, page);
    wg_page_end(page);
    return wg_bytes_failed(page, err);
}
