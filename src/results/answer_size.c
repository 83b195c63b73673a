/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Writes a search for the right size: every value tried with its chances, the simultaneous intervals on which the
 * answer rests, the interval of each value alone, and the answer.
 */
#include "data/size_sentences.h"
#include "results/answer_file.h"
#include "text/goal_text.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define DAYS "days since 1970-01-01 00:00:00"
#define ALONE 0.95 /* confidence of the interval of each value alone */

/* Returns the unit of the varied number: as in the scenario, except for a plain number and a date. */
static const char *varied_unit(const struct wg_vary *vary) {
    const char *const written = vary->unit + strspn(vary->unit, " ");
    return vary->is_date ? DAYS : *written == '\0' ? "1" : written;
}

static void mark_date(struct wg_h5 *file, const struct wg_vary *vary, int variable) {
    if (vary->is_date && variable >= 0)
        (void)wg_h5_attribute(file, variable, "calendar", "proleptic_gregorian");
}

static void put_one(struct wg_h5 *file, const struct wg_vary *vary, const char *name, const char *text, double value) {
    mark_date(file, vary, wg_put_real(file, name, varied_unit(vary), text, value));
}

static void put_dimensions(struct wg_h5 *file, const struct wg_answer *answer) {
    const struct wg_plan *const plan = &answer->scenario->plan;
    double value[WG_SIZE_MAX_POINTS], asked[WG_MAX_GOALS];
    char text[WG_MAX_GOALS][WG_GOAL_SENTENCE_SIZE];
    const char *goal[WG_MAX_GOALS];
    const struct wg_h5_variable values = {.name = "value",
                                          .unit = varied_unit(answer->as.size.vary),
                                          .text = "value of the varied key that was tried",
                                          .kind = WG_H5_REAL,
                                          .n_dims = 1};
    for (int i = 0; i < answer->as.size.found->n_points; i++)
        value[i] = answer->as.size.found->point[i].value;
    for (int g = 0; g < answer->as.size.question->n_goals; g++) {
        wg_goal_text(&plan->goal[g], plan->currency, text[g]);
        goal[g] = text[g];
        asked[g] = answer->as.size.question->wanted[g];
    }
    mark_date(file, answer->as.size.vary, wg_h5_dimension(file, &values, answer->as.size.found->n_points, value));
    (void)wg_put_names(file, "goal", "goal of the keeper", answer->as.size.question->n_goals, goal);
    (void)wg_put_reals(file, "chance_asked", "1", "chance wanted of meeting the goal", "goal", NULL, asked);
}

/* Arrays of results of a goal at a value, [value][goal]. */
struct curve {
    int64_t met[WG_SIZE_MAX_POINTS * WG_MAX_GOALS];
    double chance[WG_SIZE_MAX_POINTS * WG_MAX_GOALS], low[WG_SIZE_MAX_POINTS * WG_MAX_GOALS],
        high[WG_SIZE_MAX_POINTS * WG_MAX_GOALS], alone_low[WG_SIZE_MAX_POINTS * WG_MAX_GOALS],
        alone_high[WG_SIZE_MAX_POINTS * WG_MAX_GOALS];
};

static void fill_size_curve(struct curve *curve, const struct wg_answer *answer) {
    const int n_goals = answer->as.size.question->n_goals;
    for (int i = 0; i < answer->as.size.found->n_points; i++)
        for (int g = 0; g < n_goals; g++) {
            const struct wg_size_point *const point = &answer->as.size.found->point[i];
            const struct wg_interval at_once = wg_size_interval(answer->as.size.question, point, g);
            const struct wg_interval alone = wg_wilson((size_t)point->hits[g], (size_t)point->n, ALONE);
            const int at = i * n_goals + g;
            curve->met[at] = point->hits[g];
            curve->chance[at] = wg_size_share(point, g);
            curve->low[at] = at_once.low;
            curve->high[at] = at_once.high;
            curve->alone_low[at] = alone.low;
            curve->alone_high[at] = alone.high;
        }
}

static void put_size_curve(struct wg_h5 *file, const struct wg_answer *answer) {
    struct curve c;
    int64_t n[WG_SIZE_MAX_POINTS];
    const char *enough[WG_SIZE_MAX_POINTS];
    for (int i = 0; i < answer->as.size.found->n_points; i++) {
        n[i] = answer->as.size.found->point[i].n;
        enough[i] = wg_verdict_name(answer->as.size.found->point[i].verdict);
    }
    fill_size_curve(&c, answer);
    (void)wg_put_counts(file, "replicates", "replicates simulated at the value", "value", NULL, n);
    (void)wg_put_texts(file, "enough", "whether the value meets every goal, at the stated confidence", "value", enough);
    (void)wg_put_counts(file, "met", "replicates at the value that met the goal", "value", "goal", c.met);
    (void)wg_put_reals(file, "chance", "1", "share of the replicates that met the goal", "value", "goal", c.chance);
    (void)wg_put_reals(file, "chance_low", "1",
                       "lower end of the simultaneous interval of the chance, over all values, goals and interim looks "
                       "(confidence sequence)",
                       "value", "goal", c.low);
    (void)wg_put_reals(file, "chance_high", "1", "upper end of the simultaneous interval of the chance", "value",
                       "goal", c.high);
    (void)wg_put_reals(file, "wilson_low", "1", "lower end of the 95 % interval of this chance alone (Wilson)", "value",
                       "goal", c.alone_low);
    (void)wg_put_reals(file, "wilson_high", "1", "upper end of the 95 % interval of this chance alone (Wilson)",
                       "value", "goal", c.alone_high);
}

/* The curve of each goal: chance = top Phi(q + slope (x - crossing)) with Phi(q) = chance_asked/top. */
static void put_goal_curves(struct wg_h5 *file, const struct wg_answer *answer) {
    double crossing[WG_MAX_GOALS], slope[WG_MAX_GOALS], top[WG_MAX_GOALS], from[WG_MAX_GOALS], to[WG_MAX_GOALS];
    double spread[WG_MAX_GOALS], fit[WG_MAX_GOALS];
    for (int g = 0; g < answer->as.size.question->n_goals; g++) {
        const struct wg_size_curve *const curve = &answer->as.size.found->curve[g];
        crossing[g] = curve->crossing;
        slope[g] = curve->slope;
        top[g] = curve->top;
        from[g] = curve->from;
        to[g] = curve->to;
        spread[g] = curve->spread;
        fit[g] = curve->fit;
    }
    (void)wg_put_reals(file, "curve_crossing", "1",
                       "where its probit curve passes chance_asked: the value, or its logarithm", "goal", NULL,
                       crossing);
    (void)wg_put_reals(file, "curve_slope", "1", "slope of the curve there, in standard deviations", "goal", NULL,
                       slope);
    (void)wg_put_reals(file, "curve_top", "1", "upper limit of the curve", "goal", NULL, top);
    const char *const unit = varied_unit(answer->as.size.vary);
    mark_date(file, answer->as.size.vary,
              wg_put_reals(file, "curve_from", unit, "lowest value it is fitted to", "goal", NULL, from));
    mark_date(file, answer->as.size.vary,
              wg_put_reals(file, "curve_to", unit, "highest value it is fitted to", "goal", NULL, to));
    (void)wg_put_reals(file, "curve_spread", "1", "standard deviation of the intercepts of plausible animals", "goal",
                       NULL, spread);
    (void)wg_put_reals(file, "curve_fit_probability", "1", "probability of a worse fit if the curve is right", "goal",
                       NULL, fit);
}

static void put_size_values(struct wg_h5 *file, const struct wg_answer *answer) {
    const struct wg_vary *const vary = answer->as.size.vary;
    const struct wg_size_question *const q = answer->as.size.question;
    const struct wg_size *const size = answer->as.size.found;
    put_one(file, vary, q->largest ? "largest_enough" : "smallest_enough",
            q->largest ? "largest value tried that is enough, at the stated confidence"
                       : "smallest value tried that is enough, at the stated confidence",
            size->enough);
    put_one(file, vary, "too_little", "nearest value tried that is not enough, at the stated confidence",
            size->too_little);
    put_one(file, vary, "number", "estimate of the number that meets every goal", size->number.about);
    put_one(file, vary, "number_low", "lower end of its interval", size->number.low);
    put_one(file, vary, "number_high", "upper end of its interval", size->number.high);
    put_one(file, vary, "number_luckier", "the number for the luckier half of plausible animals", size->number.luckier);
    put_one(file, vary, "number_harder", "the number for the harder half of plausible animals", size->number.harder);
    put_one(file, vary, "best", "value tried with the best chances", size->point[size->best].value);
    put_one(file, vary, "falls_from",
            "value at which a goal is met more often than at falls_to, at the stated confidence", size->falls_from);
    put_one(file, vary, "falls_to", "value beyond falls_from at which that goal is met less often", size->falls_to);
    put_one(file, vary, "value_in_scenario", "value in the scenario", vary->value);
    put_one(file, vary, "searched_from", "lower end of the range searched", size->low);
    put_one(file, vary, "searched_to", "upper end of the range searched", size->high);
    (void)wg_put_count(file, "falls_goal", "number of the goal that falls_from and falls_to are about, from 0",
                       size->falls_goal);
    (void)wg_put_count(file, "deciding_goal", "goal that needs most, from 0", size->number.goal);
    (void)wg_put_count(file, "curve_fits", "1: its curve fits the trials", size->number.fits);
    (void)wg_put_count(file, "is_geometric", "1 if the values tried are spaced by ratios, 0 if evenly", q->geometric);
    (void)wg_put_count(file, "is_difference", "1 if the values are temperature differences, else 0",
                       vary->is_difference);
    (void)wg_put_real(file, "step", "1", "the values tried are multiples of this step; 0: any value", vary->step);
    (void)wg_put_real(file, "confidence", "1", "confidence of the whole answer", q->confidence);
    (void)wg_put_count(file, "total_replicates", "replicates simulated in total", size->replicates);
}

int wg_put_size(struct wg_h5 *file, const struct wg_answer *answer) {
    (void)wg_h5_attribute(file, -1, "key", answer->as.size.vary->path);
    (void)wg_h5_attribute(file, -1, "subject", answer->as.size.vary->subject);
    (void)wg_h5_attribute(file, -1, "unit_as_written", answer->as.size.vary->unit);
    (void)wg_h5_attribute(file, -1, "outcome", wg_size_outcome_name(answer->as.size.found->outcome));
    (void)wg_h5_attribute(file, -1, "looked_for", answer->as.size.question->largest ? "largest" : "smallest");
    put_dimensions(file, answer);
    put_size_curve(file, answer);
    put_goal_curves(file, answer);
    put_size_values(file, answer);
    return 0;
}
