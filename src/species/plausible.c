/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Looks plausible animals up in the table that the build makes from plausible_animals.tsv.
 */
#include "species/plausible.h"

#include "base/error.h"
#include "species/plausible_table.h"

#include <stdbool.h>
#include <stdint.h>
#include <string.h>

_Static_assert(N_PLAUSIBLE_ANIMALS >= 64 && (N_PLAUSIBLE_ANIMALS & (N_PLAUSIBLE_ANIMALS - 1)) == 0,
               "the lattice of animals and winters takes groups of 64");

int wg_plausible_count(void) {
    return N_PLAUSIBLE_ANIMALS;
}

/* Finds a column by its name, beginning where it is expected; the build has checked that there is one. */
static int plausible_column_of(const char *name, int expected) {
    for (int k = 0; k < N_PLAUSIBLE_COLUMNS; k++) {
        const int column = (expected + k) % N_PLAUSIBLE_COLUMNS;
        if (strcmp(plausible_column[column], name) == 0)
            return column;
    }
    return -1;
}

/* A decimal number of the table: at most 17 digits and a power of ten that double holds exactly. */
struct decimal {
    int64_t digits;
    int power;
};

#define LARGEST_POWER 22 /* 10^22 is exact, and so is a whole number below 2^53: their quotient is rounded once */

static double value_of_decimal(const struct decimal *decimal) {
    double scale = 1;
    const int power = decimal->power < 0 ? -decimal->power : decimal->power;
    wg_assert(decimal->digits < INT64_C(1) << 53 && power <= LARGEST_POWER);
    for (int i = 0; i < power; i++)
        scale *= 10;
    return decimal->power < 0 ? (double)decimal->digits / scale : (double)decimal->digits * scale;
}

/* Reads a number as the compiler would read it, whatever the locale, and moves *text behind it and a blank. */
static double read_decimal(const char **text) {
    const char *c = *text;
    struct decimal decimal = {0, 0};
    const bool is_negative = *c == '-';
    bool is_fraction = false;
    for (c += is_negative; (*c >= '0' && *c <= '9') || *c == '.'; c++) {
        if (*c != '.') {
            decimal.digits = 10 * decimal.digits + (*c - '0');
            decimal.power -= is_fraction;
        }
        is_fraction = is_fraction || *c == '.';
    }
    if (*c == 'e') {
        const bool is_small = c[1] == '-';
        int power = 0;
        for (c += c[1] == '-' || c[1] == '+' ? 2 : 1; *c >= '0' && *c <= '9'; c++)
            power = 10 * power + (*c - '0');
        decimal.power += is_small ? -power : power;
    }
    wg_assert(*c == ' ' || *c == '\0');
    *text = *c == ' ' ? c + 1 : c;
    const double value = value_of_decimal(&decimal);
    return is_negative ? -value : value;
}

static void read_row(int i, double value[N_PLAUSIBLE_COLUMNS]) {
    const char *text = plausible_row[i];
    for (int column = 0; column < N_PLAUSIBLE_COLUMNS; column++)
        value[column] = read_decimal(&text);
    wg_assert(*text == '\0');
}

void wg_plausible_animal(int i, struct wg_species *out) {
    wg_assert(i >= 0 && i < N_PLAUSIBLE_ANIMALS);
    const struct wg_parameter *const table = wg_species_parameters();
    double value[N_PLAUSIBLE_COLUMNS];
    read_row(i, value);
    for (int k = 0; table[k].name != NULL; k++) {
        const int column = plausible_column_of(table[k].name, k);
        wg_assert(column >= 0);
        wg_species_put(out, &table[k], value[column]);
    }
}

double wg_plausible_weight_without_june(int i) {
    wg_assert(i >= 0 && i < N_PLAUSIBLE_ANIMALS);
    const int column = plausible_column_of("weight_without_june", N_PLAUSIBLE_COLUMNS - 1);
    double value[N_PLAUSIBLE_COLUMNS];
    wg_assert(column >= 0);
    read_row(i, value);
    return value[column];
}
