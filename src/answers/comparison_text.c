/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Prints a comparison: details if asked for, reasons, warnings, and last, where a screen of 24 lines keeps them, the verdict
 * and its table.
 */
#include "answers/comparison.h"

#include "base/utf8.h"
#include "report/forecast_parts.h"
#include "report/reasons_text.h"
#include "report/warning_lists.h"
#include "text/money.h"
#include "text/outcome_label.h"
#include "text/terminal.h"

#include <ctype.h>
#include <math.h>
#include <stdarg.h>
#include <string.h>

#define LABEL 19
#define CELL 15
#define MAX_COLUMNS 4 /* LABEL + 4 CELL is 79 */
#define LB_PER_KG (1 / WG_KG_PER_LB)
#define PARAGRAPH 2048

struct comparison_page {
    const struct wg_comparison *comparison;
    const struct wg_compare *compare;
    const char *noun;
    FILE *to;
    int code;                           /* the first failure */
    int n_columns, column[MAX_COLUMNS]; /* the setups of the block being printed */
};

static const struct wg_plan *plan_of(const struct comparison_page *page, int setup) {
    return &page->comparison->forecast[setup].scenario->plan;
}

/* ---- the top ---- */

/* "set point of the heater in shed; kitchen scraps a day for trough" */
static void print_varied(const struct comparison_page *page) {
    const struct wg_varied *const varied = page->comparison->varied;
    char line[2 * WG_SENTENCE_SIZE];
    if (varied->n == 0)
        return;
    (void)snprintf(line, sizeof line, "%.128s, varied: %.176s%s%.176s", varied->title, varied->subject[0],
                   varied->n > 1 ? "; " : "", varied->subject[1]);
    wg_utf8_clean(line);
    wg_show_lines(page->to, 2, line);
}

static void print_comparison_heading(const struct comparison_page *page) {
    char from[24], to[24], n[WG_SHOWN_SIZE], weather[WG_SENTENCE_SIZE], text[WG_SENTENCE_SIZE + 32];
    wg_day_format_long(plan_of(page, 0)->first_day, from);
    wg_day_format_long(plan_of(page, 0)->last_day, to);
    wg_show_whole(page->compare->replicates, n);
    print_varied(page);
    (void)fprintf(page->to, "%s to %s, the same %s possible %s for each\n", from, to, n,
                  wg_forecast_noun_of(plan_of(page, 0), page->compare->replicates));
    wg_forecast_weather(page->comparison->forecast[0].scenario, weather);
    (void)snprintf(text, sizeof text, "Weather: %s", weather);
    wg_show_lines(page->to, 9, text);
}

/* ---- the table ---- */

/* Writes the text of a cell; a cell that concerns several outcomes ignores `outcome`. */
typedef void show_cell(struct comparison_page *page, int setup, enum wg_outcome_number outcome,
                       char out[WG_SHOWN_SIZE]);

static void print_setup_row(struct comparison_page *page, const char *label, show_cell *show,
                            enum wg_outcome_number outcome) {
    char cell[WG_SHOWN_SIZE];
    (void)fprintf(page->to, "%-*s", LABEL, label);
    for (int i = 0; i < page->n_columns; i++) {
        show(page, page->column[i], outcome, cell);
        if (page->code < 0)
            (void)snprintf(cell, sizeof cell,
                           "?"); /* out of memory: the command fails without showing a wrong number */
        (void)fprintf(page->to, "%-*s%s", i + 1 < page->n_columns ? CELL - 1 : 0, cell,
                      i + 1 < page->n_columns ? " " : "\n");
    }
}

static void print_outcome(struct comparison_page *page, show_cell *show, enum wg_outcome_number outcome) {
    print_setup_row(page, wg_outcome_label(outcome)->label, show, outcome);
}

static struct wg_spread spread_of(struct comparison_page *page, int setup, enum wg_outcome_number outcome) {
    struct wg_spread spread;
    const int code = wg_summary_spread(&page->compare->setup[setup].summary, outcome, &spread);
    if (code < 0)
        page->code = code;
    return spread;
}

static void show_letter(struct comparison_page *page, int setup, enum wg_outcome_number outcome,
                        char out[WG_SHOWN_SIZE]) {
    (void)page, (void)outcome;
    (void)snprintf(out, WG_SHOWN_SIZE, "%s", wg_setup_letter(setup));
}

static void show_survival_by_animal(struct comparison_page *page, int setup, enum wg_outcome_number outcome,
                                    char out[WG_SHOWN_SIZE]) {
    (void)outcome;
    wg_odds_show_band(&page->compare->setup[setup].odds.survival.animals, " %", out);
}

static void show_survival_by_winter(struct comparison_page *page, int setup, enum wg_outcome_number outcome,
                                    char out[WG_SHOWN_SIZE]) {
    (void)outcome;
    wg_odds_show_band(&page->compare->setup[setup].odds.survival.winters, " %", out);
}

/* Whether any setup of the block knows the band; a comparison without plausible animals has none. */
static bool any_band(const struct comparison_page *page, bool of_animals) {
    bool any = false;
    for (int i = 0; i < page->n_columns; i++) {
        const struct wg_variance_split *const split = &page->compare->setup[page->column[i]].odds.survival;
        any = any || (of_animals ? split->animals.is_known : split->winters.is_known);
    }
    return any;
}

static void show_median(struct comparison_page *page, int setup, enum wg_outcome_number outcome,
                        char out[WG_SHOWN_SIZE]) {
    wg_show_number(spread_of(page, setup, outcome).q50, out);
}

static void show_median_lb(struct comparison_page *page, int setup, enum wg_outcome_number outcome,
                           char out[WG_SHOWN_SIZE]) {
    wg_show_number(LB_PER_KG * spread_of(page, setup, outcome).q50, out);
}

/* "10 to 15", or "10-15" if that is too wide. */
static void show_narrow(double low, double high, char out[WG_SHOWN_SIZE]) {
    char from[WG_SHOWN_SIZE], to[WG_SHOWN_SIZE];
    wg_show_range(low, high, "", out);
    if (strlen(out) < CELL)
        return;
    wg_show_number(low, from);
    wg_show_number(high, to);
    (void)snprintf(out, WG_SHOWN_SIZE, "%.40s-%.40s", from, to);
    if (strlen(out) >= CELL)
        (void)snprintf(out, WG_SHOWN_SIZE, "see --json");
}

static void show_outcome_range(struct comparison_page *page, int setup, enum wg_outcome_number outcome,
                               char out[WG_SHOWN_SIZE]) {
    const struct wg_spread spread = spread_of(page, setup, outcome);
    show_narrow(spread.q05, spread.q95, out);
}

static void show_outcome_range_lb(struct comparison_page *page, int setup, enum wg_outcome_number outcome,
                                  char out[WG_SHOWN_SIZE]) {
    const struct wg_spread spread = spread_of(page, setup, outcome);
    show_narrow(LB_PER_KG * spread.q05, LB_PER_KG * spread.q95, out);
}

static void show_median_date(struct comparison_page *page, int setup, enum wg_outcome_number outcome,
                             char out[WG_SHOWN_SIZE]) {
    const struct wg_spread spread = spread_of(page, setup, outcome);
    wg_show_date(plan_of(page, setup)->first_day, spread.q50, spread.happened > 0 ? "not by the end" : "none", out);
}

static void show_frequency(struct comparison_page *page, int setup, enum wg_outcome_number outcome,
                           char out[WG_SHOWN_SIZE]) {
    const struct wg_spread spread = spread_of(page, setup, outcome);
    char some[WG_SHOWN_SIZE], all[WG_SHOWN_SIZE];
    wg_show_whole(spread.happened, some);
    wg_show_whole(spread.n, all);
    (void)snprintf(out, WG_SHOWN_SIZE, "%.20s of %.20s", some, all);
    if (strlen(out) >= CELL)
        wg_show_number((double)spread.happened, out);
}

static void print_spring_rows(struct comparison_page *page) {
    bool any = false;
    for (int i = 0; i < page->n_columns; i++)
        any = any || spread_of(page, page->column[i], WG_OUTCOME_spring_emergence_50).happened > 0;
    if (!any)
        return;
    print_outcome(page, show_median_date, WG_OUTCOME_spring_emergence_10);
    print_outcome(page, show_median_date, WG_OUTCOME_spring_emergence_50);
    print_outcome(page, show_median_date, WG_OUTCOME_spring_emergence_90);
    print_setup_row(page, "    dated in", show_frequency, WG_OUTCOME_spring_emergence_50);
}

static void show_harvest_by_animal(struct comparison_page *page, int setup, enum wg_outcome_number outcome,
                                   char out[WG_SHOWN_SIZE]) {
    const struct wg_odds *const odds = &page->compare->setup[setup].odds;
    (void)outcome;
    if (odds->harvest.animals.is_known)
        show_narrow(odds->harvest.animals.q05, odds->harvest.animals.q95, out);
    else
        (void)snprintf(out, WG_SHOWN_SIZE, "-");
}

static void print_mass_rows(struct comparison_page *page, enum wg_outcome_number outcome) {
    char text[32];
    (void)snprintf(text, sizeof text, "%s, kg", wg_outcome_label(outcome)->label);
    print_setup_row(page, text, show_median, outcome);
    print_setup_row(page, "    9 in 10", show_outcome_range, outcome);
    print_setup_row(page, "            lb", show_median_lb, outcome);
    print_setup_row(page, "    9 in 10", show_outcome_range_lb, outcome);
}

/* What the table of the verdict leaves out. */
static void put_block(struct comparison_page *page) {
    (void)fputs(wg_terminal_style(page->to, WG_STYLE_STRONG), page->to);
    print_setup_row(page, "", show_letter, WG_OUTCOME_survived);
    (void)fputs(wg_terminal_style(page->to, WG_STYLE_PLAIN), page->to);
    if (any_band(page, true))
        print_setup_row(page, "Alive by animal", show_survival_by_animal, WG_OUTCOME_survived);
    if (any_band(page, false))
        print_setup_row(page, "Alive by winter", show_survival_by_winter, WG_OUTCOME_survived);
    if (any_band(page, true))
        print_setup_row(page, "Harvest by animal", show_harvest_by_animal, WG_OUTCOME_total_harvest_mass);
    if (wg_compare_main(page->compare) == WG_COMPARED_total_harvest_mass)
        print_mass_rows(page, WG_OUTCOME_total_crawl_off_mass);
    print_outcome(page, show_median_date, WG_OUTCOME_first_batch_50);
    print_spring_rows(page);
}

static bool any_spring(struct comparison_page *page) {
    for (int i = 0; i < page->comparison->n; i++)
        if (spread_of(page, i, WG_OUTCOME_spring_emergence_50).happened > 0)
            return true;
    return false;
}

/* Notes that the period ends before the spring does. */
static void print_spring_cutoff(struct comparison_page *page) {
    const struct wg_spring spring = wg_plan_spring(plan_of(page, 0));
    char date[WG_SHOWN_SIZE];
    wg_show_date(spring.to, 0, "", date);
    if (spring.seen == WG_SPRING_CUT && any_spring(page))
        (void)fprintf(page->to, "Spring flies are counted until %s, where the period ends.\n", date);
    else if (spring.seen == WG_SPRING_TOO_FEW)
        (void)fprintf(page->to, "Spring flies are not known: the period ends on %s, too early to tell.\n", date);
}

/* Prints blocks of at most four setups, each with the first setup. */
static void print_comparison_table(struct comparison_page *page) {
    for (int next = 1; next < page->comparison->n;) {
        page->column[0] = 0;
        page->n_columns = 1;
        while (page->n_columns < MAX_COLUMNS && next < page->comparison->n)
            page->column[page->n_columns++] = next++;
        (void)fputc('\n', page->to);
        put_block(page);
    }
    print_spring_cutoff(page);
    (void)fprintf(page->to, "Dates and weights: half of the %s are below. A range holds 9 in 10.\n", page->noun);
    if (any_band(page, true))
        (void)fputs("By animal: nobody knows which is yours; 9 in 10 plausible animals lie in it.\n", page->to);
}

/* ---- a paragraph for each pair ---- */

struct text {
    char out[PARAGRAPH];
    size_t n;
    const char *noun; /* "years" */
};

__attribute__((format(printf, 2, 3))) static void add(struct text *text, const char *format, ...) {
    va_list args;
    va_start(args, format);
    const int n = vsnprintf(text->out + text->n, sizeof text->out - text->n, format, args);
    va_end(args);
    text->n += n > 0 ? (size_t)n : 0;
    wg_assert(text->n < sizeof text->out);
}

/* " First batch, half: " */
static void add_label(struct text *text, enum wg_compared compared) {
    const char *const phrase = wg_outcome_label(wg_compared_outcome(compared))->phrase;
    add(text, " %c%s: ", toupper((unsigned char)phrase[0]), phrase + 1);
}

typedef void show_value(double value, char out[WG_SHOWN_SIZE]);

/* "(between 11.9 and 12.8)", or "(give or take 0.01)" where both ends look alike in three figures. */
static void add_interval(struct text *text, const struct wg_difference *d, show_value *show, const char *more,
                         const char *less) {
    char low[WG_SHOWN_SIZE], high[WG_SHOWN_SIZE], half[WG_SHOWN_SIZE];
    const double least = fmin(fabs(d->interval.low), fabs(d->interval.high));
    const double most = fmax(fabs(d->interval.low), fabs(d->interval.high));
    if (d->interval.low <= 0 && d->interval.high >= 0) {
        show(-d->interval.low, low);
        show(d->interval.high, high);
        add(text, ", which may be chance (between %s %s and %s %s)", low, less, high, more);
        return;
    }
    show(least, low);
    show(most, high);
    show((most - least) / 2, half);
    if (strcmp(low, high) == 0)
        add(text, " (give or take %s)", half);
    else
        add(text, " (between %s and %s)", low, high);
}

/* Words a mean difference of 0, in every pair or on average only. Of shares, here per 100, both have an interval. */
static void add_no_change(struct text *text, const struct wg_difference *d, show_value *show, const char *more,
                          const char *less) {
    char n[WG_SHOWN_SIZE], low[WG_SHOWN_SIZE], high[WG_SHOWN_SIZE];
    const bool is_bounded = !isnan(d->interval.low);
    show(-d->interval.low, low);
    show(d->interval.high, high);
    wg_show_whole(d->n, n);
    if (d->sd > 0)
        add(text, "no difference on average (between %s %s and %s %s)", low, less, high, more);
    else if (d->n == 1)
        add(text, "the same");
    else
        add(text, "the same in all %s %s", n, text->noun);
    if (is_bounded && !(d->sd > 0))
        add(text, " (95 %% sure: at most %s of 100 %s differ)", high, text->noun);
}

/* "12.3 more (between 11.9 and 12.8)" */
static void add_change(struct text *text, const struct wg_difference *d, show_value *show, const char *more,
                       const char *less) {
    char mean[WG_SHOWN_SIZE], n[WG_SHOWN_SIZE];
    show(fabs(d->mean), mean);
    wg_show_whole(d->n, n);
    if (d->n == 0) {
        add(text, "never in both");
    } else if (d->mean == 0) {
        add_no_change(text, d, show, more, less);
    } else {
        add(text, "%s %s", mean, d->mean < 0 ? less : more);
        if (!isnan(d->interval.low))
            add_interval(text, d, show, more, less);
        else if (d->n > 1)
            add(text, " in all %s %s", n, text->noun);
    }
}

/*
 * "better in 97 of 100 years (between 95 and 98)"; with ties "better in 10, worse in 5, no difference in 45 of 60
 * years"
 */
static void add_chance(struct text *text, const struct comparison_page *page, const struct wg_difference *d) {
    char chance[WG_SHOWN_SIZE], low[WG_SHOWN_SIZE], high[WG_SHOWN_SIZE];
    char better[WG_SHOWN_SIZE], worse[WG_SHOWN_SIZE], ties[WG_SHOWN_SIZE], all[WG_SHOWN_SIZE];
    wg_show_share(d->chance, chance);
    wg_show_share(d->chance_interval.low, low);
    wg_show_share(d->chance_interval.high, high);
    wg_show_whole(d->better, better);
    wg_show_whole(d->worse, worse);
    wg_show_whole(d->ties, ties);
    wg_show_whole(d->better + d->worse + d->ties, all);
    if (d->ties > 0)
        add(text, "better in %s, worse in %s, no difference in %s of %s %s", better, worse, ties, all, page->noun);
    else
        add(text, "better in %s of 100 %s (between %s and %s)", chance, page->noun, low, high);
}

static void show_years(double share, char out[WG_SHOWN_SIZE]) {
    wg_show_number(100 * share, out);
}

static void add_dates(struct text *text, const struct comparison_page *page, const struct wg_setup_pair *pair,
                      enum wg_compared date) {
    const struct wg_difference *const d = &pair->difference[date];
    char n[WG_SHOWN_SIZE], all[WG_SHOWN_SIZE];
    if (d->n == 0)
        return;
    add_label(text, date);
    add_change(text, d, wg_show_number, "days later", "days earlier");
    wg_show_whole(d->n, n);
    wg_show_whole(page->compare->replicates, all);
    if (d->n < page->compare->replicates)
        add(text, ", over the %s of %s %s that had it in both", n, all, page->noun);
    add(text, ".");
}

static void add_price(struct text *text, const struct wg_setup_pair *pair, const char *currency) {
    char kg[WG_SHOWN_SIZE], lb[WG_SHOWN_SIZE], low[WG_SHOWN_SIZE], high[WG_SHOWN_SIZE];
    const struct wg_extra_price *const price = &pair->extra;
    const double per_lb = price->per_kg / LB_PER_KG;
    if (price->why != WG_EXTRA_PRICED)
        return;
    wg_show_money(price->per_kg, price->per_kg, 3, currency, kg);
    wg_show_money(per_lb, per_lb, 3, currency, lb);
    wg_show_money(price->interval.low, price->interval.low, 3, currency, low);
    wg_show_money(price->interval.high, price->interval.high, 3, currency, high);
    add(text, " Each extra kg costs %s (between %s and %s), each extra lb %s.", kg, low, high, lb);
}

/* "energy cost, $: 43.4 more (between 43 and 43.7)" */
static void add_money_change(struct text *text, const char *what, const char *currency,
                             const struct wg_difference *money) {
    add(text, "%s%s%s: ", what, currency[0] != '\0' ? ", " : "", currency);
    add_change(text, money, wg_show_number, "more", "less");
}

static void add_heat_change(struct text *text, const struct wg_setup_pair *pair, const char *currency) {
    const struct wg_difference *const energy = &pair->difference[WG_COMPARED_total_heater_energy];
    const struct wg_difference *const cost = &pair->difference[WG_COMPARED_total_heater_cost];
    if (energy->mean == 0 && isnan(energy->interval.low))
        return;
    add(text, " Energy, kWh: ");
    add_change(text, energy, wg_show_number, "more", "less");
    if (cost->n < energy->n) {
        add(text, "; energy cost: not known");
    } else if (cost->mean != 0 || !isnan(cost->interval.low)) {
        add_money_change(text, "; energy cost", currency, cost);
    }
    add(text, ".");
    add_price(text, pair, currency);
}

/* " in 98 of 100 plausible animals, the same in 2, less in 0" */
static void add_animals(struct text *text, const struct wg_animals_won *animals, const char *better,
                        const char *worse) {
    int64_t of_100[3];
    wg_comparison_animals(animals, of_100);
    add(text, "%s in %lld of 100 plausible animals, the same in %lld, %s in %lld", better, (long long)of_100[0],
        (long long)of_100[1], worse, (long long)of_100[2]);
}

/* In how many animals the choice holds. */
static void add_holds(struct text *text, const struct wg_setup_pair *pair, enum wg_compared first) {
    const struct wg_animals_won *const harvest = &pair->difference[first].animals;
    if (harvest->better + harvest->same + harvest->worse == 0)
        return;
    add(text, " What nobody knows about the animal: the harvest is ");
    add_animals(text, harvest, "larger", "smaller");
    add(text, "; it is alive at the end ");
    add_animals(text, &pair->difference[WG_COMPARED_survived].animals, "more often", "less often");
    add(text, ".");
}

static void print_pair(const struct comparison_page *page, int setup) {
    const struct wg_setup_pair *const pair = &page->compare->pair[setup];
    const enum wg_compared first = wg_compare_main(page->compare);
    const struct wg_difference *const main_one = &pair->difference[first];
    const char *const currency = wg_compare_currency(page->compare);
    struct text text = {.noun = page->noun};
    char n[WG_SHOWN_SIZE];
    wg_show_whole(page->compare->replicates, n);
    add(&text, "%s against A: over the same %s %s, %s: ", wg_setup_letter(setup), n,
        wg_forecast_noun_of(plan_of(page, 0), page->compare->replicates),
        wg_outcome_label(wg_compared_outcome(first))->phrase);
    add_change(&text, main_one, wg_show_mass, "more", "less");
    add(&text, "; ");
    add_chance(&text, page, main_one);
    add(&text, ". Alive at the end, of 100 %s: ", page->noun);
    add_change(&text, &pair->difference[WG_COMPARED_survived], show_years, "more", "fewer");
    add(&text, ".");
    add_holds(&text, pair, first);
    add_label(&text, WG_COMPARED_weeks_without_harvest);
    add_change(&text, &pair->difference[WG_COMPARED_weeks_without_harvest], wg_show_number, "more", "fewer");
    add(&text, ".");
    add_dates(&text, page, pair, WG_COMPARED_first_batch_50);
    add_dates(&text, page, pair, WG_COMPARED_spring_emergence_50);
    add_heat_change(&text, pair, currency);
    if (page->comparison->choice->has_accounts) {
        add_money_change(&text, " Balance", currency, &pair->difference[WG_COMPARED_balance]);
        add(&text, ".");
    }
    char also[WG_SENTENCE_SIZE];
    for (int k = 0; wg_comparison_also(page->comparison, setup, k, also); k++)
        add(&text, "%s %s", k == 0 ? " Also different:" : "", also);
    (void)fputc('\n', page->to);
    wg_show_lines(page->to, 2, text.out);
}

/* ---- reasons and warnings ---- */

static int print_setup_reasons(const struct comparison_page *page, struct wg_error *err) {
    int code = 0;
    for (int i = 0; i < page->comparison->n && code == 0; i++)
        code = wg_reasons_print(page->comparison->forecast[i].reasons, plan_of(page, i), wg_setup_letter(i), page->to,
                                err);
    return code;
}

static void print_unpriced(const struct comparison_page *page) {
    for (int i = 0; i < page->comparison->n; i++) {
        char why[WG_SENTENCE_SIZE], line[WG_SENTENCE_SIZE + 8];
        if (!wg_forecast_no_cost(plan_of(page, i), why))
            continue;
        (void)snprintf(line, sizeof line, "%s: %s", wg_setup_letter(i), why);
        wg_show_lines(page->to, 3, line);
    }
}

/* Names what has no price, once if it is the same in all setups. */
static void print_free(const struct comparison_page *page) {
    char first[WG_MONEY_TEXT], text[WG_MONEY_TEXT], line[WG_MONEY_TEXT + 8];
    bool are_alike = true;
    if (!page->comparison->choice->has_accounts)
        return;
    (void)wg_money_unpriced(plan_of(page, 0), first);
    for (int i = 1; i < page->comparison->n; i++) {
        (void)wg_money_unpriced(plan_of(page, i), text);
        are_alike = are_alike && strcmp(first, text) == 0;
    }
    for (int i = 0; i < (are_alike ? 1 : page->comparison->n); i++) {
        if (!wg_money_unpriced(plan_of(page, i), text))
            continue;
        (void)snprintf(line, sizeof line, "%s%s%s", are_alike ? "" : wg_setup_letter(i), are_alike ? "" : ": ", text);
        wg_show_lines(page->to, 3, line);
    }
}

#define FEW_WARNED 4 /* setups: of more, warnings of one kind are told once */

static bool is_same_warning(const struct comparison_page *page, const struct wg_warnings *a, int i,
                            const struct wg_warnings *b, int k) {
    char mine[WG_WARNING_TEXT], other[WG_WARNING_TEXT];
    if (page->comparison->n > FEW_WARNED)
        return a->list[i].kind == b->list[k].kind && strcmp(a->list[i].about, b->list[k].about) == 0;
    wg_warning_text(a, i, mine);
    wg_warning_text(b, k, other);
    return strcmp(mine, other) == 0;
}

/* Writes the letters of the setups that have a warning: "A, C". Returns false if a setup before `setup` has it. */
static bool find_warned(const struct comparison_page *page, int setup, int warning, struct text *letters) {
    const struct wg_forecast *const forecast = page->comparison->forecast;
    bool is_first = true;
    for (int j = 0; j < page->comparison->n; j++)
        for (int k = 0; k < forecast[j].warnings->n; k++)
            if (is_same_warning(page, forecast[setup].warnings, warning, forecast[j].warnings, k)) {
                is_first = is_first && j >= setup;
                add(letters, "%s%s", letters->n > 0 ? ", " : "", wg_setup_letter(j));
            }
    return is_first;
}

static void print_comparison_warnings(const struct comparison_page *page) {
    char text[WG_WARNING_TEXT], line[WG_WARNING_TEXT + 160], as_in[24] = "";
    for (int i = 0; i < page->comparison->n; i++)
        for (int w = 0; w < page->comparison->forecast[i].warnings->n; w++) {
            struct text letters = {.noun = page->noun};
            if (!find_warned(page, i, w, &letters))
                continue;
            if (page->comparison->n > FEW_WARNED && letters.n > 1)
                (void)snprintf(as_in, sizeof as_in, " (as in %s)", wg_setup_letter(i));
            else
                as_in[0] = '\0';
            wg_warning_text(page->comparison->forecast[i].warnings, w, text);
            (void)snprintf(line, sizeof line, "Warning, %.100s%s: %s", letters.out, as_in, text);
            (void)fputs(wg_terminal_style(page->to, WG_STYLE_WARN), page->to);
            wg_show_lines(page->to, 2, line);
            (void)fputs(wg_terminal_style(page->to, WG_STYLE_PLAIN), page->to);
        }
}

static void print_comparison_notes(const struct comparison_page *page) {
    const struct wg_plan *plan[WG_COMPARE_MAX];
    bool weeks = false;
    for (int i = 0; i < page->comparison->n; i++) {
        weeks = weeks || wg_warnings_of_weeks(page->comparison->forecast[i].warnings);
        plan[i] = plan_of(page, i);
    }
    print_comparison_warnings(page);
    if (weeks)
        (void)fputs("Use 'wintergrub run --calendar' to see the weeks and how much larvae could eat.\n", page->to);
    wg_notes_print_cautions(plan, page->comparison->n, page->to);
}

/* ---- the verdict ---- */

static int print_verdict(const struct comparison_page *page, struct wg_error *err) {
    const struct wg_verdict_facts verdict = wg_comparison_verdict(page->comparison);
    struct wg_bytes words = {0};
    int warnings[WG_COMPARE_MAX];
    for (int i = 0; i < page->comparison->n; i++)
        warnings[i] = page->comparison->forecast[i].warnings->n;
    wg_verdict_words(&verdict, &words);
    const int code = wg_bytes_failed(&words, err);
    if (code == 0) {
        wg_utf8_clean(words.data);
        (void)fprintf(page->to, "\n%s", wg_terminal_style(page->to, WG_STYLE_STRONG));
        wg_show_lines(page->to, 0, words.data);
        (void)fputs(wg_terminal_style(page->to, WG_STYLE_PLAIN), page->to);
        wg_comparison_table_print(&verdict, warnings, page->to);
    }
    wg_bytes_free(&words);
    return code;
}

int wg_comparison_print(const struct wg_comparison *comparison, FILE *to, struct wg_error *err) {
    struct comparison_page page = {.comparison = comparison, .compare = comparison->compare, .to = to};
    page.noun = wg_forecast_noun(plan_of(&page, 0));
    print_comparison_heading(&page);
    if (comparison->has_details)
        print_comparison_table(&page);
    if (page.code < 0)
        return wg_no_memory(err, NULL);
    for (int i = 1; i < comparison->n && comparison->has_details; i++)
        print_pair(&page, i);
    const int code = print_setup_reasons(&page, err);
    print_comparison_notes(&page);
    print_unpriced(&page);
    print_free(&page);
    return code == 0 ? print_verdict(&page, err) : code;
}
