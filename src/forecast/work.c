/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

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

#include <limits.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define WEEK 7
#define FOUR_WEEKS (4 * WEEK)
#define MAX_KEPT 10000
#define MIN_KEPT 100
#define MAX_VALUES ((int64_t)1 << 21)

/* AIR of each place is followed, with several bins, by demand (dry) and crawl-off of each. */
enum quantity { WANTED_DRY, WANTED_WET, CRAWL_OFF, ALIVE, AIR };

static int bin_wanted(const struct wg_plan *plan, int bin) {
    return plan->n_bins == 1 ? (int)WANTED_DRY : AIR + plan->n_places + bin;
}

static int bin_crawl_off(const struct wg_plan *plan, int bin) {
    return plan->n_bins == 1 ? (int)CRAWL_OFF : AIR + plan->n_places + plan->n_bins + bin;
}

/* Only where some feed is given as eaten: the weight given, to all bins and, with several, to each. */
static int all_given(const struct wg_plan *plan) {
    return AIR + plan->n_places + (plan->n_bins > 1 ? 2 * plan->n_bins : 0);
}

static int bin_given(const struct wg_plan *plan, int bin) {
    return all_given(plan) + (plan->n_bins == 1 ? 0 : 1 + bin);
}

static bool is_fed_as_eaten(const struct wg_plan *plan, int bin) {
    return wg_plan_feeds_as_eaten(plan, bin, plan->first_day, plan->last_day);
}

static size_t n_quantities(const struct wg_plan *plan) {
    const size_t given = plan->n_bins > 1 ? 1 + (size_t)plan->n_bins : 1;
    return (size_t)all_given(plan) + (is_fed_as_eaten(plan, -1) ? given : 0);
}

static int n_days(const struct wg_plan *plan) {
    return (int)(plan->last_day - plan->first_day) + 1;
}

static int week_end(const struct wg_work *work, int week) {
    const int end = (week + 1) * WEEK, days = n_days(work->plan);
    return end < days ? end : days;
}

/* ---- the plan's feed ---- */

struct feed_amount {
    double wet_kg, usable_kg;         /* in fixed amounts */
    double mix_wet_kg, mix_usable_kg; /* with feed as eaten, whose amount is not the plan's: see the weight in plan.h */
};

/* Returns the feed the plan gives a bin (-1: all) on days from..to-1 of the period. */
static struct feed_amount feed_given(const struct wg_plan *plan, int bin, int from, int to) {
    struct feed_amount sum = {0};
    for (int i = 0; i < plan->n_actions; i++) {
        const struct wg_action *const a = &plan->actions[i];
        if (a->kind != WG_ACTION_FEED || (bin >= 0 && a->bin != bin))
            continue;
        const struct wg_feed_type *const type = wg_plan_feed(plan, a->as.feed.type);
        const double kg = wg_action_feed_weight_kg(a), usable_kg = kg * (1 - type->moisture) * type->usable;
        const int32_t first = plan->first_day + from, last = plan->first_day + to - 1;
        const int32_t skipped = first > a->from ? (first - a->from + a->every - 1) / a->every : 0;
        for (int32_t day = a->from + skipped * a->every; day <= a->to && day <= last; day += a->every) {
            sum.wet_kg += a->as.feed.as_eaten ? 0 : kg;
            sum.usable_kg += a->as.feed.as_eaten ? 0 : usable_kg;
            sum.mix_wet_kg += kg;
            sum.mix_usable_kg += usable_kg;
        }
    }
    return sum;
}

/* A bin's feedings before a day, and the next one; days of the period. */
struct feedings {
    int first, last, next; /* last -1, next INT_MAX: none */
};

static struct feedings find_feedings(const struct wg_plan *plan, int bin, int before) {
    struct feedings found = {.first = before, .last = -1, .next = INT_MAX};
    for (int i = 0; i < plan->n_actions; i++) {
        const struct wg_action *const a = &plan->actions[i];
        const int from = (int)(a->from - plan->first_day), until = (int)(a->to - plan->first_day);
        if (a->kind != WG_ACTION_FEED || a->bin != bin)
            continue;
        const int times = from < before ? ((until < before - 1 ? until : before - 1) - from) / a->every : -1;
        const int last = from + times * a->every, next = last + a->every;
        found.first = times >= 0 && from < found.first ? from : found.first;
        found.last = times >= 0 && last > found.last ? last : found.last;
        found.next = next <= until && next < found.next ? next : found.next;
    }
    return found;
}

/*
 * Returns a bin's weekly ration: the mean over the four weeks up to its last feeding before day `to`, or over the time
 * since its first feeding, so that daily and fortnightly feeding give the same ration. What is given within less than a
 * week must last until the next feeding, at most four weeks (judgement): one large load is no week's ration.
 */
static double ration_kg(const struct wg_plan *plan, int bin, int to) {
    const struct feedings fed = find_feedings(plan, bin, to);
    if (fed.last < 0)
        return 0;
    const int from = fed.last + 1 - FOUR_WEEKS > fed.first ? fed.last + 1 - FOUR_WEEKS : fed.first;
    int days = fed.last + 1 - from;
    if (days < WEEK)
        days = fed.next - from > FOUR_WEEKS ? FOUR_WEEKS : fed.next - from > WEEK ? fed.next - from : WEEK;
    return feed_given(plan, bin, from, fed.last + 1).usable_kg * WEEK / days;
}

/* Not fed for four weeks, so not merely between two feedings. */
static bool is_unfed_before(const struct wg_plan *plan, int bin, int to) {
    return !(feed_given(plan, bin, to > FOUR_WEEKS ? to - FOUR_WEEKS : 0, to).mix_wet_kg > 0);
}

static void fill_feed(struct wg_work *work) {
    const struct wg_plan *const plan = work->plan;
    const struct feed_amount all = feed_given(plan, -1, 0, n_days(plan));
    for (int b = 0; b < plan->n_bins; b++) {
        const struct feed_amount whole = feed_given(plan, b, 0, n_days(plan));
        for (int w = 0; w < work->n_weeks; w++) {
            struct feed_amount mix = feed_given(plan, b, w * WEEK, week_end(work, w));
            if (mix.mix_usable_kg <= 0)
                mix = whole.mix_usable_kg > 0 ? whole : all;
            work->ration[b * work->n_weeks + w] = ration_kg(plan, b, week_end(work, w));
            work->usable[b * work->n_weeks + w] =
                mix.mix_usable_kg > 0 ? mix.mix_usable_kg / mix.mix_wet_kg : (double)NAN;
        }
    }
}

/* ---- memory ---- */

/* Lists the moves of the plan. Its actions are sorted by first day, so moves that share days are neighbours. */
static void find_moves(struct wg_work *work) {
    const struct wg_plan *const plan = work->plan;
    for (int i = 0; i < plan->n_actions; i++) {
        const struct wg_action *const a = &plan->actions[i];
        const int32_t until = a->when.kind == WG_WHEN_ALWAYS ? a->from : a->to;
        const int32_t from = until > a->from && a->from < plan->first_day ? plan->first_day : a->from;
        const int32_t to = until < plan->last_day ? until : plan->last_day;
        struct wg_work_move *const before = work->n_moves > 0 ? &work->move[work->n_moves - 1] : NULL;
        if (a->kind != WG_ACTION_MOVE || from < plan->first_day || from > to)
            continue;
        if (before != NULL && from <= before->to)
            before->to = to > before->to ? to : before->to;
        else if (work->n_moves < WG_WORK_MOVES)
            work->move[work->n_moves++] = (struct wg_work_move){from, to, INT32_MAX, INT32_MIN};
        else
            work->has_more_moves = true;
    }
}

int wg_work_init(struct wg_work *work, const struct wg_plan *plan, int64_t replicates, struct wg_error *err) {
    *work = (struct wg_work){.plan = plan, .n_weeks = (n_days(plan) + WEEK - 1) / WEEK};
    const size_t weeks = (size_t)work->n_weeks, quantities = n_quantities(plan);
    const int64_t bound = MAX_VALUES / (int64_t)(weeks * quantities);
    work->capacity = bound < MIN_KEPT ? MIN_KEPT : bound < MAX_KEPT ? bound : MAX_KEPT;
    if (replicates < work->capacity)
        work->capacity = replicates > 0 ? replicates : 1;
    find_moves(work);
    work->moved = calloc((size_t)work->n_moves * WG_N_STAGES * (size_t)work->capacity + 1, sizeof *work->moved);
    work->kept = calloc(quantities * weeks * (size_t)work->capacity, sizeof *work->kept);
    work->scratch = calloc((size_t)work->capacity, sizeof *work->scratch);
    work->faults = calloc(WG_N_FAULTS * (size_t)plan->n_bins * weeks + 1, sizeof *work->faults);
    work->alive_faults = calloc(WG_N_FAULTS * (size_t)plan->n_bins * weeks + 1, sizeof *work->alive_faults);
    work->alive = calloc(weeks, sizeof *work->alive);
    work->usable = calloc((size_t)plan->n_bins * weeks + 1, sizeof *work->usable);
    work->ration = calloc((size_t)plan->n_bins * weeks + 1, sizeof *work->ration);
    if (work->kept == NULL || work->scratch == NULL || work->faults == NULL || work->alive_faults == NULL ||
        work->alive == NULL || work->usable == NULL || work->ration == NULL || work->moved == NULL) {
        wg_work_free(work);
        return wg_no_memory(err, NULL);
    }
    fill_feed(work);
    return 0;
}

void wg_work_free(struct wg_work *work) {
    free(work->moved);
    free(work->kept);
    free(work->scratch);
    free(work->faults);
    free(work->alive_faults);
    free(work->alive);
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

static bool lives_in_week(const struct wg_work *work, int week, const struct wg_diary *diary) {
    const int64_t *const count = diary->count; /* [day][stage] */
    for (int i = week * WEEK * WG_N_STAGES; i < week_end(work, week) * WG_N_STAGES; i++)
        if (count[i] > 0)
            return true;
    return false;
}

static void keep_given(struct wg_work *work, int week, const struct wg_diary *diary) {
    const int from = week * WEEK, to = week_end(work, week);
    double all = 0;
    for (int b = 0; b < diary->n_bins; b++) {
        const double given = sum_days(diary->feed_fresh, diary->n_bins, b, from, to);
        kept_values(work, bin_given(work->plan, b), week)[work->n] = given;
        all += given;
    }
    kept_values(work, all_given(work->plan), week)[work->n] = all;
}

static void keep_week(struct wg_work *work, int week, const struct wg_diary *diary) {
    const struct wg_plan *const plan = work->plan;
    const int from = week * WEEK, to = week_end(work, week), bins = diary->n_bins;
    double dry = 0, wet = 0;
    for (int b = 0; b < bins; b++) {
        const double wanted = sum_days(diary->feed_demand, bins, b, from, to);
        dry += wanted;
        if (wanted > 0) /* a bin without larvae has no demand, whatever it is fed */
            wet += wanted / work->usable[b * work->n_weeks + week];
        kept_values(work, bin_wanted(plan, b), week)[work->n] = wanted;
        kept_values(work, bin_crawl_off(plan, b), week)[work->n] = sum_days(diary->bin_crawl_off, bins, b, from, to);
    }
    kept_values(work, WANTED_DRY, week)[work->n] = dry;
    kept_values(work, WANTED_WET, week)[work->n] = wet;
    kept_values(work, CRAWL_OFF, week)[work->n] = sum_days(diary->crawl_off_mass, 1, 0, from, to);
    kept_values(work, ALIVE, week)[work->n] = lives_in_week(work, week, diary);
    for (int p = 0; p < diary->n_places; p++)
        kept_values(work, AIR + p, week)[work->n] =
            sum_days(diary->air_temperature, diary->n_places, p, from, to) / (to - from);
    if (is_fed_as_eaten(plan, -1))
        keep_given(work, week, diary);
}

static void count_faults(struct wg_work *work, int bin, int week, bool lives, const struct wg_diary *diary) {
    const int from = week * WEEK, to = week_end(work, week), bins = diary->n_bins;
    const double wanted = sum_days(diary->feed_demand, bins, bin, from, to);
    const double eaten = sum_days(diary->feed_eaten, bins, bin, from, to);
    const double left = diary->feed_left[(ptrdiff_t)(to - 1) * bins + bin];
    /* what is given as eaten is what the larvae will eat, however much lies there */
    const bool has_ration =
        !wg_plan_feeds_as_eaten(work->plan, bin, work->plan->first_day + from - WEEK, work->plan->first_day + to - 1);
    const double ration = has_ration ? work->ration[bin * work->n_weeks + week] : 0;
    const int at = bin * work->n_weeks + week, of_fault = bins * work->n_weeks;
    const bool has_fault[WG_N_FAULTS] = {[WG_UNDERFED] =
                                             eaten<WG_WORK_HUNGRY * wanted, [WG_OVERFED] = ration> 0 && left > ration};
    for (int f = 0; f < WG_N_FAULTS; f++) {
        work->faults[f * of_fault + at] += has_fault[f];
        work->alive_faults[f * of_fault + at] += has_fault[f] && lives;
    }
}

static double *moved_values(const struct wg_work *work, int move, enum wg_stage stage) {
    return work->moved + (ptrdiff_t)(move * WG_N_STAGES + (int)stage) * work->capacity;
}

static void keep_move(struct wg_work *work, int i, int32_t day, const struct wg_diary *diary) {
    struct wg_work_move *const move = &work->move[i];
    const int64_t *const moved = diary->moved + (ptrdiff_t)(day - diary->first_day) * WG_N_STAGES;
    for (int stage = 0; stage < WG_N_STAGES; stage++) {
        moved_values(work, i, (enum wg_stage)stage)[work->n] += (double)moved[stage];
        if (moved[stage] == 0)
            continue;
        move->first = day < move->first ? day : move->first;
        move->last = day > move->last ? day : move->last;
    }
}

static void keep_moves(struct wg_work *work, const struct wg_diary *diary) {
    for (int i = 0; i < work->n_moves; i++)
        for (int32_t day = work->move[i].from; day <= work->move[i].to; day++)
            keep_move(work, i, day, diary);
}

static int on_replicate_work(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    struct wg_work *const work = self;
    (void)replicate;
    (void)err;
    wg_assert(diary->n_days == n_days(work->plan) && diary->n_bins == work->plan->n_bins);
    for (int w = 0; w < work->n_weeks; w++) {
        const bool lives = lives_in_week(work, w, diary);
        if (work->n < work->capacity)
            keep_week(work, w, diary);
        work->alive[w] += lives;
        for (int b = 0; b < diary->n_bins && !work->plan->feed_unlimited; b++)
            count_faults(work, b, w, lives, diary);
    }
    if (work->n < work->capacity)
        keep_moves(work, diary);
    work->all_winter += wg_diary_emerges_all_winter(diary);
    work->n++;
    return 0;
}

struct wg_observer wg_work_observer(struct wg_work *work) {
    return (struct wg_observer){.on_replicate = on_replicate_work, .self = work};
}

/* ---- one week ---- */

static size_t n_kept(const struct wg_work *work) {
    return (size_t)(work->n < work->capacity ? work->n : work->capacity);
}

static struct wg_work_spread sorted_spread(const struct wg_work *work, size_t n) {
    wg_sort(work->scratch, n);
    return (struct wg_work_spread){.q05 = wg_quantile_sorted(work->scratch, n, 0.05),
                                   .q50 = wg_quantile_sorted(work->scratch, n, 0.50),
                                   .q95 = wg_quantile_sorted(work->scratch, n, 0.95)};
}

static struct wg_work_spread week_spread(const struct wg_work *work, int quantity, int week) {
    memcpy(work->scratch, kept_values(work, quantity, week), n_kept(work) * sizeof *work->scratch);
    return sorted_spread(work, n_kept(work));
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
    else if (is_fed_as_eaten(work->plan, -1))
        out->given_wet_kg = week_spread(work, all_given(work->plan), week).q50;
}

struct wg_work_spread wg_work_moved(const struct wg_work *work, int move, enum wg_stage stage) {
    wg_assert(move >= 0 && move < work->n_moves);
    memcpy(work->scratch, moved_values(work, move, stage), n_kept(work) * sizeof *work->scratch);
    return sorted_spread(work, n_kept(work));
}

int64_t wg_work_moved_nothing(const struct wg_work *work, int move, int64_t *of) {
    int64_t none = 0;
    *of = (int64_t)n_kept(work);
    for (size_t k = 0; k < n_kept(work); k++) {
        double sum = 0;
        for (int stage = 0; stage < WG_N_STAGES; stage++)
            sum += moved_values(work, move, (enum wg_stage)stage)[k];
        none += !(sum > 0);
    }
    return none;
}

double wg_work_air_c(const struct wg_work *work, int week, int place) {
    wg_assert(week >= 0 && week < work->n_weeks && place >= 0 && place < work->plan->n_places);
    return week_spread(work, AIR + place, week).q50;
}

double wg_work_pull_days(const struct wg_work *work, int week, int place) {
    const double days = wg_trap_interval_days(&work->plan->species, wg_work_air_c(work, week, place), WG_WORK_HATCHED);
    return isfinite(days) ? fmax(1, floor(days)) : HUGE_VAL;
}

bool wg_work_has_traps(const struct wg_work *work, int week, int place) {
    const struct wg_plan *const plan = work->plan;
    const int32_t from = week < 0 ? plan->first_day : plan->first_day + week * WEEK;
    const int32_t to = week < 0 ? plan->last_day : plan->first_day + week_end(work, week) - 1;
    for (int i = 0; i < plan->n_actions; i++) {
        const struct wg_action *const action = &plan->actions[i];
        if ((action->kind == WG_ACTION_LAY_IN_TRAPS || action->kind == WG_ACTION_PULL_TRAPS) &&
            action->place == place && action->from <= to && action->to >= from)
            return true;
    }
    return false;
}

/* ---- consecutive weeks ---- */

struct weeks {
    int first, n, days;
};

static struct weeks weeks_of(const struct wg_work *work, int week, int n) {
    wg_assert(week >= 0 && n >= 1 && week + n <= work->n_weeks);
    return (struct weeks){week, n, week_end(work, week + n - 1) - week * WEEK};
}

/* Sums a quantity over weeks in a replicate; the mean of a week if there are several. */
static double mean_week(const struct wg_work *work, int quantity, const struct weeks *weeks, size_t replicate) {
    double sum = 0;
    for (int w = weeks->first; w < weeks->first + weeks->n; w++)
        sum += kept_values(work, quantity, w)[replicate];
    return weeks->n == 1 ? sum : sum * WEEK / weeks->days;
}

/* Returns the spread over the replicates in which the colony lives on a day of the weeks, and their number. */
static struct wg_work_spread living_spread(const struct wg_work *work, int quantity, const struct weeks *weeks,
                                           size_t *n_living) {
    size_t n = 0;
    for (size_t k = 0; k < n_kept(work); k++)
        if (mean_week(work, ALIVE, weeks, k) > 0)
            work->scratch[n++] = mean_week(work, quantity, weeks, k);
    if (n_living != NULL)
        *n_living = n;
    return sorted_spread(work, n);
}

void wg_work_span(const struct wg_work *work, int week, int n, struct wg_work_span *out) {
    const struct weeks weeks = weeks_of(work, week, n);
    size_t living;
    *out = (struct wg_work_span){
        .from = week * WEEK, .days = weeks.days, .crawl_off_kg = living_spread(work, CRAWL_OFF, &weeks, &living)};
    /* a week's count is over all replicates; in several weeks only those kept can be told apart */
    out->alive = n == 1 ? (double)work->alive[week] / (double)work->n : (double)living / (double)n_kept(work);
}

static bool has_fault_in(const struct wg_work *work, enum wg_work_fault fault, int bin, const struct weeks *weeks) {
    const int64_t *const count =
        work->alive_faults + (ptrdiff_t)((int)fault * work->plan->n_bins + bin) * work->n_weeks;
    int64_t with = 0, all = 0;
    for (int w = weeks->first; w < weeks->first + weeks->n; w++) {
        with += count[w];
        all += work->alive[w];
    }
    return 2 * with > all;
}

/* The usable dry share of the feed, over weeks whose mix may differ. */
static double mean_usable(const struct wg_work *work, int bin, const struct weeks *weeks) {
    double sum = 0;
    for (int w = weeks->first; w < weeks->first + weeks->n; w++)
        sum += work->usable[bin * work->n_weeks + w];
    return sum / weeks->n;
}

void wg_work_bin(const struct wg_work *work, int week, int n, int bin, struct wg_work_bin *out) {
    const struct weeks weeks = weeks_of(work, week, n);
    const struct wg_plan *const plan = work->plan;
    const int from = week * WEEK, to = from + weeks.days;
    const double given_kg = feed_given(plan, bin, from, to).wet_kg;
    *out = (struct wg_work_bin){.wanted_kg = living_spread(work, bin_wanted(plan, bin), &weeks, NULL),
                                .crawl_off_kg = living_spread(work, bin_crawl_off(plan, bin), &weeks, NULL),
                                .given_wet_kg = n == 1 ? given_kg : given_kg * WEEK / weeks.days};
    out->given_kg = (struct wg_work_spread){out->given_wet_kg, out->given_wet_kg, out->given_wet_kg};
    if (is_fed_as_eaten(plan, bin)) {
        out->given_kg = living_spread(work, bin_given(plan, bin), &weeks, NULL);
        out->given_wet_kg = out->given_kg.q50;
    }
    out->is_unfed = !plan->feed_unlimited && is_unfed_before(plan, bin, to);
    for (int f = 0; f < WG_N_FAULTS; f++)
        out->has_fault[f] = has_fault_in(work, (enum wg_work_fault)f, bin, &weeks);
    if (plan->feed_unlimited) {
        out->given_wet_kg = (double)NAN;
        return;
    }
    const double usable = mean_usable(work, bin, &weeks);
    out->wanted_kg.q05 /= usable;
    out->wanted_kg.q50 /= usable;
    out->wanted_kg.q95 /= usable;
}

/* ---- spells ---- */

bool wg_work_spell(const struct wg_work *work, enum wg_work_fault fault, int bin, int i, struct wg_work_spell *out) {
    const int64_t *const count = work->faults + (ptrdiff_t)((int)fault * work->plan->n_bins + bin) * work->n_weeks;
    int64_t worst = 0;
    int unfed = 0;
    for (int week = 0, from = 0; week <= work->n_weeks; week++) {
        if (week < work->n_weeks && 2 * count[week] > work->n) {
            worst = count[week] > worst ? count[week] : worst;
            unfed += is_unfed_before(work->plan, bin, week_end(work, week));
            continue;
        }
        if (week > from && i-- == 0) {
            *out = (struct wg_work_spell){from, week - from, unfed, (double)worst / (double)work->n};
            return true;
        }
        from = week + 1;
        worst = 0;
        unfed = 0;
    }
    return false;
}
