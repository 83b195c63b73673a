/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Words the answers, shares and gains of a sensitivity analysis.
 */
#include "text/sensitivity_words.h"

#include "text/outcome_label.h"

#include <math.h>
#include <string.h>

bool wg_is_chance(const struct wg_sensitivity *matters) {
    return matters->outcome == WG_SENSITIVITY_SURVIVAL;
}

void wg_show_studied(const struct wg_sensitivity *matters, char out[WG_SHOWN_SIZE]) {
    const struct wg_outcome_label *const label = wg_outcome_label(wg_sensitivity_answer(matters));
    (void)snprintf(out, WG_SHOWN_SIZE, "%s%s", label->kind == WG_VALUE_SHARE ? "the chance to be " : "", label->phrase);
}

void wg_show_answer(const struct wg_sensitivity *matters, double value, char out[WG_SHOWN_SIZE]) {
    char percent[WG_SHOWN_SIZE];
    wg_show_share(value, percent);
    if (wg_is_chance(matters))
        (void)snprintf(out, WG_SHOWN_SIZE, "%.20s %%", percent);
    else
        wg_show_rounded_mass(value, value, 2, out);
}

void wg_show_answers(const struct wg_sensitivity *matters, struct wg_interval range, char out[WG_SHOWN_SIZE]) {
    char low[WG_SHOWN_SIZE], high[WG_SHOWN_SIZE];
    wg_show_share(range.low, low);
    wg_show_share(range.high, high);
    if (wg_is_chance(matters))
        (void)snprintf(out, WG_SHOWN_SIZE, "%.20s to %.20s %%", low, high);
    else
        wg_show_rounded_mass(range.low, range.high, wg_range_digits(range.low, range.high), out);
}

/* Clamps to 0..1, in which a share lies, and rounds to whole per cent, below 1 to tenths; files have the raw estimates. */
static double percent_of(double share) {
    const double percent = 100 * fmin(1, fmax(0, share));
    return percent < 1 ? ceil(10 * percent) / 10 : round(percent);
}

void wg_show_estimate(const struct wg_estimate *estimate, char out[WG_SHOWN_SIZE]) {
    const double high = percent_of(estimate->range.high);
    if (wg_is_above_luck(estimate))
        (void)snprintf(out, WG_SHOWN_SIZE, "%.3g %% (%.2g to %.3g %%)", percent_of(estimate->value),
                       percent_of(estimate->range.low), high);
    else
        (void)snprintf(out, WG_SHOWN_SIZE, "0, within luck (at most %.3g %%)", high);
}

void wg_show_gain(const struct wg_sensitivity *matters, const struct wg_gain *gain, char out[WG_GAIN_SIZE]) {
    char range[WG_SHOWN_SIZE], after[WG_SHOWN_SIZE], before[WG_SHOWN_SIZE];
    wg_show_answers(matters, gain->answer, range);
    wg_show_rounded_mass(gain->sd, gain->sd, 2, after);
    wg_show_rounded_mass(matters->before.sd, matters->before.sd, 2, before);
    if (wg_is_chance(matters))
        (void)snprintf(out, WG_GAIN_SIZE, "%s (standard deviation %.2g in place of %.2g points)", range, 100 * gain->sd,
                       100 * matters->before.sd);
    else
        (void)snprintf(out, WG_GAIN_SIZE, "%s (standard deviation %s in place of %s)", range, after, before);
}

/* Words a unit of the species table. */
static const char *words_of_unit(const char *unit) {
    static const char *const words[][2] = {{"1/day", "per day"},    {"1/K", "per °C"}, {"K", "°C"},
                                           {"degC day", "°C days"}, {"day", "days"},   {"h", "hours"}};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (strcmp(unit, words[i][0]) == 0)
            return words[i][1];
    return unit;
}

void wg_show_unknown(const struct wg_unknown *unknown, char out[WG_SHOWN_SIZE]) {
    const char *const unit = unknown->parameter->unit;
    const int n = snprintf(out, WG_SHOWN_SIZE, "%.3g to %.3g", unknown->low, unknown->high);
    /* Fahrenheit for temperatures; no ounces, because these masses are of one egg or larva */
    if (strcmp(unit, "degC") == 0)
        (void)snprintf(out + n, WG_SHOWN_SIZE - (size_t)n, " °C (%.3g to %.3g °F)",
                       wg_units_convert(unknown->low, "degC", "degF", true),
                       wg_units_convert(unknown->high, "degC", "degF", true));
    else if (strcmp(unit, "1") != 0)
        (void)snprintf(out + n, WG_SHOWN_SIZE - (size_t)n, " %s", words_of_unit(unit));
}

int wg_count_above_luck(const struct wg_sensitivity *matters) {
    int n = 0;
    while (n < matters->n_unknowns && wg_is_above_luck(&matters->shares.share[matters->unknown[n].group]))
        n++;
    return n;
}
