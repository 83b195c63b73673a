/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Feed types from kitchen and farm.
 *
 * Moisture comes from food composition tables (MEMORY); the usable share excludes
 * lignin and cellulose, which larvae do not eat (common practice). Conversion is
 * relative to kitchen scraps, to which the species' conversion refers.
 */
#include "plan/feed.h"

#include <string.h>

const struct wg_feed_type *wg_feed_types(void) {
    static const struct wg_feed_type table[] = {
        {"kitchen scraps", 0.75, 0.85, 1.00, 1.00,
         "moisture about 75 %: Dortmans et al. 2017, Eawag step-by-step guide (MEMORY); usable share, quality: "
         "judgement"},
        {"fermented grain", 0.60, 0.85, 1.00, 1.00,
         "60 % moist feed: Diener et al. 2009, Waste Manag. Res. 27:603 (MEMORY); rest judgement"},
        {"pet food", 0.10, 0.95, 1.00, 1.10, "dry kibble about 10 % moisture (MEMORY); rest judgement"},
        {"fruit", 0.88, 0.85, 0.85, 0.60,
         "fruit waste converts 12 % (Growth performance of black soldier fly fed oriental melon waste, J. Environ. "
         "Sci. Int., abstract), taken as of dry matter: 0.6 of 20 %; moisture MEMORY; rest judgement"},
        {"spent brewery grain", 0.77, 0.65, 0.85, 0.70,
         "lower conversion: common practice; moisture MEMORY; numbers judgement"},
        {"coffee grounds", 0.60, 0.40, 0.45, 0.40, "subsistence only: common practice; numbers judgement"},
        {"garden trimmings", 0.60, 0.00, 0.00, 0.00, "lignin and cellulose are not eaten: common practice"},
        {"cardboard", 0.08, 0.00, 0.00, 0.00, "lignin and cellulose are not eaten: common practice"},
        {"fish offal", 0.75, 0.85, 0.90, 0.90,
         "larvae thrive on it in a mix: St-Hilaire et al. 2007, J. World Aquac. Soc. 38:309 (MEMORY); moisture of fish "
         "MEMORY; rest judgement"},
        {"bread", 0.37, 0.95, 0.80, 0.90,
         "little protein, with which larval weight rises: Broeckx et al. 2021, Sustainability 13:12953, abstract; "
         "moisture MEMORY; numbers judgement"},
        {"fermented corn", 0.55, 0.85, 0.80, 0.90,
         "soaked and fermented whole corn draws flies: common practice; little protein, as bread; numbers judgement"},
        {"chicken manure", 0.75, 0.55, 0.75, 0.50,
         "dry matter of manure is reduced by 50 % or more: Miranda et al. 2019, Animals 9:281, summary; moisture of "
         "hens' "
         "manure MEMORY; quality, conversion: judgement"},
        {"cattle manure", 0.85, 0.40, 0.60, 0.35,
         "fresh up to 87 % moist: ASAE; cellulose and lignin make it hard to convert: Rehman et al. 2017, J. Environ. "
         "Manage. 196:458, abstract; numbers judgement"},
        {NULL, 0, 0, 0, 0, NULL},
    };
    return table;
}

int wg_feed_count(void) {
    int n = 0;
    while (wg_feed_types()[n].name != NULL)
        n++;
    return n;
}

int wg_feed_find(const char *name) {
    const struct wg_feed_type *const table = wg_feed_types();
    for (int i = 0; table[i].name != NULL; i++)
        if (strcmp(table[i].name, name) == 0)
            return i;
    return -1;
}
