/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Replayed years: every day must be that of the record, by date. The made-up record encodes its date:
 * low = years since the record began, high = low + month + day/100.
 */
#include "climate/climate.h"
#include "climate/seattle.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <string.h>

static double low_c[6000], high_c[6000];
static struct wg_weather_record record;
static struct wg_climate *climate;
static struct wg_weather weather;
static gsl_rng *rng;

/* A record from..to, both included, and a climate that replays it over the period first..last. */
static int replay(int32_t from, int32_t to, int32_t first, int32_t last, struct wg_error *err) {
    record = (struct wg_weather_record){.first_day = from, .n_days = to - from + 1, .low_c = low_c, .high_c = high_c};
    for (int i = 0; i < record.n_days; i++) {
        const struct wg_date date = wg_date_from_day(from + i);
        low_c[i] = date.year - wg_date_from_day(from).year;
        high_c[i] = low_c[i] + date.month + date.day / 100.0;
    }
    const struct wg_climate_spec spec = {
        .kind = WG_CLIMATE_YEARS, .latitude_deg = 40.0, .sun_coefficient = 0.16, .record = &record};
    return wg_climate_new(&climate, &spec, first, last, err);
}

static void begin(int32_t from, int32_t to, int32_t first, int32_t last) {
    struct wg_error err = {0};
    cr_assert_eq(replay(from, to, first, last, &err), 0, "%s", err.text);
    weather = room_for(climate);
    rng = gsl_rng_alloc(wg_rng_type());
}

static void draw(uint64_t replicate) {
    wg_rng_start(rng, 2026, replicate, WG_PURPOSE_WEATHER);
    wg_weather_draw(&weather, climate, rng);
}

static void end(void) {
    gsl_rng_free(rng);
    wg_weather_free(&weather);
    wg_climate_free(climate);
}

static int first_year(void) {
    return wg_date_from_day(record.first_day).year;
}

static int year_at(int32_t day) {
    return first_year() + (int)weather.low_c[day - weather.first_day];
}

/* Asserts that every day first..last has the date of the record's year `shift` years later. */
static void expect_dates(int32_t first, int32_t last, int shift) {
    for (int32_t day = first; day <= last; day++) {
        const int32_t i = day - weather.first_day;
        struct wg_date date = wg_date_from_day(day);
        date.year += shift;
        if (!wg_date_exists(date))
            date.day = 28;
        cr_assert_float_eq(weather.low_c[i], date.year - first_year(), 1e-9, "day %d", i);
        cr_assert_float_eq(weather.high_c[i], weather.low_c[i] + date.month + date.day / 100.0, 1e-9, "day %d", i);
    }
}

Test(years, are_the_record_day_by_day) {
    const int32_t first = day_of(2026, 9, 15), last = day_of(2027, 9, 14);
    begin(day_of(2012, 1, 1), day_of(2015, 12, 31), first, last);
    for (uint64_t r = 0; r < 20; r++) {
        draw(r);
        const int shift = year_at(first) - 2026;
        cr_assert(shift >= 2012 - 2026 && shift <= 2014 - 2026); /* 2015's autumn has no following summer */
        /* with the days before, which the record has, and the day after */
        expect_dates(weather.first_day, last + 1, shift);
        cr_assert_eq(weather.first_day + weather.n_days - 1, last + 1);
    }
    end();
}

Test(years, are_all_equally_likely) {
    const int32_t first = day_of(2026, 9, 15);
    begin(day_of(2005, 1, 1), day_of(2015, 12, 31), first, day_of(2027, 9, 14));
    int seen[10] = {0};
    const int n = 5000;
    for (int r = 0; r < n; r++) {
        draw((uint64_t)r);
        seen[year_at(first) - 2005]++;
    }
    double chi2 = 0.0;
    for (int y = 0; y < 10; y++)
        chi2 += (seen[y] - n / 10.0) * (seen[y] - n / 10.0) / (n / 10.0);
    cr_expect_gt(gsl_cdf_chisq_Q(chi2, 9.0), 1e-6, "%.1f", chi2);
    end();
}

Test(years, are_drawn_again_every_year) {
    const int32_t first = day_of(2026, 3, 1), second = day_of(2027, 3, 1), third = day_of(2028, 3, 1);
    begin(day_of(2010, 1, 1), day_of(2015, 12, 31), first, day_of(2028, 6, 30));
    int pair[5][5] = {{0}}, thirds[6] = {0};
    const int n = 5000;
    for (int r = 0; r < n; r++) {
        draw((uint64_t)r);
        const int one = year_at(first), two = year_at(second), three = year_at(third);
        if (r < 20) {
            expect_dates(weather.first_day + 150, second - 1, one - 2026);
            expect_dates(second, third - 1, two - 2027);
            expect_dates(third, day_of(2028, 7, 1), three - 2028);
        }
        pair[one - 2010][two - 2010]++;
        thirds[three - 2010]++;
    }
    double chi2 = 0.0;
    for (int i = 0; i < 25; i++) /* 2010..2014 each: independent of the previous year */
        chi2 += (pair[i / 5][i % 5] - n / 25.0) * (pair[i / 5][i % 5] - n / 25.0) / (n / 25.0);
    cr_expect_gt(gsl_cdf_chisq_Q(chi2, 24.0), 1e-6, "%.1f", chi2);
    cr_expect_gt(thirds[5], 0); /* four months fit into what there is of 2015 */
    end();
}

Test(years, lead_is_the_season_where_the_record_does_not_reach) {
    const int32_t first = day_of(2026, 3, 1);
    begin(day_of(2012, 1, 1), day_of(2013, 12, 31), first, day_of(2026, 12, 31));
    bool seen[2] = {false, false};
    for (uint64_t r = 0; r < 20; r++) {
        draw(r);
        const int shift = year_at(first) - 2026;
        seen[shift + 14] = true;
        const int32_t reaches = shift == -14 ? day_of(2026, 1, 1) : weather.first_day;
        expect_dates(reaches, day_of(2026, 12, 31), shift);
        for (int32_t day = weather.first_day; day < reaches; day++) {
            const int season = wg_season_index(day);
            cr_assert_float_eq(weather.low_c[day - weather.first_day], climate->low_c[season], 0.0);
            cr_assert_float_eq(weather.high_c[day - weather.first_day], climate->high_c[season], 0.0);
        }
    }
    cr_expect(seen[0] && seen[1]);
    end();
}

Test(years, leap_days) {
    /* A leap year from common years repeats 28 February, and one year of record suffices. */
    begin(day_of(2015, 1, 1), day_of(2015, 12, 31), day_of(2028, 1, 1), day_of(2028, 12, 31));
    draw(0);
    expect_dates(day_of(2028, 1, 1), day_of(2028, 12, 31), 2015 - 2028);
    cr_expect_float_eq(weather.high_c[day_of(2028, 2, 29) - weather.first_day], 2.28, 1e-9);
    end();
    /* A common year from a leap year skips the 29th. */
    begin(day_of(2012, 1, 1), day_of(2012, 12, 31), day_of(2027, 1, 1), day_of(2027, 12, 31));
    draw(0);
    expect_dates(day_of(2027, 1, 1), day_of(2027, 12, 31), 2012 - 2027);
    cr_expect_float_eq(weather.high_c[day_of(2027, 2, 28) - weather.first_day], 2.28, 1e-9);
    cr_expect_float_eq(weather.high_c[day_of(2027, 3, 1) - weather.first_day], 3.01, 1e-9);
    end();
    /* A period that starts on a leap day */
    begin(day_of(2010, 1, 1), day_of(2015, 12, 31), day_of(2028, 2, 29), day_of(2030, 3, 31));
    draw(0);
    cr_expect_float_eq(weather.high_c[150] - weather.low_c[150], year_at(day_of(2028, 2, 29)) == 2012 ? 2.29 : 2.28,
                       1e-9);
    end();
}

Test(years, the_record_itself_can_be_the_period) {
    begin(day_of(2012, 1, 1), day_of(2015, 12, 31), day_of(2015, 1, 1), day_of(2015, 12, 31));
    bool itself = false;
    for (uint64_t r = 0; r < 40; r++) {
        draw(r);
        itself = itself || year_at(day_of(2015, 6, 1)) == 2015;
    }
    cr_expect(itself);
    end();
}

Test(years, too_short_a_record_is_refused_with_dates) {
    struct wg_error err = {0};
    cr_expect_eq(replay(day_of(2012, 2, 1), day_of(2013, 2, 10), day_of(2026, 9, 15), day_of(2027, 9, 14), &err),
                 WG_ERR_INPUT);
    cr_expect_null(climate);
    cr_expect_not_null(strstr(err.text, "1 February 2012 to 10 February 2013"), "%s", err.text);
    cr_expect_not_null(strstr(err.text, "15 September 2026 to 14 September 2027"), "%s", err.text);
    /* A day too short is rejected; a day more is accepted. */
    err = (struct wg_error){0};
    cr_expect_eq(replay(day_of(2012, 9, 16), day_of(2013, 9, 30), day_of(2026, 9, 15), day_of(2027, 9, 14), &err),
                 WG_ERR_INPUT);
    err = (struct wg_error){0};
    cr_expect_eq(replay(day_of(2012, 9, 15), day_of(2013, 9, 14), day_of(2026, 9, 15), day_of(2027, 9, 14), &err), 0);
    wg_climate_free(climate);
}

Test(years, at_the_ends_of_the_calendar) {
    struct wg_error err = {0};
    cr_expect_eq(replay(day_of(1, 1, 1), day_of(3, 12, 31), day_of(9997, 1, 1), day_of(9997, 12, 31), &err), 0);
    weather = room_for(climate);
    rng = gsl_rng_alloc(wg_rng_type());
    for (uint64_t r = 0; r < 10; r++) {
        draw(r);
        expect_dates(day_of(9997, 1, 1), day_of(9997, 12, 31), year_at(day_of(9997, 5, 5)) - 9997);
    }
    end();
    err = (struct wg_error){0};
    cr_expect_eq(replay(day_of(9997, 1, 1), day_of(9999, 12, 31), day_of(3, 1, 1), day_of(5, 12, 31), &err), 0);
    weather = room_for(climate);
    rng = gsl_rng_alloc(wg_rng_type());
    draw(0);
    end();
}
