/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Winter, warmth and the seasons against keepers' experience (common practice). Where keepers use words ("weeks", "no
 * flies in winter"), the comments say how they became numbers.
 */
#include "base/stats.h"
#include "forecast/ensemble.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>

enum { YEARS = 60 };

static int day_of(const struct wg_plan *plan, int year, int month, int day) {
    return wg_day_from_date((struct wg_date){year, month, day}) - plan->first_day;
}

static int64_t count_on(const struct wg_diary *diary, int day, enum wg_stage stage) {
    return diary->count[day * WG_N_STAGES + stage];
}

static int64_t adults_between(const struct wg_diary *diary, int from, int to) {
    int64_t most = 0;
    for (int day = from; day <= to; day++) {
        const int64_t adults = count_on(diary, day, WG_FEMALE) + count_on(diary, day, WG_MALE);
        most = adults > most ? adults : most;
    }
    return most;
}

/* ---- outdoors in a mild winter ---- */

struct winter {
    const struct wg_plan *plan;
    int n, flies_in_january, dormant_in_january;
    double width[YEARS], first[YEARS];
    int n_springs;
};

static int see_winter(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    struct winter *const winter = self;
    (void)replicate;
    (void)err;
    const int january = day_of(winter->plan, 2027, 1, 5);
    winter->n++;
    winter->flies_in_january += adults_between(diary, january, january + 35) > 5;
    winter->dormant_in_january += count_on(diary, january, WG_DORMANT) > 0;
    if (!isnan(diary->spring_emergence_90)) {
        winter->width[winter->n_springs] = diary->spring_emergence_90 - diary->spring_emergence_10;
        winter->first[winter->n_springs++] = diary->spring_emergence_10;
    }
    return 0;
}

Test(winter, outdoors_no_flies_in_midwinter_and_a_long_spring) {
    struct wg_plan plan;
    plan_outdoors(&plan, 365);
    plan_start(&plan, 0, WG_MOVABLE_LARVAE, 5, 10000);
    plan_feed(&plan, 1.4);
    struct winter winter = {.plan = &plan};
    const struct wg_observer observer = {see_winter, &winter};
    cr_assert_eq(wg_ensemble_run(&plan, &(struct wg_ensemble_options){.count = YEARS}, &observer, 1, NULL), 0);
    /* "no adults in winter": in nine of ten winters never more than five flies at once, of thousands of grubs, from
     * 5 January to 9 February; a warm spell may bring out a few */
    cr_expect_leq(winter.flies_in_january, YEARS / 10, "flies in %d of %d winters", winter.flies_in_january, YEARS);
    cr_expect_eq(winter.dormant_in_january, YEARS, "dormant prepupae in every winter");
    /* "emergence spread over weeks in spring": at least three weeks from 10 to 90 % in the median year */
    cr_assert_geq(winter.n_springs, YEARS * 9 / 10);
    wg_sort(winter.width, (size_t)winter.n_springs);
    const double width = wg_quantile_sorted(winter.width, (size_t)winter.n_springs, 0.5);
    cr_expect(width >= 21 && width <= 70, "spring lasts %g days", width);
    wg_sort(winter.first, (size_t)winter.n_springs);
    const double first = wg_quantile_sorted(winter.first, (size_t)winter.n_springs, 0.5);
    cr_expect(first > day_of(&plan, 2027, 3, 1) && first < day_of(&plan, 2027, 5, 31), "10 %% on day %g", first);
    wg_plan_free(&plan);
}

/* ---- larvae that resume ---- */

/* A made-up record: `cold` days of 6 to 10 degC, else 25 to 29 degC. */
static struct wg_weather_record made_up_record(int32_t first_day, int cold) {
    struct wg_weather_record record = {.first_day = first_day - 200,
                                       .n_days = 400}; /* long enough to be accepted, too short for a second start */
    record.low_c = calloc((size_t)record.n_days, sizeof(double));
    record.high_c = calloc((size_t)record.n_days, sizeof(double));
    for (int i = 0; i < record.n_days; i++) {
        const int is_cold = i >= 200 && i < 200 + cold;
        record.low_c[i] = is_cold ? 6 : 25;
        record.high_c[i] = is_cold ? 10 : 29;
    }
    return record;
}

/* Half-grown larvae outdoors: mean day of crawl-off and its number. */
static double mean_crawl_off(int cold, double *count) {
    struct wg_plan plan;
    plan_outdoors(&plan, 120);
    plan.first_day = wg_day_from_date((struct wg_date){2026, 5, 1});
    plan.last_day = plan.first_day + 119;
    struct wg_weather_record record = made_up_record(plan.first_day, cold);
    plan.climate.kind = WG_CLIMATE_YEARS;
    plan.climate.record = &record;
    plan_start(&plan, 0, WG_MOVABLE_LARVAE, 12, 10000);
    plan.species.laying_share_sun = 0;
    struct wg_diary d;
    plan_simulate(&plan, 0, &d);
    double n = 0, sum = 0;
    for (int day = 0; day < d.n_days; day++) {
        n += (double)d.crawl_off_count[day];
        sum += (double)d.crawl_off_count[day] * day;
    }
    wg_diary_free(&d);
    wg_weather_record_free(&record);
    wg_plan_free(&plan);
    *count = n;
    return sum / n;
}

Test(winter, larvae_held_cold_for_two_weeks_resume_in_warmth) {
    double warm_n, cold_n;
    const double warm = mean_crawl_off(0, &warm_n), cold = mean_crawl_off(14, &cold_n);
    /* they lose the two weeks and little else: the bin cools and warms within a day */
    cr_expect_float_eq(cold - warm, 14, 2, "delayed by %g days", cold - warm);
    cr_expect_gt(cold_n, 0.6 * warm_n, "%g of %g", cold_n, warm_n); /* half-grown larvae in the cold: judgement */
}

/* ---- a cool conditioned house ---- */

static void raise_larvae(double temp_c, double *days, double *mass_g) {
    struct wg_plan plan;
    plan_laboratory(&plan, temp_c, 150);
    plan_start(&plan, 0, WG_MOVABLE_LARVAE, 0, 20000);
    plan.species.laying_share_lamps = 0;
    struct wg_diary d;
    plan_simulate(&plan, 0, &d);
    double n = 0, sum = 0, kg = 0;
    for (int day = 0; day < d.n_days; day++) {
        n += (double)d.crawl_off_count[day];
        sum += (double)d.crawl_off_count[day] * (day + 0.5);
        kg += d.crawl_off_mass[day];
    }
    *days = sum / n;
    *mass_g = 1000 * kg / n;
    wg_diary_free(&d);
    wg_plan_free(&plan);
}

Test(winter, cool_house_takes_six_to_eight_weeks_and_grubs_are_heavier) {
    double warm_days, warm_g, days, g;
    raise_larvae(27, &warm_days, &warm_g);
    cr_expect(warm_days >= 20 && warm_days <= 29, "hatch to prepupa in a warm bin three to four weeks: %g d",
              warm_days);
    raise_larvae(19, &days, &g);
    cr_expect(days >= 42 && days <= 56, "at 19 degC: %g d", days);
    cr_expect_gt(g, 1.05 * warm_g, "%g g against %g g", g, warm_g);
    raise_larvae(20, &days, &g);
    cr_expect(days >= 38 && days <= 56, "at 20 degC: %g d", days);
}

/* ---- warm all year: generations ---- */

static double mean_generation(const struct wg_diary *d, int day) {
    double n = 0, sum = 0;
    for (int s = WG_LARVA; s < WG_N_STAGES; s++)
        for (int g = 0; g < d->n_generations; g++) {
            const double count = (double)wg_diary_living(d, day, (enum wg_stage)s, g);
            n += count;
            sum += count * g;
        }
    return sum / n;
}

/*
 * Warm all year: 5 to 7 generations a year, overlapping, never discrete (common practice). At 25 degC it is 4.7: a
 * colony that breeds up to its feed is always hungry, and hungry larvae are slow.
 */
Test(winter, kept_warm_five_to_seven_generations_that_overlap) {
    struct wg_plan plan;
    plan_laboratory(&plan, 27, 3 * 365);
    plan_start(&plan, 0, WG_MOVABLE_EGGS, 0, 2000);
    plan_feed(&plan, 1);
    plan_collect(&plan, 0.7);
    struct wg_diary d;
    plan_simulate(&plan, 0, &d);
    const double a_year = mean_generation(&d, 3 * 365 - 1) - mean_generation(&d, 2 * 365 - 1);
    cr_expect(a_year >= 5 && a_year <= 7, "%g generations a year", a_year);
    double least = 99;
    for (int day = 2 * 365; day < 3 * 365; day++)
        least = fmin(least, wg_diary_overlap(&d, day));
    cr_expect_gt(least, 1.1, "on every day of the third year more than one generation: %g", least);
    wg_diary_free(&d);
    wg_plan_free(&plan);
}

/* Warm coast all year: adults and eggs in every month (common practice); invented normals of 25 degrees north. */
Test(winter, warm_coast_flies_and_eggs_in_every_month) {
    struct wg_plan plan;
    plan_outdoors(&plan, 2 * 365);
    plan.climate.latitude_deg = 25;
    plan.climate.sun_coefficient = 0.19;
    const double high[12] = {25, 25.5, 27, 29, 30.5, 32, 32.5, 32.5, 32, 30, 27.5, 25.5};
    const double low[12] = {18, 18.5, 20, 22, 23.5, 25, 25.5, 25.5, 25, 23.5, 21, 19};
    for (int m = 0; m < 12; m++) {
        plan.climate.high_c[m] = high[m];
        plan.climate.low_c[m] = low[m];
    }
    wg_climate_spread("tropical", plan.climate.high_sd_c, plan.climate.low_sd_c);
    plan_start(&plan, 0, WG_MOVABLE_LARVAE, 5, 10000);
    plan_feed(&plan, 2);
    plan_collect(&plan, 0.5);
    struct wg_diary d;
    plan_simulate(&plan, 0, &d);
    for (int from = 365; from + 30 <= 730; from += 30) {
        int64_t eggs = 0;
        for (int day = from; day < from + 30; day++)
            eggs += d.eggs_laid[day];
        cr_expect_gt(eggs, 0, "no eggs in the 30 days from day %d", from);
        cr_expect_gt(adults_between(&d, from, from + 29), 0, "no flies in the 30 days from day %d", from);
    }
    wg_diary_free(&d);
    wg_plan_free(&plan);
}
