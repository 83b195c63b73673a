/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads and shows money. A currency that ends in a sign, as "$" and "US$" do, stands before the amount; a word or code
 * stands behind it.
 */
#include "text/money.h"

#include <ctype.h>
#include <math.h>
#include <string.h>

/* Words of units.c, by length so that "euros" is found before "euro". */
static const struct {
    const char *word, *shown, *family;
} currencies[] = {
    {"dollars", "$", "USD"},         {"dollar", "$", "USD"},
    {"euros", "EUR", "EUR"},         {"euro", "EUR", "EUR"},
    {"USD", "USD", "USD"},           {"EUR", "EUR", "EUR"},
    {"GBP", "GBP", "GBP"},           {"\xE2\x82\xAC", "\xE2\x82\xAC", "EUR"},
    {"\xC2\xA3", "\xC2\xA3", "GBP"}, {"$", "$", "USD"},
};
#define N_CURRENCIES ((int)(sizeof currencies / sizeof *currencies))

int wg_money_prefix(const char *text) {
    for (int i = 0; i < N_CURRENCIES; i++) {
        const size_t n = strlen(currencies[i].word);
        if (strncmp(text, currencies[i].word, n) == 0)
            return (int)n + (int)strspn(text + n, " \t");
    }
    return 0;
}

/* Returns true if the word at `at` is not a part of a longer one. */
static bool stands_alone(const char *text, const char *at, size_t n) {
    return !isalpha((unsigned char)at[n]) && (at == text || !isalpha((unsigned char)at[-1]));
}

const char *wg_money_named(const char *text) {
    for (int i = 0; i < N_CURRENCIES; i++) {
        const char *const at = strstr(text, currencies[i].word);
        if (at != NULL && stands_alone(text, at, strlen(currencies[i].word)))
            return currencies[i].shown;
    }
    return NULL;
}

static const char *family_of(const char *currency) {
    for (int i = 0; i < N_CURRENCIES; i++)
        if (strcmp(currency, currencies[i].word) == 0)
            return currencies[i].family;
    return NULL;
}

bool wg_money_agrees(const char *a, const char *b) {
    const char *const x = family_of(a), *const y = family_of(b);
    return x == NULL || y == NULL || strcmp(x, y) == 0;
}

/* ---- amounts ---- */

static bool is_sign(const char *currency) {
    const size_t n = strlen(currency);
    return n > 0 && !isalpha((unsigned char)currency[n - 1]) && currency[n - 1] != '.';
}

/* Puts an amount and its sign together, "-$3.20"; a word is left to the caller. */
static void with_sign(const char *amount, const char *currency, char out[WG_SHOWN_SIZE]) {
    const bool is_negative = amount[0] == '-' && isdigit((unsigned char)amount[1]);
    const bool has_sign = is_sign(currency) && isdigit((unsigned char)amount[is_negative]);
    (void)snprintf(out, WG_SHOWN_SIZE, "%s%.15s%.40s", is_negative ? "-" : "", has_sign ? currency : "",
                   amount + is_negative);
}

/* Shows cents below 10, as prices have them. */
static void show_amount(double amount, int digits, const char *currency, char out[WG_SHOWN_SIZE]) {
    char plain[WG_SHOWN_SIZE];
    wg_show_rounded(amount, digits, plain);
    if (fabs(amount) < 9.95 && strchr(plain, '.') != NULL && strlen(strchr(plain, '.')) == 2)
        (void)strcat(plain, "0");
    with_sign(plain, currency, out);
}

static void add_word(const char *amount, const char *currency, char out[WG_SHOWN_SIZE]) {
    const bool has_word = currency[0] != '\0' && !is_sign(currency);
    (void)snprintf(out, WG_SHOWN_SIZE, "%.75s%s%.15s", amount, has_word ? " " : "", has_word ? currency : "");
}

void wg_show_money(double low, double high, int digits, const char *currency, char out[WG_SHOWN_SIZE]) {
    char from[WG_SHOWN_SIZE], to[WG_SHOWN_SIZE], both[WG_SHOWN_SIZE];
    show_amount(low, digits, currency, from);
    show_amount(high, digits, currency, to);
    if (strcmp(from, to) == 0)
        (void)snprintf(both, sizeof both, "%s", from);
    else
        (void)snprintf(both, sizeof both, "%.35s to %.35s", from, to);
    add_word(both, currency, out);
}

void wg_show_exact_money(double amount, const char *currency, char out[WG_SHOWN_SIZE]) {
    char plain[WG_SHOWN_SIZE], signed_one[WG_SHOWN_SIZE];
    wg_show_plain(amount, plain);
    with_sign(plain, currency, signed_one);
    add_word(signed_one, currency, out);
}
