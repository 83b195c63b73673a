/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The parts that several pages of `report` share.
 */
#ifndef WG_PAGES_PAGE_PARTS_H
#define WG_PAGES_PAGE_PARTS_H

#include "data/result_data.h"
#include "data/stored_warnings.h"
#include "figures/html.h"
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

#endif
