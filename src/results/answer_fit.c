/*
 * Writes a fit: the factors and outcomes before and after the log, each note beside its expected range, and every draw
 * with its weight, from which other quantiles can be computed.
 */
#include "results/answer_write.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define N_QUANTILES 5
static const double quantile[N_QUANTILES] = {0.05, 0.25, 0.5, 0.75, 0.95};
/* quantiles of the standard normal distribution */
static const double normal[N_QUANTILES] = {-1.6448536269514722, -0.6744897501960817, 0, 0.6744897501960817,
                                           1.6448536269514722};

/* ---- factors ---- */

static void put_factors(struct wg_h5 *file, const struct wg_fit *fit) {
    double prior[WG_N_FIT_PARAMETERS * N_QUANTILES], posterior[WG_N_FIT_PARAMETERS * N_QUANTILES],
        sigma[WG_N_FIT_PARAMETERS];
    const char *name[WG_N_FIT_PARAMETERS];
    const struct wg_h5_variable quantiles = {.name = "quantile",
                                             .unit = "1",
                                             .text = "quantile: share of the weight below",
                                             .kind = WG_H5_REAL,
                                             .n_dims = 1};
    for (int f = 0; f < WG_N_FIT_PARAMETERS; f++) {
        name[f] = wg_fit_parameter_name((enum wg_fit_parameter)f);
        sigma[f] = wg_fit_parameter_prior_sigma((enum wg_fit_parameter)f);
        for (int q = 0; q < N_QUANTILES; q++) {
            prior[f * N_QUANTILES + q] = fmin(exp(sigma[f] * normal[q]), fit->most[f]);
            posterior[f * N_QUANTILES + q] = wg_fit_quantile(fit, (enum wg_fit_parameter)f, quantile[q]);
        }
    }
    (void)wg_h5_dimension(file, &quantiles, N_QUANTILES, quantile);
    (void)wg_put_names(file, "factor", "factor that multiplies numbers of the animal", WG_N_FIT_PARAMETERS, name);
    (void)wg_put_reals(file, "prior", "1", "quantiles of the factor before the log (lognormal)", "factor", "quantile",
                       prior);
    (void)wg_put_reals(file, "posterior", "1", "quantiles of the factor after the log", "factor", "quantile",
                       posterior);
    (void)wg_put_reals(file, "prior_sigma_of_log", "1", "standard deviation of the logarithm of the prior", "factor",
                       NULL, sigma);
}

/* ---- the log ---- */

static const char *log_kind_unit(enum wg_log_kind kind) {
    return kind == WG_LOG_CRAWL_OFF || kind == WG_LOG_TAKEN ? "kg" : kind == WG_LOG_BIN_TEMPERATURE ? "degC" : "1";
}

struct log_arrays {
    int64_t *day, *since, *line, *explained;
    double *value, *low, *high;
    const char **what, **unit;
};

static void add_log_entry(struct log_arrays *to, const struct wg_answer *answer, int i) {
    const struct wg_log_entry *const note = &answer->as.fit.log->note[i];
    struct wg_interval range;
    to->explained[i] = wg_fit_explains(answer->as.fit.found, answer->as.fit.log->note, i, &range);
    to->day[i] = note->day;
    to->since[i] = note->since;
    to->line[i] = note->line;
    to->value[i] = note->value;
    to->low[i] = range.low;
    to->high[i] = range.high;
    to->what[i] = wg_log_kind_name(note->kind);
    to->unit[i] = log_kind_unit(note->kind);
}

static void put_day_numbers(struct wg_h5 *file, const char *name, const char *text, const int64_t *values) {
    const struct wg_h5_variable variable = {.name = name,
                                            .unit = "days since 1970-01-01 00:00:00",
                                            .text = text,
                                            .kind = WG_H5_COUNT,
                                            .n_dims = 1,
                                            .dim = {"note"}};
    const int number = wg_h5_variable(file, &variable);
    if (number < 0)
        return;
    (void)wg_h5_attribute(file, number, "calendar", "proleptic_gregorian");
    (void)wg_h5_write(file, number, values);
}

static void put_log_columns(struct wg_h5 *file, const struct log_arrays *notes) {
    put_day_numbers(file, "note_day", "day of the log entry", notes->day);
    put_day_numbers(file, "note_since", "first day that the entry covers", notes->since);
    (void)wg_put_texts(file, "note_what", "kind of the entry", "note", notes->what);
    (void)wg_put_texts(file, "note_unit", "unit of the entry's value and range", "note", notes->unit);
    (void)wg_put_reals(file, "note_value", "1", "value that the keeper wrote, in the unit of note_unit", "note", NULL,
                       notes->value);
    (void)wg_put_reals(file, "note_low", "1",
                       "lower end of the range expected for 9 in 10 entries; for adults: chance of seeing any", "note",
                       NULL, notes->low);
    (void)wg_put_reals(file, "note_high", "1",
                       "upper end of the range expected for 9 in 10 entries; for adults: chance of seeing any", "note",
                       NULL, notes->high);
    (void)wg_put_counts(file, "note_explained", "1 if the entry lies within its expected range, else 0", "note", NULL,
                        notes->explained);
}

static int put_log(struct wg_h5 *file, const struct wg_answer *answer, struct wg_error *err) {
    const size_t n = (size_t)answer->as.fit.log->n;
    int64_t *const whole = calloc(4 * n + 1, sizeof *whole);
    double *const real = calloc(3 * n + 1, sizeof *real);
    const char **const text = calloc(2 * n + 1, sizeof *text);
    const int code = whole == NULL || real == NULL || text == NULL ? wg_no_memory(err, NULL) : 0;
    if (code == 0) {
        struct log_arrays notes = {whole,    whole + n,    whole + 2 * n, whole + 3 * n, real,
                                   real + n, real + 2 * n, text,          text + n};
        const struct wg_h5_variable line = {
            .name = "note", .unit = "1", .text = "line of the entry in the log", .kind = WG_H5_COUNT, .n_dims = 1};
        for (int i = 0; i < answer->as.fit.log->n; i++)
            add_log_entry(&notes, answer, i);
        (void)wg_h5_dimension(file, &line, (int64_t)n, notes.line);
        put_log_columns(file, &notes);
    }
    free(text);
    free(real);
    free(whole);
    return code;
}

/* ---- outcomes ---- */

static int put_outcomes(struct wg_h5 *file, const struct wg_fit *fit, struct wg_error *err) {
    const size_t n = (size_t)fit->n_outcomes;
    double *const real = calloc(2 * n * (N_QUANTILES + 1), sizeof *real), *const happened = real + 2 * n * N_QUANTILES;
    const char **const text = calloc(2 * n, sizeof *text);
    const int code = real == NULL || text == NULL ? wg_no_memory(err, NULL) : 0;
    for (size_t o = 0; code == 0 && o < n; o++) {
        text[o] = wg_diary_outcomes()[o].name;
        text[n + o] = wg_diary_outcomes()[o].unit;
        happened[o] = wg_fit_happened(fit, (int)o, true);
        happened[n + o] = wg_fit_happened(fit, (int)o, false);
        for (size_t q = 0; q < 2 * N_QUANTILES; q++)
            real[(q / N_QUANTILES * n + o) * N_QUANTILES + q % N_QUANTILES] =
                wg_fit_outcome(fit, (int)o, q < N_QUANTILES, quantile[q % N_QUANTILES]);
    }
    if (code == 0) {
        (void)wg_put_names(file, "outcome", "name of an outcome", (int64_t)n, text);
        (void)wg_put_texts(file, "outcome_unit", "unit of the outcome", "outcome", text + n);
        (void)wg_put_reals(
            file, "outcome_before", "1",
            "quantiles of the outcome before the log, in the unit of outcome_unit; inf: later than the end", "outcome",
            "quantile", real);
        (void)wg_put_reals(
            file, "outcome_after", "1",
            "quantiles of the outcome after the log, in the unit of outcome_unit; inf: later than the end", "outcome",
            "quantile", real + n * N_QUANTILES);
        (void)wg_put_reals(file, "happened_before", "1",
                           "share of the draws in which the outcome occurred, before the log", "outcome", NULL,
                           happened);
        (void)wg_put_reals(file, "happened_after", "1",
                           "weight of the draws in which the outcome occurred, after the log", "outcome", NULL,
                           happened + n);
    }
    (void)wg_put_real(file, "survival_before", "1", "chance that the colony is alive at the end, before the log",
                      wg_fit_share_above(fit, WG_OUTCOME_survived, true, 0.5));
    (void)wg_put_real(file, "survival_after", "1", "chance that the colony is alive at the end, after the log",
                      wg_fit_share_above(fit, WG_OUTCOME_survived, false, 0.5));
    free(text);
    free(real);
    return code;
}

/* ---- the draws ---- */

/* The arrays that put_fit_draws() fills, [draw], [draw][factor] or [draw][outcome]. */
struct drawn {
    int64_t *number;
    double *weight, *log_chance, *factor, *outcome;
};

static void gather_draws(struct drawn *to, const struct wg_fit *fit) {
    for (int64_t k = 0; k < fit->n; k++) {
        to->number[k] = k;
        to->weight[k] = fit->draw[k].weight;
        to->log_chance[k] = fit->draw[k].log_chance;
        for (int f = 0; f < WG_N_FIT_PARAMETERS; f++)
            to->factor[k * WG_N_FIT_PARAMETERS + f] = wg_fit_factor(fit, k, (enum wg_fit_parameter)f);
        for (int o = 0; o < fit->n_outcomes; o++)
            to->outcome[k * fit->n_outcomes + o] = fit->outcome[o * fit->n + k];
    }
}

static int put_fit_draws(struct wg_h5 *file, const struct wg_fit *fit, struct wg_error *err) {
    const size_t n = (size_t)fit->n;
    int64_t *const number = calloc(n, sizeof *number);
    double *const real = calloc(n * (2 + WG_N_FIT_PARAMETERS + (size_t)fit->n_outcomes), sizeof *real);
    const int code = number == NULL || real == NULL ? wg_no_memory(err, NULL) : 0;
    if (code == 0) {
        struct drawn drawn = {number, real, real + n, real + 2 * n, real + (2 + WG_N_FIT_PARAMETERS) * n};
        const struct wg_h5_variable draw = {
            .name = "draw", .unit = "1", .text = "number of the draw", .kind = WG_H5_COUNT, .n_dims = 1};
        gather_draws(&drawn, fit);
        (void)wg_h5_dimension(file, &draw, fit->n, number);
        (void)wg_put_reals(file, "weight", "1", "weight of the draw; the weights sum to 1", "draw", NULL, drawn.weight);
        (void)wg_put_reals(file, "log_chance", "1", "logarithm of the mean likelihood of the log, up to a constant",
                           "draw", NULL, drawn.log_chance);
        (void)wg_put_reals(file, "drawn_factor", "1", "factor used in the draw", "draw", "factor", drawn.factor);
        (void)wg_put_reals(file, "drawn_outcome", "1", "mean outcome of the draw, in the unit of outcome_unit", "draw",
                           "outcome", drawn.outcome);
    }
    free(real);
    free(number);
    return code;
}

static void put_fit_numbers(struct wg_h5 *file, const struct wg_fit *fit) {
    (void)wg_put_real(file, "effective_draws", "1", "effective sample size: 1 / sum of squared weights",
                      fit->effective);
    (void)wg_put_count(file, "too_few",
                       "1 if the effective sample size is too small, so that the answer is only a hint, else 0",
                       fit->effective < WG_FIT_DEGENERATE);
    (void)wg_put_count(file, "rounds", "adaptive rounds before the last", fit->rounds);
    (void)wg_put_real(file, "temper", "1", "final tempering exponent of the likelihood in the proposal, 0 to 1",
                      fit->temper);
    (void)wg_put_count(file, "total_draws", "draws in all rounds", fit->draws);
    (void)wg_put_count(file, "total_replicates", "replicates simulated in total", fit->replicates);
}

int wg_put_fit(struct wg_h5 *file, const struct wg_answer *answer, struct wg_error *err) {
    (void)wg_h5_attribute(file, -1, "log", answer->as.fit.log_path);
    put_factors(file, answer->as.fit.found);
    int code = put_log(file, answer, err);
    if (code == 0)
        code = put_outcomes(file, answer->as.fit.found, err);
    if (code == 0)
        code = put_fit_draws(file, answer->as.fit.found, err);
    put_fit_numbers(file, answer->as.fit.found);
    return code;
}
