/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * What `fit` found as tables of words, as text and as JSON.
 */
#ifndef WG_ANSWERS_FIT_TEXT_H
#define WG_ANSWERS_FIT_TEXT_H

#include "inference/fit.h"
#include "records/log_file.h"
#include "report/forecast_facts.h"
#include "scenario/scenario.h"
#include "text/show.h"
#include "json/json.h"

/* ---- what `fit` found as tables of words, for the text and the page ---- */

/** What a fit is about. */
struct wg_fit_output {
    const struct wg_scenario *scenario;
    const struct wg_keeper_log *log;
    const struct wg_fit *fit;
    const char *log_path, *draws_path;  /* draws_path NULL: no draws written */
    const struct wg_warnings *warnings; /* of the plan, without the log */
};
#define WG_FIT_WARNING_REPLICATES 128 /* to find them (judgement) */

#define WG_FIT_CELL (2 * WG_SHOWN_SIZE)
struct wg_fit_row {
    char cell[3][WG_FIT_CELL];
};
/** Rows of a name and two values; row 0 is the head. */
struct wg_fit_table {
    int n, capacity;
    struct wg_fit_row *row; /* owned */
    bool failed;            /* memory ran out */
};
enum wg_fit_table_kind {
    WG_FIT_TABLE_ANIMAL, /* the animal before and after the log */
    WG_FIT_TABLE_TODAY,  /* what is in each bin and in the ground */
    WG_FIT_TABLE_FEED,   /* of this week; may have no rows */
    WG_FIT_TABLE_WEEKS,  /* the next four weeks; may have no rows */
    WG_FIT_TABLE_SEASON, /* the whole period before and after the log */
    WG_FIT_N_TABLES
};
/** Makes a table of a fit that has an answer. Returns 0 or WG_ERR_MEMORY; free it in every case. */
int wg_fit_table_make(struct wg_fit_table *table, enum wg_fit_table_kind kind, const struct wg_fit_output *fitting,
                      struct wg_error *err);
/** Words what the shares beside the dates of the spring flies are of; empty where the season has none. */
void wg_fit_spring_words(const struct wg_fit_output *fitting, char out[WG_SENTENCE_SIZE]);
void wg_fit_table_free(struct wg_fit_table *table);

/** Says in a sentence how many animals agree with the log, or that the log and the plan do not agree. */
void wg_fit_show_agreement(const struct wg_fit_output *fitting, char out[WG_SENTENCE_SIZE]);

#define WG_FIT_WORST 6
/**
 * Lists the notes outside their expected range (without an answer: before the log, and all if each is inside), at most
 * WG_FIT_WORST, the worst first. Returns how many there are in all.
 */
int wg_fit_worst_notes(const struct wg_fit_output *fitting, int worst[WG_FIT_WORST]);
/** Words one of them: "line 12, 3 Oct 2026, crawl-off: 2 kg (4.4 lb), expected 3 to 4 kg (6.6 to 8.8 lb)". */
void wg_fit_show_note(const struct wg_fit_output *fitting, int note, char out[WG_SENTENCE_SIZE]);

/* ---- what `fit` found, as text and as JSON ---- */

/** Prints the tables in 80 columns. Returns 0 or WG_ERR_MEMORY. */
int wg_fit_output_print(const struct wg_fit_output *fitting, FILE *to, struct wg_error *err);
/** Prints the same as JSON. Returns 0 or WG_ERR_MEMORY. */
int wg_fit_output_print_json(const struct wg_fit_output *fitting, FILE *to, struct wg_error *err);

#endif
