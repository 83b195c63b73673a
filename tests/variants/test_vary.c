/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks that a path finds one number of a scenario, and that replacing it changes nothing else of the text.
 */
#include "base/calendar.h"
#include "scenario/scenario.h"
#include "text/quantity.h"
#include "variants/vary.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

static const char text[] = "# \xC3\xA9t\xC3\xA9\n"
                           "title: caf\xC3\xA9, number 7\n"
                           "period: {from: 2026-01-01, to: 2026-12-31}\n"
                           "climate: {constant: 27 degC}\n"
                           "places:\n"
                           "  - name: bench\n"
                           "    housing: {kind: laboratory}\n"
                           "    bins:\n"
                           "      - {name: tray, volume: '40 L'}\n"
                           "      - {name: \"\xC3\xA9tag\xC3\xA8re\", volume: \"10 gal\", insulation: none}\n"
                           "starter: [{on: 2026-01-01, in: tray, stage: egg, count: 1000}]\n"
                           "feeding: [{in: tray, what: kitchen scraps, amount: 12 lb/week}]\n"
                           "species: {clutch: [400, 900]}\n";

static struct wg_vary find(const char *path) {
    struct wg_vary vary;
    struct wg_error err = {0};
    cr_assert_eq(wg_vary_find(&vary, text, sizeof text - 1, path, &err), 0, "%s: %s", path, err.text);
    return vary;
}

static const char keepers_text[] =
    "places:\n"
    "  - {name: shed, housing: {kind: shed, floor: 9 m2, lamps: 9 hours}, heater: {set_point: 20 degC}, bins: [{name: "
    "tub, mat: {power: 60 W}}]}\n"
    "starter: [{on: 05-01, in: tub, stage: egg, count: 9}, {on: 06-01, in: tub, stage: larva, count: 8, price: 20 per "
    "lb}]\n"
    "feeding: [{in: tub, what: fruit, amount: 1 kg}, {in: tub, what: fruit, amount: 2 kg, every: 3 days},\n"
    "  {in: tray, what: fruit, amount: as eaten, at most: 3 lb, from: 06-01}]\n"
    "keeping: [{do: move, on: 11-01, from: tub, to: tray, what: larvae}, {do: scoop larvae, in: tub, amount: 1 lb},\n"
    "  {do: pull traps, in: shed, put_in: tub, every: 3 days, from: 06-01, to: 09-01}]\n";

/* The words of keys, and days without a year. */
Test(vary, keepers_words) {
    static const char *const cases[][2] = {
        {"places.shed.heater.set_point", "set point of the heater in shed"},
        {"places.1.bins.1.mat.power", "power of the mat under tub"},
        {"places.shed.housing.floor", "floor of shed"},
        {"places.shed.housing.lamps", "hours of lamps in shed"},
        {"starter.2.count", "larvae to start with in tub (starter 2)"},
        {"starter.2.price", "price of the larvae to start with in tub (starter 2)"},
        {"starter.2.stage", "stage of the larvae to start with in tub (starter 2)"},
        {"feeding.1.amount", "fruit a day for tub (feeding 1)"},
        {"feeding.1.what", "feed for tub (feeding 1)"},
        {"feeding.3.at most", "most fruit each time for tray"},
        {"feeding.3.from", "first day of feeding tray"},
        {"feeding.2.amount", "fruit every 3 days for tub (feeding 2)"},
        {"keeping.1.on", "day of the move from tub"},
        {"keeping.2.amount", "larvae scooped each time from tub"},
        {"keeping.3.to", "last day of pulling the traps in shed"},
    };
    struct wg_vary vary;
    struct wg_error err = {0};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        cr_assert_eq(wg_vary_find_any(&vary, keepers_text, sizeof keepers_text - 1, cases[i][0], &err), 0, "%s",
                     err.text);
        cr_expect_str_eq(vary.subject, cases[i][1], "%s: %s", cases[i][0], vary.subject);
    }
    char shown[WG_VARY_SHOWN_SIZE];
    double value;
    cr_assert_eq(wg_vary_find(&vary, keepers_text, sizeof keepers_text - 1, "starter.2.on", &err), 0);
    cr_expect(vary.is_date && vary.is_year_day);
    wg_vary_show(&vary, vary.value + 30, shown);
    cr_expect_str_eq(shown, "07-01");
    wg_vary_show_plain(&vary, vary.value - 1, shown);
    cr_expect_str_eq(shown, "31 May");
    cr_expect_eq(wg_vary_read(&vary, "06-11", &value), 0);
    cr_expect_float_eq(value, vary.value + 10, 0);
    cr_expect_eq(wg_vary_read(&vary, "2026-06-11", &value), -1);
}

/* Each path with its unit and value, and the text before and after a change. */
Test(vary, replaces_exactly_one_number) {
    static const struct {
        const char *path, *unit;
        double value, other;
        const char *before, *after;
    } cases[] = {
        {"climate.constant", " degC", 27, 30.5, "{constant: 27 degC}", "{constant: 30.5 degC}"},
        {"starter.1.count", "", 1000, 2000000, "count: 1000}", "count: 2000000}"},
        {"feeding.1.amount", " lb/week", 12, 0.125, "amount: 12 lb/week", "amount: 0.125 lb/week"},
        {"places.bench.bins.tray.volume", " L", 40, 1e-7, "'40 L'", "'0.0000001 L'"},
        {"places.1.bins.2.volume", " gal", 10, 15, "\"10 gal\"", "\"15 gal\""},
        {"places.1.bins.\xC3\xA9tag\xC3\xA8re.volume", " gal", 10, 15, "\"10 gal\"", "\"15 gal\""},
        {"species.clutch.2", "", 900, 850, "[400, 900]", "[400, 850]"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const struct wg_vary vary = find(cases[i].path);
        cr_expect_str_eq(vary.unit, cases[i].unit, "%s", cases[i].path);
        cr_expect_float_eq(vary.value, cases[i].value, 1e-12);
        size_t size;
        char *const changed = wg_vary_text(&vary, text, sizeof text - 1, cases[i].other, &size);
        const char *const at = strstr(text, cases[i].before);
        cr_expect_eq(size, strlen(changed));
        cr_expect_eq(strncmp(changed, text, (size_t)(at - text)), 0);
        cr_expect_eq(strncmp(changed + (at - text), cases[i].after, strlen(cases[i].after)), 0, "%s: %.40s",
                     cases[i].path, changed + (at - text));
        cr_expect_str_eq(changed + (at - text) + strlen(cases[i].after), at + strlen(cases[i].before));
        free(changed);
    }
}

Test(vary, dates_move_by_days) {
    const struct wg_vary vary = find("starter.1.on");
    cr_expect(vary.is_date);
    cr_expect_eq(vary.value, wg_day_from_date((struct wg_date){2026, 1, 1}));
    cr_expect_eq(vary.step, 1);
    size_t size;
    char *const changed = wg_vary_text(&vary, text, sizeof text - 1, vary.value + 59, &size);
    cr_expect_not_null(strstr(changed, "{on: 2026-03-01, in"));
    free(changed);
    double value;
    cr_expect_eq(wg_vary_read(&vary, "2026-03-01", &value), 0);
    cr_expect_eq(value, vary.value + 59);
    cr_expect_eq(wg_vary_read(&vary, "59", &value), -1);
}

/* The reader checks the changed text like any scenario. */
Test(vary, changed_text_is_checked) {
    const struct wg_vary vary = find("climate.constant");
    const double values[] = {25, 400};
    for (int i = 0; i < 2; i++) {
        size_t size;
        char *const changed = wg_vary_text(&vary, text, sizeof text - 1, values[i], &size);
        struct wg_scenario scenario;
        struct wg_mistakes problems;
        const int code = wg_scenario_read_text(&scenario, "x.yaml", changed, size, NULL, 0, &problems, NULL);
        cr_expect_eq(code, i == 0 ? 0 : WG_ERR_INPUT);
        cr_expect(i == 1 || scenario.plan.climate.constant_c == 25);
        wg_mistakes_free(&problems);
        wg_scenario_free(&scenario);
        free(changed);
    }
}

Test(vary, rejects_what_cannot_be_varied) {
    static const char *const cases[][2] = {
        {"starter.1.cuont", "Did you mean \"count\"?"},
        {"starter.2.count", "a number from 1 to"},
        {"places.bench.bins.tub.volume", "tray"},
        {"places.bench", "group of keys"},
        {"species.clutch", "list"},
        {"places.1.bins.2.insulation", "neither a number"},
        {"climate.constant.1", "is a single value"},
        {"", "There is no"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct wg_vary vary;
        struct wg_error err = {0};
        cr_expect_eq(wg_vary_find(&vary, text, sizeof text - 1, cases[i][0], &err), WG_ERR_INPUT, "%s", cases[i][0]);
        cr_expect_not_null(strstr(err.text, cases[i][1]), "%s: %s", cases[i][0], err.text);
    }
}

static const char house[] = "title: dimensions\n"
                            "period: {from: 2026-01-01, to: 2026-12-31}\n"
                            "climate:\n"
                            "  latitude: 41 N\n"
                            "  normals: {unit: degF, daily_high: [32, 36, 46, 59, 70, 79, 83, 81, 75, 63, 49, 37],\n"
                            "    daily_low: [17, 20, 28, 39, 49, 59, 64, 62, 54, 42, 32, 23], daily_high_sd: 4 degF}\n"
                            "places:\n"
                            "  - name: shed\n"
                            "    housing: {kind: shed, u_value: 0.3 Btu/(h ft2 degF)}\n"
                            "    heater: {set_point: 65 \xC2\xB0"
                            "F, power: 5 kW, efficiency: 300 %}\n"
                            "    bins:\n"
                            "      - {name: \"2\", volume: 40 L}\n"
                            "      - {name: \"1\", volume: 80 L}\n"
                            "      - {name: wall, volume: 80 L, r_value: R-13}\n"
                            "starter: [{on: 2026-01-01, in: \"2\", stage: egg, count: 1000}]\n"
                            "feeding: [{in: \"2\", what: kitchen scraps, amount: 12 lb/week}]\n"
                            "species: {larva_rate_a: 0.000034, dormancy_heat_median: 150 degC day}\n";

static struct wg_vary find_in_house(const char *path) {
    struct wg_vary vary;
    struct wg_error err = {0};
    cr_assert_eq(wg_vary_find(&vary, house, sizeof house - 1, path, &err), 0, "%s: %s", path, err.text);
    return vary;
}

/*
 * The schema row of the key gives the dimension, not the spelling of the unit. By definition a spread of 4 degF is
 * 2.22 K, R-13 is 2.29 m2 K/W, 0.3 Btu/(h ft2 degF) is 1.7 W/(m2 K).
 */
Test(vary, dimension_comes_from_the_key) {
    static const struct {
        const char *path;
        enum wg_dimension dimension;
        double value;
        const char *shown;
    } cases[] = {
        {"places.shed.heater.set_point", WG_TEMPERATURE, 65,
         "65 \xC2\xB0"
         "F (18.3 degC)"},
        {"places.shed.heater.efficiency", WG_PURE, 300, "300 %"},
        {"places.shed.heater.power", WG_POWER, 5, "5 kW (17,100 Btu/h)"},
        {"places.shed.housing.u_value", WG_U_VALUE, 0.3, "0.3 Btu/(h ft2 degF) (1.7 W/(m2 K))"},
        {"places.shed.bins.wall.r_value", WG_R_VALUE, 13, "R-13 (2.29 m2 K/W)"},
        {"climate.normals.daily_high_sd", WG_TEMPERATURE_STEP, 4, "4 degF (2.22 degC)"},
        {"species.dormancy_heat_median", WG_DEGREE_DAYS, 150, "150 degC day (270 degF day)"},
        {"species.larva_rate_a", WG_PURE, 0.000034, "0.000034"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const struct wg_vary vary = find_in_house(cases[i].path);
        char shown[2 * WG_VARY_SHOWN_SIZE];
        wg_vary_show_both(&vary, vary.value, shown);
        cr_expect(vary.is_measured && vary.dimension == (int)cases[i].dimension, "%s", cases[i].path);
        cr_expect_float_eq(vary.value, cases[i].value, 1e-15);
        cr_expect_str_eq(shown, cases[i].shown, "%s", shown);
    }
}

/* As printed on insulation in the US: the number after the letter changes. */
Test(vary, r_values_as_printed) {
    const char wall[] = "a: R-13\n";
    struct wg_vary vary;
    size_t size;
    cr_assert_eq(wg_vary_find(&vary, wall, sizeof wall - 1, "a", NULL), 0);
    char *const changed = wg_vary_text(&vary, wall, sizeof wall - 1, 19, &size);
    cr_expect_str_eq(changed, "a: R-19\n");
    double value = 0;
    cr_expect_eq(wg_vary_read(&vary, "R-30", &value), 0);
    cr_expect_eq(value, 30);
    free(changed);
}

/* The second bin is named "1": the path could mean it or the first bin of the list. */
Test(vary, ambiguous_name_is_rejected) {
    struct wg_vary vary;
    struct wg_error err = {0};
    cr_expect_eq(wg_vary_find(&vary, house, sizeof house - 1, "places.shed.bins.1.volume", &err), WG_ERR_INPUT);
    cr_expect_not_null(strstr(err.text, "the number of another"), "%s", err.text);
}

Test(vary, widths_and_other_units) {
    const struct wg_vary date = find("starter.1.on"), volume = find("places.bench.bins.tray.volume");
    const struct wg_vary warmth = find("climate.constant");
    double value = 0;
    cr_expect_eq(wg_vary_read_width(&date, "7 days", &value), 0);
    cr_expect_eq(value, 7);
    cr_expect_eq(wg_vary_read_width(&date, "1 week", &value), 0);
    cr_expect_eq(value, 7);
    cr_expect_eq(wg_vary_read_width(&warmth, "9 degF", &value), 0);
    cr_expect_float_eq(value, 5, 1e-12);
    cr_expect_eq(wg_vary_read(&warmth, "50 degF", &value), 0);
    cr_expect_float_eq(value, 10, 1e-12);
    cr_expect_eq(wg_vary_read(&volume, "10 gal", &value), 0);
    cr_expect_float_eq(value, 37.85411784, 1e-12);
    cr_expect_eq(wg_vary_read(&volume, "10 kg", &value), -1);
}

Test(vary, values_with_and_without_unit) {
    const struct wg_vary vary = find("feeding.1.amount");
    double value = 0;
    cr_expect_eq(wg_vary_read(&vary, "9", &value), 0);
    cr_expect_eq(value, 9);
    cr_expect_eq(wg_vary_read(&vary, "10.5 lb/week", &value), 0);
    cr_expect_eq(value, 10.5);
    cr_expect_eq(wg_vary_read(&vary, "10.5 kg", &value), -1);
    cr_expect_eq(wg_vary_read(&vary, "much", &value), -1);
    char shown[WG_VARY_SHOWN_SIZE];
    wg_vary_show(&vary, 12.3456, shown);
    cr_expect_str_eq(shown, "12.35 lb/week");
}

Test(vary, has_a_subject) {
    static const char *const cases[][2] = {
        {"starter.1.count", "eggs to start with"},
        {"starter.1.on", "day of the eggs to start with"},
        {"period.to", "last day of the period"},
        {"climate.constant", "temperature of the laboratory"},
        {"places.bench.bins.tray.volume", "volume of tray"},
        {"places.1.bins.2.volume", "volume of \xC3\xA9tag\xC3\xA8re"},
        {"feeding.1.amount", "kitchen scraps for tray"},
        {"species.clutch.2", "the animal's clutch 2"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const struct wg_vary vary = find(cases[i][0]);
        cr_expect_str_eq(vary.subject, cases[i][1], "%s: %s", cases[i][0], vary.subject);
    }
}
