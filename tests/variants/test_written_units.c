/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Tests which units a plan is written in, against the sentences of a keeper in the US and of one elsewhere.
 */
#include "variants/written_units.h"

#include <criterion/criterion.h>

Test(written_units, fahrenheit) {
    cr_assert(wg_writes_fahrenheit("heater: {set_point: 70 degF}"));
    cr_assert(wg_writes_fahrenheit("at 70 degF, then 27 degC"), "as many of both");
    cr_assert_not(wg_writes_fahrenheit("heater: {set_point: 24 degC}"));
    cr_assert_not(wg_writes_fahrenheit("70 degF, 24 degC, 27 degC"));
    cr_assert_not(wg_writes_fahrenheit("feeding: [{amount: 3 lb}]"), "no temperature at all");
    cr_assert_not(wg_writes_fahrenheit(""));
}

Test(written_units, us_units) {
    cr_assert(wg_writes_us_units("heater: {set_point: 70 degF}, volume: 100 L"), "temperatures decide");
    cr_assert(wg_writes_us_units("volume: 40 gal, amount: 3lb"));
    cr_assert(wg_writes_us_units("depth: 2ft"));
    cr_assert_not(wg_writes_us_units("volume: 150 L, set_point: 24 degC, amount: 3 lb"));
    cr_assert_not(wg_writes_us_units("volume: 150 L, amount: 1.5 kg"));
    cr_assert_not(wg_writes_us_units("title: The bulb and the gallows"), "parts of words are no units");
    cr_assert_not(wg_writes_us_units(""));
}
