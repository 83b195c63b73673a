/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Facts of a comparison beside its numbers: letters, reasons, other differences of the plans.
 */
#include "answers/comparison.h"
#include "text/show.h"

#include <math.h>
#include <string.h>

/* Files in several folders may have one name, so a plan without a title is named by its path. */
static const char *name_of_setup(const struct wg_scenario *scenario) {
    return scenario->plan.title[0] != '\0' ? scenario->plan.title : scenario->path;
}

struct wg_verdict_facts wg_comparison_verdict(const struct wg_comparison *comparison) {
    const struct wg_plan *const first = &comparison->forecast[0].scenario->plan;
    struct wg_verdict_facts verdict = {.choice = comparison->choice,
                                       .n_days = (int)(first->last_day - first->first_day) + 1,
                                       .currency = wg_compare_currency(comparison->compare)};
    for (int i = 0; i < comparison->n; i++)
        verdict.name[i] = name_of_setup(comparison->forecast[i].scenario);
    return verdict;
}

const char *wg_comparison_no_price(enum wg_extra_status why) {
    switch (why) {
    case WG_EXTRA_PRICED:
        break;
    case WG_EXTRA_NONE:
        return "The harvest is not clearly larger than in the first setup.";
    case WG_EXTRA_NO_PRICE:
        return "Some of the energy bought has no price in the scenario.";
    case WG_EXTRA_FREE:
        return "The harvest is larger, and energy costs no more than in the first setup.";
    }
    return NULL;
}

/* Rounds down and gives what is left to the largest remainders. */
void wg_comparison_animals(const struct wg_animals_won *animals, int64_t of_100[3]) {
    const int64_t count[3] = {animals->better, animals->same, animals->worse}, all = count[0] + count[1] + count[2];
    int64_t rest[3], left = 100;
    for (int i = 0; i < 3; i++) {
        of_100[i] = all > 0 ? 100 * count[i] / all : 0;
        rest[i] = all > 0 ? 100 * count[i] % all : 0;
        left -= of_100[i];
    }
    for (; left > 0 && all > 0; left--) {
        const int most = rest[0] >= rest[1] && rest[0] >= rest[2] ? 0 : rest[1] >= rest[2] ? 1 : 2;
        of_100[most]++;
        rest[most] = -1;
    }
}

/* ---- other differences ---- */

static bool numbers_differ(const struct wg_plan *a, const struct wg_plan *b) {
    for (const struct wg_parameter *p = wg_species_parameters(); p->name != NULL; p++)
        if (wg_species_get(&a->species, p) != wg_species_get(&b->species, p))
            return true;
    return false;
}

struct other_difference {
    bool differs;
    const char *what;
    double mine, firsts;
};

bool wg_comparison_also(const struct wg_comparison *comparison, int i, int k, char out[WG_SENTENCE_SIZE]) {
    const struct wg_plan *const a = &comparison->forecast[0].scenario->plan;
    const struct wg_plan *const b = &comparison->forecast[i].scenario->plan;
    const struct wg_mishaps *const x = &a->mishaps, *const y = &b->mishaps;
    const struct other_difference row[] = {
        {true, "power cuts a year", y->power_cuts_per_year, x->power_cuts_per_year},
        {y->power_cuts_per_year > 0 && x->power_cuts_per_year > 0, "hours of a power cut", y->power_cut_hours,
         x->power_cut_hours},
        {true, "raids a year", y->raids_per_year, x->raids_per_year},
        {y->raids_per_year > 0 && x->raids_per_year > 0, "share lost in a raid", y->raid_share, x->raid_share},
        {true, "wild visitors a day at their height", b->wild_peak_per_day, a->wild_peak_per_day},
        {true, "steps a day", b->steps_per_day, a->steps_per_day},
    };
    char mine[WG_SHOWN_SIZE], firsts[WG_SHOWN_SIZE];
    for (size_t r = 0; r < sizeof row / sizeof *row; r++) {
        if (!row[r].differs || row[r].mine == row[r].firsts || k-- != 0)
            continue;
        wg_show_number(row[r].mine, mine);
        wg_show_number(row[r].firsts, firsts);
        (void)snprintf(out, WG_SENTENCE_SIZE, "%s: %s, %s in A.", row[r].what, mine, firsts);
        return true;
    }
    if (!numbers_differ(a, b) || k != 0)
        return false;
    (void)snprintf(out, WG_SENTENCE_SIZE, "the animal's numbers differ from those of A.");
    return true;
}
