/**
 * What a keeper calls each outcome of a replicate, how its values are written, and for which plans it is shown.
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
    WG_VALUE_WEEKS,
    WG_VALUE_ENERGY,     /* kWh */
    WG_VALUE_MONEY,      /* in the scenario's currency */
    WG_VALUE_POWER,      /* W */
    WG_VALUE_TEMPERATURE /* degC */
};

struct wg_outcome_label {
    const char *label;  /* heads a row, at most 19 columns: "First crawl-off" */
    const char *phrase; /* in running text: "half of the spring flies" */
    const char *column; /* heads a column of a sweep, NULL: has none */
    enum wg_value_kind kind;
    bool (*is_shown)(const struct wg_plan *plan); /* NULL: for every plan */
};

const struct wg_outcome_label *wg_outcome_label(enum wg_outcome_number outcome);
/** True if the outcome says anything about such a plan: no heat where nothing draws power. */
bool wg_outcome_is_shown(enum wg_outcome_number outcome, const struct wg_plan *plan);
/** The outcome that is the plan's harvest: what is taken out, or all crawl-off where nothing is. */
enum wg_outcome_number wg_outcome_harvest(const struct wg_plan *plan);
/** "crawls off", "is taken out": what becomes of the harvest counted by that outcome. */
const char *wg_outcome_harvest_verb(enum wg_outcome_number harvest);

/** What follows a difference of two such values: " days", " kWh", " percentage points"; "" for pure numbers and masses. */
const char *wg_value_unit(enum wg_value_kind kind);
/** "10 to 15 kg (22 to 33.1 lb)", "1 Oct to 3 Oct 2026" ...; a range without width is one value. first_day: of the period. */
void wg_value_show_range(enum wg_value_kind kind, int32_t first_day, double low, double high, char out[WG_SHOWN_SIZE]);

#endif
