/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Conditions on which a keeper acts, seen from outside: lamps of 10 W are lit for 12 hours on exactly those days on
 * whose morning the condition holds, by the definitions of housing/when.h applied to the diary of the evening before.
 * The colony is in the second place, a shed; the first, outdoors, is empty or the neighbour's.
 */
#include "support/plans.h"

#include <criterion/criterion.h>
#include <math.h>

#define DAYS 150
#define LIT_KWH 0.12

static struct wg_plan plan;
static struct wg_diary diary;

/* Larvae of a week that crawl off, emerge in autumn, lay, and whose offspring crawls off too. */
static void open_plan(enum wg_when_kind kind, double below_c) {
    plan_outdoors(&plan, DAYS);
    plan_add_place(&plan, WG_SHED);
    plan_start(&plan, 2, WG_MOVABLE_LARVAE, 7, 400);
    plan.actions[0].bin = plan.actions[0].place = 1;
    struct wg_shelter_spec *const shed = &plan.places[1].shelter;
    shed->lamp_hours = 12;
    shed->lamp_power_w = 10;
    shed->lamp_when = (struct wg_when){.kind = kind, .below_c = below_c};
}

static bool is_lit(int day) {
    const double kwh = diary.heater_energy[2 * day + 1];
    cr_assert(kwh == 0 || fabs(kwh - LIT_KWH) < 1e-12, "day %d: %g kWh", day, kwh);
    return kwh > 0;
}

static int64_t alive(int day, enum wg_stage stage) {
    return day < 0 ? 0 : diary.count[day * WG_N_STAGES + stage];
}

static int64_t flies(int day) {
    return alive(day, WG_FEMALE) + alive(day, WG_MALE);
}

static bool has_crawled_off(int day) {
    return day >= 0 && diary.bin_crawl_off[2 * day + 1] > 0;
}

static bool is_expected(enum wg_when_kind kind, int day) {
    const bool is_awake = flies(day - 1) + alive(day - 1, WG_LARVA) > 0;
    switch (kind) {
    case WG_WHEN_FLIES:
        return flies(day - 1) > 0;
    case WG_WHEN_CRAWL_OFF:
        return has_crawled_off(day - 1);
    case WG_WHEN_ASLEEP:
        return !is_awake;
    case WG_WHEN_AWAKE:
        return is_awake;
    default:
        return true;
    }
}

static void close_all(void) {
    wg_diary_free(&diary);
    wg_plan_free(&plan);
}

Test(when, lamps_follow_what_the_evening_before_shows) {
    for (int kind = WG_WHEN_ALWAYS; kind <= WG_WHEN_AWAKE; kind++) {
        int lit = 0;
        open_plan((enum wg_when_kind)kind, 0);
        plan_simulate(&plan, 1, &diary);
        const int days = diary.stopped_day < 0 ? DAYS : (int)(diary.stopped_day - plan.first_day);
        cr_assert_gt(days, 100, "the colony lives into winter");
        for (int day = 0; day < days; day++) {
            lit += is_lit(day);
            cr_expect_eq(is_lit(day), is_expected((enum wg_when_kind)kind, day), "kind %d, day %d", kind, day);
        }
        cr_expect(lit > 0 && (kind == WG_WHEN_ALWAYS || lit < days), "kind %d: lit on %d days", kind, lit);
        close_all();
    }
}

/* What happens in one place says nothing about another. */
Test(when, places_are_judged_by_themselves) {
    open_plan(WG_WHEN_FLIES, 0);
    plan.places[0].shelter.lamp_hours = 12;
    plan.places[0].shelter.lamp_power_w = 10;
    plan.places[0].shelter.lamp_when.kind = WG_WHEN_AWAKE;
    plan_simulate(&plan, 1, &diary);
    for (int day = 0; day < 100; day++)
        cr_expect_eq(diary.heater_energy[2 * day], 0, "day %d", day);
    close_all();
}

/* The coming night ends at noon of the next day, so its low is nearly always that of the next day (at dawn). */
Test(when, a_cold_night_is_known_in_the_morning) {
    int lit = 0, agrees = 0, days = 0;
    open_plan(WG_WHEN_COLD_NIGHT, 9);
    plan_simulate(&plan, 1, &diary);
    for (int day = 0; day < 100; day++, days++) {
        const double low = diary.air_low[2 * day], next = diary.air_low[2 * day + 2]; /* outdoors */
        lit += is_lit(day);
        agrees += is_lit(day) == (next < 9);
        cr_expect(!is_lit(day) || low < 9 || next < 9, "day %d is lit, lows %g and %g degC", day, low, next);
    }
    cr_expect(lit > 20 && lit < 80, "lit on %d days", lit);
    cr_expect_geq(agrees, 95, "%d of %d days", agrees, days);
    close_all();
}

/* A shed that is the keeper's, or a neighbour's with nothing at the keeper's own place. */
Test(when, ours_are_dead_when_only_the_neighbour_has_animals) {
    for (int is_neighbour = 0; is_neighbour < 2; is_neighbour++) {
        open_plan(WG_WHEN_OURS_DEAD, 0);
        plan.places[1].is_neighbour = is_neighbour == 1;
        plan_simulate(&plan, 1, &diary);
        for (int day = 0; day < 100; day++) {
            const bool is_empty = day <= 2; /* animals come in on day 2, after its morning */
            cr_expect_eq(is_lit(day), is_empty || is_neighbour == 1, "day %d, neighbour %d", day, is_neighbour);
        }
        close_all();
    }
}
