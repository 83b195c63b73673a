/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Words why some replicates have no date of the spring flies.
 */
#include "data/spring_words.h"

#include <stdio.h>

void wg_spring_words(const struct wg_spring_counts *counts, const char *noun, char out[WG_SPRING_TEXT]) {
    const int64_t undated = counts->all - counts->dated;
    const bool is_split = counts->all_winter >= 0;
    const struct {
        int64_t n;
        const char *what;
    } part[] = {
        {is_split ? counts->all_winter : 0, "flies emerge in winter too, so the spring flies have no date"},
        {is_split ? undated - counts->all_winter : 0, "no spring fly emerges"},
        {is_split ? 0 : undated, "the spring flies have no date"},
    };
    char all[WG_SHOWN_SIZE], n[WG_SHOWN_SIZE];
    int used = 0;
    out[0] = '\0';
    wg_show_whole(counts->all, all);
    for (size_t i = 0; i < sizeof part / sizeof *part; i++) {
        wg_show_whole(part[i].n, n);
        if (part[i].n > 0 && used == 0)
            used = snprintf(out, WG_SPRING_TEXT, "in %.20s of %.20s %.10s %s", n, all, noun, part[i].what);
        else if (part[i].n > 0)
            (void)snprintf(out + used, WG_SPRING_TEXT - (size_t)used, "; in %.20s %s", n, part[i].what);
    }
}
