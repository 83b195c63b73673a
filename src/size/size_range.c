/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Finds the kind of a number and usual values around it.
 */
#include "size/size_job.h"

#include "text/quantity.h"
#include "text/units.h"

#include <math.h>

bool wg_size_is_temperature(const struct wg_vary *vary) {
    return vary->is_measured && vary->dimension == WG_TEMPERATURE;
}

bool wg_size_is_share(const struct wg_vary *vary) {
    struct wg_unit unit;
    char message[WG_UNIT_MESSAGE];
    return vary->is_measured && (vary->dimension == WG_SHARE || vary->dimension == WG_PURE) && vary->value <= 100 &&
           wg_unit_read(vary->unit, "", &unit, message) == WG_UNIT_GOOD && unit.tens == -2;
}

double wg_size_degrees(const struct wg_vary *vary) {
    struct wg_unit unit;
    char message[WG_UNIT_MESSAGE];
    const bool is_written = wg_unit_read(vary->unit, "", &unit, message) == WG_UNIT_GOOD;
    return is_written ? wg_units_convert(WG_SIZE_DEGREES, "degC", vary->unit, false) : WG_SIZE_DEGREES;
}

#define SHARE_STEP 20.0 /* points */

void wg_size_usual_values(const struct wg_vary *vary, double out[WG_SIZE_GRID_VALUES]) {
    const int middle = WG_SIZE_GRID_VALUES / 2;
    for (int i = 0; i < WG_SIZE_GRID_VALUES; i++) {
        const int step = i - middle;
        if (vary->is_date)
            out[i] = vary->value + step * (WG_SIZE_DAYS / middle);
        else if (wg_size_is_share(vary))
            out[i] = fmin(100, fmax(0, vary->value + step * SHARE_STEP));
        else if (wg_size_is_temperature(vary))
            out[i] = vary->value + step * round(wg_size_degrees(vary) / middle);
        else
            out[i] = vary->value * ldexp(1, step);
        if (vary->step > 0)
            out[i] = round(out[i]);
    }
}
