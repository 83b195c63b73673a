/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Words what luck, the animal and the winter do to survival and harvest.
 */
#include "report/forecast_parts.h"

#include "report/forecast_facts.h"
#include "text/outcome_label.h"
#include "text/terminal.h"

#include <math.h>
#include <string.h>

#define LABEL 20
#define MIDDLE 20
#define RULE_OF_THREE                                                                                                  \
    3.0 /* none of n: with 95 % confidence fewer than 3/n (Hanley & Lippman-Hand 1983, JAMA 249:1743, MEMORY) */

/* ---- numbers ---- */

/* "61 to 100"; "100" if both ends look alike */
static void show_shares(double low, double high, const char *unit, char out[WG_SHOWN_SIZE]) {
    char from[WG_SHOWN_SIZE], to[WG_SHOWN_SIZE];
    wg_show_share(low, from);
    wg_show_share(high, to);
    const bool is_one = strcmp(from, to) == 0;
    (void)snprintf(out, WG_SHOWN_SIZE, "%.30s%s%.30s%.8s", from, is_one ? "" : " to ", is_one ? "" : to, unit);
}

/* Returns what a band says without numbers; NULL: it has some. A component of variance of 0 leaves one value. */
static const char *words_of_band(const struct wg_split_band *band, bool of_harvest) {
    if (!band->is_known)
        return "-";
    if (band->q05 < band->q95)
        return NULL;
    return !of_harvest && (band->q05 <= 0 || band->q05 >= 1) ? "all alike" : "within luck";
}

void wg_odds_show_band(const struct wg_split_band *band, const char *unit, char out[WG_SHOWN_SIZE]) {
    const char *const words = words_of_band(band, false);
    if (words != NULL)
        (void)snprintf(out, WG_SHOWN_SIZE, "%s", words);
    else
        show_shares(band->q05, band->q95, unit, out);
}

static void show_band(const struct wg_split_band *band, bool of_harvest, char out[WG_SHOWN_SIZE]) {
    const char *const words = words_of_band(band, of_harvest);
    if (words != NULL)
        (void)snprintf(out, WG_SHOWN_SIZE, "%s", words);
    else if (of_harvest)
        wg_show_rounded_mass(band->q05, band->q95, wg_range_digits(band->q05, band->q95), out);
    else
        show_shares(band->q05, band->q95, "", out);
}

static void show_luck(const struct wg_interval *luck, bool of_harvest, char out[WG_SHOWN_SIZE]) {
    if (!of_harvest)
        show_shares(luck->low, luck->high, "", out);
    else if (isnan(luck->low))
        (void)snprintf(out, WG_SHOWN_SIZE, "all alike");
    else
        wg_show_rounded_mass(luck->low, luck->high, wg_range_digits(luck->low, luck->high), out);
}

static const struct wg_variance_split *split_for(const struct wg_odds *odds, bool of_harvest) {
    return of_harvest ? &odds->harvest : &odds->survival;
}

/* Whether there is more to say than the luck of independent years. */
static bool has_bands(const struct wg_odds *odds) {
    return odds->survival.animals.is_known || odds->survival.winters.is_known;
}

static bool all_alike(const struct wg_odds *odds) {
    return odds->survival.mean == 0 || odds->survival.mean == 1;
}

/* ---- sentences ---- */

struct wg_dots wg_odds_dots(const struct wg_odds *odds) {
    return wg_dots_of(odds->survival.mean, odds->survival.n);
}

void wg_odds_share(const struct wg_variance_split *split, const struct wg_plan *plan, char out[WG_ODDS_TEXT]) {
    const struct wg_dots dots = wg_dots_of(split->mean, split->n);
    char count[WG_SHOWN_SIZE], share[WG_SHOWN_SIZE], low[WG_SHOWN_SIZE], high[WG_SHOWN_SIZE];
    wg_dots_words(&dots, count);
    wg_show_share(split->mean, share);
    wg_show_share(split->interval.low, low);
    wg_show_share(split->interval.high, high);
    if (dots.all == 100)
        (void)snprintf(out, WG_ODDS_TEXT, "in %.40s %.20s (between %.20s and %.20s)", count, wg_forecast_noun(plan),
                       low, high);
    else
        (void)snprintf(out, WG_ODDS_TEXT, "in %.40s %.20s (%.20s %%, between %.20s and %.20s %%)", count,
                       wg_forecast_noun_of(plan, split->n), share, low, high);
}

void wg_odds_headline(const struct wg_odds *odds, const struct wg_plan *plan, char out[WG_ODDS_TEXT]) {
    const struct wg_variance_split *const s = &odds->survival;
    char share[WG_ODDS_TEXT], low[WG_SHOWN_SIZE], high[WG_SHOWN_SIZE];
    wg_odds_share(s, plan, share);
    wg_show_share(s->interval.low, low);
    wg_show_share(s->interval.high, high);
    if (s->n == 1)
        (void)snprintf(out, WG_ODDS_TEXT, "%s the one %.20s simulated (odds between %.20s and %.20s of 100)",
                       s->mean > 0 ? "Alive at the end of" : "Died out in", wg_forecast_noun_of(plan, 1), low, high);
    else
        (void)snprintf(out, WG_ODDS_TEXT, "Alive at the end %.280s", share);
}

void wg_odds_headline_animal(const struct wg_odds *odds, const struct wg_plan *plan, char out[WG_ODDS_TEXT]) {
    const struct wg_split_band *const animals = &odds->survival.animals;
    char band[WG_SHOWN_SIZE];
    out[0] = '\0';
    if (odds->over_animals && !has_bands(odds)) {
        (void)snprintf(out, WG_ODDS_TEXT,
                       "These are too few %.10s to tell luck from what nobody knows about the animal; run 128 or more",
                       wg_forecast_noun(plan));
    } else if (words_of_band(animals, false) == NULL) {
        show_band(animals, false, band);
        (void)snprintf(out, WG_ODDS_TEXT, "Depending on the animal, and nobody knows which yours is: in %.40s of 100",
                       band);
    }
}

/* "What nobody knows about the animal: 61 to 98 for 9 animals in 10." A band without numbers has words. */
static int add_band(char out[WG_ODDS_TEXT], int used, const char *what, const char *group,
                    const struct wg_split_band *band, bool of_harvest) {
    char shown[WG_SHOWN_SIZE], of[WG_SHOWN_SIZE] = "";
    if (!band->is_known)
        return used;
    show_band(band, of_harvest, shown);
    if (words_of_band(band, of_harvest) == NULL)
        (void)snprintf(of, sizeof of, " for 9 %.20s in 10", group);
    return used + snprintf(out + used, WG_ODDS_TEXT - (size_t)used, " %.40s: %.60s%.40s.", what, shown, of);
}

void wg_odds_bands(const struct wg_odds *odds, const struct wg_plan *plan, bool of_harvest, char out[WG_ODDS_TEXT]) {
    const struct wg_variance_split *const s = split_for(odds, of_harvest);
    char n[WG_SHOWN_SIZE], luck[WG_SHOWN_SIZE];
    out[0] = '\0';
    if (!has_bands(odds))
        return;
    wg_show_whole(s->n, n);
    show_luck(&s->luck, of_harvest, luck);
    int used = snprintf(out, WG_ODDS_TEXT, "Luck of %.20s %.10s: %.60s%s, narrower with more.", n,
                        wg_forecast_noun_of(plan, s->n), luck, of_harvest || all_alike(odds) ? "" : " of 100");
    used = add_band(out, used, "What nobody knows about the animal", "animals", &s->animals, of_harvest);
    (void)add_band(out, used, "From winter to winter", "winters", &s->winters, of_harvest);
}

void wg_odds_dormancy(const struct wg_odds *odds, const struct wg_plan *plan, char out[WG_ODDS_TEXT]) {
    char by_day[WG_SHOWN_SIZE], by_cold[WG_SHOWN_SIZE];
    out[0] = '\0';
    if (!odds->dormancy_decides)
        return;
    wg_show_share(odds->by_day_length.share, by_day);
    wg_show_share(odds->by_cold_only.share, by_cold);
    (void)snprintf(
        out, WG_ODDS_TEXT,
        "Nobody knows whether prepupae go dormant by day length (alive in %.20s of 100 %.10s) or by cold only "
        "(in %.20s).",
        by_day, wg_forecast_noun(plan), by_cold);
}

void wg_odds_rest_on(const struct wg_odds *odds, const struct wg_plan *plan, char out[WG_ODDS_TEXT]) {
    char share[WG_SHOWN_SIZE], kg[WG_SHOWN_SIZE];
    wg_show_share(odds->survival_without_june, share);
    wg_show_rounded_mass(odds->harvest_without_june, odds->harvest_without_june, 2, kg);
    if (odds->over_animals && !has_bands(odds))
        out[0] = '\0'; /* the headline says so */
    else if (odds->over_animals)
        (void)snprintf(out, WG_ODDS_TEXT,
                       "Without the evidence that flies are seen in June%s: alive in %.20s of 100 %.10s, %.50s %s.",
                       plan->climate.latitude_deg < 0 ? ", north of the equator" : "", share, wg_forecast_noun(plan),
                       kg, odds->harvest_outcome == WG_OUTCOME_total_harvest_mass ? "taken out" : "of crawl-off");
    else
        (void)snprintf(
            out, WG_ODDS_TEXT,
            "This is the luck of one animal, the middle one of the %.16s numbers; it leaves out what nobody knows "
            "about the animal.",
            plan->numbers);
}

/* ---- text ---- */

static void print_band(int width, const char *label, const char *share, const char *harvest, FILE *to) {
    (void)fprintf(to, "%-*s %-*s %s\n", width, label, MIDDLE - 1, share, harvest);
}

static void print_both_bands(int width, const char *label, const struct wg_split_band *alive,
                             const struct wg_split_band *harvest, FILE *to) {
    char share[WG_SHOWN_SIZE], kg[WG_SHOWN_SIZE];
    if (!alive->is_known)
        return;
    show_band(alive, false, share);
    show_band(harvest, true, kg);
    print_band(width, label, share, kg, to);
}

static void print_harvest(const struct wg_odds *odds, FILE *to) {
    char mean[WG_SHOWN_SIZE], between[WG_SHOWN_SIZE], line[WG_ODDS_TEXT];
    const struct wg_interval *const interval = &odds->harvest.interval;
    const int digits = wg_range_digits(interval->low, interval->high);
    wg_show_rounded_mass(odds->harvest.mean, odds->harvest.mean, digits, mean);
    wg_show_rounded_mass(interval->low, interval->high, digits, between);
    (void)snprintf(line, sizeof line, "%s: %.90s on average%s%.90s",
                   odds->harvest_outcome == WG_OUTCOME_total_harvest_mass ? "Taken out" : "Crawl-off", mean,
                   isnan(interval->low) ? "" : ", 95 % interval ", isnan(interval->low) ? "" : between);
    wg_show_lines(to, 2, line);
}

/* Tells the two kinds of range apart: that of a mean, which more years narrow, and those of animals and winters. */
static void print_kinds_of_range(const struct wg_odds *odds, const struct wg_plan *plan, FILE *to) {
    const struct wg_variance_split *const s = &odds->survival;
    const bool animals = s->animals.is_known, winters = s->winters.is_known;
    char text[WG_ODDS_TEXT];
    (void)snprintf(
        text, sizeof text,
        "  Luck is a 95 %% interval; more %.10s narrow it. The other ranges hold %s%s%s, however many %.10s are "
        "run%s.",
        wg_forecast_noun(plan), animals ? "9 of 10 animals" : "", animals && winters ? " and " : "",
        winters ? "9 of 10 winters" : "", wg_forecast_noun(plan),
        animals ? "; nobody knows which animal yours is" : "");
    wg_show_lines(to, 2, text);
}

static void print_legend(const struct wg_odds *odds, const struct wg_plan *plan, FILE *to) {
    const struct wg_variance_split *const s = &odds->survival;
    char text[WG_ODDS_TEXT], n[WG_SHOWN_SIZE], each[WG_SHOWN_SIZE];
    print_kinds_of_range(odds, plan, to);
    if (!all_alike(odds) || !s->animals.is_known)
        return;
    wg_show_whole(s->n, n);
    wg_show_whole(s->n / s->n_animals, each);
    (void)snprintf(text, sizeof text,
                   "The colony %s in all %.20s %.10s. It is 95 %% sure that fewer than %.2g of 100 animals would %s in "
                   "any of %.20s such %.10s.",
                   s->mean > 0 ? "lives" : "dies out", n, wg_forecast_noun_of(plan, s->n),
                   100 * RULE_OF_THREE / (double)s->n_animals, s->mean > 0 ? "die out" : "live", each,
                   wg_forecast_noun_of(plan, 2));
    wg_show_lines(to, 2, text);
}

static void print_bands(const struct wg_odds *odds, const struct wg_plan *plan, FILE *to) {
    const struct wg_variance_split *const s = &odds->survival, *const h = &odds->harvest;
    char label[WG_SHOWN_SIZE], n[WG_SHOWN_SIZE], share[WG_SHOWN_SIZE], kg[WG_SHOWN_SIZE];
    wg_show_whole(s->n, n);
    const int length = snprintf(label, sizeof label, "  Luck of %.20s %.10s", n, wg_forecast_noun_of(plan, s->n));
    const int width = length < LABEL ? LABEL - 1 : length;
    show_luck(&s->luck, false, share);
    show_luck(&h->luck, true, kg);
    print_band(width, "What may differ:", "alive, of 100", "harvest", to);
    print_band(width, label, share, kg, to);
    print_both_bands(width, "  Unknown animal", &s->animals, &h->animals, to);
    print_both_bands(width, "  Winter to winter", &s->winters, &h->winters, to);
    print_legend(odds, plan, to);
}

void wg_odds_print(const struct wg_odds *odds, const struct wg_plan *plan, FILE *to) {
    char text[WG_ODDS_TEXT];
    wg_odds_headline(odds, plan, text);
    (void)fprintf(to, "%s%s\n", wg_terminal_style(to, WG_STYLE_STRONG), text);
    wg_odds_headline_animal(odds, plan, text);
    wg_show_lines(to, 2, text);
    (void)fputs(wg_terminal_style(to, WG_STYLE_PLAIN), to);
    const struct wg_dots dots = wg_odds_dots(odds);
    wg_dots_print(&dots, "alive", "died out", to);
    if (odds->over_animals)
        print_harvest(odds, to);
    if (has_bands(odds))
        print_bands(odds, plan, to);
    wg_odds_dormancy(odds, plan, text);
    wg_show_lines(to, 2, text);
    wg_odds_rest_on(odds, plan, text);
    wg_show_lines(to, 2, text);
}

/* ---- JSON ---- */

static void put_interval(struct wg_json *json, const char *key, struct wg_interval interval) {
    wg_json_object(json, key);
    wg_json_real(json, "low", interval.low);
    wg_json_real(json, "high", interval.high);
    wg_json_close(json);
}

static void put_band(struct wg_json *json, const char *key, int64_t n, const struct wg_split_band *band) {
    if (!band->is_known) {
        wg_json_text(json, key, NULL);
        return;
    }
    wg_json_object(json, key);
    wg_json_whole(json, "of", n);
    wg_json_real(json, "q05", band->q05);
    wg_json_real(json, "q50", band->q50);
    wg_json_real(json, "q95", band->q95);
    wg_json_close(json);
}

void wg_split_put_json(struct wg_json *json, const struct wg_variance_split *split) {
    put_interval(json, "luck", split->luck);
    put_band(json, "animals", split->n_animals, &split->animals);
    put_band(json, "winters", split->n_winters, &split->winters);
    wg_json_object(json, "variance");
    wg_json_real(json, "animals", split->animal);
    wg_json_real(json, "winters", split->winter);
    wg_json_real(json, "rest", split->rest);
    wg_json_close(json);
}

static void put_dormancy(struct wg_json *json, const char *key, const struct wg_dormancy_odds *odds) {
    wg_json_object(json, key);
    wg_json_whole(json, "of", odds->n);
    wg_json_real(json, "share", odds->share);
    wg_json_real(json, "low", odds->interval.low);
    wg_json_real(json, "high", odds->interval.high);
    wg_json_close(json);
}

/* A plan that chooses the dormancy has nothing to compare. */
static void put_dormancies(struct wg_json *json, const struct wg_odds *odds) {
    if (odds->by_day_length.n == 0 || odds->by_cold_only.n == 0)
        return;
    wg_json_object(json, "survival_by_dormancy");
    put_dormancy(json, "by_day_length", &odds->by_day_length);
    put_dormancy(json, "by_cold_only", &odds->by_cold_only);
    wg_json_real(json, "confidence", WG_ODDS_CONFIDENCE);
    wg_json_flag(json, "beyond_luck", odds->dormancy_decides);
    wg_json_close(json);
}

void wg_odds_put_json(struct wg_json *json, const struct wg_odds *odds) {
    const struct wg_variance_split *const s = &odds->survival, *const h = &odds->harvest;
    wg_json_object(json, "survival");
    wg_json_whole(json, "alive", (int64_t)(s->mean * (double)s->n + 0.5));
    wg_json_whole(json, "of", s->n);
    wg_json_real(json, "share", s->mean);
    wg_json_real(json, "low", s->interval.low);
    wg_json_real(json, "high", s->interval.high);
    wg_json_real(json, "confidence", WG_ODDS_CONFIDENCE);
    wg_split_put_json(json, s);
    wg_json_real(json, "share_without_june", odds->survival_without_june);
    wg_json_close(json);
    wg_json_object(json, "harvest");
    wg_json_text(json, "outcome", wg_diary_outcomes()[odds->harvest_outcome].name);
    wg_json_text(json, "unit", wg_diary_outcomes()[odds->harvest_outcome].unit);
    wg_json_real(json, "mean", h->mean);
    wg_json_real(json, "low", h->interval.low);
    wg_json_real(json, "high", h->interval.high);
    wg_json_real(json, "confidence", WG_ODDS_CONFIDENCE);
    wg_split_put_json(json, h);
    wg_json_real(json, "mean_without_june", odds->harvest_without_june);
    wg_json_close(json);
    put_dormancies(json, odds);
}
