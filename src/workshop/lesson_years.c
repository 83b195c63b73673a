/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Monthly means of the three sites of a lesson.
 *
 * The sites and their means are invented (judgement); the mild winter and the warm coast are close to what stations
 * near 32 N and 25 N report.
 */
#include "workshop/lesson_years.h"

#include "workshop/lesson.h"

#include <math.h>
#include <string.h>

struct lesson_site {
    double latitude_deg, elevation_m, sun_coefficient;
    double high_c[12], low_c[12]; /* January first */
    const char *spread;
};

static const struct lesson_site site[WG_LESSON_N_WEATHERS] = {
    /* Frost on some nights, hot summers */
    [WG_LESSON_MILD_WINTER] = {32.4,
                               60,
                               0.16,
                               {14.4, 16.7, 20.6, 25.0, 28.9, 32.8, 33.9, 33.3, 30.6, 25.6, 20.0, 15.6},
                               {2.2, 3.9, 7.8, 12.2, 16.7, 21.1, 22.2, 21.7, 18.3, 12.2, 7.2, 3.3},
                               "humid subtropical"},
    /* Frost for three months, warm summers */
    [WG_LESSON_COLD_WINTER] = {42.0,
                               250,
                               0.16,
                               {-1.0, 1.0, 7.5, 15.0, 21.5, 26.5, 29.0, 28.0, 24.0, 17.0, 9.0, 1.5},
                               {-9.5, -8.0, -2.5, 3.5, 9.5, 15.0, 17.5, 16.5, 12.0, 5.5, 0.0, -6.5},
                               "continental"},
    /* No frost */
    [WG_LESSON_WARM_COAST] = {25.0,
                              3,
                              0.19,
                              {24.5, 25.2, 26.6, 28.3, 30.2, 31.6, 32.4, 32.5, 31.6, 29.7, 27.4, 25.4},
                              {16.4, 17.2, 18.8, 20.8, 23.0, 24.5, 25.2, 25.3, 24.7, 23.0, 20.2, 17.8},
                              "tropical"},
};

void wg_lesson_climate(struct wg_climate_spec *climate, int weather) {
    wg_assert(weather > WG_LESSON_STEADY && weather < WG_LESSON_N_WEATHERS);
    const struct lesson_site *const from = &site[weather];
    *climate = (struct wg_climate_spec){.kind = WG_CLIMATE_NORMALS,
                                        .latitude_deg = from->latitude_deg,
                                        .elevation_m = from->elevation_m,
                                        .sun_coefficient = from->sun_coefficient};
    memcpy(climate->high_c, from->high_c, sizeof climate->high_c);
    memcpy(climate->low_c, from->low_c, sizeof climate->low_c);
    const int known = wg_climate_spread(from->spread, climate->high_sd_c, climate->low_sd_c);
    wg_assert(known == 0);
}

double wg_lesson_coldest_c(const struct wg_climate_spec *climate) {
    double coldest = climate->low_c[0];
    for (int m = 1; m < 12; m++)
        coldest = fmin(coldest, climate->low_c[m]);
    return coldest;
}
