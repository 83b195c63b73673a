/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks how money is read and shown, against pairs written by hand: a sign stands before the amount ("$4.30", Chicago
 * Manual of Style, 9.20), a code behind it or in front of it ("EUR 30" and "30 EUR": EU Interinstitutional style guide,
 * 7.3.3, has the first in English; the program shows the second, as prices in plans are written, "0.15 EUR/kWh").
 */
#include "text/money.h"

#include <criterion/criterion.h>
#include <math.h>

TestSuite(money);

Test(money, the_currency_is_found_in_a_price) {
    static const struct {
        const char *text, *named;
    } cases[] = {
        {"$0.15 per kWh", "$"},
        {"0.15 EUR/kWh", "EUR"},
        {"EUR 0.15 per kWh", "EUR"},
        {"0.15 per kWh", NULL},
        {"15 cents per kWh", NULL},
        {"0.15 dollars/kWh", "$"},
        {"0.2 euros per kWh", "EUR"},
        {"\xE2\x82\xAC"
         "0.2 per kWh",
         "\xE2\x82\xAC"},
        {"0.15 EURO/kWh", NULL},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const char *const named = wg_money_named(cases[i].text);
        cr_expect(cases[i].named == NULL ? named == NULL : named != NULL && strcmp(named, cases[i].named) == 0,
                  "%s: %s", cases[i].text, named == NULL ? "none" : named);
    }
    cr_expect(wg_money_agrees("$", "USD") && wg_money_agrees("pesos", "$") && !wg_money_agrees("EUR", "$"));
}

Test(money, amounts_have_their_currency) {
    static const struct {
        double low, high;
        int digits;
        const char *currency, *shown;
    } cases[] = {
        {120, 120, 2, "$", "$120"},
        {4.3, 5.12, 2, "$", "$4.30 to $5.10"},
        {23.9, 39.4, 2, "EUR", "24 to 39 EUR"},
        {4.321, 4.321, 3, "", "4.32"},
        {1234, 1876, 2, "$", "$1,200 to $1,900"},
        {-3.2, -3.2, 2, "$", "-$3.20"},
        {0, 12, 2, "$", "$0 to $12"},
        {1.2e6, 1.2e6, 2, "pesos", "1.2 million pesos"},
        {9.96, 9.96, 2, "$", "$10"},
        {5, 5, 2, "US$", "US$5"},
        {0.02, 0.0202, 2, "$", "$0.02"},
        {7, 7, 2, "kr.", "7 kr."},
    };
    char shown[WG_SHOWN_SIZE];
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        wg_show_money(cases[i].low, cases[i].high, cases[i].digits, cases[i].currency, shown);
        cr_expect_str_eq(shown, cases[i].shown, "\"%s\", not \"%s\"", shown, cases[i].shown);
    }
    wg_show_exact_money(0.145, "$", shown);
    cr_expect_str_eq(shown, "$0.145");
    wg_show_money(NAN, NAN, 2, "$", shown);
    cr_expect_str_eq(shown, "-");
}
