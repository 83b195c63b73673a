/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The label of each outcome of a replicate, the format of its values, and the plans for which it is shown.
 */
#ifndef WG_TEXT_OUTCOME_LABEL_H
#define WG_TEXT_OUTCOME_LABEL_H

#include "colony/diary.h"
#include "text/show.h"

enum wg_value_kind {
    WG_VALUE_SHARE, /* of the replicates, 0 to 1 */
    WG_VALUE_DATE,  /* days since the first of the period */
    WG_VALUE_MASS,  /* kg */
    WG_VALUE_COUNT,
    WG_VALUE_ANIMALS,    /* whole ones, also where a quantile lies between two */
    WG_VALUE_MILLIGRAMS, /* of one animal */
    WG_VALUE_WEEKS,
    WG_VALUE_DAYS,       /* a number of days, shown whole */
    WG_VALUE_ENERGY,     /* kWh */
    WG_VALUE_MONEY,      /* in the plan's currency */
    WG_VALUE_POWER,      /* W */
    WG_VALUE_TEMPERATURE /* degC */
};

struct wg_outcome_label {
    const char *label;  /* heads a row, at most 19 columns: "First batch, half" */
    const char *phrase; /* in running text: "half of the spring flies" */
    const char *column; /* heads a column of a sweep, NULL: has none */
    enum wg_value_kind kind;
    bool (*is_shown)(const struct wg_plan *plan); /* NULL: for every plan */
};

const struct wg_outcome_label *wg_outcome_label(enum wg_outcome_number outcome);
/** Returns true if the outcome applies to such a plan; heat does not if nothing draws power. */
bool wg_outcome_is_shown(enum wg_outcome_number outcome, const struct wg_plan *plan);
/** Returns the outcome that is the plan's harvest: what is taken out, or all crawl-off if nothing is. */
enum wg_outcome_number wg_outcome_harvest(const struct wg_plan *plan);
/** Returns the verb for the harvest counted by that outcome: "crawls off", "is taken out". */
const char *wg_outcome_harvest_verb(enum wg_outcome_number harvest);

/** Returns the unit of a difference: " days", " kWh", " percentage points"; "" for pure numbers and masses. */
const char *wg_value_unit(enum wg_value_kind kind);
/** How to show values of an outcome. */
struct wg_value_style {
    enum wg_value_kind kind;
    int digits;           /* significant figures, see wg_range_digits() */
    int32_t first_day;    /* of the period, for dates */
    const char *currency; /* of the plan, for money */
};
/** Shows a range, "10 to 15 kg (22 to 33 lb)", "1 Oct 2026 to 3 Oct 2026", "$10 to $15", or one value if both are equal. */
void wg_value_show_range(const struct wg_value_style *style, double low, double high, char out[WG_SHOWN_SIZE]);

#endif
