/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Writes a sensitivity analysis: each uncertain number with its range, source and the share of its group; each measurement
 * and what it would narrow.
 */
#include "results/answer_file.h"

#include <math.h>
#include <stdlib.h>

/* ---- numbers ---- */

static int put_unknown_texts(struct wg_h5 *file, const struct wg_sensitivity *m, struct wg_error *err) {
    const size_t n = (size_t)m->n_unknowns;
    const char **const text = calloc(4 * n, sizeof *text);
    if (text == NULL)
        return wg_no_memory(err, NULL);
    for (size_t i = 0; i < n; i++) {
        const struct wg_parameter *const p = m->unknown[i].parameter;
        text[i] = p->name;
        text[n + i] = p->text;
        text[2 * n + i] = p->unit;
        text[3 * n + i] = p->source;
    }
    (void)wg_put_names(file, "unknown", "name of a number in which the animals differ", m->n_unknowns, text);
    (void)wg_put_texts(file, "meaning", "what the number is", "unknown", text + n);
    (void)wg_put_texts(file, "unit", "unit of its range", "unknown", text + 2 * n);
    (void)wg_put_texts(file, "source_of_value", "where its value comes from", "unknown", text + 3 * n);
    free(text);
    return 0;
}

static void put_unknowns(struct wg_h5 *file, const struct wg_sensitivity *m) {
    double column[6][WG_MAX_NUMBERS];
    int64_t group[WG_MAX_NUMBERS], is_above[WG_MAX_NUMBERS];
    for (int i = 0; i < m->n_unknowns; i++) {
        const struct wg_unknown *const u = &m->unknown[i];
        const struct wg_estimate *const share = &m->shares.share[u->group];
        const double value[] = {u->low, u->high, u->trend, share->value, share->range.low, share->range.high};
        for (int c = 0; c < 6; c++)
            column[c][i] = value[c];
        group[i] = u->group;
        is_above[i] = wg_is_above_luck(share);
    }
    static const char *const name[][2] = {
        {"low", "5 of 100 animals are below, in the unit of `unit`"},
        {"high", "5 of 100 animals are above, in the unit of `unit`"},
        {"trend", "rank correlation of the number and the answer"},
        {"share", "of the variance between animals that its group explains, luck taken out; may be negative"},
        {"share_low", "lower end of its 95 % range (bootstrap over animals)"},
        {"share_high", "upper end of its 95 % range (bootstrap over animals)"}};
    for (int c = 0; c < 6; c++)
        (void)wg_put_reals(file, name[c][0], "1", name[c][1], "unknown", NULL, column[c]);
    (void)wg_put_counts(file, "group", "numbers with the same group are tied together by findings", "unknown", NULL,
                        group);
    (void)wg_put_counts(file, "above_luck", "1: the range of its share is above 0", "unknown", NULL, is_above);
}

/* ---- measurements ---- */

static void put_measurements(struct wg_h5 *file, const struct wg_sensitivity *m, const char *unit) {
    const char *name[WG_MAX_MEASUREMENTS], *text[WG_MAX_MEASUREMENTS], *error[WG_MAX_MEASUREMENTS];
    double column[9][WG_MAX_MEASUREMENTS];
    int64_t order[WG_MAX_MEASUREMENTS] = {0};
    for (int i = 0; i < m->n_measurements; i++) {
        const struct wg_gain *const gain = &m->measurement[i].gain;
        const double value[] = {gain->share.value, gain->share.range.low, gain->share.range.high,
                                gain->sd,          gain->answer.low,      gain->answer.high};
        for (int c = 0; c < 9; c++)
            column[c][i] = c < 6 ? value[c] : (double)NAN;
        name[i] = m->measurement[i].measurement->name;
        text[i] = m->measurement[i].measurement->text;
        error[i] = m->measurement[i].measurement->source;
    }
    for (int i = 0; i < m->n_steps; i++) {
        const int at = m->step[i].measurement;
        const struct wg_gain *const gain = &m->step[i].gain;
        order[at] = i + 1;
        column[6][at] = gain->sd;
        column[7][at] = gain->answer.low;
        column[8][at] = gain->answer.high;
    }
    (void)wg_put_names(file, "measurement", "name of a measurement a keeper could make", m->n_measurements, name);
    (void)wg_put_texts(file, "what_to_do", "the measurement in words", "measurement", text);
    (void)wg_put_texts(file, "error_of", "what its error has", "measurement", error);
    static const char *const head[][2] = {
        {"removes", "of the variance between animals, on average"},
        {"removes_low", "lower end of its 95 % range"},
        {"removes_high", "upper end of its 95 % range"},
        {"sd_left", "standard deviation between animals that is left"},
        {"answer_low", "5 of 100 animals are below, on average after it"},
        {"answer_high", "5 of 100 animals are above, on average after it"},
        {"step_sd_left", "standard deviation left after it and those worth more, if it is worth it"},
        {"step_answer_low", "5 of 100 animals are below, on average after these"},
        {"step_answer_high", "5 of 100 animals are above, on average after these"}};
    for (int c = 0; c < 9; c++)
        (void)wg_put_reals(file, head[c][0], c < 3 ? "1" : unit, head[c][1], "measurement", NULL, column[c]);
    (void)wg_put_counts(file, "worth",
                        "1, 2, 3: the measurements that narrow the answer most, each with those before it; 0: others",
                        "measurement", NULL, order);
}

/* ---- all ---- */

int wg_put_sensitivity(struct wg_h5 *file, const struct wg_answer *answer, struct wg_error *err) {
    const struct wg_sensitivity *const m = answer->as.sensitivity;
    const struct wg_outcome *const answered = &wg_diary_outcomes()[wg_sensitivity_answer(m)];
    const char *const unit = answered->unit;
    wg_assert(m->n_unknowns > 0 && m->n_measurements > 0);
    const int code = put_unknown_texts(file, m, err);
    if (code < 0)
        return code;
    put_unknowns(file, m);
    put_measurements(file, m, unit);
    (void)wg_h5_attribute(file, -1, "answer_of", answered->name);
    const struct {
        const char *name, *unit, *text;
        double value;
    } one[] = {{"answer_mean", unit, "mean of the answer over the animals", m->shares.mean},
               {"animals_low", unit, "5 of 100 animals are below, luck taken out", m->before.answer.low},
               {"animals_high", unit, "5 of 100 animals are above, luck taken out", m->before.answer.high},
               {"animals_sd", unit, "standard deviation between animals, luck taken out", m->before.sd},
               {"luck_sd", unit, "standard deviation of luck in an animal's mean", sqrt(m->shares.luck)},
               {"together", "1", "share of all numbers above luck together", m->shares.together.value},
               {"together_low", "1", "lower end of its 95 % range", m->shares.together.range.low},
               {"together_high", "1", "upper end of its 95 % range", m->shares.together.range.high}};
    for (size_t i = 0; i < sizeof one / sizeof *one; i++)
        (void)wg_put_real(file, one[i].name, one[i].unit, one[i].text, one[i].value);
    (void)wg_put_count(file, "animals", "number of animals", m->n_animals);
    (void)wg_put_count(file, "animals_differ", "1: the animals' answers differ by more than luck",
                       wg_is_above_luck(&m->shares.between));
    (void)wg_put_count(file, "total_replicates", "replicates lived in all", m->replicates);
    return 0;
}
