/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Simulates measurements on plausible animals.
 *
 *   note     z = t_a + error x q,  t_a: the animal's value in one half of its years, q: eight normal quantiles
 *   weight   w_b = exp(-sum (z - t_b)^2/(2 error^2)),  b other than a, t_b from both halves
 *   gain     mean over a, q and halves of (y_a - mean of the others)^2 - (y_a - sum w_b y_b)^2,  y_a from the other half
 *
 * The luck of y_a is in both squares and cancels on average. Several measurements are simulated at quantiles in different
 * orders. Shares are measured on the scale arcsin(sqrt(share)), on which n animals counted have the standard deviation
 * 1/(2 sqrt(n)) whatever the share is (Bartlett 1936, MEMORY); weights and numbers on logarithms.
 */
#include "inference/measurements.h"

#include "base/calendar.h"
#include "species/clock.h"
#include "species/death.h"
#include "species/reference.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <stdlib.h>

#define QUANTILES 8

/* ---- of the animal ---- */

static double share_scale(double share) {
    return asin(sqrt(fmin(fmax(share, 0), 1)));
}

static double prepupae_in_the_cold(const struct wg_species *s) {
    return share_scale(exp(-28 * wg_hazard_in_the_cold(s, WG_CLOCK_PREPUPA, 2)));
}

static double larvae_in_the_cold(const struct wg_species *s) {
    return share_scale(exp(-7 * wg_hazard_in_the_cold(s, WG_CLOCK_LARVA, 4)));
}

static double pupae_in_the_cold(const struct wg_species *s) {
    return share_scale(exp(-7 * wg_hazard_in_the_cold(s, WG_CLOCK_PUPA, 4)));
}

static double warm_survival(const struct wg_species *s, enum wg_clock_stage stage) {
    return exp(-wg_hazard_background(s, stage, WG_REFERENCE_C) * wg_stage_days(s, stage, WG_REFERENCE_C));
}

static double eggs_that_hatch(const struct wg_species *s) {
    return share_scale(warm_survival(s, WG_CLOCK_EGG));
}

static double prepupae_that_fly(const struct wg_species *s) {
    return share_scale(warm_survival(s, WG_CLOCK_PREPUPA) * warm_survival(s, WG_CLOCK_PUPA));
}

static double days_to_crawl_off(const struct wg_species *s) {
    return log(wg_stage_days(s, WG_CLOCK_LARVA, WG_REFERENCE_C));
}

static double days_to_flies(const struct wg_species *s) {
    return log(wg_stage_days(s, WG_CLOCK_PREPUPA, WG_REFERENCE_C) + wg_stage_days(s, WG_CLOCK_PUPA, WG_REFERENCE_C));
}

static double days_of_flies(const struct wg_species *s) {
    return log(wg_stage_days(s, WG_CLOCK_ADULT, WG_REFERENCE_C));
}

static double grub_weight(const struct wg_species *s) {
    return log(s->final_mass_g);
}

static double dry_share(const struct wg_species *s) {
    return log(s->larva_dry);
}

static double grubs_per_feed(const struct wg_species *s) {
    return log(s->conversion / s->larva_dry);
}

/* ---- of a year in the plan ---- */

#define FEW_PREPUPAE 20.0 /* in the whole ground: a spade finds none */

/* Finds a day of the year in the period, half a year later in the south; -1: the period has none, or no spring. */
static int find_day(const struct wg_plan *plan, const struct wg_diary *diary, int month, int day) {
    for (int i = 0; wg_plan_spring(plan).seen != WG_SPRING_NONE && i < diary->n_days; i++) {
        const struct wg_date date = wg_date_from_day(diary->first_day + i);
        if (date.month == (diary->southern ? (month + 5) % 12 + 1 : month) && date.day == day)
            return i;
    }
    return -1;
}

static int64_t alive_on(const struct wg_diary *diary, int day, enum wg_stage stage) {
    return diary->count[(ptrdiff_t)day * WG_N_STAGES + stage];
}

static double prepupae_in_january(const struct wg_plan *plan, const struct wg_diary *diary) {
    const int day = find_day(plan, diary, 1, 5);
    return day < 0 ? (double)NAN
                   : log((double)(alive_on(diary, day, WG_PREPUPA) + alive_on(diary, day, WG_DORMANT)) + FEW_PREPUPAE);
}

static double flies_of_day(const struct wg_diary *diary, int i) {
    double flies = (double)diary->flown[i];
    for (int p = 0; p < diary->n_places; p++)
        flies += (double)diary->adults_emerged[(ptrdiff_t)i * diary->n_places + p];
    return flies;
}

/* Of those that were prepupae in autumn and live, the share that did not wait for spring. */
static double flies_before_winter(const struct wg_plan *plan, const struct wg_diary *diary) {
    const int from = find_day(plan, diary, 10, 1), to = find_day(plan, diary, 12, 31);
    double flies = 0;
    for (int i = from; i >= 0 && i <= to; i++)
        flies += flies_of_day(diary, i);
    if (from < 0 || to < from)
        return (double)NAN;
    const double sleep = (double)(alive_on(diary, to, WG_PREPUPA) + alive_on(diary, to, WG_DORMANT));
    return share_scale((flies + FEW_PREPUPAE / 2) / (flies + sleep + FEW_PREPUPAE));
}

static double spring_flies(const struct wg_plan *plan, const struct wg_diary *diary) {
    double flies = 0;
    for (int i = 0; i < diary->n_days * diary->n_places; i++)
        flies += (double)diary->spring_flies[i];
    return wg_plan_spring(plan).seen == WG_SPRING_NONE ? (double)NAN : log(flies + FEW_PREPUPAE);
}

static double flies_in_june(const struct wg_plan *plan, const struct wg_diary *diary) {
    const int day = find_day(plan, diary, 6, 15);
    return day < 0 ? (double)NAN
                   : log((double)(alive_on(diary, day, WG_FEMALE) + alive_on(diary, day, WG_MALE)) + FEW_PREPUPAE);
}

static bool sets_traps(const struct wg_plan *plan) {
    for (int i = 0; i < plan->n_actions; i++)
        if (plan->actions[i].kind == WG_ACTION_LAY_IN_TRAPS)
            return true;
    return false;
}

static double eggs_per_fly(const struct wg_plan *plan, const struct wg_diary *diary) {
    double eggs = 0, flies = 0;
    for (int i = 0; i < diary->n_days; i++) {
        eggs += (double)diary->eggs_trapped[i];
        flies += flies_of_day(diary, i);
    }
    return sets_traps(plan) ? log((eggs + FEW_PREPUPAE) / (flies + FEW_PREPUPAE)) : (double)NAN;
}

/* Without spring flies the day is the last of the period. */
static double spring_flies_day(const struct wg_plan *plan, const struct wg_diary *diary) {
    if (wg_plan_spring(plan).seen == WG_SPRING_NONE)
        return (double)NAN;
    return isnan(diary->spring_emergence_50) ? diary->n_days : diary->spring_emergence_50;
}

static double crawl_off_before_winter(const struct wg_plan *plan, const struct wg_diary *diary) {
    const int last = find_day(plan, diary, 12, 31);
    double kg = 0;
    for (int i = 0; i < last; i++)
        kg += diary->crawl_off_mass[i];
    return last < 0 ? (double)NAN : log(kg + 0.05);
}

/* ---- the table ---- */

#define HUNDRED 0.05 /* 1/(2 sqrt(100)) */
#define JARS 0.07    /* with an error as large that all of a jar share: draughts, damp, handling (judgement) */

/* clang-format off */
static const struct wg_measurement table[] = {
    {"jar_in_the_cold", "Put 100 prepupae in damp bran on the coldest shelf of a refrigerator (2 °C, 36 °F) and count the living after 28 days",
     prepupae_in_the_cold, NULL, JARS, "counting 100, and as much between jars: judgement"},
    {"larvae_in_the_cold", "Put 100 half-grown larvae with feed into a refrigerator at 4 °C (39 °F) and count the living after a week",
     larvae_in_the_cold, NULL, JARS, "counting 100, and as much between jars: judgement"},
    {"pupae_in_the_cold", "Put 100 pupae in damp bran into a refrigerator at 4 °C (39 °F) for a week, then count the flies that come in the warm",
     pupae_in_the_cold, NULL, JARS, "counting 100, and as much between jars: judgement"},
    {"eggs_that_hatch", "Keep 100 eggs damp at 27 °C (81 °F) and count the hatchlings",
     eggs_that_hatch, NULL, JARS, "counting 100, and as much between clutches: judgement"},
    {"prepupae_that_fly", "Keep 100 crawled-off prepupae in dry bran at 27 °C (81 °F) and count the flies",
     prepupae_that_fly, NULL, JARS, "counting 100, and as much between jars: judgement"},
    {"days_to_crawl_off", "Feed a tray well at 27 °C (81 °F) and note the days from hatching until half have crawled off",
     days_to_crawl_off, NULL, 0.05, "a day in 20: judgement"},
    {"days_to_flies", "Keep crawled-off prepupae in dry bran at 27 °C (81 °F) and note the days until half are flies",
     days_to_flies, NULL, 0.05, "a day in 20: judgement"},
    {"days_of_flies", "Keep 20 new flies with water at 27 °C (81 °F) and note the days until half are dead",
     days_of_flies, NULL, 0.1, "a day in 10: judgement"},
    {"grub_weight", "Feed a tray well at 27 °C (81 °F) and weigh 100 grubs that crawl off",
     grub_weight, NULL, 0.05, "judgement"},
    {"dry_share", "Dry 100 grubs in a warm oven and weigh them before and after",
     dry_share, NULL, 0.03, "judgement"},
    {"grubs_per_feed", "Weigh the grubs that a tray makes of 1 kg (2.2 lb) of dry feed",
     grubs_per_feed, NULL, 0.15, "feed left over and rotted: judgement"},
    {"prepupae_in_january", "Dig up a spade of the soil in early January (July in the south) and count the living prepupae",
     NULL, prepupae_in_january, 0.5, "prepupae lie in clumps: judgement"},
    {"flies_before_winter", "Count, in soil dug up at the end of the year (June in the south), the empty pupal cases of its last three months and the living prepupae",
     NULL, flies_before_winter, 0.1, "a hundred of both, old cases among them: judgement"},
    {"spring_flies", "Count the empty pupal cases of the spring in marked spades of soil",
     NULL, spring_flies, 0.5, "prepupae lie in clumps: judgement"},
    {"spring_flies_day", "Note the day by which half of the spring's flies are out",
     NULL, spring_flies_day, 5, "days: judgement"},
    {"flies_in_june", "Count the flies on a warm day in the middle of June (December in the south)",
     NULL, flies_in_june, 0.5, "few of them are seen: judgement"},
    {"eggs_per_fly", "Weigh the eggs trapped and count the empty pupal cases: eggs for each fly that emerged",
     NULL, eggs_per_fly, 0.25, "weighing eggs, and cases that are missed: judgement"},
    {"crawl_off_before_winter", "Weigh all that crawls off until the end of the year (until June in the south)",
     NULL, crawl_off_before_winter, 0.1, "judgement"},
    {.name = NULL},
};
/* clang-format on */

const struct wg_measurement *wg_measurements(void) {
    return table;
}

/* ---- the gain ---- */

struct gain_work {
    int n, k;
    struct wg_halves answer;
    const struct wg_measured *const *measured;
    double *y, *weight; /* [n]: mean of both halves; scratch */
    int *order;         /* [n]: animals by y */
};

static double both_halves(struct wg_halves values, int a) {
    return (values.half[0][a] + values.half[1][a]) / 2;
}

/* Weights the others by their agreement with the note of an animal at a set of quantiles; returns their mean answer. */
static double weigh_others(struct gain_work *w, int animal, int half, int set) {
    double note[WG_MEASUREMENTS_TOGETHER], sum = 0, mean = 0;
    for (int m = 0; m < w->k; m++) {
        const int q = (int[]){set, 3 * set + 1, 5 * set + 2}[m] % QUANTILES;
        note[m] = w->measured[m]->value.half[half][animal] +
                  w->measured[m]->error * gsl_cdf_ugaussian_Pinv((q + 0.5) / QUANTILES);
    }
    for (int b = 0; b < w->n; b++) {
        double squares = 0;
        for (int m = 0; m < w->k; m++) {
            const double off = (note[m] - both_halves(w->measured[m]->value, b)) / w->measured[m]->error;
            squares += off * off;
        }
        w->weight[b] = b == animal ? 0 : exp(-squares / 2) + 1e-12; /* never all 0 */
        sum += w->weight[b];
        mean += w->weight[b] * w->y[b];
    }
    for (int b = 0; b < w->n; b++)
        w->weight[b] /= sum;
    return mean / sum;
}

/* The animal at rank q of the weight, by answer. */
static double weighted_answer(const struct gain_work *w, double q) {
    double below = 0;
    int i = 0;
    while (i < w->n - 1 && (below += w->weight[w->order[i]]) < q)
        i++;
    return w->y[w->order[i]];
}

/* Sets gain[n], of each animal over its notes, and the means over all of the answer and of its 5 and 95 %. */
static double average_notes(struct gain_work *w, double *gain, struct wg_interval *ends) {
    const double part = 1.0 / (2 * QUANTILES);
    double whole = 0, middle = 0;
    for (int b = 0; b < w->n; b++)
        whole += w->y[b];
    *ends = (struct wg_interval){0, 0};
    for (int a = 0; a < w->n; a++) {
        const double others = (whole - w->y[a]) / (w->n - 1);
        gain[a] = 0;
        for (int i = 0; i < 2 * QUANTILES; i++) {
            const double mean = weigh_others(w, a, i % 2, i / 2), own = w->answer.half[1 - i % 2][a];
            gain[a] += part * ((own - others) * (own - others) - (own - mean) * (own - mean));
            middle += part * mean / w->n;
            ends->low += part * weighted_answer(w, 0.05) / w->n;
            ends->high += part * weighted_answer(w, 0.95) / w->n;
        }
    }
    return middle;
}

static struct wg_gain gain_of(struct gain_work *w, double between, double luck, double *gain) {
    struct wg_gain out = {0};
    const double middle = average_notes(w, gain, &out.answer);
    double sum = 0, squares = 0;
    for (int a = 0; a < w->n; a++) {
        sum += gain[a] / w->n;
        squares += gain[a] * gain[a] / w->n;
    }
    const double error = gsl_cdf_ugaussian_Pinv(0.975) * sqrt((squares - sum * sum) / (w->n - 1));
    out.share = (struct wg_estimate){sum / between, {(sum - error) / between, (sum + error) / between}};
    const double left = fmax(between - fmax(sum, 0), 0), kept = sqrt(left / (left + luck));
    out.sd = sqrt(left);
    out.answer.low = middle + kept * (out.answer.low - middle);
    out.answer.high = middle + kept * (out.answer.high - middle);
    return out;
}

static void order_by_answer(struct gain_work *w) {
    for (int b = 0; b < w->n; b++) {
        int i = b;
        for (; i > 0 && w->y[w->order[i - 1]] > w->y[b]; i--)
            w->order[i] = w->order[i - 1];
        w->order[i] = b;
    }
}

int wg_measurements_gain(int n, struct wg_halves answer, double between, double luck,
                         const struct wg_measured *const *measured, int k, struct wg_gain *gain, struct wg_error *err) {
    wg_assert(n >= 2 && between > 0 && k >= 0 && k <= WG_MEASUREMENTS_TOGETHER);
    double *const room = calloc(3 * (size_t)n, sizeof *room);
    int *const order = calloc((size_t)n, sizeof *order);
    const int code = room == NULL || order == NULL ? wg_no_memory(err, NULL) : 0;
    if (code == 0) {
        struct gain_work w = {n, k, answer, measured, room, room + n, order};
        for (int a = 0; a < n; a++)
            w.y[a] = both_halves(answer, a);
        order_by_answer(&w);
        *gain = gain_of(&w, between, luck, room + 2 * (ptrdiff_t)n);
    }
    free(order);
    free(room);
    return code;
}
