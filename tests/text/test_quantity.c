/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks quantities: numbers, units, and the messages for mistakes.
 *
 * References are the definitions of the units: international pound and foot (1959), US gallon (231 cubic inches),
 * international-table Btu (1055.05585262 J), Fahrenheit's scale.
 */
#include "text/quantity.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

TestSuite(quantity);

#define LB 0.45359237
#define FT 0.3048
#define BTU 1055.05585262

Test(quantity, valid_quantities) {
    static const struct {
        const char *text;
        enum wg_dimension dimension;
        double value;
    } cases[] = {
        {"65 degF", WG_TEMPERATURE, 33 / 1.8},
        {"65degF", WG_TEMPERATURE, 33 / 1.8},
        {"65 \xC2\xB0"
         "F",
         WG_TEMPERATURE, 33 / 1.8},
        {"65 degrees Fahrenheit", WG_TEMPERATURE, 33 / 1.8},
        {"18.3 degC", WG_TEMPERATURE, 18.3},
        {"-40 degF", WG_TEMPERATURE, -40},
        {"\xE2\x88\x92"
         "5 degC",
         WG_TEMPERATURE, -5},
        {"300 K", WG_TEMPERATURE, 26.85},
        {"10 degF", WG_TEMPERATURE_STEP, 10 / 1.8},
        {"3 degC", WG_TEMPERATURE_STEP, 3},
        {"3 lb", WG_MASS, 3 * LB},
        {"3 lbs", WG_MASS, 3 * LB},
        {"3 pounds", WG_MASS, 3 * LB},
        {"16 oz", WG_MASS, LB},
        {"1.4 kg", WG_MASS, 1.4},
        {"250 g", WG_MASS, 0.25},
        {"0.2 g", WG_INSECT_MASS, 0.2},
        {"12 lb/week", WG_MASS_RATE, 12 * LB / 7},
        {"12 pounds per week", WG_MASS_RATE, 12 * LB / 7},
        {"150 L", WG_VOLUME, 0.150},
        {"150 litres", WG_VOLUME, 0.150},
        {"40 gal", WG_VOLUME, 40 * 231 * 0.0254 * 0.0254 * 0.0254},
        {"900 ft3", WG_VOLUME, 900 * FT * FT * FT},
        {"900 cubic feet", WG_VOLUME, 900 * FT * FT * FT},
        {"25 mm", WG_LENGTH, 0.025},
        {"1 in", WG_LENGTH, 0.0254},
        {"10 cm", WG_LENGTH, 0.10},
        {"18 m2", WG_AREA, 18},
        {"18 m\xC2\xB2", WG_AREA, 18},
        {"200 ft2", WG_AREA, 200 * FT * FT},
        {"200 ft^2", WG_AREA, 200 * FT * FT},
        {"200 sq ft", WG_AREA, 200 * FT * FT},
        {"200 square feet", WG_AREA, 200 * FT * FT},
        {"5 kW", WG_POWER, 5000},
        {"1.5e3 W", WG_POWER, 1500},
        {"17000 Btu/h", WG_POWER, 17000 * BTU / 3600},
        {"1.2 Btu/(h ft2 degF)", WG_U_VALUE, 1.2 * BTU / 3600 / (FT * FT) * 1.8},
        {"1.2 Btu/h/ft2/degF", WG_U_VALUE, 1.2 * BTU / 3600 / (FT * FT) * 1.8},
        {"4 W/(m2 K)", WG_U_VALUE, 4},
        {"4 W m-2 K-1", WG_U_VALUE, 4},
        {"R-13", WG_R_VALUE, 13 * 3600 / BTU * FT * FT / 1.8},
        {"R 13", WG_R_VALUE, 13 * 3600 / BTU * FT * FT / 1.8},
        {"R13", WG_R_VALUE, 13 * 3600 / BTU * FT * FT / 1.8},
        {"2.3 m2 K/W", WG_R_VALUE, 2.3},
        {"0.15 per kWh", WG_PRICE, 0.15},
        {"$0.15 per kWh", WG_PRICE, 0.15},
        {"0.15 EUR/kWh", WG_PRICE, 0.15},
        {"15 cents per kWh", WG_PRICE, 0.15},
        {"3 days", WG_DAYS, 3},
        {"12 hours", WG_DAYS, 0.5},
        {"2 weeks", WG_DAYS, 14},
        {"12 hours", WG_HOURS, 12},
        {"80 %", WG_SHARE, 0.8},
        {"80%", WG_SHARE, 0.8},
        {"80 percent", WG_SHARE, 0.8},
        {"0.22", WG_PURE, 0.22},
        {"22 %", WG_PURE, 0.22},
        {"10000", WG_COUNT, 10000},
        {"500 eggs", WG_COUNT, 500},
        {"3 per day", WG_NUMBER_RATE, 3},
        {"0.06 1/day", WG_NUMBER_RATE, 0.06},
        {"2", WG_PER_YEAR, 2},
        {"2 per year", WG_PER_YEAR, 2},
        {"1.5 per hour", WG_PER_HOUR, 1.5},
        {"1.5 ACH", WG_PER_HOUR, 1.5},
        {"0.02 per degC", WG_PER_KELVIN, 0.02},
        {"32.4 degrees", WG_ANGLE, 32.4},
        {"100 W/m2", WG_LIGHT, 100},
        {"4.2 MJ/kg", WG_HEAT_PER_MASS, 4.2e6},
        {"80 degC day", WG_DEGREE_DAYS, 80},
        {"144 degF day", WG_DEGREE_DAYS, 80},
        {"5 MJ/K", WG_HEAT_CAPACITY, 5e6},
        {"90 W/K", WG_CONDUCTANCE, 90},
        {"2 bushel", WG_VOLUME, 2 * 2150.42 * 0.0254 * 0.0254 * 0.0254},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        double value = -999;
        char message[WG_QUANTITY_MESSAGE] = "";
        cr_expect_eq(wg_quantity_read(cases[i].text, cases[i].dimension, &value, message), 0, "%s: %s", cases[i].text,
                     message);
        cr_expect_float_eq(value, cases[i].value, 1e-14 * fmax(1, fabs(cases[i].value)), "%s: %.12g, not %.12g",
                           cases[i].text, value, cases[i].value);
    }
}

Test(quantity, invalid_quantities_have_a_message) {
    static const struct {
        const char *text;
        enum wg_dimension dimension;
        const char *says;
    } cases[] = {
        {"65", WG_TEMPERATURE, "write for example 65 degF or 18.3 degC"},
        {"65 F", WG_TEMPERATURE, "Did you mean 65 degF?"},
        {"18 C", WG_TEMPERATURE, "Did you mean 18 degC?"},
        {"65 degG", WG_TEMPERATURE, "Did you mean \"degF\"?"},
        {"3", WG_MASS, "needs a unit"},
        {"3 L", WG_MASS, "is not a weight"},
        {"3 lbz", WG_MASS, "Did you mean \"lb\"?"},
        {"0.8", WG_SHARE, "80 %"},
        {"80", WG_SHARE, "80 %"},
        {"", WG_MASS, "Nothing is written here"},
        {"heavy", WG_MASS, "is not a weight"},
        {"nan kg", WG_MASS, "is not a weight"},
        {"inf", WG_MASS, "is not a weight"},
        {"1e999 kg", WG_MASS, "too large"},
        {"0x10 kg", WG_MASS, "not a unit"},
        {"5 kg @ 3", WG_MASS, "does not belong in a unit"},
        {"5 kg + 3 kg", WG_MASS, "does not belong in a unit"},
        {"5 kg 3", WG_MASS, "another number"},
        {"5 kg since 2000", WG_MASS, "not a unit"},
        {"5 lb(re 1 kg)", WG_MASS, "not a unit"},
        {"5 (kg", WG_MASS, "is not a weight"},
        {"5 kg)", WG_MASS, "bracket"},
        {"5 kg^99", WG_MASS, "exponent"},
        {"1,5 kg", WG_MASS, "comma"},
        {"10,000", WG_COUNT, "comma"},
        {"1/2 in", WG_LENGTH, "fraction"},
        {"3-4 lb", WG_MASS, "range"},
        {"1.2.3 lb", WG_MASS, "not a plain number"},
        {"5 kkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkg", WG_MASS, "too long"},
        {"5 degF", WG_PRICE, "is not a price"},
        {"0.15 kWh", WG_PRICE, "is not a price"},
        {"3 days", WG_NUMBER_RATE, "is not a number per day"},
        {"0.5 W/(m2 K)", WG_R_VALUE, "is not an R value"},
        {"R-x", WG_R_VALUE, "is not an R value"},
        {"R1e308", WG_R_VALUE, "is not an R value"}, /* infinite in m2 K/W */
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        double value = 7;
        char message[WG_QUANTITY_MESSAGE] = "";
        cr_expect_eq(wg_quantity_read(cases[i].text, cases[i].dimension, &value, message), -1, "%s", cases[i].text);
        cr_expect_eq(value, 7, "%s changed the value", cases[i].text);
        cr_expect_not_null(strstr(message, cases[i].says), "%s: %s", cases[i].text, message);
    }
}

/* The examples in messages are valid. */
Test(quantity, every_example_can_be_read) {
    for (int d = 0; d < WG_N_DIMENSIONS; d++) {
        char text[200];
        snprintf(text, sizeof text, "%s", wg_dimension_example((enum wg_dimension)d));
        for (char *part = text; part != NULL;) {
            char *next = strstr(part, " or ");
            char *const comma = strstr(part, ", ");
            char *end = comma != NULL && (next == NULL || comma < next) ? comma : next;
            char *const after = end == NULL ? NULL : end + (end == comma ? 2 : 4);
            if (end != NULL)
                *end = '\0';
            double value;
            char message[WG_QUANTITY_MESSAGE] = "";
            cr_expect_eq(wg_quantity_read(part, (enum wg_dimension)d, &value, message), 0, "%s: %s", part, message);
            part = after;
        }
    }
}

Test(quantity, is_shown_in_both_unit_systems) {
    static const struct {
        enum wg_dimension dimension;
        double value;
        const char *shown;
    } cases[] = {
        {WG_TEMPERATURE, 20, "20 degC (68 degF)"},
        {WG_TEMPERATURE, 3.55e-14, "0 degC (32 degF)"}, /* rounding error */
        {WG_TEMPERATURE, -1e-14, "0 degC (32 degF)"},
        {WG_TEMPERATURE, -0.0, "0 degC (32 degF)"},
        {WG_TEMPERATURE_STEP, 10, "10 degC (18 degF)"},
        {WG_MASS, 3 * LB, "1.36 kg (3 lb)"},
        {WG_VOLUME, 0.15, "150 L (39.6 gal)"},
        {WG_LENGTH, 0.0254, "25.4 mm (1 in)"},
        {WG_AREA, 18, "18 m2 (194 ft2)"},
        {WG_SHARE, 0.8, "80 %"},
        {WG_PRICE, 0.15, "0.15 per kWh"},
        {WG_PURE, 0.22, "0.22"},
        {WG_PURE, 0.000034, "3.4e-05"},
        {WG_COUNT, 10000, "10,000"},
        {WG_POWER, 2000, "2,000 W (6,824 Btu/h)"}, /* 1 Btu/h is 0.29307107 W by definition */
        {WG_TEMPERATURE, -40, "-40 degC (-40 degF)"},
        {WG_MASS, 0.2 * LB, "0.0907 kg (0.2 lb)"},
        {WG_DAYS, 1, "1 day"},
        {WG_DAYS, 2, "2 days"},
        {WG_DAYS, 0.5, "0.5 days"},
        {WG_HOURS, 1, "1 hour"},
        {WG_PER_HOUR, 1, "1 per hour"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char shown[WG_QUANTITY_SHOWN_SIZE];
        wg_quantity_show(cases[i].dimension, cases[i].value, shown);
        cr_expect_str_eq(shown, cases[i].shown, "%s", shown);
    }
}

Test(quantity, number_ends_before_other_text) {
    double value = 0;
    const char *rest;
    cr_expect_eq(wg_number_read("3eggs", &value, &rest), 0);
    cr_expect_eq(value, 3);
    cr_expect_str_eq(rest, "eggs");
    cr_expect_eq(wg_number_read(".5 lb", &value, &rest), 0);
    cr_expect_eq(value, 0.5);
    cr_expect_eq(wg_number_read("-1e-3x", &value, &rest), 0);
    cr_expect_float_eq(value, -0.001, 1e-15);
    cr_expect_str_eq(rest, "x");
    cr_expect_eq(wg_number_read(".", &value, &rest), -1);
    cr_expect_eq(wg_number_read("-", &value, &rest), -1);
    cr_expect_eq(wg_number_read("e5", &value, &rest), -1);
}
