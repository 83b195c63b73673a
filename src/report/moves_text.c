/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Words what the keeper's moves carried.
 */
#include "report/forecast_parts.h"

#include "text/show.h"

#include <stdio.h>

void wg_move_text(const struct wg_work *work, int move, char out[WG_SENTENCE_SIZE]) {
    static const char *const names[WG_N_STAGES] = {[WG_EGG] = "eggs",
                                                   [WG_LARVA] = "larvae",
                                                   [WG_PREPUPA] = "prepupae",
                                                   [WG_DORMANT] = "dormant prepupae",
                                                   [WG_PUPA] = "pupae"};
    char date[WG_SHOWN_SIZE], middle[WG_SHOWN_SIZE], range[WG_SHOWN_SIZE];
    int64_t of;
    const int64_t none = wg_work_moved_nothing(work, move, &of);
    wg_show_date(work->move_day[move], 0, "", date);
    int used = snprintf(out, WG_SENTENCE_SIZE, "Moved on %.40s: ", date);
    int n = 0;
    for (int stage = 0; stage <= WG_PUPA; stage++) {
        const struct wg_work_spread moved = wg_work_moved(work, move, (enum wg_stage)stage);
        const int digits = wg_range_digits(moved.q05, moved.q95);
        if (!(moved.q95 > 0))
            continue;
        wg_show_rounded_range(moved.q50, moved.q50, digits, "", middle);
        wg_show_rounded_range(moved.q05, moved.q95, digits, "", range);
        used += snprintf(out + used, WG_SENTENCE_SIZE - (size_t)used, "%s%.30s %s (%.60s)", n++ > 0 ? ", " : "", middle,
                         names[stage], range);
    }
    if (n == 0)
        (void)snprintf(out + used, WG_SENTENCE_SIZE - (size_t)used, "hardly anything in any of these %s",
                       wg_forecast_noun(work->plan));
    else if (none > 0)
        (void)snprintf(out + used, WG_SENTENCE_SIZE - (size_t)used, "; nothing in %lld of %lld %s", (long long)none,
                       (long long)of, wg_forecast_noun_of(work->plan, of));
}
