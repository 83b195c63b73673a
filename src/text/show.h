/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Formats numbers, weights, dates and temperatures for keepers: three significant figures, commas between thousands,
 * both unit systems.
 */
#ifndef WG_TEXT_SHOW_H
#define WG_TEXT_SHOW_H

#include "base/calendar.h"
#include "text/units.h"

#include <stdint.h>
#include <stdio.h>

#define WG_SHOWN_SIZE 96
#define WG_KG_PER_LB (wg_units_convert(1, "lb", "kg", false))

/** "0.05", "12.3", "1,230", "12.3 million", "4.1 x 10^17"; "never" for infinity, "-" for NaN. */
void wg_show_number(double value, char out[WG_SHOWN_SIZE]);
/** The same with `digits` significant figures, 2 or 3: forecasts with a wide range deserve two. */
void wg_show_rounded(double value, int digits, char out[WG_SHOWN_SIZE]);
/** Returns how many significant figures a range deserves: 2, or 3 if it is narrow (show.c). */
int wg_range_digits(double low, double high);
/** The same beside a number within it: 3 also if it would look like an end that it is not. */
int wg_spread_digits(double low, double middle, double high);
/** Formats with commas between thousands and three or four decimals: "18.3", "0.15", "10,000", "3.4e-05". */
void wg_show_plain(double value, char out[WG_SHOWN_SIZE]);
/** "12,345", with all digits. */
void wg_show_whole(int64_t value, char out[WG_SHOWN_SIZE]);
/** "12.3 kg (27.1 lb)"; below 100 g "29 g (1.02 oz)", from a million kg only kg. */
void wg_show_mass(double kg, char out[WG_SHOWN_SIZE]);
/** "10 to 15 kWh" for the unit " kWh"; one number if both ends round to it. */
void wg_show_range(double low, double high, const char *unit, char out[WG_SHOWN_SIZE]);
void wg_show_rounded_range(double low, double high, int digits, const char *unit, char out[WG_SHOWN_SIZE]);
/** The same of animals, in whole ones: "0 to 950". */
void wg_show_animals(double low, double high, int digits, char out[WG_SHOWN_SIZE]);
/** "10 to 15 kg (22 to 33.1 lb)" */
void wg_show_mass_range(double low_kg, double high_kg, char out[WG_SHOWN_SIZE]);
void wg_show_rounded_mass(double low_kg, double high_kg, int digits, char out[WG_SHOWN_SIZE]);
/** "5 kW (17,100 Btu/h)", "850 W (2,900 Btu/h)" */
void wg_show_power(double watts, char out[WG_SHOWN_SIZE]);
/**
 * "18.3 °C (65 °F)". Answers, pages and figures use these signs; what a keeper is to write (examples, mistakes, `check`)
 * has degC and degF, which every keyboard has.
 */
void wg_show_temperature(double celsius, char out[WG_SHOWN_SIZE]);
/** The date `day` days after first_day, "12 May 2027", "3 Sep 2027"; `never` for infinity and NaN. */
void wg_show_date(int32_t first_day, double day, const char *never, char out[WG_SHOWN_SIZE]);
/** The same as "2027-05-12". Returns 0, or -1 and "" for infinity and NaN. */
int wg_show_iso_date(int32_t first_day, double day, char out[WG_SHOWN_SIZE]);
/** "97", or with `decimals` 1 "99.8" (and "100"); without the percent sign. */
void wg_show_percent(double share, int decimals, char out[WG_SHOWN_SIZE]);
/** Returns the decimals, at most three, that keep a share other than 0 or 1 from reading 0 or 100; one within 1 % of an end. */
int wg_show_percent_decimals(double share);
/** Formats a share with those decimals. */
void wg_show_share(double share, char out[WG_SHOWN_SIZE]);

/** Returns the columns of a text: its characters, which may be several bytes long. */
int wg_show_columns(const char *text);
/** "in May", "in October and November", "from October to February", "all year" */
void wg_show_months(struct wg_month_span span, char out[WG_SHOWN_SIZE]);

/** Prints lines wrapped at column 79, never before a %; continuation lines have `indent` spaces. */
void wg_show_lines(FILE *to, int indent, const char *text);

#endif
