/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Prints a forecast on one screen: the odds, then a line for each outcome with its middle and the range of 9 years in
 * 10.
 */
#include "report/forecast_text.h"

#include "analysis/winters.h"
#include "base/utf8.h"
#include "report/forecast_parts.h"
#include "report/goals_report.h"
#include "report/reasons_text.h"
#include "report/warning_lists.h"
#include "text/outcome_label.h"
#include "text/terminal.h"

#include <math.h>
#include <string.h>

#define MAX_WINTERS_LISTED 6

#define LABEL 20
#define MIDDLE 20
#define SCREEN 80

struct forecast_page {
    const struct wg_forecast *forecast;
    const struct wg_plan *plan;
    const char *noun, *of; /* "years"; the same for the number simulated, which may be one */
    FILE *to;
    int code; /* the first failure */
};

/* ---- the top ---- */

static void print_forecast_heading(const struct forecast_page *page) {
    char from[24], to[24], weather[WG_SENTENCE_SIZE], text[WG_SENTENCE_SIZE + 32], n[WG_SHOWN_SIZE];
    char title[WG_SENTENCE_SIZE];
    (void)snprintf(title, sizeof title, "%s", wg_scenario_name(page->forecast->scenario));
    wg_utf8_clean(title);
    wg_day_format_long(page->plan->first_day, from);
    wg_day_format_long(page->plan->last_day, to);
    wg_show_whole(page->forecast->summary->n, n);
    wg_forecast_weather(page->forecast->scenario, weather);
    (void)fputs(wg_terminal_style(page->to, WG_STYLE_STRONG), page->to);
    wg_show_lines(page->to, 2, title);
    (void)fprintf(page->to, "%s%s to %s, %s possible %s\n", wg_terminal_style(page->to, WG_STYLE_PLAIN), from, to, n,
                  page->of);
    (void)snprintf(text, sizeof text, "Weather: %s", weather);
    wg_show_lines(page->to, 9, text);
}

/* How many winters of the record there were, and survival in each. */
static void print_winters(const struct forecast_page *page, const struct wg_winters *winters) {
    char text[WG_SENTENCE_SIZE], low[WG_SHOWN_SIZE], high[WG_SHOWN_SIZE];
    double min = 1, max = 0;
    int used = snprintf(text, sizeof text, "Different winters in these %s: %d.", page->noun, winters->n);
    for (int i = 0; i < winters->n; i++) {
        const struct wg_winter *const winter = &winters->winter[i];
        min = fmin(min, (double)winter->alive / (double)winter->n);
        max = fmax(max, (double)winter->alive / (double)winter->n);
        if (winters->n <= MAX_WINTERS_LISTED)
            used += snprintf(text + used, sizeof text - (size_t)used, "%s %d: alive in %lld of %lld", i == 0 ? "" : ";",
                             winter->year, (long long)winter->alive, (long long)winter->n);
    }
    wg_show_share(min, low);
    wg_show_share(max, high);
    if (winters->n > MAX_WINTERS_LISTED)
        used += snprintf(text + used, sizeof text - (size_t)used, " By winter, %s to %s %% are alive", low, high);
    (void)snprintf(text + used, sizeof text - (size_t)used, ". %s",
                   winters->n == 1 ? "The range above is that of this one winter; others may differ."
                                   : "The range above allows for others like these.");
    wg_show_lines(page->to, 2, text);
}

/* ---- the table ---- */

/* Shows the middle and the range in the format of the outcome's kind, both with the figures that the range deserves. */
static void show_spread(const struct forecast_page *page, enum wg_outcome_number outcome,
                        const struct wg_spread *spread, char middle[WG_SHOWN_SIZE], char range[WG_SHOWN_SIZE]) {
    const struct wg_value_style style = {wg_outcome_label(outcome)->kind,
                                         wg_spread_digits(spread->q05, spread->q50, spread->q95), page->plan->first_day,
                                         page->plan->currency};
    wg_value_show_range(&style, spread->q50, spread->q50, middle);
    wg_value_show_range(&style, spread->q05, spread->q95, range);
}

static void put_cells(const struct forecast_page *page, const char *label, const char *middle, const char *between) {
    const int pad = MIDDLE - 1 - wg_show_columns(middle); /* a currency's sign has more bytes than columns */
    (void)fprintf(page->to, "%-*s %s%*s %s\n", LABEL - 1, label, middle, pad > 0 ? pad : 0, "", between);
}

/* Returns false, with page->code set, if out of memory. */
static bool find_spread(struct forecast_page *page, enum wg_outcome_number outcome, struct wg_spread *spread) {
    const int code = wg_summary_spread(page->forecast->summary, outcome, spread);
    if (code < 0)
        page->code = code;
    return code == 0;
}

/* Prints below a row in how many years it did not happen. */
static void put_missing(const struct forecast_page *page, const struct wg_spread *spread) {
    char never[WG_SHOWN_SIZE], all[WG_SHOWN_SIZE];
    if (spread->happened == spread->n)
        return;
    wg_show_whole(spread->n - spread->happened, never);
    wg_show_whole(spread->n, all);
    (void)fprintf(page->to, "%*sin %s of %s %s it had not happened by the end\n", LABEL, "", never, all, page->of);
}

static void put_outcome_row(struct forecast_page *page, const char *label, enum wg_outcome_number outcome) {
    struct wg_spread spread;
    char middle[WG_SHOWN_SIZE], between[WG_SHOWN_SIZE], all[WG_SHOWN_SIZE];
    if (!find_spread(page, outcome, &spread))
        return;
    if (spread.happened == 0) {
        wg_show_whole(spread.n, all);
        if (spread.n == 1)
            (void)snprintf(between, sizeof between, "not in this %s", page->of);
        else
            (void)snprintf(between, sizeof between, "in none of the %.40s %s", all, page->of);
        put_cells(page, label, "not by the end", between);
        return;
    }
    show_spread(page, outcome, &spread, middle, between);
    if (!isfinite(spread.q50))
        (void)snprintf(middle, sizeof middle, "not by the end");
    put_cells(page, label, middle, between);
}

static void print_outcome_row(struct forecast_page *page, enum wg_outcome_number outcome) {
    put_outcome_row(page, wg_outcome_label(outcome)->label, outcome);
}

/* Prints a date, and below it in how many years it did not happen. */
static void put_date_row(struct forecast_page *page, enum wg_outcome_number outcome) {
    struct wg_spread spread;
    print_outcome_row(page, outcome);
    if (find_spread(page, outcome, &spread) && spread.happened > 0)
        put_missing(page, &spread);
}

/* Prints the first two batches that crawl off, and the days that are worth a harvest. */
static void put_crawl_off_dates(struct forecast_page *page) {
    static const enum wg_outcome_number batch[][2] = {{WG_OUTCOME_first_batch_10, WG_OUTCOME_first_batch_50},
                                                      {WG_OUTCOME_second_batch_10, WG_OUTCOME_second_batch_50}};
    struct wg_spread spread;
    for (size_t i = 0; i < sizeof batch / sizeof *batch; i++) {
        if (i > 0 && (!find_spread(page, batch[i][0], &spread) || spread.happened == 0))
            break;
        print_outcome_row(page, batch[i][0]);
        put_date_row(page, batch[i][1]);
    }
    if (!find_spread(page, WG_OUTCOME_first_100g_day, &spread) || spread.happened == 0)
        return;
    put_date_row(page, WG_OUTCOME_first_100g_day);
    print_outcome_row(page, WG_OUTCOME_days_over_100g);
}

/* Prints a sentence in the columns of the values. */
static void put_below_values(const struct forecast_page *page, const char *text) {
    char indented[LABEL + WG_SENTENCE_SIZE];
    (void)snprintf(indented, sizeof indented, "%*s%s", LABEL, "", text);
    wg_show_lines(page->to, LABEL, indented);
}

#define LATE_SPRING_DAYS 7 /* a last tenth this near the end of the count is not the last (judgement) */

/* True if the spring of some years runs into the last day on which its flies are counted, as in cool summers. */
static bool is_late_spring(struct forecast_page *page, const struct wg_spring *spring) {
    struct wg_spread last;
    return find_spread(page, WG_OUTCOME_spring_emergence_90, &last) && last.happened > 0 &&
           page->plan->first_day + last.q95 > spring->to - LATE_SPRING_DAYS;
}

/*
 * Prints below the spring in how many years it has dates (a dead colony, or one that flies all winter, has none), and
 * until when flies were counted if the period ends before the spring does.
 */
static void put_springs(struct forecast_page *page, const struct wg_spread *spread, const struct wg_spring *spring) {
    const int64_t all_winter = page->forecast->work->all_winter, none = spread->n - spread->happened - all_winter;
    char date[WG_SHOWN_SIZE], n[4][WG_SHOWN_SIZE], winter[64] = "", without[64] = "", text[WG_SENTENCE_SIZE];
    wg_show_whole(spread->happened, n[0]);
    wg_show_whole(spread->n, n[1]);
    wg_show_whole(all_winter, n[2]);
    wg_show_whole(none, n[3]);
    wg_show_date(spring->to, 0, "", date);
    if (all_winter > 0)
        (void)snprintf(winter, sizeof winter, "; flies all winter in %.20s", n[2]);
    if (none > 0)
        (void)snprintf(without, sizeof without, "%s by %.20s in %.20s", all_winter > 0 ? ", none" : "; no such fly",
                       date, n[3]);
    (void)snprintf(text, sizeof text, "in %.20s of %.20s %.10s%s%s", n[0], n[1], page->of, winter, without);
    if (spread->happened < spread->n)
        put_below_values(page, text);
    if (spring->seen == WG_SPRING_CUT)
        (void)fprintf(page->to, "%*scounted until %s, where the period ends\n", LABEL, "", date);
    else if (is_late_spring(page, spring))
        (void)fprintf(page->to, "%*scounted until %s; later flies are left out\n", LABEL, "", date);
}

/* Prints why the spring has no date in any year: flies emerge all winter; nothing if no fly overwinters. */
static void put_no_spring(const struct forecast_page *page, int64_t n) {
    const int64_t all_winter = page->forecast->work->all_winter;
    char some[WG_SHOWN_SIZE], all[WG_SHOWN_SIZE], text[WG_SENTENCE_SIZE];
    wg_show_whole(all_winter, some);
    wg_show_whole(n, all);
    (void)snprintf(text, sizeof text, "in %.20s of %.20s %.10s they emerge all winter", some, all, page->of);
    if (all_winter > 0)
        put_cells(page, "Spring flies", "no date", text);
}

#define LEAST_SPRINGS 10 /* fewer have no range of nine in ten */

/* Prints the rows of the spring, if any year has spring flies or the period is too short to tell. */
static void print_spring_quantiles(struct forecast_page *page) {
    struct wg_spread spread;
    const struct wg_spring spring = wg_plan_spring(page->plan);
    if (spring.seen == WG_SPRING_TOO_FEW)
        put_cells(page, "Spring flies", "not known", "the period ends too early to tell");
    if (!find_spread(page, WG_OUTCOME_spring_emergence_50, &spread))
        return;
    if (spread.happened == 0) {
        put_no_spring(page, spread.n);
        return;
    }
    if (spread.happened < LEAST_SPRINGS && 2 * spread.happened < spread.n) {
        put_cells(page, "Spring flies", "no date", "too few springs");
    } else {
        print_outcome_row(page, WG_OUTCOME_spring_emergence_10);
        print_outcome_row(page, WG_OUTCOME_spring_emergence_50);
        print_outcome_row(page, WG_OUTCOME_spring_emergence_90);
    }
    put_springs(page, &spread, &spring);
}

static void put_larvae(struct forecast_page *page) {
    struct wg_spread number, day;
    char middle[WG_SHOWN_SIZE], range[WG_SHOWN_SIZE], date[WG_SHOWN_SIZE], between[2 * WG_SHOWN_SIZE + 8];
    if (!find_spread(page, WG_OUTCOME_peak_larvae, &number) || !find_spread(page, WG_OUTCOME_peak_larvae_day, &day))
        return;
    show_spread(page, WG_OUTCOME_peak_larvae, &number, middle, range);
    wg_show_date(page->plan->first_day, day.q50, "", date);
    (void)snprintf(between, sizeof between, "%s%s%s", range, date[0] != '\0' ? ", about " : "", date);
    put_cells(page, wg_outcome_label(WG_OUTCOME_peak_larvae)->label, middle, between);
}

/* Prints the lamps, because without them flies do not mate in a dark house. */
static void put_lamps(const struct forecast_page *page) {
    char where[WG_SENTENCE_SIZE], hours[WG_SHOWN_SIZE];
    for (int p = 0; p < page->plan->n_places; p++) {
        const struct wg_place_plan *const place = &page->plan->places[p];
        if (!(place->shelter.lamp_hours > 0))
            continue;
        wg_show_number(place->shelter.lamp_hours, hours);
        (void)snprintf(where, sizeof where, "in %s", place->name);
        (void)strcat(hours, " hours a day");
        put_cells(page, "Lamps", hours, where);
    }
}

static void print_heat(struct forecast_page *page) {
    const enum wg_outcome_number kwh = WG_OUTCOME_total_heater_energy, money = WG_OUTCOME_total_heater_cost;
    struct wg_spread energy, cost;
    char text[4][WG_SHOWN_SIZE], middle[2 * WG_SHOWN_SIZE + 4], between[2 * WG_SHOWN_SIZE + 4], why[WG_SENTENCE_SIZE];
    const bool lamps = wg_plan_has_source(page->plan, WG_SOURCE_LAMPS);
    struct wg_source unpriced;
    put_lamps(page);
    if (!find_spread(page, kwh, &energy) || !find_spread(page, money, &cost))
        return;
    if (!wg_plan_has_cost(page->plan, &unpriced) || cost.happened < cost.n) {
        if (energy.q95 > 0)
            put_outcome_row(page, lamps ? "Heat and lamps" : wg_outcome_label(kwh)->label, kwh);
        if (wg_forecast_no_cost(page->plan, why))
            wg_show_lines(page->to, 2, why);
        return;
    }
    show_spread(page, kwh, &energy, text[0], text[2]);
    show_spread(page, money, &cost, text[1], text[3]);
    (void)snprintf(middle, sizeof middle, "%s; %s", text[0], text[1]);
    (void)snprintf(between, sizeof between, "%s; %s", text[2], text[3]);
    if (LABEL + (int)fmax(MIDDLE, wg_show_columns(middle) + 1) + wg_show_columns(between) > SCREEN) {
        put_cells(page, lamps ? "Heat and lamps" : wg_outcome_label(kwh)->label, text[0], text[2]);
        put_cells(page, wg_outcome_label(money)->label, text[1], text[3]);
        return;
    }
    put_cells(page, lamps ? "Heat, lamps: cost" : "Heat and its cost", middle, between);
}

static void print_feed(struct forecast_page *page) {
    char given[WG_SHOWN_SIZE], where[WG_SHOWN_SIZE];
    if (page->plan->feed_unlimited) {
        print_outcome_row(page, WG_OUTCOME_total_feed_eaten);
        return;
    }
    if (wg_plan_feeds_as_eaten(page->plan, -1, page->plan->first_day, page->plan->last_day)) {
        print_outcome_row(page, WG_OUTCOME_total_feed_fresh);
        return;
    }
    wg_show_mass(wg_plan_feed_kg(page->plan), given);
    (void)snprintf(where, sizeof where, "fresh weight, the same in all %s", page->noun);
    put_cells(page, "Feed given", given, where);
}

/* Prints on how many days there were too few larvae to scoop, if it ever happens. */
static void put_days_short(struct forecast_page *page) {
    const enum wg_outcome_number outcome = WG_OUTCOME_days_short_of_larvae;
    struct wg_spread spread;
    char middle[WG_SHOWN_SIZE], range[WG_SHOWN_SIZE], between[WG_SHOWN_SIZE + 40];
    const int days = wg_plan_scoop_days(page->plan);
    if (days == 0 || !find_spread(page, outcome, &spread) || !(spread.mean > 0))
        return;
    show_spread(page, outcome, &spread, middle, range);
    (void)snprintf(between, sizeof between, "%s, of %d with a scoop", range, days);
    put_cells(page, wg_outcome_label(outcome)->label, middle, between);
}

/* Prints the weight of a grub beside that of one that had enough to eat, so that crowding shows. */
static void put_grub(struct forecast_page *page) {
    struct wg_spread spread;
    char middle[WG_SHOWN_SIZE], range[WG_SHOWN_SIZE], between[WG_SHOWN_SIZE + 40];
    if (!find_spread(page, WG_OUTCOME_mean_grub_mass, &spread) || spread.happened == 0)
        return;
    show_spread(page, WG_OUTCOME_mean_grub_mass, &spread, middle, range);
    (void)snprintf(between, sizeof between, "%s (well fed: %.0f mg)", range, 1000 * page->plan->species.final_mass_g);
    put_cells(page, wg_outcome_label(WG_OUTCOME_mean_grub_mass)->label, middle, between);
}

static void put_generations(struct forecast_page *page) {
    struct wg_spread spread;
    char middle[WG_SHOWN_SIZE], range[WG_SHOWN_SIZE], between[2 * WG_SHOWN_SIZE];
    if (!find_spread(page, WG_OUTCOME_overlap, &spread) || spread.happened == 0)
        return;
    show_spread(page, WG_OUTCOME_overlap, &spread, middle, range);
    (void)snprintf(between, sizeof between, "%s (1: no overlap)", range);
    put_cells(page, wg_outcome_label(WG_OUTCOME_overlap)->label, middle, between);
}

static void print_moves(const struct forecast_page *page) {
    char text[WG_SENTENCE_SIZE];
    for (int i = 0; i < page->forecast->work->n_moves; i++) {
        wg_move_text(page->forecast->work, i, text);
        wg_show_lines(page->to, 2, text);
    }
}

/* Prints income and costs by kind; energy is in the row of the heat unless some of it has no price. */
static void print_money(struct forecast_page *page) {
    struct wg_source source;
    for (int account = 0; account < WG_N_ACCOUNTS; account++)
        if (wg_outcome_is_shown(wg_account_outcome((enum wg_account)account), page->plan) &&
            (account != WG_ACCOUNT_ENERGY || !wg_plan_has_cost(page->plan, &source)))
            print_outcome_row(page, wg_account_outcome((enum wg_account)account));
    print_outcome_row(page, WG_OUTCOME_balance);
}

static void print_forecast_table(struct forecast_page *page) {
    char range[64];
    (void)snprintf(range, sizeof range, "in 9 %s out of 10", page->noun);
    put_cells(page, "", "half are below", range);
    put_date_row(page, WG_OUTCOME_first_adult_day);
    put_crawl_off_dates(page);
    print_spring_quantiles(page);
    put_larvae(page);
    print_outcome_row(page, WG_OUTCOME_best_week_crawl_off);
    print_outcome_row(page, WG_OUTCOME_total_crawl_off_mass);
    if (wg_outcome_is_shown(WG_OUTCOME_total_harvest_mass, page->plan))
        print_outcome_row(page, WG_OUTCOME_total_harvest_mass);
    put_grub(page);
    put_days_short(page);
    print_feed(page);
    put_generations(page);
    if (wg_outcome_is_shown(WG_OUTCOME_total_heater_energy, page->plan))
        print_heat(page);
    if (wg_plan_keeps_accounts(page->plan))
        print_money(page);
    print_moves(page);
}

/* ---- the bottom ---- */

static void print_forecast_notes(const struct forecast_page *page) {
    const struct wg_plan *const plan = page->plan;
    wg_notes_print_warnings(page->forecast->warnings, NULL, page->to);
    if (wg_warnings_of_weeks(page->forecast->warnings))
        (void)fputs("Use --calendar to see the weeks and how much the larvae could eat.\n", page->to);
    wg_notes_print_cautions(&plan, 1, page->to);
}

/* Prints where it lives if a neighbour keeps a reserve. */
static int print_reserve(const struct forecast_page *page, struct wg_error *err) {
    struct wg_reserve reserve;
    char text[WG_RESERVE_TEXT];
    if (!wg_plan_has_neighbour(page->plan))
        return 0;
    const int code = wg_reserve_find(&reserve, page->plan, page->forecast->summary, err);
    if (code < 0)
        return code;
    wg_reserve_words(&reserve, page->plan, text);
    wg_show_lines(page->to, 2, text);
    return 0;
}

/* Prints the odds of ending above zero, and what has no price. */
static int print_balance(const struct forecast_page *page, struct wg_error *err) {
    struct wg_balance balance;
    char text[WG_MONEY_TEXT];
    if (!wg_plan_keeps_accounts(page->plan))
        return 0;
    const int code = wg_balance_find(&balance, page->plan, page->forecast->summary, err);
    if (code < 0)
        return code;
    wg_money_headline(&balance, page->plan, text);
    wg_show_lines(page->to, 2, text);
    if (wg_money_unpriced(page->plan, text))
        wg_show_lines(page->to, 2, text);
    return 0;
}

/* Prints the heading, the odds and what they rest on. */
static int print_answer(const struct forecast_page *page, struct wg_error *err) {
    struct wg_odds odds;
    struct wg_winters winters;
    int code = wg_odds_find(&odds, page->plan, page->forecast->summary, err);
    if (code == 0)
        code = wg_winters_count(&winters, page->plan, page->forecast->summary, err);
    if (code < 0)
        return code;
    print_forecast_heading(page);
    wg_odds_print(&odds, page->plan, page->to);
    if (winters.n > 0)
        print_winters(page, &winters);
    code = print_reserve(page, err);
    if (code == 0)
        code = print_balance(page, err);
    if (code < 0)
        return code;
    return page->forecast->odds != NULL ? wg_goals_text_print(page->forecast->odds, page->of, page->to, err) : 0;
}

int wg_forecast_print(const struct wg_forecast *forecast, FILE *to, struct wg_error *err) {
    const struct wg_plan *const plan = &forecast->scenario->plan;
    struct forecast_page page = {.forecast = forecast,
                                 .plan = plan,
                                 .noun = wg_forecast_noun(plan),
                                 .of = wg_forecast_noun_of(plan, forecast->summary->n),
                                 .to = to};
    const int answered = print_answer(&page, err);
    if (answered < 0)
        return answered;
    page.code = wg_reasons_print(forecast->reasons, plan, NULL, to, err);
    print_forecast_table(&page);
    if (page.code < 0)
        return wg_no_memory(err, NULL);
    print_forecast_notes(&page);
    return 0;
}

/* The harvest in one line, "All taken out: 1.1 to 16 kg (2.4 to 35 lb) in 9 years out of 10." */
static void print_short_harvest(struct forecast_page *page) {
    const enum wg_outcome_number harvest = wg_outcome_harvest(page->plan);
    struct wg_spread spread;
    char middle[WG_SHOWN_SIZE], range[WG_SHOWN_SIZE], line[WG_SENTENCE_SIZE];
    if (!find_spread(page, harvest, &spread))
        return;
    show_spread(page, harvest, &spread, middle, range);
    (void)snprintf(line, sizeof line, "%s: %s in 9 %s out of 10.", wg_outcome_label(harvest)->label, range, page->noun);
    wg_show_lines(page->to, 2, line);
}

int wg_forecast_print_short(const struct wg_forecast *forecast, FILE *to, struct wg_error *err) {
    const struct wg_plan *const plan = &forecast->scenario->plan;
    struct forecast_page page = {
        .forecast = forecast, .plan = plan, .noun = wg_forecast_noun(plan), .of = wg_forecast_noun(plan), .to = to};
    struct wg_odds odds;
    char text[WG_ODDS_TEXT];
    const int code = wg_odds_find(&odds, plan, forecast->summary, err);
    if (code < 0)
        return code;
    wg_odds_headline(&odds, plan, text);
    (void)fprintf(to, "\n%s%s\n", wg_terminal_style(to, WG_STYLE_STRONG), text);
    wg_odds_headline_animal(&odds, plan, text);
    wg_show_lines(to, 2, text);
    (void)fputs(wg_terminal_style(to, WG_STYLE_PLAIN), to);
    print_short_harvest(&page);
    return page.code < 0 ? wg_no_memory(err, NULL) : 0;
}
