/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks every unit of the table, and compound units, against udunits2 (Unidata's library, from the Debian package
 * udunits-bin).
 */
#include "text/quantity.h"
#include "text/units.h"

#include <criterion/criterion.h>
#include <dlfcn.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

TestSuite(units);

/* ---- the oracle ---- */

/* Finds a function of a library. ISO C does not convert object pointers to function pointers, hence the copy. */
static void look_up(void *library, const char *name, void *function) {
    void *const found = dlsym(library, name);
    cr_assert_not_null(found, "%s", name);
    memcpy(function, &found, sizeof found);
}

static struct {
    void *system;
    void *(*parse)(void *, const char *, int);
    void *(*converter)(void *, void *);
    double (*convert)(const void *, double);
    void (*free_unit)(void *), (*free_converter)(void *);
} oracle;

static int ignore_message(const char *format, va_list args) {
    (void)format;
    (void)args;
    return 0;
}

static void open_oracle(void) {
    void *const library = dlopen("libudunits2.so.0", RTLD_NOW);
    cr_assert_not_null(library, "libudunits2.so.0 is not installed: scripts/setup --test");
    void *(*read_xml)(const char *);
    int (*(*silence)(int (*)(const char *, va_list)))(const char *, va_list);
    look_up(library, "ut_set_error_message_handler", &silence);
    look_up(library, "ut_read_xml", &read_xml);
    look_up(library, "ut_parse", &oracle.parse);
    look_up(library, "ut_get_converter", &oracle.converter);
    look_up(library, "cv_convert_double", &oracle.convert);
    look_up(library, "ut_free", &oracle.free_unit);
    look_up(library, "cv_free", &oracle.free_converter);
    (void)silence(ignore_message);
    oracle.system = read_xml(NULL);
    cr_assert_not_null(oracle.system);
}

/* Returns NaN if udunits has no conversion. */
static double udunits_convert(double value, const char *from, const char *to) {
    void *const a = oracle.parse(oracle.system, from, 2), *const b = oracle.parse(oracle.system, to, 2); /* 2: UTF-8 */
    void *const converter = a != NULL && b != NULL ? oracle.converter(a, b) : NULL;
    const double answer = converter != NULL ? oracle.convert(converter, value) : (double)NAN;
    if (converter != NULL)
        oracle.free_converter(converter);
    oracle.free_unit(a);
    oracle.free_unit(b);
    return answer;
}

/* ---- every unit ---- */

/*
 * Returns the name in udunits where it differs. There oz and gal are other units, US customary units have seven figures
 * only (so the definitions of NIST SP 811, appendix B, are used here), and currencies do not exist.
 */
static const char *name_of(const char *word) {
    static const char *const pairs[][2] = {{"lbs", "lb"},
                                           {"oz", "0.0625 lb"},
                                           {"ounce", "0.0625 lb"},
                                           {"ounces", "0.0625 lb"},
                                           {"kgs", "kg"},
                                           {"kilo", "kg"},
                                           {"kilos", "kg"},
                                           {"t", "tonne"},
                                           {"gal", "231 inch^3"},
                                           {"gallon", "231 inch^3"},
                                           {"gallons", "231 inch^3"},
                                           {"qt", "57.75 inch^3"},
                                           {"quart", "57.75 inch^3"},
                                           {"quarts", "57.75 inch^3"},
                                           {"pint", "28.875 inch^3"},
                                           {"pints", "28.875 inch^3"},
                                           {"in", "inch"},
                                           {"sqft", "ft^2"},
                                           {"cuft", "ft^3"},
                                           {"mins", "minute"},
                                           {"cup", "14.4375 inch^3"},
                                           {"cups", "14.4375 inch^3"},
                                           {"bushel", "2150.42 inch^3"},
                                           {"bushels", "2150.42 inch^3"},
                                           {"wk", "week"},
                                           {"wks", "week"},
                                           {"yr", "year"},
                                           {"yrs", "year"},
                                           {"hrs", "hour"},
                                           {"ACH", "1/hour"},
                                           {"Btus", "Btu"},
                                           {"Btuh", "Btu/hour"},
                                           {"Wh", "W.hour"},
                                           {"kWh", "kW.hour"},
                                           {"MWh", "MW.hour"},
                                           {"therm", "1e5 Btu"},
                                           {"therms", "1e5 Btu"},
                                           {"R", "hour.ft^2.(K/1.8)/Btu"},
                                           {"deg", "degree"},
                                           {"\xC2\xB0", "degree"},
                                           {"percent", "%"},
                                           {"$", "1"},
                                           {"USD", "1"},
                                           {"EUR", "1"},
                                           {"GBP", "1"},
                                           {"\xE2\x82\xAC", "1"},
                                           {"\xC2\xA3", "1"},
                                           {"dollar", "1"},
                                           {"dollars", "1"},
                                           {"euro", "1"},
                                           {"euros", "1"},
                                           {"ct", "0.01"},
                                           {"cent", "0.01"},
                                           {"cents", "0.01"},
                                           {"eggs", "1"},
                                           {"larvae", "1"},
                                           {"prepupae", "1"},
                                           {"flies", "1"},
                                           {"times", "1"},
                                           {"centigrade", "degC"},
                                           {"\xC2\xB0"
                                            "F",
                                            "degF"},
                                           {"\xC2\xB0"
                                            "C",
                                            "degC"}};
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++)
        if (strcmp(pairs[i][0], word) == 0)
            return pairs[i][1];
    return word;
}

/* Returns the SI unit of the same dimension. */
static const char *si_unit_of(const struct wg_unit *unit) {
    static const char *const si_units[] = {"kg", "m", "m2",     "m3",    "s", "per s",
                                           "W",  "J", "degree", "times", "K", "m2 K/W"};
    for (size_t i = 0; i < sizeof si_units / sizeof *si_units; i++) {
        struct wg_unit si_unit;
        char message[WG_UNIT_MESSAGE];
        cr_assert_eq(wg_unit_read(si_units[i], "", &si_unit, message), WG_UNIT_GOOD, "%s", si_units[i]);
        if (wg_unit_is_alike(unit, &si_unit))
            return si_units[i];
    }
    return NULL;
}

Test(units, every_unit_agrees_with_udunits) {
    open_oracle();
    int n = 0;
    for (const char *word; (word = wg_unit_word(n)) != NULL; n++) {
        struct wg_unit unit;
        char message[WG_UNIT_MESSAGE];
        cr_assert_eq(wg_unit_read(word, "", &unit, message), WG_UNIT_GOOD, "%s: %s", word, message);
        const char *const si_unit = si_unit_of(&unit);
        cr_assert_not_null(si_unit, "%s", word);
        const char *const plain = strcmp(si_unit, "times") == 0    ? "1"
                                  : strcmp(si_unit, "per s") == 0  ? "1/s"
                                  : strcmp(si_unit, "m2 K/W") == 0 ? "m^2.K/W"
                                                                   : si_unit;
        for (double value = 1; value < 2000; value *= 12.34) {
            const double ours = wg_units_convert(value, word, si_unit, unit.has_zero);
            const double theirs = udunits_convert(value, name_of(word), plain);
            cr_expect(fabs(ours - theirs) <= 1e-12 * fabs(theirs), "%g %s: %.17g %s, udunits %.17g", value, word, ours,
                      si_unit, theirs);
        }
    }
    cr_expect_gt(n, 100);
}

Test(units, compound_units_agree_with_udunits) {
    static const char *const pairs[][4] = {
        {"lb/week", "kg/day", "lb/week", "kg/day"},
        {"Btu/(h ft2 degF)", "W/(m2 K)", "Btu/(hour.ft^2.(K/1.8))", "W/(m^2.K)"},
        {"h ft2 degF/Btu", "m2 K/W", "hour.ft^2.(K/1.8)/Btu", "m^2.K/W"},
        {"Btu/h/ft2/degF", "W m-2 K-1", "Btu/hour/ft^2/(K/1.8)", "W m-2 K-1"},
        {"per MWh", "per kWh", "1/(MW.hour)", "1/(kW.hour)"},
        {"per ft2 and R", "per m2 and R", "1/ft^2", "1/m^2"},
        {"per 1000", "times", "0.001", "1"},
        {"per 1 day", "per week", "1/day", "1/(7 day)"},
        {"lb a day", "kg/day", "lb/day", "kg/day"},
        {"per 1000 lb", "per kg", "1/(1000 lb)", "1/kg"},
        {"cents per therm", "per kWh", "0.01/(1e5 Btu)", "1/(kW.hour)"},
        {"degF day", "K day", "(K/1.8).day", "K.day"},
        {"cubic feet", "gal", "ft^3", "(231 inch^3)"},
        {"square inches per gallon", "m-1", "inch^2/(231 inch^3)", "m-1"},
        {"kJ/(kg K)", "J/(g degC)", "kJ/(kg.K)", "J/(g.K)"},
        {"% per day", "per year", "0.01/day", "1/year"},
    };
    open_oracle();
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++) {
        const double ours = wg_units_convert(7.5, pairs[i][0], pairs[i][1], false);
        const double theirs = udunits_convert(7.5, pairs[i][2], pairs[i][3]);
        cr_expect(fabs(ours - theirs) <= 1e-12 * fabs(theirs), "%s: %.17g, udunits %.17g", pairs[i][0], ours, theirs);
    }
}

/* ---- to the last bit ---- */

static double read(const char *text, enum wg_dimension dimension) {
    char message[WG_QUANTITY_MESSAGE] = "";
    double value = (double)NAN;
    cr_expect_eq(wg_quantity_read(text, dimension, &value, message), 0, "%s: %s", text, message);
    return value;
}

/* The same amount in two units gives the same double. Definitions: (x - 32) 5/9, 0.45359237 kg, 25.4 mm, 231 in3. */
Test(units, equal_amounts_are_bitwise_equal) {
    static const struct {
        enum wg_dimension dimension;
        const char *a, *b;
    } same[] = {
        {WG_TEMPERATURE, "80.6 degF", "27 degC"},
        {WG_TEMPERATURE, "32 degF", "0 degC"},
        {WG_TEMPERATURE, "-40 degF", "-40 degC"},
        {WG_TEMPERATURE, "300 K", "26.85 degC"},
        {WG_TEMPERATURE, "212 degF", "100 degC"},
        {WG_TEMPERATURE, "99.5 degF", "37.5 degC"},
        {WG_TEMPERATURE, "0 degF", "255.3722222222222222 K"},
        {WG_TEMPERATURE_STEP, "9 degF", "5 degC"},
        {WG_MASS, "3 lb", "1.36077711 kg"},
        {WG_MASS, "16 oz", "1 lb"},
        {WG_MASS_RATE, "3.5 kg/week", "500 g/day"},
        {WG_VOLUME, "40 gal", "151.41647136 L"},
        {WG_VOLUME, "1 gal", "231 in3"},
        {WG_LENGTH, "3.5 in", "88.9 mm"},
        {WG_AREA, "9 ft2", "1 yd2"},
        {WG_DEGREE_DAYS, "144 degF day", "80 degC day"},
        {WG_U_VALUE, "0.3 Btu/(h ft2 degF)", "0.3 Btu/h/ft2/degF"},
        {WG_HOURS, "90 min", "1.5 hours"},
        {WG_SHARE, "12.5 %", "12.5 percent"},
    };
    for (size_t i = 0; i < sizeof same / sizeof *same; i++) {
        const double a = read(same[i].a, same[i].dimension), b = read(same[i].b, same[i].dimension);
        if (strchr(same[i].b, 'K') != NULL && same[i].b[0] == '2') /* a repeating decimal */
            cr_expect_float_eq(a, b, 1e-13, "%s: %.17g, %s: %.17g", same[i].a, a, same[i].b, b);
        else
            cr_expect_eq(a, b, "%s: %.17g, %s: %.17g", same[i].a, a, same[i].b, b);
    }
    cr_expect_eq(read("32 degF", WG_TEMPERATURE), 0.0);
    cr_expect_eq(read("1 gal", WG_VOLUME), 3.785411784e-3);
}

Test(units, unknown_units_are_rejected) {
    static const struct {
        enum wg_dimension dimension;
        const char *text, *says;
    } cases[] = {
        {WG_MASS, "250 gr", "Did you mean 250 g?"},
        {WG_MASS, "5 u", "\"u\" is not a unit known here"},
        {WG_MASS, "5 dr", "not a unit known here"},
        {WG_MASS, "5 slug", "not a unit known here"},
        {WG_MASS, "5 Mg", "not a unit known here"},
        {WG_MASS, "5 grains", "not a unit known here"},
        {WG_VOLUME, "5 ML", "not a unit known here"},
        {WG_POWER, "5 mW", "not a unit known here"},
        {WG_MASS, "5 kg/", "is not a weight"},
        {WG_MASS, "5 kg//day", "is not a weight"},
        {WG_MASS, "5 square", "is not a weight"},
        {WG_TEMPERATURE, "5 degC2", "is not a temperature"},
        {WG_TEMPERATURE, "5 degC2/degC", "is not a temperature"},
        {WG_MASS, "5 ()", "is not a weight"},
        {WG_MASS, "5 ((((((((((((((((((kg))))))))))))))))))", "too long"},
        {WG_VOLUME, "1 ft9/ft6 mi-9 ft9 ft9 ft9 ft9 ft9", "not"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        double value = 7;
        char message[WG_QUANTITY_MESSAGE] = "";
        cr_expect_eq(wg_quantity_read(cases[i].text, cases[i].dimension, &value, message), -1, "%s is %g",
                     cases[i].text, value);
        cr_expect_not_null(strstr(message, cases[i].says), "%s: %s", cases[i].text, message);
    }
}
