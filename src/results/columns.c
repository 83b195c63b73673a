/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Defines and writes variables of a file in one call each.
 */
#include "results/columns.h"

#include "base/calendar.h"

#include <stdio.h>
#include <string.h>

static int put_variable(struct wg_h5 *file, const struct wg_h5_variable *variable, const void *values) {
    const int number = wg_h5_variable(file, variable);
    if (number >= 0)
        (void)wg_h5_write(file, number, values);
    return number;
}

static int dims(const char *a, const char *b) {
    return (a != NULL) + (b != NULL);
}

int wg_put_reals(struct wg_h5 *file, const char *name, const char *unit, const char *text, const char *a, const char *b,
                 const double *values) {
    const struct wg_h5_variable variable = {
        .name = name, .unit = unit, .text = text, .kind = WG_H5_REAL, .n_dims = dims(a, b), .dim = {a, b}};
    return put_variable(file, &variable, values);
}

int wg_put_counts(struct wg_h5 *file, const char *name, const char *text, const char *a, const char *b,
                  const int64_t *values) {
    const struct wg_h5_variable variable = {
        .name = name, .unit = "1", .text = text, .kind = WG_H5_COUNT, .n_dims = dims(a, b), .dim = {a, b}};
    return put_variable(file, &variable, values);
}

int wg_put_texts(struct wg_h5 *file, const char *name, const char *text, const char *a, const char *const *values) {
    const struct wg_h5_variable variable = {.name = name, .text = text, .kind = WG_H5_STRING, .n_dims = 1, .dim = {a}};
    return put_variable(file, &variable, values);
}

int wg_put_real(struct wg_h5 *file, const char *name, const char *unit, const char *text, double value) {
    return wg_put_reals(file, name, unit, text, NULL, NULL, &value);
}

int wg_put_count(struct wg_h5 *file, const char *name, const char *text, int64_t value) {
    return wg_put_counts(file, name, text, NULL, NULL, &value);
}

int wg_put_names(struct wg_h5 *file, const char *name, const char *text, int64_t size, const char *const *values) {
    const struct wg_h5_variable variable = {.name = name, .text = text, .kind = WG_H5_STRING, .n_dims = 1};
    return wg_h5_dimension(file, &variable, size, values);
}

void wg_put_latitude(struct wg_h5 *file, const struct wg_climate_spec *climate) {
    if (climate->kind == WG_CLIMATE_CONSTANT)
        return;
    const struct wg_h5_variable latitude = {.name = "latitude",
                                            .unit = "degrees_north",
                                            .text = "latitude of the site",
                                            .kind = WG_H5_REAL,
                                            .is_coordinate = true};
    const int number = put_variable(file, &latitude, &climate->latitude_deg);
    if (number >= 0)
        (void)wg_h5_attribute(file, number, "standard_name", "latitude");
}

void wg_days_unit(int32_t first_day, char out[WG_DAYS_UNIT_SIZE]) {
    char date[11];
    wg_day_format(first_day, date);
    (void)snprintf(out, WG_DAYS_UNIT_SIZE, "days since %s 00:00:00", date);
}
