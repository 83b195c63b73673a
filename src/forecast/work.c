/*
 * Computes the keeper's weekly work: weekly sums of each replicate, and their quantiles over replicates.
 *
 *     wet feed = dry usable feed / ((1 - moisture) x usable share), of the kinds the plan gives that bin
 *
 * The mix of kinds is the week's; in a week without feed, that of the bin's whole plan; for a bin that is never fed,
 * that of all bins.
 */
#include "forecast/work.h"

#include "base/stats.h"
#include "species/lifetable.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define WEEK 7
#define FOUR_WEEKS (4 * WEEK)
#define MAX_KEPT 10000
#define MIN_KEPT 100
#define MAX_VALUES ((int64_t)1 << 20)

enum quantity { WANTED_DRY, WANTED_WET, CRAWL_OFF, AIR };

static int n_days(const struct wg_plan *plan) {
    return (int)(plan->last_day - plan->first_day) + 1;
}

static int week_end(const struct wg_work *work, int week) {
    const int end = (week + 1) * WEEK, days = n_days(work->plan);
    return end < days ? end : days;
}

/* ---- the plan's feed ---- */

struct feed_amount {
    double wet_kg, usable_kg;
};

/* Returns the feed the plan gives a bin (-1: all) on days from..to-1 of the period. */
static struct feed_amount feed_given(const struct wg_plan *plan, int bin, int from, int to) {
    struct feed_amount sum = {0, 0};
    for (int i = 0; i < plan->n_actions; i++) {
        const struct wg_action *const a = &plan->actions[i];
        if (a->kind != WG_ACTION_FEED || (bin >= 0 && a->bin != bin))
            continue;
        const struct wg_feed_type *const type = &wg_feed_types()[a->as.feed.type];
        const int32_t first = plan->first_day + from, last = plan->first_day + to - 1;
        const int32_t skipped = first > a->from ? (first - a->from + a->every - 1) / a->every : 0;
        for (int32_t day = a->from + skipped * a->every; day <= a->to && day <= last; day += a->every) {
            sum.wet_kg += a->as.feed.wet_kg;
            sum.usable_kg += a->as.feed.wet_kg * (1 - type->moisture) * type->usable;
        }
    }
    return sum;
}

/*
 * Returns a bin's weekly ration: the mean over the four weeks up to its last feeding before day `to`, or over the time
 * since its first feeding, so that daily and fortnightly feeding give the same ration.
 */
static double ration_kg(const struct wg_plan *plan, int bin, int to) {
    int first = to, last = -1;
    for (int i = 0; i < plan->n_actions; i++) {
        const struct wg_action *const a = &plan->actions[i];
        const int from = (int)(a->from - plan->first_day), until = (int)(a->to - plan->first_day);
        if (a->kind != WG_ACTION_FEED || a->bin != bin || from >= to)
            continue;
        const int times = ((until < to - 1 ? until : to - 1) - from) / a->every;
        first = from < first ? from : first;
        last = from + times * a->every > last ? from + times * a->every : last;
    }
    if (last < 0)
        return 0;
    const int from = last + 1 - FOUR_WEEKS > first ? last + 1 - FOUR_WEEKS : first;
    const int days = last + 1 - from > WEEK ? last + 1 - from : WEEK;
    return feed_given(plan, bin, from, last + 1).usable_kg * WEEK / days;
}

static void fill_feed(struct wg_work *work) {
    const struct wg_plan *const plan = work->plan;
    const struct feed_amount all = feed_given(plan, -1, 0, n_days(plan));
    for (int b = 0; b < plan->n_bins; b++) {
        const struct feed_amount whole = feed_given(plan, b, 0, n_days(plan));
        for (int w = 0; w < work->n_weeks; w++) {
            struct feed_amount mix = feed_given(plan, b, w * WEEK, week_end(work, w));
            if (mix.usable_kg <= 0)
                mix = whole.usable_kg > 0 ? whole : all;
            work->ration[b * work->n_weeks + w] = ration_kg(plan, b, week_end(work, w));
            work->usable[b * work->n_weeks + w] = mix.usable_kg > 0 ? mix.usable_kg / mix.wet_kg : (double)NAN;
        }
    }
}

/* ---- memory ---- */

int wg_work_init(struct wg_work *work, const struct wg_plan *plan, int64_t replicates, struct wg_error *err) {
    *work = (struct wg_work){.plan = plan, .n_weeks = (n_days(plan) + WEEK - 1) / WEEK};
    const size_t weeks = (size_t)work->n_weeks, quantities = AIR + (size_t)plan->n_places;
    const int64_t bound = MAX_VALUES / (int64_t)(weeks * quantities);
    work->capacity = bound < MIN_KEPT ? MIN_KEPT : bound < MAX_KEPT ? bound : MAX_KEPT;
    if (replicates < work->capacity)
        work->capacity = replicates > 0 ? replicates : 1;
    work->kept = calloc(quantities * weeks * (size_t)work->capacity, sizeof *work->kept);
    work->scratch = calloc((size_t)work->capacity, sizeof *work->scratch);
    work->faults = calloc(WG_N_FAULTS * (size_t)plan->n_bins * weeks + 1, sizeof *work->faults);
    work->usable = calloc((size_t)plan->n_bins * weeks + 1, sizeof *work->usable);
    work->ration = calloc((size_t)plan->n_bins * weeks + 1, sizeof *work->ration);
    if (work->kept == NULL || work->scratch == NULL || work->faults == NULL || work->usable == NULL ||
        work->ration == NULL) {
        wg_work_free(work);
        return wg_no_memory(err, NULL);
    }
    fill_feed(work);
    return 0;
}

void wg_work_free(struct wg_work *work) {
    free(work->kept);
    free(work->scratch);
    free(work->faults);
    free(work->usable);
    free(work->ration);
    *work = (struct wg_work){0};
}

/* ---- the observer ---- */

static double *kept_values(const struct wg_work *work, int quantity, int week) {
    return work->kept + (ptrdiff_t)(quantity * work->n_weeks + week) * work->capacity;
}

/* Sums column `at` of a series of `width` values a day over days from..to-1. */
static double sum_days(const double *series, int width, int at, int from, int to) {
    double sum = 0;
    for (int day = from; day < to; day++)
        sum += series[(ptrdiff_t)day * width + at];
    return sum;
}

static void keep_week(struct wg_work *work, int week, const struct wg_diary *diary) {
    const int from = week * WEEK, to = week_end(work, week), bins = diary->n_bins;
    double dry = 0, wet = 0;
    for (int b = 0; b < bins; b++) {
        const double wanted = sum_days(diary->feed_demand, bins, b, from, to);
        dry += wanted;
        if (wanted > 0) /* a bin without larvae has no demand, whatever it is fed */
            wet += wanted / work->usable[b * work->n_weeks + week];
    }
    kept_values(work, WANTED_DRY, week)[work->n] = dry;
    kept_values(work, WANTED_WET, week)[work->n] = wet;
    kept_values(work, CRAWL_OFF, week)[work->n] = sum_days(diary->crawl_off_mass, 1, 0, from, to);
    for (int p = 0; p < diary->n_places; p++)
        kept_values(work, AIR + p, week)[work->n] =
            sum_days(diary->air_temperature, diary->n_places, p, from, to) / (to - from);
}

static void count_faults(struct wg_work *work, int bin, int week, const struct wg_diary *diary) {
    const int from = week * WEEK, to = week_end(work, week), bins = diary->n_bins;
    const double wanted = sum_days(diary->feed_demand, bins, bin, from, to);
    const double eaten = sum_days(diary->feed_eaten, bins, bin, from, to);
    const double left = diary->feed_left[(ptrdiff_t)(to - 1) * bins + bin];
    const double ration = work->ration[bin * work->n_weeks + week];
    const int at = bin * work->n_weeks + week, of_fault = bins * work->n_weeks;
    work->faults[WG_UNDERFED * of_fault + at] += eaten < WG_WORK_HUNGRY * wanted;
    work->faults[WG_OVERFED * of_fault + at] += ration > 0 && left > ration;
}

static int on_replicate_work(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    struct wg_work *const work = self;
    (void)replicate;
    (void)err;
    wg_assert(diary->n_days == n_days(work->plan) && diary->n_bins == work->plan->n_bins);
    for (int w = 0; w < work->n_weeks; w++) {
        if (work->n < work->capacity)
            keep_week(work, w, diary);
        for (int b = 0; b < diary->n_bins && !work->plan->feed_unlimited; b++)
            count_faults(work, b, w, diary);
    }
    work->n++;
    return 0;
}

struct wg_observer wg_work_observer(struct wg_work *work) {
    return (struct wg_observer){.on_replicate = on_replicate_work, .self = work};
}

/* ---- one week ---- */

static struct wg_work_spread week_spread(const struct wg_work *work, int quantity, int week) {
    const size_t n = (size_t)(work->n < work->capacity ? work->n : work->capacity);
    memcpy(work->scratch, kept_values(work, quantity, week), n * sizeof *work->scratch);
    wg_sort(work->scratch, n);
    return (struct wg_work_spread){.q05 = wg_quantile_sorted(work->scratch, n, 0.05),
                                   .q50 = wg_quantile_sorted(work->scratch, n, 0.50),
                                   .q95 = wg_quantile_sorted(work->scratch, n, 0.95)};
}

void wg_work_week(const struct wg_work *work, int week, struct wg_work_week *out) {
    wg_assert(week >= 0 && week < work->n_weeks);
    const int from = week * WEEK, to = week_end(work, week);
    *out = (struct wg_work_week){.from = from,
                                 .days = to - from,
                                 .wanted_dry_kg = week_spread(work, WANTED_DRY, week),
                                 .wanted_wet_kg = week_spread(work, WANTED_WET, week),
                                 .crawl_off_kg = week_spread(work, CRAWL_OFF, week),
                                 .given_wet_kg = feed_given(work->plan, -1, from, to).wet_kg};
    if (work->plan->feed_unlimited)
        out->given_wet_kg = (double)NAN;
}

double wg_work_air_c(const struct wg_work *work, int week, int place) {
    wg_assert(week >= 0 && week < work->n_weeks && place >= 0 && place < work->plan->n_places);
    return week_spread(work, AIR + place, week).q50;
}

double wg_work_pull_days(const struct wg_work *work, int week, int place) {
    const double days = wg_trap_interval_days(&work->plan->species, wg_work_air_c(work, week, place), WG_WORK_HATCHED);
    return isfinite(days) ? fmax(1, floor(days)) : HUGE_VAL;
}

bool wg_work_has_traps(const struct wg_plan *plan, int place) {
    bool any = false;
    for (int i = 0; i < plan->n_actions; i++) {
        const struct wg_action *const action = &plan->actions[i];
        if (action->kind != WG_ACTION_LAY_IN_TRAPS && action->kind != WG_ACTION_PULL_TRAPS)
            continue;
        any = true;
        if (action->place == place)
            return true;
    }
    for (int b = 0; b < plan->n_bins && !any; b++)
        if (plan->bins[b].place == place)
            return true;
    return false;
}

/* ---- spells ---- */

bool wg_work_spell(const struct wg_work *work, enum wg_work_fault fault, int bin, int i, struct wg_work_spell *out) {
    const int64_t *const count = work->faults + (ptrdiff_t)((int)fault * work->plan->n_bins + bin) * work->n_weeks;
    int64_t worst = 0;
    for (int week = 0, from = 0; week <= work->n_weeks; week++) {
        if (week < work->n_weeks && 2 * count[week] > work->n) {
            worst = count[week] > worst ? count[week] : worst;
            continue;
        }
        if (week > from && i-- == 0) {
            *out = (struct wg_work_spell){from, week - from, (double)worst / (double)work->n};
            return true;
        }
        from = week + 1;
        worst = 0;
    }
    return false;
}
