/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

#include "variants/written_units.h"

#include <ctype.h>
#include <stddef.h>
#include <string.h>

static bool is_part_of_word(char c) {
    return isalpha((unsigned char)c) || c == '_';
}

/* Counts the units of a list (ended by NULL) that stand in the text as words. */
static int count_units(const char *text, const char *const *units) {
    int n = 0;
    for (int i = 0; units[i] != NULL; i++) {
        const size_t size = strlen(units[i]);
        for (const char *at = strstr(text, units[i]); at != NULL; at = strstr(at + 1, units[i]))
            n += !is_part_of_word(at[size]) && (at == text || !is_part_of_word(at[-1]));
    }
    return n;
}

static const char *const fahrenheit[] = {"degF", NULL}, *const celsius[] = {"degC", NULL};

bool wg_writes_fahrenheit(const char *plan_text) {
    const int n = count_units(plan_text, fahrenheit);
    return n > 0 && n >= count_units(plan_text, celsius);
}

bool wg_writes_us_units(const char *plan_text) {
    static const char *const us[] = {"lb", "gal", "ft", "oz", NULL}, *const metric[] = {"kg", "g", "L", "m", NULL};
    return wg_writes_fahrenheit(plan_text) ||
           (count_units(plan_text, celsius) == 0 && count_units(plan_text, us) > count_units(plan_text, metric));
}
