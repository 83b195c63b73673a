/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Daily series of one replicate, which the colony fills, and the outcomes computed from them.
 *
 * Overlap of generations: exp(-sum p ln p) over the shares p of the generations
 * among individuals past the egg (Hill 1973, Ecology 54:427, order 1; MEMORY).
 */
#include "colony/diary.h"

#include "base/calendar.h"
#include "base/elementary.h"
#include "plan/plan.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#define DAYS_A_WEEK 7
#define OVERLAP_DAYS 365 /* averaging time of the overlap */
#define BATCH_DAYS 365   /* in which crawl-off is told apart by batch, from the first day with any animal */
#define NEVER ((double)NAN)

const struct wg_series *wg_diary_series(void) {
#define IS_int64_t 1
#define IS_double 0
#define SERIES_ROW(type, name, dims, unit, text) {#name, unit, text, dims, IS_##type, offsetof(struct wg_diary, name)},
    static const struct wg_series table[] = {WG_DIARY_TABLE(SERIES_ROW){NULL, NULL, NULL, WG_PER_DAY, 0, 0}};
#undef SERIES_ROW
    return table;
}

const struct wg_outcome *wg_diary_outcomes(void) {
#define OUTCOME_ROW(name, missing, unit, text) {#name, unit, text, missing, offsetof(struct wg_diary, name)},
    static const struct wg_outcome table[] = {WG_OUTCOME_TABLE(OUTCOME_ROW){NULL, NULL, NULL, WG_MISSING_LATER, 0}};
#undef OUTCOME_ROW
    return table;
}

int wg_diary_width(const struct wg_diary *diary, enum wg_series_dims dims) {
    switch (dims) {
    case WG_PER_DAY:
        break;
    case WG_PER_DAY_STAGE:
        return WG_N_STAGES;
    case WG_PER_DAY_PLACE:
        return diary->n_places;
    case WG_PER_DAY_BIN:
        return diary->n_bins;
    case WG_PER_DAY_CAUSE:
        return WG_N_CAUSES;
    }
    return 1;
}

/* Copies the pointer as bytes: reading int64_t * through double * would violate strict aliasing. */
static void *array_of(const struct wg_diary *diary, const struct wg_series *series) {
    void *array;
    memcpy(&array, (const char *)diary + series->offset, sizeof array);
    return array;
}

const void *wg_diary_values(const struct wg_diary *diary, const struct wg_series *series) {
    return array_of(diary, series);
}

double wg_diary_outcome(const struct wg_diary *diary, const struct wg_outcome *outcome) {
    double value;
    memcpy(&value, (const char *)diary + outcome->offset, sizeof value);
    return value;
}

bool wg_outcome_is_kept(enum wg_outcome_number outcome, const struct wg_plan *plan) {
    if (outcome >= WG_OUTCOME_alive_ours)
        return wg_plan_has_neighbour(plan);
    return outcome < WG_OUTCOME_income_larvae || wg_plan_keeps_accounts(plan);
}

/* ---- memory ---- */

static size_t series_values(const struct wg_diary *diary, const struct wg_series *series) {
    return (size_t)diary->n_days * (size_t)wg_diary_width(diary, series->dims);
}

static size_t max_generation_counts(const struct wg_diary *diary) {
    return (size_t)diary->n_days * WG_N_STAGES * (size_t)diary->n_generations;
}

/* Generation 0 crawls off if it is put in before it can: as eggs or larvae. */
static int first_batch_of(const struct wg_plan *plan) {
    for (int i = 0; i < plan->n_actions; i++)
        if (plan->actions[i].kind == WG_ACTION_START && plan->actions[i].as.start.what != WG_MOVABLE_PREPUPAE)
            return 0;
    return 1;
}

int wg_diary_init(struct wg_diary *diary, const struct wg_plan *plan, struct wg_error *err) {
    memset(diary, 0, sizeof *diary);
    wg_assert(plan->last_day >= plan->first_day);
    diary->first_day = plan->first_day;
    diary->n_days = plan->last_day - plan->first_day + 1;
    diary->n_places = plan->n_places;
    diary->n_bins = plan->n_bins;
    diary->n_generations = wg_plan_generations(plan);
    diary->first_batch = first_batch_of(plan);
    diary->southern = plan->climate.latitude_deg < 0.0;
    diary->has_no_spring = wg_plan_is_tropical(plan);
    diary->stopped_day = -1;
    for (int p = 0; p < plan->n_places && plan->places != NULL; p++) /* the sizes alone make a diary */
        diary->is_neighbours[p] = plan->places[p].is_neighbour;
    _Static_assert(sizeof(int64_t) == sizeof(double), "one size serves both kinds of series");
    diary->living = calloc((size_t)diary->n_days, sizeof *diary->living);
    diary->alive = malloc(max_generation_counts(diary) * sizeof *diary->alive);
    diary->batch_crawl_off = calloc((size_t)diary->n_days * WG_N_BATCHES, sizeof *diary->batch_crawl_off);
    bool has_memory = diary->living != NULL && diary->alive != NULL && diary->batch_crawl_off != NULL;
    for (const struct wg_series *s = wg_diary_series(); s->name != NULL && has_memory; s++) {
        const size_t n = series_values(diary, s);
        void *const array = calloc(n > 0 ? n : 1, sizeof(double));
        has_memory = array != NULL;
        memcpy((char *)diary + s->offset, &array, sizeof array);
    }
    if (has_memory)
        return 0;
    wg_diary_free(diary);
    return wg_no_memory(err, NULL);
}

void wg_diary_free(struct wg_diary *diary) {
    for (const struct wg_series *s = wg_diary_series(); s->name != NULL; s++)
        free(array_of(diary, s));
    free(diary->batch_crawl_off);
    free(diary->living);
    free(diary->alive);
    memset(diary, 0, sizeof *diary);
}

void wg_diary_clear(struct wg_diary *diary) {
    for (const struct wg_series *s = wg_diary_series(); s->name != NULL; s++)
        memset(array_of(diary, s), 0, series_values(diary, s) * sizeof(double));
    memset(diary->batch_crawl_off, 0, (size_t)diary->n_days * WG_N_BATCHES * sizeof *diary->batch_crawl_off);
    memset(diary->living, 0, (size_t)diary->n_days * sizeof *diary->living);
    memset(diary->dead, 0, sizeof diary->dead);
    diary->n_alive = 0;
    for (const struct wg_outcome *o = wg_diary_outcomes(); o->name != NULL; o++)
        memset((char *)diary + o->offset, 0, sizeof(double));
    diary->stopped_day = -1;
}

/* ---- generations ---- */

static bool are_all_zero(const int64_t *count) {
    for (int stage = 0; stage < WG_N_STAGES; stage++)
        if (count[stage] != 0)
            return false;
    return true;
}

void wg_diary_set_living(struct wg_diary *diary, int day, int first, int n, const int64_t *count) {
    wg_assert(day >= 0 && day < diary->n_days);
    wg_assert(first >= 0 && n >= 0 && first + n <= diary->n_generations);
    for (; n > 0 && are_all_zero(count + (ptrdiff_t)(n - 1) * WG_N_STAGES); n--) {
    }
    for (; n > 0 && are_all_zero(count); n--, first++)
        count += WG_N_STAGES;
    const size_t values = (size_t)n * WG_N_STAGES;
    wg_assert(diary->n_alive + values <= max_generation_counts(diary));
    diary->living[day] = (struct wg_living_generations){.first = first, .n = n, .from = diary->n_alive};
    memcpy(diary->alive + diary->n_alive, count, values * sizeof *count);
    diary->n_alive += values;
}

int64_t wg_diary_living(const struct wg_diary *diary, int day, enum wg_stage stage, int generation) {
    wg_assert(day >= 0 && day < diary->n_days);
    const struct wg_living_generations *const living = &diary->living[day];
    const int g = generation - living->first;
    return g < 0 || g >= living->n ? 0 : diary->alive[living->from + (size_t)g * WG_N_STAGES + stage];
}

/* ---- crawl-off ---- */

void wg_diary_add_crawl_off(struct wg_diary *diary, int day, int bin, int generation, int64_t count, double mass_kg) {
    wg_assert(day >= 0 && day < diary->n_days && bin >= 0 && bin < diary->n_bins);
    const int batch = generation - diary->first_batch;
    diary->crawl_off_count[day] += count;
    diary->crawl_off_mass[day] += mass_kg;
    diary->bin_crawl_off[(ptrdiff_t)day * diary->n_bins + bin] += mass_kg;
    if (batch >= 0 && batch < WG_N_BATCHES)
        diary->batch_crawl_off[(ptrdiff_t)day * WG_N_BATCHES + batch] += count;
}

/* ---- outcomes ---- */

/* A replicate that was stopped is summed over the days simulated. */
static int days_simulated(const struct wg_diary *diary) {
    return diary->stopped_day < 0 ? diary->n_days : diary->stopped_day - diary->first_day;
}

static int64_t sum_counts(const int64_t *values, int n) {
    int64_t sum = 0;
    for (int i = 0; i < n; i++)
        sum += values[i];
    return sum;
}

static double sum_doubles(const double *values, int n) {
    double sum = 0.0;
    for (int i = 0; i < n; i++)
        sum += values[i];
    return sum;
}

static double largest_value(const double *values, int n) {
    double max = NEVER;
    for (int i = 0; i < n; i++)
        max = fmax(max, values[i]);
    return max;
}

/* First of n days on which a daily count is above zero. */
static double first_day_of(const int64_t *values, int n) {
    for (int d = 0; d < n; d++)
        if (values[d] > 0)
            return d;
    return NEVER;
}

static int64_t living_on_day(const struct wg_diary *diary, int day) {
    return sum_counts(diary->count + (ptrdiff_t)day * WG_N_STAGES, WG_N_STAGES);
}

static int64_t emerged_on(const struct wg_diary *diary, int day) {
    return sum_counts(diary->adults_emerged + (ptrdiff_t)day * diary->n_places, diary->n_places);
}

static double first_adult_of(const struct wg_diary *diary, int n) {
    for (int d = 0; d < n; d++) {
        const int64_t *const count = diary->count + (ptrdiff_t)d * WG_N_STAGES;
        /* A fly may emerge and die within one day. */
        if (count[WG_FEMALE] > 0 || count[WG_MALE] > 0 || emerged_on(diary, d) > 0)
            return d;
    }
    return NEVER;
}

static void conclude_counts(struct wg_diary *diary, int n) {
    diary->survived = n > 0 && living_on_day(diary, n - 1) > 0;
    diary->peak_larvae = 0.0;
    diary->peak_larvae_day = NEVER;
    diary->lowest_count = 0.0;
    int started = 0;
    for (int d = 0; d < n; d++) {
        const double larvae = (double)diary->count[(ptrdiff_t)d * WG_N_STAGES + WG_LARVA];
        if (larvae > diary->peak_larvae) {
            diary->peak_larvae = larvae;
            diary->peak_larvae_day = d;
        }
        const double alive = (double)living_on_day(diary, d);
        /* Days before the first starter do not count. */
        if (!started && alive > 0.0) {
            started = 1;
            diary->lowest_count = alive;
        }
        diary->lowest_count = fmin(diary->lowest_count, alive);
    }
}

/*
 * Finds the first and last day of the spring within the first n days. A spring cut by the end of the period counts as
 * far as it goes; one cut by an early stop does not, because its length would differ from that of the other
 * replicates.
 */
static int find_spring(const struct wg_diary *diary, int n, int *from, int *to) {
    const struct wg_spring spring = wg_spring_within(diary->first_day, diary->first_day + n - 1, diary->southern != 0);
    *from = spring.from - diary->first_day;
    *to = spring.to - diary->first_day;
    if (diary->has_no_spring)
        return false;
    return spring.seen == WG_SPRING_WHOLE || (spring.seen == WG_SPRING_CUT && n == diary->n_days);
}

bool wg_diary_is_spring(int64_t before, int64_t flies) {
    return before <= flies / 20;
}

/* For each place separately: a heated shed has no spring emergence, the yard beside it has. */
static bool has_spring(const struct wg_diary *diary, int place, int from, int to) {
    int64_t before = 0, total = 0;
    for (int d = from > WG_SPRING_BEFORE ? from - WG_SPRING_BEFORE : 0; d < from; d++)
        before += diary->adults_emerged[(ptrdiff_t)d * diary->n_places + place];
    for (int d = from; d <= to; d++)
        total += diary->spring_flies[(ptrdiff_t)d * diary->n_places + place];
    return wg_diary_is_spring(before, total);
}

/* Overwintered flies of the places with a spring emergence. */
static int64_t spring_flies_on(const struct wg_diary *diary, const bool *with_spring, int day) {
    int64_t sum = 0;
    for (int p = 0; p < diary->n_places; p++)
        sum += with_spring[p] ? diary->spring_flies[(ptrdiff_t)day * diary->n_places + p] : 0;
    return sum;
}

/* Returns `percent` % of `total`, rounded up; integers, so that rounding cannot move a date. */
static int64_t due_count(int64_t total, int percent) {
    return total / 100 * percent + (total % 100 * percent + 99) / 100;
}

/* First day from `from` by which `percent` % of `total` have emerged. */
static double emergence_day(const struct wg_diary *diary, const bool *with_spring, int from, int64_t total,
                            int percent) {
    const int64_t due = due_count(total, percent);
    int64_t emerged = 0;
    for (int d = from; d < diary->n_days; d++) {
        emerged += spring_flies_on(diary, with_spring, d);
        if (emerged >= due)
            return d;
    }
    return NEVER;
}

static void conclude_spring(struct wg_diary *diary, int n) {
    diary->spring_emergence_10 = diary->spring_emergence_50 = diary->spring_emergence_90 = NEVER;
    int from, to;
    if (!find_spring(diary, n, &from, &to))
        return;
    bool with_spring[WG_MAX_PLACES] = {false};
    int64_t total = 0;
    for (int p = 0; p < diary->n_places; p++)
        with_spring[p] = has_spring(diary, p, from, to);
    for (int d = from; d <= to; d++)
        total += spring_flies_on(diary, with_spring, d);
    if (total == 0)
        return;
    diary->spring_emergence_10 = emergence_day(diary, with_spring, from, total, 10);
    diary->spring_emergence_50 = emergence_day(diary, with_spring, from, total, 50);
    diary->spring_emergence_90 = emergence_day(diary, with_spring, from, total, 90);
}

bool wg_diary_emerges_all_winter(const struct wg_diary *diary) {
    int from, to;
    if (!isnan(diary->spring_emergence_50) || !find_spring(diary, days_simulated(diary), &from, &to))
        return false;
    const ptrdiff_t first = (ptrdiff_t)from * diary->n_places;
    return sum_counts(diary->spring_flies + first, (to - from + 1) * diary->n_places) > 0;
}

/* Days before the end of the colony's first year, or of the first n days. */
static int first_year_end(const struct wg_diary *diary, int n) {
    int day = 0;
    while (day < n && diary->put_in[day] == 0 && living_on_day(diary, day) == 0)
        day++;
    return day + BATCH_DAYS < n ? day + BATCH_DAYS : n;
}

/* First day by which `percent` % of a batch's `total` had crawled off. */
static double batch_day(const struct wg_diary *diary, int batch, int64_t total, int percent) {
    const int64_t due = due_count(total, percent);
    int64_t left = 0;
    for (int d = 0; d < diary->n_days; d++) {
        left += diary->batch_crawl_off[(ptrdiff_t)d * WG_N_BATCHES + batch];
        if (left >= due)
            return d;
    }
    return NEVER;
}

static void conclude_batch(const struct wg_diary *diary, int end, int batch, double *tenth, double *half) {
    const int generation = diary->first_batch + batch;
    int64_t total = 0;
    *tenth = *half = NEVER;
    for (int d = 0; d < end; d++)
        total += diary->batch_crawl_off[(ptrdiff_t)d * WG_N_BATCHES + batch];
    if (total == 0 ||
        wg_diary_living(diary, end - 1, WG_EGG, generation) + wg_diary_living(diary, end - 1, WG_LARVA, generation) >
            total)
        return;
    *tenth = batch_day(diary, batch, total, 10);
    *half = batch_day(diary, batch, total, 50);
}

/* First of n days by which `share` of the n days' crawl-off, by mass, had occurred. */
static double crawl_off_day(const struct wg_diary *diary, int n, double share) {
    const double due = share * sum_doubles(diary->crawl_off_mass, n) * (1 - 1e-12); /* rounding moves no date */
    double left = 0.0;
    for (int d = 0; d < n; d++) {
        left += diary->crawl_off_mass[d];
        if (left > 0.0 && left >= due)
            return d;
    }
    return NEVER;
}

static void conclude_crawl_off(struct wg_diary *diary, int n) {
    const int end = first_year_end(diary, n);
    diary->first_crawl_off_day = first_day_of(diary->crawl_off_count, n);
    conclude_batch(diary, end, 0, &diary->first_batch_10, &diary->first_batch_50);
    conclude_batch(diary, end, 1, &diary->second_batch_10, &diary->second_batch_50);
    conclude_batch(diary, end, 2, &diary->third_batch_10, &diary->third_batch_50);
    diary->crawl_off_10 = crawl_off_day(diary, end, 0.1);
    diary->crawl_off_50 = crawl_off_day(diary, end, 0.5);
    diary->first_100g_day = NEVER;
    diary->days_over_100g = 0.0;
    for (int d = n - 1; d >= 0; d--) {
        if (diary->crawl_off_mass[d] <= WG_HANDFUL_KG)
            continue;
        diary->first_100g_day = d;
        diary->days_over_100g++;
    }
}

/*
 * Largest sum of seven consecutive days, or of a shorter period. Each week is summed anew: a running sum would
 * accumulate rounding errors.
 */
static double best_week(const double *values, int n) {
    if (n <= DAYS_A_WEEK)
        return sum_doubles(values, n);
    double best = 0.0;
    for (int d = 0; d + DAYS_A_WEEK <= n; d++)
        best = fmax(best, sum_doubles(values + d, DAYS_A_WEEK));
    return best;
}

static int empty_weeks(const int64_t *values, int n) {
    int weeks = 0;
    for (int d = 0; d + DAYS_A_WEEK <= n; d += DAYS_A_WEEK)
        weeks += sum_counts(values + d, DAYS_A_WEEK) == 0;
    return weeks;
}

static void conclude_totals(struct wg_diary *diary, int n) {
    diary->total_crawl_off_mass = sum_doubles(diary->crawl_off_mass, n);
    const double left = (double)sum_counts(diary->crawl_off_count, n);
    diary->mean_grub_mass = left > 0 ? 1e6 * diary->total_crawl_off_mass / left : NEVER;
    diary->total_harvest_mass = sum_doubles(diary->harvest_mass, n);
    diary->days_short_of_larvae = 0;
    for (int d = 0; d < n; d++)
        diary->days_short_of_larvae += diary->asked_not_there[d] > 0;
    diary->total_asked_not_there = sum_doubles(diary->asked_not_there, n);
    diary->total_eggs_laid = (double)sum_counts(diary->eggs_laid, n);
    diary->total_feed_given = sum_doubles(diary->feed_given, n * diary->n_bins);
    diary->total_feed_fresh = sum_doubles(diary->feed_fresh, n * diary->n_bins);
    diary->total_feed_eaten = sum_doubles(diary->feed_eaten, n * diary->n_bins);
    diary->total_heater_energy = sum_doubles(diary->heater_energy, n * diary->n_places);
    diary->total_heater_cost = sum_doubles(diary->heater_cost, n * diary->n_places);
    diary->heater_short_w = n * diary->n_places > 0 ? largest_value(diary->heater_short, n * diary->n_places) : 0.0;
    diary->hottest_bin = largest_value(diary->bin_high, n * diary->n_bins);
}

double wg_diary_overlap(const struct wg_diary *diary, int day) {
    wg_assert(day >= 0 && day < diary->n_days);
    const struct wg_living_generations *const living = &diary->living[day];
    const int64_t *const past_egg = diary->alive + living->from + WG_EGG + 1;
    int64_t total = 0;
    for (int g = 0; g < living->n; g++)
        total += sum_counts(past_egg + (ptrdiff_t)g * WG_N_STAGES, WG_N_STAGES - 1);
    if (total == 0)
        return NEVER;
    double entropy = 0.0;
    for (int g = 0; g < living->n; g++) {
        const int64_t n = sum_counts(past_egg + (ptrdiff_t)g * WG_N_STAGES, WG_N_STAGES - 1);
        const double share = (double)n / (double)total;
        if (n > 0)
            entropy -= share * wg_log(share);
    }
    return wg_exp(entropy);
}

/* Overlap by day, and its mean over the last year without days on which the colony is empty. */
static void conclude_overlap(struct wg_diary *diary, int n) {
    double sum = 0.0;
    int days = 0;
    for (int d = 0; d < n; d++) {
        const double overlap = wg_diary_overlap(diary, d);
        diary->generations_at_once[d] = isnan(overlap) ? 0.0 : overlap;
        if (isnan(overlap) || d < n - OVERLAP_DAYS)
            continue;
        sum += overlap;
        days++;
    }
    diary->overlap = days > 0 ? sum / days : NEVER;
}

static bool is_alive_at(const struct wg_diary *diary, int n, bool of_neighbours) {
    for (int p = 0; p < diary->n_places && n > 0; p++)
        if (diary->is_neighbours[p] == of_neighbours && diary->animals[(ptrdiff_t)(n - 1) * diary->n_places + p] > 0)
            return true;
    return false;
}

void wg_diary_finish(struct wg_diary *diary) {
    const int n = days_simulated(diary);
    wg_assert(n >= 0 && n <= diary->n_days);
    conclude_counts(diary, n);
    diary->first_adult_day = first_adult_of(diary, n);
    diary->first_egg_day = first_day_of(diary->eggs_laid, n);
    conclude_crawl_off(diary, n);
    conclude_spring(diary, n);
    diary->best_week_crawl_off = best_week(diary->crawl_off_mass, n);
    diary->best_week_harvest = best_week(diary->harvest_mass, n);
    diary->weeks_without_harvest = empty_weeks(diary->crawl_off_count, n);
    conclude_totals(diary, n);
    conclude_overlap(diary, n);
    diary->alive_ours = is_alive_at(diary, n, false);
    diary->alive_neighbours = is_alive_at(diary, n, true);
}
