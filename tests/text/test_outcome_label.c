/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks the table of outcome labels: it is complete, fits its columns, agrees with the units in the result file, and
 * leaves out outcomes that a plan does not have.
 */
#include "text/outcome_label.h"

#include <criterion/criterion.h>
#include <ctype.h>
#include <math.h>
#include <string.h>

TestSuite(outcome_label);

/* A comparison of 80 columns has 19 for names and 15 for each of four setups, spaces included. */
Test(outcome_label, fits_its_column) {
    for (int o = 0; o < WG_N_OUTCOMES; o++) {
        const struct wg_outcome_label *const label = wg_outcome_label((enum wg_outcome_number)o);
        cr_assert(label->label != NULL && label->phrase != NULL, "%s", wg_diary_outcomes()[o].name);
        cr_expect(strlen(label->label) > 0 && strlen(label->label) <= 19, "%s", label->label);
        cr_expect(strlen(label->phrase) <= 26, "too wide for the table of fit: %s", label->phrase);
        cr_expect_not(isupper((unsigned char)label->phrase[0]), "appears within a sentence: %s", label->phrase);
        cr_expect(label->column == NULL || strlen(label->column) <= 10, "%s", label->column);
        for (int other = 0; other < o; other++)
            cr_expect_str_neq(label->label, wg_outcome_label((enum wg_outcome_number)other)->label);
    }
}

/* The file has units of udunits: an outcome that is shown as a date is in days there, and so on. */
Test(outcome_label, kind_agrees_with_the_unit_in_the_file) {
    static const char *const unit[] = {
        [WG_VALUE_SHARE] = "1",     [WG_VALUE_DATE] = "day",      [WG_VALUE_MASS] = "kg",
        [WG_VALUE_COUNT] = "1",     [WG_VALUE_ANIMALS] = "1",     [WG_VALUE_WEEKS] = "week",
        [WG_VALUE_ENERGY] = "kW h", [WG_VALUE_DAYS] = "1",        [WG_VALUE_MONEY] = "1",
        [WG_VALUE_POWER] = "W",     [WG_VALUE_MILLIGRAMS] = "mg", [WG_VALUE_TEMPERATURE] = "degC"};
    for (int o = 0; o < WG_N_OUTCOMES; o++)
        cr_expect_str_eq(wg_diary_outcomes()[o].unit, unit[wg_outcome_label((enum wg_outcome_number)o)->kind], "%s",
                         wg_diary_outcomes()[o].name);
}

Test(outcome_label, is_shown_if_the_plan_has_it) {
    struct wg_place_plan place = {.name = "shed", .heater = {.price_per_kwh = (double)NAN}};
    struct wg_action collect = {.kind = WG_ACTION_COLLECT};
    struct wg_plan plan = {.n_places = 1, .places = &place, .actions = &collect};
    cr_expect(wg_outcome_is_shown(WG_OUTCOME_survived, &plan));
    cr_expect_not(wg_outcome_is_shown(WG_OUTCOME_total_heater_energy, &plan));
    cr_expect_not(wg_outcome_is_shown(WG_OUTCOME_total_harvest_mass, &plan));
    cr_expect_not(wg_outcome_is_shown(WG_OUTCOME_total_feed_eaten, &plan));
    cr_expect_not(wg_outcome_is_shown(WG_OUTCOME_spring_emergence_50, &plan), "a period of one day");
    cr_expect_eq(wg_outcome_harvest(&plan), WG_OUTCOME_total_crawl_off_mass);
    place.heater.power_w = 500;
    plan.n_actions = 1;
    plan.feed_unlimited = true;
    plan.climate.kind = WG_CLIMATE_NORMALS;
    plan.climate.latitude_deg = 47;
    plan.first_day = 20711; /* 15 September 2026 */
    plan.last_day = plan.first_day + 364;
    cr_expect(wg_outcome_is_shown(WG_OUTCOME_total_heater_energy, &plan));
    cr_expect(wg_outcome_is_shown(WG_OUTCOME_total_harvest_mass, &plan));
    cr_expect(wg_outcome_is_shown(WG_OUTCOME_total_feed_eaten, &plan));
    cr_expect(wg_outcome_is_shown(WG_OUTCOME_spring_emergence_50, &plan));
    cr_expect_eq(wg_outcome_harvest(&plan), WG_OUTCOME_total_harvest_mass);
}

/* Written by hand. 1 lb is 0.45359237 kg (international yard and pound agreement, 1959). */
Test(outcome_label, ranges_of_each_kind) {
    static const struct {
        enum wg_value_kind kind;
        double low, high;
        const char *shown;
    } cases[] = {{WG_VALUE_DATE, 0, 0, "15 Sep 2026"},
                 {WG_VALUE_DATE, 0, 17, "15 Sep 2026 to 2 Oct 2026"},
                 {WG_VALUE_DATE, 16, HUGE_VAL, "from 1 Oct 2026 on"},
                 {WG_VALUE_DATE, HUGE_VAL, HUGE_VAL, "seldom at all"},
                 {WG_VALUE_MASS, 10, 15, "10 to 15 kg (22 to 33.1 lb)"},
                 {WG_VALUE_COUNT, 1000, 1000, "1,000"},
                 {WG_VALUE_ANIMALS, 0.15, 949.6, "0 to 950"},
                 {WG_VALUE_WEEKS, 3, 4, "3 to 4 weeks"},
                 {WG_VALUE_DAYS, 36.9, 119.2, "37 to 119 days"},
                 {WG_VALUE_ENERGY, 10, 15, "10 to 15 kWh"},
                 {WG_VALUE_MONEY, 7, 9, "$7 to $9"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char shown[WG_SHOWN_SIZE];
        const struct wg_value_style style = {cases[i].kind, 3, 20711, "$"};
        wg_value_show_range(&style, cases[i].low, cases[i].high, shown);
        cr_expect_str_eq(shown, cases[i].shown, "\"%s\", not \"%s\"", shown, cases[i].shown);
    }
}
