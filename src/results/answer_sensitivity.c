/*
 * Writes a sensitivity analysis: each unknown with its range and source, its elementary effect, and its shares of the
 * variance if it was studied closely.
 */
#include "results/answer_write.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

/* A column of numbers and how to get one from an unknown; NaN for unknowns not kept if `of_kept`. */
struct effect_column {
    const char *name, *text;
    bool of_kept;
    double (*of)(const struct wg_unknown *unknown);
};

#define COLUMN(name, of_what)                                                                                          \
    static double name(const struct wg_unknown *unknown) {                                                             \
        return unknown->of_what;                                                                                       \
    }
COLUMN(value_of, value)
COLUMN(low_of, low)
COLUMN(high_of, high)
COLUMN(effect_of, effect.mean)
COLUMN(effect_size_of, effect.mean_size)
COLUMN(effect_sd_of, effect.sd)
COLUMN(first_of, share.first)
COLUMN(first_low_of, share.first_range.low)
COLUMN(first_high_of, share.first_range.high)
COLUMN(total_of, share.total)
COLUMN(total_low_of, share.total_range.low)
COLUMN(total_high_of, share.total_range.high)
COLUMN(slope_of, share.slope)

static const struct effect_column columns[] = {
    {"value", "value in the plan; its unit is in `unit`", false, value_of},
    {"low", "lower end of the plausible range over which the number was varied", false, low_of},
    {"high", "upper end of the plausible range over which the number was varied", false, high_of},
    {"effect_mean", "mean change of the answer over the range (mean elementary effect, Morris)", false, effect_of},
    {"effect_mean_size", "mean absolute change of the answer over the range", false, effect_size_of},
    {"effect_sd", "standard deviation of the change of the answer over the range", false, effect_sd_of},
    {"first_order", "share of the variance due to this number alone (first-order Sobol' index)", true, first_of},
    {"first_order_low", "lower end of the 95 % interval of first_order (bootstrap)", true, first_low_of},
    {"first_order_high", "upper end of the 95 % interval of first_order (bootstrap)", true, first_high_of},
    {"total_order", "share of the variance due to this number and its interactions (total Sobol' index)", true,
     total_of},
    {"total_order_low", "lower end of the 95 % interval of total_order (bootstrap)", true, total_low_of},
    {"total_order_high", "upper end of the 95 % interval of total_order (bootstrap)", true, total_high_of},
    {"slope", "correlation between the number and the answer", true, slope_of},
};

/* Effects are in the unit of the answer, shares are plain numbers, and each value has its own unit. */
static const char *effect_unit(const struct effect_column *column, const char *answer_unit) {
    return column->of == effect_of || column->of == effect_size_of || column->of == effect_sd_of ? answer_unit : "1";
}

static void put_effect_columns(struct wg_h5 *file, const struct wg_sensitivity *matters, const char *answer_unit) {
    double value[WG_MAX_UNKNOWNS];
    for (size_t c = 0; c < sizeof columns / sizeof *columns; c++) {
        for (int i = 0; i < matters->n_unknowns; i++) {
            const struct wg_unknown *const unknown = &matters->unknown[i];
            value[i] = columns[c].of_kept && !unknown->kept ? (double)NAN : columns[c].of(unknown);
        }
        (void)wg_put_reals(file, columns[c].name, effect_unit(&columns[c], answer_unit), columns[c].text, "unknown",
                           NULL, value);
    }
}

static void put_unknown_names(struct wg_h5 *file, const struct wg_sensitivity *matters, const char **text) {
    int64_t kept[WG_MAX_UNKNOWNS];
    const int n = matters->n_unknowns;
    for (int i = 0; i < n; i++) {
        const struct wg_parameter *const p = matters->unknown[i].parameter;
        kept[i] = matters->unknown[i].kept;
        text[i] = p->name;
        text[n + i] = p->text;
        text[2 * n + i] = p->unit;
        text[3 * n + i] = p->source;
    }
    (void)wg_put_names(file, "unknown", "name of an uncertain number of the animal", n, text);
    (void)wg_put_texts(file, "meaning", "what the number is", "unknown", text + n);
    (void)wg_put_texts(file, "unit", "unit of value and range", "unknown", text + 2 * n);
    (void)wg_put_texts(file, "source_of_value", "source of the value", "unknown", text + 3 * n);
    (void)wg_put_counts(file, "studied_closely", "1 if the variance shares of the number were estimated, else 0",
                        "unknown", NULL, kept);
}

int wg_put_sensitivity(struct wg_h5 *file, const struct wg_answer *answer, struct wg_error *err) {
    const struct wg_sensitivity *const m = answer->as.sensitivity;
    const struct wg_outcome *const answered = &wg_diary_outcomes()[wg_sensitivity_answer(m)];
    const char *const unit = answered->unit;
    wg_assert(m->n_unknowns > 0);
    const char **const text = calloc(4 * (size_t)m->n_unknowns, sizeof *text);
    if (text == NULL)
        return wg_no_memory(err, NULL);
    (void)wg_h5_attribute(file, -1, "answer_of", answered->name);
    put_unknown_names(file, m, text);
    put_effect_columns(file, m, unit);
    (void)wg_put_real(file, "answer_base", unit, "answer with all numbers at their values in the plan", m->base);
    (void)wg_put_real(file, "answer_mean", unit, "mean of the answer over the ranges of the numbers studied closely",
                      m->mean);
    (void)wg_put_real(file, "answer_sd", unit,
                      "standard deviation of the answer over the ranges of the numbers studied closely", m->sd);
    (void)wg_put_real(file, "luck_share", "1",
                      "share of the variance of the answer that is sampling noise of the means", m->noise_share);
    (void)wg_put_count(file, "base_replicates", "replicates of answer_base", m->base_replicates);
    (void)wg_put_count(file, "replicates_per_point", "replicates at each point of the variance shares", m->per_point);
    (void)wg_put_count(file, "total_replicates", "replicates simulated in total", m->replicates);
    free(text);
    return 0;
}
