/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Prints warnings and cautions as text and as JSON.
 */
#include "report/warning_lists.h"

#include "text/show.h"
#include "text/terminal.h"

#include <stdio.h>

/* ---- text ---- */

void wg_notes_print_warnings(const struct wg_warnings *warnings, const char *about, FILE *to) {
    char text[WG_WARNING_TEXT], line[WG_WARNING_TEXT + 32];
    for (int i = 0; i < warnings->n; i++) {
        wg_warning_text(warnings, i, text);
        (void)snprintf(line, sizeof line, "Warning%s%s: %s", about != NULL ? ", " : "", about != NULL ? about : "",
                       text);
        (void)fputs(wg_terminal_style(to, WG_STYLE_WARN), to);
        wg_show_lines(to, 2, line);
        (void)fputs(wg_terminal_style(to, WG_STYLE_PLAIN), to);
    }
}

void wg_notes_print_cautions(const struct wg_plan *const *plan, int n, FILE *to) {
    for (int c = 0; c < WG_N_CAUTIONS; c++) {
        bool any = false;
        for (int i = 0; i < n; i++)
            any = any || wg_caution_applies(plan[i], (enum wg_caution)c);
        if (any)
            wg_show_lines(to, 2, wg_caution_text((enum wg_caution)c));
    }
}

/* ---- JSON ---- */

static void put_spells(struct wg_json *json, const struct wg_warning *warning, const struct wg_work *work) {
    const enum wg_work_fault fault = warning->kind == WG_WARN_UNDERFED ? WG_UNDERFED : WG_OVERFED;
    struct wg_work_spell spell;
    char date[WG_SHOWN_SIZE];
    wg_json_list(json, "spells");
    for (int i = 0; work != NULL && wg_work_spell(work, fault, warning->bin, i, &spell); i++) {
        wg_json_object(json, NULL);
        (void)wg_show_iso_date(work->plan->first_day, 7.0 * spell.week, date);
        wg_json_text(json, "from", date);
        wg_json_whole(json, "weeks", spell.weeks);
        wg_json_real(json, "share_in_worst_week", spell.share);
        wg_json_close(json);
    }
    wg_json_close(json);
}

static void put_warning_numbers(struct wg_json *json, const struct wg_warning *warning, const struct wg_work *work) {
    switch (warning->kind) {
    case WG_WARN_HEATER:
    case WG_WARN_MAT:
        wg_json_real(json, "worst_short_w", warning->worst);
        wg_json_real(json, "power_that_holds_w", warning->holds_w);
        break;
    case WG_WARN_HOT:
        wg_json_real(json, "limit_degc", WG_WARNING_HOT_C);
        wg_json_real(json, "worst_degc", warning->worst);
        break;
    case WG_WARN_UNDERFED:
    case WG_WARN_OVERFED:
        wg_json_whole(json, "weeks", warning->weeks);
        wg_json_whole(json, "weeks_without_feeding", warning->unfed);
        put_spells(json, warning, work);
        break;
    case WG_WARN_SCOOP:
        wg_json_real(json, "worst_missing_kg", warning->worst);
        break;
    case WG_WARN_NO_ANIMALS:
        wg_json_text(json, "action", wg_action_name(warning->action));
        wg_json_whole(json, "line", warning->line);
        break;
    case WG_WARN_IDLE:
        wg_json_real(json, "mean_days", warning->days);
        wg_json_real(json, "mean_kwh", warning->kwh);
        wg_json_real(json, "mean_kwh_in_all", warning->all_kwh);
        wg_json_real(json, "mean_cost", warning->cost);
        break;
    case WG_WARN_UNIT:
    case WG_N_WARNINGS:
        break;
    }
}

void wg_notes_put_warnings(struct wg_json *json, const struct wg_warnings *warnings, const struct wg_work *work) {
    char text[WG_WARNING_TEXT];
    wg_json_list(json, "warnings");
    for (int i = 0; i < warnings->n; i++) {
        const struct wg_warning *const warning = &warnings->list[i];
        wg_json_object(json, NULL);
        wg_json_text(json, "kind", wg_warning_name(warning->kind));
        if (warning->about[0] != '\0')
            wg_json_text(json, warning->bin >= 0 ? "bin" : "place", warning->about);
        wg_json_whole(json, "replicates", warning->replicates);
        wg_json_whole(json, "of", warnings->of);
        put_warning_numbers(json, warning, work);
        wg_warning_text(warnings, i, text);
        wg_json_text(json, "text", text);
        wg_json_close(json);
    }
    wg_json_close(json);
}

void wg_notes_put_cautions(struct wg_json *json, const struct wg_plan *plan) {
    wg_json_list(json, "cautions");
    for (int c = 0; c < WG_N_CAUTIONS; c++)
        if (wg_caution_applies(plan, (enum wg_caution)c))
            wg_json_text(json, NULL, wg_caution_text((enum wg_caution)c));
    wg_json_close(json);
}
