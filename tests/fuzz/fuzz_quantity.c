/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/* Reads any text as a quantity of each dimension: gives a finite number that can be formatted, or a message. */
#include "fuzz/fuzz.h"
#include "text/quantity.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static void read_as(const char *text, enum wg_dimension dimension) {
    char message[WG_QUANTITY_MESSAGE] = "", shown[WG_QUANTITY_SHOWN_SIZE];
    double value = 12345;
    if (wg_quantity_read(text, dimension, &value, message) == 0) {
        MUST(isfinite(value));
        wg_quantity_show(dimension, value, shown);
        MUST(shown[0] != '\0' && strlen(shown) < sizeof shown);
    } else {
        MUST(value == 12345 && strlen(message) > 5 && strlen(message) < sizeof message);
    }
}

void fuzz_one(const uint8_t *data, size_t size) {
    char *const text = malloc(size + 1);
    MUST(text != NULL);
    if (size > 0)
        memcpy(text, data, size);
    text[size] = '\0';
    for (int d = 0; d < WG_N_DIMENSIONS; d++)
        read_as(text, (enum wg_dimension)d);
    (void)wg_dimension_of_unit(text);
    double number = 0;
    const char *rest;
    if (wg_number_read(text, &number, &rest) == 0)
        MUST(isfinite(number) && rest > text && rest <= text + strlen(text));
    free(text);
}
