/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks number formats against pairs written by hand. Includes the program's sources, to reach their static functions.
 *
 * Outside facts: 1 lb is 0.45359237 kg, an ounce a sixteenth of it (international yard and pound agreement, 1959);
 * 0 degC is 32 degF, a degC 1.8 degF; 1 Btu/h is 0.29307 W.
 */
#include "text/show.c"

#include <criterion/criterion.h>

TestSuite(show);

static void expect(const char *shown, const char *wanted) {
    cr_expect_str_eq(shown, wanted, "\"%s\", not \"%s\"", shown, wanted);
}

Test(show, numbers_have_three_figures_and_commas) {
    static const struct {
        double value;
        const char *shown;
    } pairs[] = {
        {0, "0"},
        {-0.0, "0"},
        {1, "1"},
        {0.05, "0.05"},
        {0.0004, "0"},
        {0.1234, "0.12"},
        {1.005, "1"},
        {1.25, "1.25"},
        {9.99, "9.99"},
        {9.996, "10"},
        {12.34, "12.3"},
        {99.94, "99.9"},
        {99.96, "100"},
        {999.4, "999"},
        {999.6, "1,000"},
        {1234, "1,230"},
        {12345, "12,300"},
        {999499, "999,000"},
        {999600, "1 million"},
        {1234567, "1.23 million"},
        {-1234567, "-1.23 million"},
        {1e9, "1 billion"},
        {2.5e12, "2.5 trillion"},
        {9.99e14, "999 trillion"},
        {1e15, "1.0 x 10^15"},
        {4.14e17, "4.1 x 10^17"},
        {9.96e17, "1.0 x 10^18"},
    };
    char shown[WG_SHOWN_SIZE];
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++) {
        wg_show_number(pairs[i].value, shown);
        expect(shown, pairs[i].shown);
    }
    wg_show_number(HUGE_VAL, shown);
    expect(shown, "never");
    wg_show_number(NAN, shown);
    expect(shown, "-");
}

/* Each end of an interval gets enough decimals not to show 100 %. Wilson: the low end for 1,500 of 1,500 is 99.74 %. */
Test(show, shares_near_the_ends_keep_their_decimals) {
    static const struct {
        double share;
        const char *shown;
    } pairs[] = {{0, "0"},           {1, "100"},       {0.5, "50"},         {0.9974, "99.7"}, {0.0019, "0.2"},
                 {0.99983, "99.98"}, {0.0002, "0.02"}, {0.99996, "99.996"}, {0.0000001, "0"}, {0.994, "99.4"}};
    char shown[WG_SHOWN_SIZE];
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++) {
        wg_show_share(pairs[i].share, shown);
        expect(shown, pairs[i].shown);
    }
}

Test(show, counts_keep_every_digit) {
    char shown[WG_SHOWN_SIZE];
    wg_show_whole(0, shown);
    expect(shown, "0");
    wg_show_whole(999, shown);
    expect(shown, "999");
    wg_show_whole(1234567, shown);
    expect(shown, "1,234,567");
    wg_show_whole(-1000, shown);
    expect(shown, "-1,000");
    wg_show_whole(INT64_MIN, shown);
    expect(shown, "-9,223,372,036,854,775,808");
}

Test(show, weights_are_in_both_systems) {
    char shown[WG_SHOWN_SIZE];
    wg_show_mass(0, shown);
    expect(shown, "0 kg (0 lb)");
    wg_show_mass(1, shown);
    expect(shown, "1 kg (2.2 lb)");
    wg_show_mass(0.45359237, shown);
    expect(shown, "0.45 kg (1 lb)");
    wg_show_mass(0.028349523125, shown);
    expect(shown, "28.3 g (1 oz)");
    wg_show_mass(1000, shown);
    expect(shown, "1,000 kg (2,200 lb)");
    wg_show_mass(5e9, shown);
    expect(shown, "5 billion kg");
    wg_show_mass_range(10, 15, shown);
    expect(shown, "10 to 15 kg (22 to 33.1 lb)");
    wg_show_mass_range(2e6, 3.5e6, shown);
    expect(shown, "2 to 3.5 million kg");
    wg_show_range(1, 1.0001, " kWh", shown);
    expect(shown, "1 kWh");
}

Test(show, power_and_temperature_are_in_both_systems) {
    char shown[WG_SHOWN_SIZE];
    wg_show_power(850, shown);
    expect(shown, "850 W (2,900 Btu/h)");
    wg_show_power(5000, shown);
    expect(shown, "5 kW (17,100 Btu/h)");
    wg_show_temperature(0, shown);
    expect(shown, "0 °C (32 °F)");
    wg_show_temperature(-40, shown);
    expect(shown, "-40 °C (-40 °F)");
}

Test(show, dates_count_from_the_first_day) {
    char shown[WG_SHOWN_SIZE];
    const int32_t first = wg_day_from_date((struct wg_date){2026, 9, 15});
    wg_show_date(first, 0, "never", shown);
    expect(shown, "15 Sep 2026");
    wg_show_date(first, 239, "never", shown); /* 15 days of September, 31, 30, 31, 31, 28, 31, 30, 12 */
    expect(shown, "12 May 2027");
    wg_show_date(first, 0.4, "never", shown);
    expect(shown, "15 Sep 2026");
    wg_show_date(first, 0.5, "never", shown);
    expect(shown, "16 Sep 2026");
    wg_show_date(first, HUGE_VAL, "never", shown);
    expect(shown, "never");
    cr_expect_eq(wg_show_iso_date(first, 239, shown), 0);
    expect(shown, "2027-05-12");
    cr_expect_eq(wg_show_iso_date(first, NAN, shown), -1);
    expect(shown, "");
}

Test(show, percentages_are_0_or_100_only_if_exact) {
    char shown[WG_SHOWN_SIZE];
    cr_expect_eq(wg_show_percent_decimals(0.974), 0);
    cr_expect_eq(wg_show_percent_decimals(0.998), 1);
    cr_expect_eq(wg_show_percent_decimals(0.002), 1);
    cr_expect_eq(wg_show_percent_decimals(1), 0);
    cr_expect_eq(wg_show_percent_decimals(0), 0);
    wg_show_percent(0.974, 0, shown);
    expect(shown, "97");
    wg_show_percent(0.998, 1, shown);
    expect(shown, "99.8");
    wg_show_percent(1, 1, shown);
    expect(shown, "100");
}

/* Returns the output of wg_show_lines(). */
static void wrapped(int indent, const char *text, char *out, size_t size) {
    FILE *const file = tmpfile();
    cr_assert_not_null(file);
    wg_show_lines(file, indent, text);
    rewind(file);
    out[fread(out, 1, size - 1, file)] = '\0';
    (void)fclose(file);
}

Test(show, lines_wrap_before_column_80_and_keep_every_word) {
    char text[400] = "a", out[600], whole[600];
    for (int i = 0; i < 40; i++)
        strcat(text, i % 7 == 0 ? " \xc3\xa4\xc3\xb6\xc3\xbc\xc3\xa4\xc3\xb6" : " grubs");
    wrapped(4, text, out, sizeof out);
    char *to = whole;
    int lines = 0;
    for (char *line = strtok(out, "\n"); line != NULL; line = strtok(NULL, "\n"), lines++) {
        int columns = 0;
        for (const char *c = line; *c != '\0'; c++)
            columns += (*c & 0xC0) != 0x80; /* first bytes of characters */
        cr_expect_leq(columns, 79);
        cr_expect_eq(strncmp(line, "    ", 4) == 0, lines > 0);
        to += sprintf(to, "%s%s", lines > 0 ? " " : "", line + (lines > 0 ? 4 : 0));
    }
    cr_expect_geq(lines, 3);
    expect(whole, text);
}

Test(show, lines_that_fit_stay_as_they_are) {
    char out[600], ruler[120];
    wrapped(4, "label     a  b\n\n  in\n", out, sizeof out);
    expect(out, "label     a  b\n\n  in\n");
    memset(ruler, 'x', sizeof ruler);
    ruler[100] = '\0'; /* one word too long for a line */
    wrapped(4, ruler, out, sizeof out);
    cr_expect_eq(strlen(out), 101);
    ruler[20] = ' ';
    wrapped(4, ruler, out, sizeof out);
    cr_expect_eq(strcspn(out, "\n"), 20);
    memset(ruler, ' ', 30); /* no break between the indent and its word */
    wrapped(4, ruler, out, sizeof out);
    cr_expect_eq(strcspn(out, "\n"), 100);
}

Test(show, no_line_break_before_a_percent_sign) {
    char out[600], text[120];
    memset(text, 'x', 77);
    strcpy(text + 77, " 95 % wanted"); /* the 5 would be in column 80, or the % alone on a line */
    wrapped(2, text, out, sizeof out);
    cr_expect_not_null(strstr(out, "\n  95 % wanted"), "%s", out);
    strcpy(text + 76, " 9 % wanted");
    wrapped(2, text, out, sizeof out);
    cr_expect_not_null(strstr(out, "\n  9 % wanted"), "%s", out);
}

Test(show, wide_ranges_have_two_figures) {
    static const struct {
        double value;
        const char *shown;
    } pairs[] = {
        {0, "0"},        {0.0512, "0.051"}, {0.004, "0.004"},    {0.126, "0.13"},       {1.25, "1.2"},
        {9.94, "9.9"},   {9.96, "10"},      {99.4, "99"},        {99.6, "100"},         {148, "150"},
        {1489, "1,500"}, {-148, "-150"},    {994000, "990,000"}, {996000, "1 million"}, {1.26e9, "1.3 billion"}};
    char shown[WG_SHOWN_SIZE];
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++) {
        wg_show_rounded(pairs[i].value, 2, shown);
        expect(shown, pairs[i].shown);
    }
    cr_expect_eq(wg_range_digits(10, 11), 3);
    cr_expect_eq(wg_range_digits(10, 15), 2);
    cr_expect_eq(wg_range_digits(5, 5), 3);
    wg_show_rounded_mass(1.234, 12.34, 2, shown);
    expect(shown, "1.2 to 12 kg (2.7 to 27 lb)");
    wg_show_rounded_mass(0.0056, 0.25, 2, shown); /* 0.0123 to 0.551 lb */
    expect(shown, "0.006 to 0.25 kg (0.012 to 0.55 lb)");
    wg_show_rounded_mass(0.00001, 0.00001, 2, shown); /* 0.00035 oz */
    expect(shown, "0.01 g");
    wg_show_animals(0.15, 949.6, 2, shown);
    expect(shown, "0 to 950");
    wg_show_animals(0, 0.85, 2, shown);
    expect(shown, "0 to 1");
    cr_expect_eq(wg_spread_digits(1310, 1460, 1540), 3, "$1,500 would be the middle and the end of $1,300 to $1,500");
    cr_expect_eq(wg_spread_digits(1300, 1400, 1540), 2);
}
