/*
 * Counts survival by winter of a replayed record.
 *
 * A record of few winters says little about winters: the replicates of one winter share its weather. So the interval is
 * over winters, each one value: "Student" 1908, Biometrika 6:1, cut to 0..1.
 */
#include "analysis/winters.h"

#include "analysis/intervals.h"
#include "base/random.h"
#include "climate/climate.h"
#include "forecast/lattice.h"

#include <math.h>

#define CONFIDENCE 0.95
#define MAX_DAYS_OF_ONE_WINTER 366

/* Returns the winter of a year, inserted in order if it is new; NULL: no place for another. */
static struct wg_winter *find_winter(struct wg_winters *winters, int year) {
    int at = 0;
    while (at < winters->n && winters->winter[at].year < year)
        at++;
    if (at < winters->n && winters->winter[at].year == year)
        return &winters->winter[at];
    if (winters->n == WG_MAX_WINTERS)
        return NULL;
    for (int i = winters->n++; i > at; i--)
        winters->winter[i] = winters->winter[i - 1];
    winters->winter[at] = (struct wg_winter){.year = year};
    return &winters->winter[at];
}

static void compute_interval(struct wg_winters *winters) {
    double sum = 0, squares = 0;
    for (int i = 0; i < winters->n; i++)
        sum += (double)winters->winter[i].alive / (double)winters->winter[i].n;
    winters->share = sum / winters->n;
    for (int i = 0; i < winters->n; i++) {
        const double apart = (double)winters->winter[i].alive / (double)winters->winter[i].n - winters->share;
        squares += apart * apart;
    }
    winters->interval = wg_mean_interval(winters->share, sqrt(squares / (winters->n - 1)), 0, winters->n, CONFIDENCE);
    if (winters->interval.low < 0)
        winters->interval.low = 0;
    if (winters->interval.high > 1)
        winters->interval.high = 1;
}

int wg_winters_count(struct wg_winters *winters, const struct wg_plan *plan, const struct wg_summary *summary,
                     struct wg_error *err) {
    *winters = (struct wg_winters){0};
    if (plan->climate.kind != WG_CLIMATE_YEARS || plan->last_day - plan->first_day >= MAX_DAYS_OF_ONE_WINTER)
        return 0;
    const double *const survived = wg_summary_outcome(summary, WG_OUTCOME_survived);
    struct wg_climate *climate = NULL;
    int code = wg_climate_new(&climate, &plan->climate, plan->first_day, plan->last_day, err);
    gsl_rng *const rng = code == 0 ? gsl_rng_alloc(wg_rng_type()) : NULL;
    if (code == 0 && rng == NULL)
        code = wg_no_memory(err, NULL);
    for (int64_t k = 0; k < summary->n && code == 0; k++) {
        wg_rng_start(rng, plan->seed, (uint64_t)wg_lattice_cell(plan, k).winter, WG_PURPOSE_WEATHER);
        struct wg_winter *const winter = find_winter(winters, wg_years_replayed(climate, rng));
        if (winter == NULL)
            continue;
        winter->n++;
        winter->alive += survived[k] > 0;
    }
    if (rng != NULL)
        gsl_rng_free(rng);
    wg_climate_free(climate);
    if (code == 0 && winters->n > 0)
        compute_interval(winters);
    return code;
}
