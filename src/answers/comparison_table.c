/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Fills and prints the table of a comparison.
 */
#include "answers/comparison.h"

#include "base/utf8.h"
#include "text/money.h"
#include "text/terminal.h"
#include "text/warning_sentences.h"

#include <math.h>
#include <string.h>

#define INDENT 3
#define FEW 4         /* setups that fit on a screen of 24 lines with names and ranges */
#define SHORT_NAME 22 /* least room for a name beside its numbers */
#define SCREEN 79
#define WIDE_GAP 2
#define GAP 1
#define ELLIPSIS "..."

/* ---- cells ---- */

static const struct wg_choice_number *numbers_of(const struct wg_verdict_facts *v, int setup,
                                                 enum wg_compared compared) {
    return &v->choice->setup[setup].number[compared];
}

/* "12-15": the columns are narrow */
static void join(double low, double high, char out[WG_SHOWN_SIZE]) {
    char from[WG_SHOWN_SIZE], to[WG_SHOWN_SIZE];
    wg_show_number(low, from);
    wg_show_number(high, to);
    if (strcmp(from, to) == 0)
        (void)snprintf(out, WG_SHOWN_SIZE, "%s", from);
    else
        (void)snprintf(out, WG_SHOWN_SIZE, "%.40s-%.40s", from, to);
}

static void show_alive(const struct wg_verdict_facts *v, int setup, char out[WG_SHOWN_SIZE]) {
    wg_show_share(v->choice->setup[setup].survival.mean, out);
}

static void show_alive_range(const struct wg_verdict_facts *v, int setup, char out[WG_SHOWN_SIZE]) {
    const struct wg_interval *const interval = &v->choice->setup[setup].survival.interval;
    char low[WG_SHOWN_SIZE], high[WG_SHOWN_SIZE];
    wg_show_share(interval->low, low);
    wg_show_share(interval->high, high);
    (void)snprintf(out, WG_SHOWN_SIZE, "%.40s-%.40s", low, high);
}

static void show_kg(const struct wg_verdict_facts *v, int setup, char out[WG_SHOWN_SIZE]) {
    wg_show_number(numbers_of(v, setup, v->choice->harvest)->mean, out);
}

static void show_kg_range(const struct wg_verdict_facts *v, int setup, char out[WG_SHOWN_SIZE]) {
    const struct wg_choice_number *const kg = numbers_of(v, setup, v->choice->harvest);
    join(kg->q05, kg->q95, out);
}

static void show_lb(const struct wg_verdict_facts *v, int setup, char out[WG_SHOWN_SIZE]) {
    wg_show_number(numbers_of(v, setup, v->choice->harvest)->mean / WG_KG_PER_LB, out);
}

static void show_lb_range(const struct wg_verdict_facts *v, int setup, char out[WG_SHOWN_SIZE]) {
    const struct wg_choice_number *const kg = numbers_of(v, setup, v->choice->harvest);
    join(kg->q05 / WG_KG_PER_LB, kg->q95 / WG_KG_PER_LB, out);
}

static void show_weeks_without(const struct wg_verdict_facts *v, int setup, char out[WG_SHOWN_SIZE]) {
    wg_show_number(numbers_of(v, setup, WG_COMPARED_weeks_without_harvest)->mean, out);
}

static void show_weeks_without_range(const struct wg_verdict_facts *v, int setup, char out[WG_SHOWN_SIZE]) {
    const struct wg_choice_number *const weeks = numbers_of(v, setup, WG_COMPARED_weeks_without_harvest);
    join(weeks->q05, weeks->q95, out);
}

/* Some of the energy bought has no price. */
static bool is_unpriced(const struct wg_verdict_facts *v, int setup) {
    return numbers_of(v, setup, WG_COMPARED_total_heater_cost)->happened < v->choice->replicates;
}

/* No energy in the sum, but some bought: its power is not known. */
static bool is_of_unknown_power(const struct wg_verdict_facts *v, int setup) {
    return is_unpriced(v, setup) && !(numbers_of(v, setup, WG_COMPARED_total_heater_energy)->mean > 0);
}

static void show_kwh(const struct wg_verdict_facts *v, int setup, char out[WG_SHOWN_SIZE]) {
    wg_show_number(numbers_of(v, setup, WG_COMPARED_total_heater_energy)->mean, out);
    if (is_of_unknown_power(v, setup))
        (void)snprintf(out, WG_SHOWN_SIZE, "unknown");
}

static void show_kwh_range(const struct wg_verdict_facts *v, int setup, char out[WG_SHOWN_SIZE]) {
    const struct wg_choice_number *const kwh = numbers_of(v, setup, WG_COMPARED_total_heater_energy);
    join(kwh->q05, kwh->q95, out);
    if (is_of_unknown_power(v, setup))
        out[0] = '\0';
}

static void show_cost_of_energy(const struct wg_verdict_facts *v, int setup, char out[WG_SHOWN_SIZE]) {
    const struct wg_choice_number *const cost = numbers_of(v, setup, WG_COMPARED_total_heater_cost);
    if (is_unpriced(v, setup))
        (void)snprintf(out, WG_SHOWN_SIZE, "not known");
    else
        wg_show_money(cost->mean, cost->mean, 3, v->currency, out);
}

static void show_cost_of_energy_range(const struct wg_verdict_facts *v, int setup, char out[WG_SHOWN_SIZE]) {
    const struct wg_choice_number *const cost = numbers_of(v, setup, WG_COMPARED_total_heater_cost);
    if (is_unpriced(v, setup))
        out[0] = '\0';
    else
        join(cost->q05, cost->q95, out);
}

static void show_price(const struct wg_extra_price *price, const char *currency, char out[WG_SHOWN_SIZE]) {
    char low[WG_SHOWN_SIZE], high[WG_SHOWN_SIZE];
    wg_show_extra_price_parts(price, 1, currency, out, low, high);
}

static void show_price_range(const struct wg_extra_price *price, const char *currency, char out[WG_SHOWN_SIZE]) {
    char about[WG_SHOWN_SIZE], low[WG_SHOWN_SIZE], high[WG_SHOWN_SIZE];
    wg_show_extra_price_parts(price, 1, currency, about, low, high);
    (void)snprintf(out, WG_SHOWN_SIZE, "%.28s%s%.28s", low, low[0] != '\0' ? "-" : "", high);
}

static void show_each_kg(const struct wg_verdict_facts *v, int setup, char out[WG_SHOWN_SIZE]) {
    const struct wg_extra_price *const price = &v->choice->setup[setup].per_kg;
    show_price(price, v->currency, out);
    if (price->why == WG_EXTRA_NONE)
        (void)snprintf(out, WG_SHOWN_SIZE, "-");
    else if (price->why == WG_EXTRA_FREE)
        (void)snprintf(out, WG_SHOWN_SIZE, "0");
}

static void show_each_kg_range(const struct wg_verdict_facts *v, int setup, char out[WG_SHOWN_SIZE]) {
    show_price_range(&v->choice->setup[setup].per_kg, v->currency, out);
}

static void show_extra_kg(const struct wg_verdict_facts *v, int setup, char out[WG_SHOWN_SIZE]) {
    show_price(&v->choice->setup[setup].extra, v->currency, out);
    if (setup == 0)
        (void)snprintf(out, WG_SHOWN_SIZE, "-");
}

static void show_extra_kg_range(const struct wg_verdict_facts *v, int setup, char out[WG_SHOWN_SIZE]) {
    show_price_range(&v->choice->setup[setup].extra, v->currency, out);
    if (setup == 0)
        out[0] = '\0';
}

static void show_balance(const struct wg_verdict_facts *v, int setup, char out[WG_SHOWN_SIZE]) {
    const double mean = numbers_of(v, setup, WG_COMPARED_balance)->mean;
    wg_show_money(mean, mean, 3, v->currency, out);
}

/* "-10 to 30": a dash between numbers below zero is hard to read */
static void show_balance_range(const struct wg_verdict_facts *v, int setup, char out[WG_SHOWN_SIZE]) {
    const struct wg_choice_number *const balance = numbers_of(v, setup, WG_COMPARED_balance);
    wg_show_rounded_range(balance->q05, balance->q95, wg_range_digits(balance->q05, balance->q95), "", out);
}

static void show_above_zero(const struct wg_verdict_facts *v, int setup, char out[WG_SHOWN_SIZE]) {
    wg_show_share(v->choice->setup[setup].above_zero, out);
}

static void show_nothing(const struct wg_verdict_facts *v, int setup, char out[WG_SHOWN_SIZE]) {
    (void)v, (void)setup;
    out[0] = '\0';
}

/* ---- columns ---- */

static const struct wg_comparison_column harvested[] = {
    {{"alive", "of 100"}, "alive, of 100", false, show_alive, show_alive_range},
    {{"harvest", "kg"}, "harvest, kg", false, show_kg, show_kg_range},
    {{"", "lb"}, "harvest, lb", true, show_lb, show_lb_range},
    {{"weeks", "without"}, "weeks without crawl-off", false, show_weeks_without, show_weeks_without_range},
};
static const struct wg_comparison_column bought[] = {
    {{"energy", "kWh"}, "energy, kWh", true, show_kwh, show_kwh_range},
    {{"cost of", "energy"}, "cost of energy", false, show_cost_of_energy, show_cost_of_energy_range},
};
static const struct wg_comparison_column priced[] = {
    {{"per", "kg"}, "energy cost of each kg", true, show_each_kg, show_each_kg_range},
    {{"each kg", "beyond A"}, "each kg beyond A costs", false, show_extra_kg, show_extra_kg_range},
};

static const struct wg_comparison_column accounts[] = {
    {{"balance", ""}, "balance", false, show_balance, show_balance_range},
    {{"above 0", "of 100"}, "ends above zero, of 100", false, show_above_zero, show_nothing},
};

static int add_columns(struct wg_comparison_column *column, int n, const struct wg_comparison_column *more,
                       int n_more) {
    for (int i = 0; i < n_more; i++)
        column[n + i] = more[i];
    return n + n_more;
}

int wg_comparison_columns(const struct wg_verdict_facts *verdict,
                          struct wg_comparison_column column[WG_COMPARISON_MAX_COLUMNS]) {
    int n = add_columns(column, 0, harvested, sizeof harvested / sizeof *harvested);
    if (verdict->choice->harvest == WG_COMPARED_total_crawl_off_mass) {
        column[1].head[0] = "crawl-off";
        column[1].words = "crawl-off, kg";
        column[2].words = "crawl-off, lb";
    }
    if (verdict->choice->has_energy)
        n = add_columns(column, n, bought, sizeof bought / sizeof *bought);
    if (verdict->choice->has_accounts)
        n = add_columns(column, n, accounts, sizeof accounts / sizeof *accounts);
    else if (verdict->choice->has_energy && verdict->choice->is_priced)
        n = add_columns(column, n, priced, sizeof priced / sizeof *priced);
    return n;
}

void wg_comparison_legend(const struct wg_verdict_facts *verdict, bool is_under, char out[WG_SENTENCE_SIZE]) {
    const char *const years = wg_replicates_noun(verdict->n_days, 2);
    const bool is_priced = verdict->choice->has_energy && verdict->choice->is_priced && !verdict->choice->has_accounts;
    (void)snprintf(out, WG_SENTENCE_SIZE,
                   "Averages of all %s; %s the range of 9 in 10 %s, %s alive%s the 95 %% interval.", years,
                   is_under ? "under each" : "in brackets", years, is_under ? "under" : "for",
                   is_priced ? " and the price of a kg" : "");
}

/* ---- the screen ---- */

static size_t columns_of(const char *text) {
    size_t n = 0;
    for (; *text != '\0'; text++)
        n += wg_utf8_starts(*text);
    return n;
}

static void put_padded(const char *text, int width, FILE *to) {
    const int blank = width - (int)columns_of(text);
    (void)fprintf(to, "%s%*s", text, blank > 0 ? blank : width > 0, "");
}

/* Returns the byte at which character n begins. */
static size_t byte_of(const char *text, size_t n) {
    size_t at = 0;
    for (size_t seen = 0; text[at] != '\0'; at++) {
        seen += wg_utf8_starts(text[at]);
        if (seen > n)
            break;
    }
    return at;
}

/* Cuts a name in its middle, where names often agree. */
static void shorten(const char *name, size_t width, char out[WG_SENTENCE_SIZE]) {
    const size_t n = columns_of(name);
    if (n <= width) {
        (void)snprintf(out, WG_SENTENCE_SIZE, "%s", name);
        return;
    }
    const size_t kept = width - strlen(ELLIPSIS), head = kept / 2;
    (void)snprintf(out, WG_SENTENCE_SIZE, "%.*s%s%.100s", (int)byte_of(name, head), name, ELLIPSIS,
                   name + byte_of(name, n - (kept - head)));
}

struct table_page {
    const struct wg_verdict_facts *verdict;
    struct wg_comparison_column column[WG_COMPARISON_MAX_COLUMNS];
    int n_columns, width[WG_COMPARISON_MAX_COLUMNS]; /* with a gap */
    bool is_short;                                   /* a line for each setup */
    int name_width;                                  /* then */
    FILE *to;
};

/* Returns the last column that has text in this line, so that no blanks end it; -1: none. */
static int last_filled(const struct table_page *page, int setup, bool is_range) {
    char text[WG_SHOWN_SIZE] = "";
    int c = page->n_columns;
    while (c > 0 && text[0] == '\0')
        (is_range ? page->column[c - 1].range : page->column[c - 1].cell)(page->verdict, setup, text), c--;
    return text[0] != '\0' ? c : -1;
}

static void put_numbers(const struct table_page *page, int setup, bool is_range) {
    const int last = last_filled(page, setup, is_range);
    char text[WG_SHOWN_SIZE];
    for (int c = 0; c <= last; c++) {
        (is_range ? page->column[c].range : page->column[c].cell)(page->verdict, setup, text);
        put_padded(text, c < last ? page->width[c] : 0, page->to);
    }
    (void)fputc('\n', page->to);
}

/* ---- widths ---- */

static int widest_in_column(const struct table_page *page, const struct wg_comparison_column *column) {
    char text[WG_SHOWN_SIZE];
    size_t most = columns_of(column->head[0]), below = columns_of(column->head[1]);
    most = below > most ? below : most;
    for (int i = 0; i < page->verdict->choice->n; i++) {
        column->cell(page->verdict, i, text);
        most = columns_of(text) > most ? columns_of(text) : most;
        column->range(page->verdict, i, text);
        most = columns_of(text) > most && !page->is_short ? columns_of(text) : most;
    }
    return (int)most;
}

/* Returns the columns that the table takes with a gap between its columns. */
static int measure_table(struct table_page *page, int gap) {
    int total = page->is_short ? INDENT + SHORT_NAME + 1 : INDENT;
    for (int c = 0; c < page->n_columns; c++) {
        page->width[c] = widest_in_column(page, &page->column[c]) + gap;
        total += page->width[c];
    }
    return total - gap;
}

/* Leaves out the last column that can be spared. */
static bool spare_column(struct table_page *page) {
    for (int c = page->n_columns - 1; c >= 0; c--)
        if (page->column[c].is_spared) {
            memmove(&page->column[c], &page->column[c + 1], (size_t)(page->n_columns - c - 1) * sizeof *page->column);
            page->n_columns--;
            return true;
        }
    return false;
}

static const char *short_name(const struct wg_verdict_facts *v, int setup) {
    return v->name[setup] + wg_names_shared(v->choice->n, v->name);
}

/* Widens the names as far as they need and the screen allows, with narrow gaps if they are still too long. */
static void fit_names(struct table_page *page, int total) {
    size_t longest = 0;
    for (int i = 0; i < page->verdict->choice->n; i++) {
        const size_t n = columns_of(short_name(page->verdict, i));
        longest = n > longest ? n : longest;
    }
    int room = SHORT_NAME + SCREEN - total;
    if (page->is_short && (int)longest > room)
        room = SHORT_NAME + SCREEN - measure_table(page, GAP);
    page->name_width = (int)longest < room ? (int)longest : room;
}

static void fit_table(struct table_page *page) {
    int total;
    page->n_columns = wg_comparison_columns(page->verdict, page->column);
    while ((total = measure_table(page, WIDE_GAP)) > SCREEN && (total = measure_table(page, GAP)) > SCREEN &&
           spare_column(page))
        continue;
    fit_names(page, total);
}

/* ---- lines ---- */

static void put_head(const struct table_page *page) {
    (void)fputs(wg_terminal_style(page->to, WG_STYLE_STRONG), page->to);
    for (int line = 0; line < 2; line++) {
        put_padded("", page->is_short ? INDENT + page->name_width + 1 : INDENT, page->to);
        for (int c = 0; c < page->n_columns; c++)
            put_padded(page->column[c].head[line], c + 1 < page->n_columns ? page->width[c] : 0, page->to);
        (void)fputc('\n', page->to);
    }
    (void)fputs(wg_terminal_style(page->to, WG_STYLE_PLAIN), page->to);
}

/* The name whole, above its numbers and their ranges. */
static void put_named_setup(const struct table_page *page, int setup, int warnings) {
    char line[WG_SENTENCE_SIZE], note[32] = "";
    if (warnings > 0)
        (void)snprintf(note, sizeof note, " (%d warning%s)", warnings, warnings == 1 ? "" : "s");
    (void)snprintf(line, sizeof line, "%c  %.400s%s", 'A' + setup, page->verdict->name[setup], note);
    wg_utf8_clean(line);
    wg_show_lines(page->to, INDENT, line);
    for (int is_range = 0; is_range < 2; is_range++) {
        put_padded("", INDENT, page->to);
        put_numbers(page, setup, is_range);
    }
}

static void put_short_setup(const struct table_page *page, int setup, int warnings) {
    char name[WG_SENTENCE_SIZE], whole[WG_SENTENCE_SIZE];
    const struct wg_verdict_facts *const v = page->verdict;
    (void)snprintf(whole, sizeof whole, "%.400s", short_name(v, setup));
    wg_utf8_clean(whole);
    shorten(whole, (size_t)page->name_width, name);
    (void)fprintf(page->to, "%c%c ", 'A' + setup, warnings > 0 ? '!' : ' ');
    put_padded(name, page->name_width + 1, page->to);
    put_numbers(page, setup, false);
}

void wg_comparison_table_print(const struct wg_verdict_facts *verdict, const int *warnings, FILE *to) {
    struct table_page page = {.verdict = verdict, .is_short = verdict->choice->n > FEW, .to = to};
    char legend[WG_SENTENCE_SIZE];
    bool any = false;
    fit_table(&page);
    put_head(&page);
    for (int i = 0; i < verdict->choice->n; i++) {
        (page.is_short ? put_short_setup : put_named_setup)(&page, i, warnings[i]);
        any = any || warnings[i] > 0;
    }
    wg_comparison_legend(verdict, true, legend);
    if (!page.is_short)
        wg_show_lines(to, 2, legend);
    else
        (void)fprintf(to, "Averages of all %s.%s\n", wg_replicates_noun(verdict->n_days, 2),
                      any ? " !: there are warnings." : "");
}
