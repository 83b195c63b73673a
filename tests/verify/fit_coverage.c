/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Coverage of the ranges of `fit`.
 *
 * Simulation-based calibration in its simplest form (Cook, Gelman & Rubin 2006, J. Comput. Graph. Stat. 15:675): an
 * animal is drawn between and around the plausible ones (none of them), a replicate of it fills a log with a keeper's
 * errors, and the log is fitted; a 90 % range must contain the truth in about 90 of 100 logs. Weekly notes for 4, 14 and
 * 30 weeks, at 27 degC and outdoors from September. The program fails where a range holds the truth so seldom that this
 * happens once in 1,000 tests with a true coverage of 85 %, or where more than one log in 20 finds too few animals that
 * agree. (A range of counts may hold more often than 95 %: nothing is nothing, whatever the animal.)
 *
 *   fit_coverage [LOGS of each length and place, 100 by default [FIRST [DRAWS]]]
 */
#include "inference/animal_numbers.h"
#include "support/known_log.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define LOGS 100
#define FALSE_ALARM 0.001
#define LEAST_COVERAGE 0.85
#define MOST_COVERAGE 0.95
#define ANIMAL_SEED 99

/* What is counted: what is learnt, then quantities of today. */
#define N_COUNTED (WG_N_LEARNT + 11)

static const struct {
    enum wg_now_kind kind;
    int index;
    const char *name;
} of_today[N_COUNTED - WG_N_LEARNT] = {
    {WG_NOW_STAGE, WG_NOW_EGGS, "eggs now"},         {WG_NOW_STAGE, WG_NOW_ALL_LARVAE, "larvae now"},
    {WG_NOW_STAGE, WG_NOW_PREPUPAE, "prepupae now"}, {WG_NOW_STAGE, WG_NOW_ASLEEP, "dormant prepupae now"},
    {WG_NOW_STAGE, WG_NOW_PUPAE, "pupae now"},       {WG_NOW_STAGE, WG_NOW_ALL_FLIES, "flies now"},
    {WG_NOW_CRAWL_OFF, 0, "crawl-off, week 1"},      {WG_NOW_CRAWL_OFF, 3, "crawl-off, week 4"},
    {WG_NOW_FLIES, 1, "emergence, week 2"},          {WG_NOW_WANTED, 0, "feed wanted, week 1"},
    {WG_NOW_REST_CRAWL, 0, "crawl-off to the end"},
};

struct tally {
    int logs, refused, held[N_COUNTED], seen[N_COUNTED];
    double width[N_COUNTED]; /* sum of the widths after over before the log */
    double agree;
};

static void count_range(struct tally *tally, int i, double truth, const double range[2], const double before[2]) {
    /* ends that are equal to the truth hold it: nothing is nothing */
    tally->seen[i]++;
    tally->held[i] += range[0] <= truth && truth <= range[1];
    tally->width[i] += before[1] > before[0] ? (range[1] - range[0]) / (before[1] - before[0]) : 1;
}

static void count_ranges(struct tally *tally, const struct wg_fit *fit, const struct wg_plan *plan,
                         const struct wg_species *animal, const struct wg_diary *truth) {
    static const double q[2] = {0.05, 0.95};
    double range[2], before[2];
    for (int i = 0; i < N_COUNTED; i++) {
        const int row = i < WG_N_LEARNT
                            ? 0
                            : wg_now_find(&fit->today, of_today[i - WG_N_LEARNT].kind, of_today[i - WG_N_LEARNT].index);
        for (int e = 0; e < 2; e++) {
            range[e] = i < WG_N_LEARNT ? wg_fit_learnt(fit, (enum wg_learnt)i, false, q[e])
                                       : wg_fit_now(fit, row, false, q[e]);
            before[e] =
                i < WG_N_LEARNT ? wg_fit_learnt(fit, (enum wg_learnt)i, true, q[e]) : wg_fit_now(fit, row, true, q[e]);
        }
        count_range(tally, i,
                    i < WG_N_LEARNT ? wg_learnt_value((enum wg_learnt)i, plan, animal)
                                    : wg_now_value(&fit->today, row, truth),
                    range, before);
    }
}

static int try_log(uint64_t k, int weeks, bool outdoors, int64_t draws, struct tally *tally) {
    struct known_log log;
    struct wg_animal_numbers numbers;
    struct wg_species animal;
    struct wg_diary truth;
    struct wg_fit fit;
    struct wg_error err = {0};
    const struct wg_fit_options options = {
        .draws = draws, .per_draw = WG_FIT_PER_DRAW, .passes = WG_FIT_PASSES, .threads = 1};
    known_log_make(&log, weeks, outdoors);
    wg_animal_numbers_init(&numbers, &log.plan);
    int code = wg_animal_numbers_draw(&numbers, &log.plan, (int64_t)k, true, ANIMAL_SEED, &animal, &err);
    if (code < 0)
        return code;
    known_log_fill(&log, &animal, k, &truth);
    code = wg_fit_run(&fit, &log.plan, log.note, log.n, &options, &err);
    if (code < 0)
        (void)fprintf(stderr, "%s\n", err.text);
    tally->logs++;
    tally->agree += (double)fit.agree;
    if (code == 0 && wg_fit_has_answer(&fit))
        count_ranges(tally, &fit, &log.plan, &animal, &truth);
    else
        tally->refused++;
    wg_fit_free(&fit);
    wg_diary_free(&truth);
    wg_plan_free(&log.plan);
    return code;
}

/* Prints the tally as checks. Returns the number of failures. */
static int print_tally(const struct tally *tally, int weeks, bool outdoors) {
    int failed = 0;
    for (int i = 0; i < N_COUNTED; i++) {
        const unsigned held = (unsigned)tally->held[i], n = (unsigned)tally->seen[i];
        const bool seldom = gsl_cdf_binomial_P(held, LEAST_COVERAGE, n) < FALSE_ALARM;
        const bool wide = held > 0 && gsl_cdf_binomial_Q(held - 1, MOST_COVERAGE, n) < FALSE_ALARM;
        failed += seldom;
        (void)printf("{\"check\": \"90 %% range of %s, %d weeks %s\", \"published\": \"85 to 95 of 100\", "
                     "\"simulated\": \"%u of %u, %.0f %% as wide as before the log\", \"source\": \"the animal that "
                     "made the log\", "
                     "\"verdict\": \"%s\", \"why\": \"%s\"}\n",
                     i < WG_N_LEARNT ? wg_learnt_name((enum wg_learnt)i) : of_today[i - WG_N_LEARNT].name, weeks,
                     outdoors ? "outdoors" : "at 27 degC", held, n, 100 * tally->width[i] / n,
                     seldom ? "does not hold" : "holds", wide ? "wider than it need be" : "");
    }
    const bool refuses = tally->refused > tally->logs / 20 + 1;
    (void)printf("%d weeks %s: %d logs, too few animals agree in %d; %.0f animals agree on average\n", weeks,
                 outdoors ? "outdoors" : "at 27 degC", tally->logs, tally->refused, tally->agree / tally->logs);
    (void)fflush(stdout);
    return failed + refuses;
}

int main(int argc, char **argv) {
    static const int weeks[] = {4, 14, 30};
    const int logs = argc > 1 ? atoi(argv[1]) : LOGS, first = argc > 2 ? atoi(argv[2]) : 0;
    const int64_t draws = argc > 3 ? atoi(argv[3]) : WG_FIT_DRAWS;
    int failed = 0;
    (void)gsl_set_error_handler_off();
    for (int i = 0; i < 6; i++) {
        struct tally tally = {.logs = 0};
        for (int k = 0; k < logs; k++)
            if (try_log((uint64_t)(1000 * i + first + k), weeks[i % 3], i >= 3, draws, &tally) != 0)
                return 1;
        failed += print_tally(&tally, weeks[i % 3], i >= 3);
    }
    return failed > 0;
}
