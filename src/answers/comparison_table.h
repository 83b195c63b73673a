/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The table of a comparison: a row for each setup, averages over the ranges that hold nine in ten. Screen and page show
 * the same cells.
 */
#ifndef WG_ANSWERS_COMPARISON_TABLE_H
#define WG_ANSWERS_COMPARISON_TABLE_H

#include "report/forecast_facts.h"
#include "text/verdict_sentences.h"

#define WG_COMPARISON_MAX_COLUMNS 10

/** A column. `cell` writes the value of a setup, `range` the range under it, "" for none. */
struct wg_comparison_column {
    const char *head[2]; /* two lines on the screen */
    const char *words;   /* on the page */
    bool is_spared;      /* left out where there is no room for it */
    void (*cell)(const struct wg_verdict_facts *verdict, int setup, char out[WG_SHOWN_SIZE]);
    void (*range)(const struct wg_verdict_facts *verdict, int setup, char out[WG_SHOWN_SIZE]);
};
/** Lists the columns that mean something for these setups. Returns their number. */
int wg_comparison_columns(const struct wg_verdict_facts *verdict,
                          struct wg_comparison_column column[WG_COMPARISON_MAX_COLUMNS]);
/** Writes how to read the table, whose ranges are under the averages or in brackets. */
void wg_comparison_legend(const struct wg_verdict_facts *verdict, bool is_under, char out[WG_SENTENCE_SIZE]);
/** Prints it in 80 columns: three lines for each of up to four setups, one for each of more. `warnings`: of each setup. */
void wg_comparison_table_print(const struct wg_verdict_facts *verdict, const int *warnings, FILE *to);

#endif
