/**
 * The hours that the animals of a replicate lived through, written down and played back.
 *
 * The linker hands every call of wg_place_run() to the recorder (--wrap): it notes the hours the housing computed, or
 * gives back the noted ones instead. So the engine and the reference engines can live in the very same hours,
 * and what differs between them is the animals alone. One place; of its bins the first one is noted, and played back for all.
 */
#ifndef WG_TESTS_RECORDED_HOURS_H
#define WG_TESTS_RECORDED_HOURS_H

#include "forecast/ensemble.h"
#include "housing/housing.h"

/** Days before the first one that is noted: the engine's empty days, which fill its means of the last week. */
#define HOURS_LEAD_DAYS 10

struct day_hours {
    double bin_c[24], ground_c[24], air_c[24], light_w_m2[24];
    double day_length_h;
};

/** day[0] is HOURS_LEAD_DAYS before the plan's first day. */
struct recorded_hours {
    int n_days; /* lead included */
    struct day_hours *day;
};

/** Lives a replicate of a plan with one place, and notes its hours. Ends the program on failure. */
void hours_record(struct recorded_hours *hours, const struct wg_plan *plan, int64_t replicate);
void hours_free(struct recorded_hours *hours);

/** From now on every replicate lives in these hours, whatever its weather; NULL: in its own again. Borrowed. */
void hours_play(const struct recorded_hours *hours);

#endif
