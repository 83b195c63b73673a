/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * A comparison as text, JSON and figures.
 */
#ifndef WG_ANSWERS_COMPARISON_H
#define WG_ANSWERS_COMPARISON_H

#include "analysis/choice.h"
#include "data/comparison_data.h"
#include "data/comparison_words.h"
#include "figures/figure.h"
#include "report/forecast_facts.h"
#include "text/verdict_sentences.h"

/* ---- the parts of a comparison, and what its text and JSON share ---- */

struct wg_comparison {
    int n;
    struct wg_forecast forecast[WG_COMPARE_MAX]; /* of each setup */
    const struct wg_compare *compare;
    const struct wg_choice *choice; /* among the setups */
    const struct wg_varied *varied;
    bool has_details;        /* the text has a paragraph on each setup against the first */
    const char *result_path; /* NULL: no file */
};

/** Returns what the verdict needs. */
struct wg_verdict_facts wg_comparison_verdict(const struct wg_comparison *comparison);
/** Shows how many animals of 100 are better, the same and worse: whole numbers that add up to 100. */
void wg_comparison_animals(const struct wg_animals_won *animals, int64_t of_100[3]);
/** Returns a sentence on why extra harvest has no price; NULL if it has one. */
const char *wg_comparison_no_price(enum wg_extra_status why);
/**
 * Words difference `k` (from 0) of setup `i` from the first beyond places, bins, feed and work, as a sentence. Returns
 * false if there are no more.
 */
bool wg_comparison_also(const struct wg_comparison *comparison, int i, int k, char out[WG_SENTENCE_SIZE]);

/*
 * The table of a comparison: a row for each setup, averages over the ranges that hold nine in ten. Screen and page show
 * the same cells.
 */

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

/* ---- a comparison as text for the screen ---- */

/**
 * Prints details if the comparison has them, reasons, warnings and cautions, then the verdict and its table: 80 columns.
 * Returns 0 or WG_ERR_MEMORY.
 */
int wg_comparison_print(const struct wg_comparison *comparison, FILE *to, struct wg_error *err);

/* ---- a comparison as JSON ---- */

/** Prints the whole document. Returns 0 or WG_ERR_MEMORY. */
int wg_comparison_print_json(const struct wg_comparison *comparison, FILE *to, struct wg_error *err);

/* ---- the figures of a comparison ---- */

/** Makes them: a grid in colours if two numbers are varied, and rows of dots. `choice` is made of `data`. */
int wg_comparison_figures(struct wg_figures *figures, const struct wg_comparison_data *data,
                          const struct wg_choice *choice, struct wg_error *err);

/** Adds the grid of setups made from one scenario by two numbers; nothing for others. Returns 0 or a negative error. */
int wg_comparison_grid(struct wg_figures *figures, const struct wg_comparison_data *data,
                       const struct wg_choice *choice, const struct wg_verdict_facts *facts, struct wg_error *err);

#endif
