/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * What is the day-to-day standard deviation of temperature at a site without a record?
 *
 * Standard deviations of daily highs and lows about the annual curve, January first, for the northern hemisphere:
 * judgement, near those of open daily records (NOAA 2012-2015, months 1, 4, 7, 10): Seattle, marine, highs 3.3 3.4 4.4
 * 2.9, lows 3.4 1.9 1.9 2.5 K; New York, humid with cold winters, highs 5.6 4.3 3.0 3.5, lows 5.5 2.9 2.2 3.5 K.
 */
#include "climate/climate.h"

#include <string.h>

struct spread {
    const char *name;
    double high_c[12], low_c[12];
};

int wg_climate_spread(const char *name, double high_sd_c[12], double low_sd_c[12]) {
    static const struct spread known[] = {
        {"humid subtropical",
         {5.5, 5.3, 4.8, 3.8, 2.9, 2.3, 1.9, 2.0, 2.8, 3.8, 4.8, 5.3},
         {5.2, 5.0, 4.8, 4.0, 2.9, 1.9, 1.2, 1.3, 2.6, 4.2, 5.0, 5.2}},
        {"continental", /* humid subtropical plus 1 K; at least 3 K in summer */
         {6.5, 6.3, 5.8, 4.8, 3.9, 3.3, 3.0, 3.0, 3.8, 4.8, 5.8, 6.3},
         {6.2, 6.0, 5.8, 5.0, 3.9, 3.0, 3.0, 3.0, 3.6, 5.0, 6.0, 6.2}},
        {"marine",
         {3.0, 3.0, 3.0, 3.0, 3.0, 3.0, 3.0, 3.0, 3.0, 3.0, 3.0, 3.0},
         {3.0, 3.0, 3.0, 3.0, 3.0, 3.0, 3.0, 3.0, 3.0, 3.0, 3.0, 3.0}},
        {"tropical",
         {1.5, 1.5, 1.5, 1.5, 1.5, 1.5, 1.5, 1.5, 1.5, 1.5, 1.5, 1.5},
         {1.5, 1.5, 1.5, 1.5, 1.5, 1.5, 1.5, 1.5, 1.5, 1.5, 1.5, 1.5}},
    };
    for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
        if (strcmp(known[i].name, name) != 0)
            continue;
        memcpy(high_sd_c, known[i].high_c, sizeof known[i].high_c);
        memcpy(low_sd_c, known[i].low_c, sizeof known[i].low_c);
        return 0;
    }
    return -1;
}
