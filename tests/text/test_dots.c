/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks natural frequencies and their dots: as many dots as the words say, and only a share of exactly 0 or 1 has none or
 * all of them (that a forecast must not call sure what is not).
 */
#include "pages/page_parts.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

TestSuite(dots);

static int count_of(const char *text, const char *letter) {
    int n = 0;
    for (const char *at = strstr(text, letter); at != NULL; at = strstr(at + 1, letter))
        n++;
    return n;
}

Test(dots, are_as_many_as_the_words_say) {
    static const struct {
        double share;
        int64_t n;
        int some, all;
        const char *words;
    } cases[] = {{0.906, 512, 91, 100, "91 of 100"},
                 {1, 512, 100, 100, "100 of 100"},
                 {0.9981, 512, 99, 100, "more than 99 of 100"},
                 {0.0019, 512, 1, 100, "fewer than 1 of 100"},
                 {0, 20000, 0, 100, "0 of 100"},
                 {58.0 / 64, 64, 58, 64, "58 of 64"},
                 {1, 1, 1, 1, "1 of 1"},
                 {63.0 / 64, 64, 63, 64, "63 of 64"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const struct wg_dots dots = wg_dots_of(cases[i].share, cases[i].n);
        char words[WG_SHOWN_SIZE], *text = NULL;
        size_t size = 0;
        wg_dots_words(&dots, words);
        cr_expect_str_eq(words, cases[i].words);
        FILE *const to = open_memstream(&text, &size);
        cr_assert_not_null(to);
        wg_dots_print(&dots, "alive", "died out", to);
        cr_assert_eq(fclose(to), 0);
        /* one of each kind more, beside its meaning */
        cr_expect_eq(count_of(text, "\xE2\x97\x8F"), cases[i].some + 1, "%s", text);
        cr_expect_eq(count_of(text, "\xE2\x97\x8B"), cases[i].all - cases[i].some + 1, "%s", text);
        for (const char *line = text; *line != '\0'; line += strcspn(line, "\n") + 1) {
            char copy[512];
            (void)snprintf(copy, sizeof copy, "%.*s", (int)strcspn(line, "\n"), line);
            cr_expect_leq(wg_show_columns(copy), 79, "%s", copy);
        }
        free(text);
    }
}

/* Counts the circles left of a place in a picture. */
static int circles_left_of(const char *text, double x) {
    int n = 0;
    for (const char *at = strstr(text, "<circle cx=\""); at != NULL; at = strstr(at + 1, "<circle cx=\""))
        n += strtod(at + strlen("<circle cx=\""), NULL) < x;
    return n;
}

/* Twenty of a hundred even steps: 5 kg is the first tick of an axis that ends at 20 kg, a quarter of its way. */
Test(dots, of_a_weight_are_those_of_its_sentence) {
    double kg[100];
    struct wg_bytes page = {0};
    const struct wg_page to = {&page, "", true};
    for (int i = 0; i < 100; i++)
        kg[i] = 0.2 * i;
    cr_assert_eq(wg_report_quantile_dots(kg, 100, "is taken out", "year", &to), 0);
    cr_expect_eq(count_of(page.data, "<circle"), WG_QUANTILE_DOTS);
    cr_expect_not_null(strstr(page.data, "In 5 of these 20 years less than 5 kg (11 lb) is taken out."), "%s",
                       page.data);
    const char *const tick = strstr(page.data, ">5<");
    cr_assert_not_null(tick);
    const char *place = tick;
    while (strncmp(place, "x=\"", 3) != 0)
        place--;
    cr_expect_eq(circles_left_of(page.data, strtod(place + 3, NULL)), 5);
    wg_bytes_free(&page);
    for (int i = 0; i < 100; i++)
        kg[i] = 0;
    cr_expect_eq(wg_report_quantile_dots(kg, 100, "is taken out", "year", &to), 0);
    cr_expect_eq(wg_report_quantile_dots(kg, 19, "is taken out", "year", &to), 0);
    cr_expect_eq(page.size, 0);
}
