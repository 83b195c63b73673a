/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The parts that several pages of `report` share.
 */
#ifndef WG_PAGES_PAGE_PARTS_H
#define WG_PAGES_PAGE_PARTS_H

#include "analysis/odds.h"
#include "data/result_data.h"
#include "data/stored_warnings.h"
#include "figures/html.h"
#include "forecast/work.h"
#include "report/dots.h"
#include "report/forecast_facts.h"
#include "scenario/scenario.h"

/** Writes the cautions of a file as notes, or a note that the file stores neither warnings nor cautions. */
void wg_report_stored_cautions(const struct wg_stored_warnings *warned, const struct wg_page *page);
/** Writes the cautions that apply to the plan as notes. */
void wg_report_cautions(const struct wg_plan *plan, const struct wg_page *page);
/** Writes the section on the setup, as `check` prints it. Returns 0 or WG_ERR_MEMORY. */
int wg_report_setup(const struct wg_scenario *scenario, const struct wg_page *page, struct wg_error *err);
/** Writes the numbers of the animal with their sources. */
void wg_report_assumptions(const struct wg_result_data *data, const struct wg_plan *plan, const struct wg_page *page);

/** Writes a row of two cells, none without a value. */
void wg_report_fact(const struct wg_page *page, const char *name, const char *value);
/** Begins the section on where a page comes from and its table: program, command line, start, seed. */
void wg_report_provenance_begin(const struct wg_run_facts *in, const char *caption, const struct wg_page *page);

/* ---- the answer of a forecast in three sentences ---- */

/** Words sentence 0, 1 or 2: survival, harvest, heat or spring. Returns 0, or WG_ERR_MEMORY and an invalid sentence. */
int wg_report_answer(const struct wg_forecast *forecast, const struct wg_odds *odds, int sentence,
                     char out[WG_SENTENCE_SIZE]);
/** Says what luck, the animal and the winter do to the first two sentences; "" for the third, or if there is nothing to say. */
void wg_report_answer_note(const struct wg_forecast *forecast, const struct wg_odds *odds, int sentence,
                           char out[WG_SENTENCE_SIZE]);

/*
 * Dots that can be counted: a share as so many of 100 years, and a quantity as twenty equally likely years.
 */

/** Draws the dots, filled and as rings, and says below what each kind means. `noun`: "year". */
void wg_report_dots(const struct wg_dots *dots, const char *some, const char *others, const char *noun,
                    const struct wg_page *page);

#define WG_QUANTILE_DOTS 20
/**
 * Draws a weight as twenty equally likely years, stacked over an axis in kg and lb (Kay et al. 2016, CHI: quantile dot
 * plots), with a sentence that counts some of them: "In 4 of these 20 years less than 5 kg (11 lb) is taken out." `verb`: "is
 * taken out". Nothing if fewer than twenty values are given or all are 0. Returns 0 or WG_ERR_MEMORY.
 */
int wg_report_quantile_dots(const double *kg, int64_t n, const char *verb, const char *noun,
                            const struct wg_page *page);

/* ---- the section of a result's page on the keeper's work ---- */

/**
 * Writes the work calendar: by week, or in a long period by month, with later years folded. The first year prints as a
 * sheet of one page. `name` is that of the scenario. Returns 0 or WG_ERR_MEMORY.
 */
int wg_report_work(const struct wg_work *weekly, const char *name, const struct wg_page *page, struct wg_error *err);

#endif
