/*
 * What will come of it? One screen: the odds, then a line for each thing a keeper
 * asks, with its middle and the range that holds nine years in ten.
 */
#include "cli/forecast.h"
#include "cli/say.h"
#include "cli/show.h"

#include <math.h>
#include <string.h>

#define LABEL 20
#define MIDDLE 20

struct page {
    const struct wg_forecast *forecast;
    const struct wg_plan *plan;
    const char *noun;
    FILE *to;
};

/* ---- the top ---- */

static void put_heading(const struct page *page) {
    char from[24], to[24], weather[WG_SENTENCE], text[WG_SENTENCE + 32], n[WG_SHOWN];
    const char *const title = page->plan->title[0] != '\0' ? page->plan->title : page->forecast->scenario->path;
    wg_day_format_long(page->plan->first_day, from);
    wg_day_format_long(page->plan->last_day, to);
    wg_show_whole(page->forecast->summary->n, n);
    wg_forecast_weather(page->forecast->scenario, weather);
    (void)fputs(wg_ink(page->to, WG_INK_STRONG), page->to);
    wg_show_paragraph(page->to, 0, title);
    (void)fprintf(page->to, "%s%s to %s, %s possible %s\n", wg_ink(page->to, WG_INK_PLAIN), from, to, n, page->noun);
    (void)snprintf(text, sizeof text, "Weather: %s", weather);
    wg_show_paragraph(page->to, 9, text);
}

static void put_survival(const struct page *page) {
    const struct wg_summary *const summary = page->forecast->summary;
    struct wg_interval interval;
    const double share = wg_summary_survival(summary, &interval);
    char alive[WG_SHOWN], all[WG_SHOWN], percent[WG_SHOWN], low[WG_SHOWN], high[WG_SHOWN];
    wg_show_whole((int64_t)(share * (double)summary->n + 0.5), alive);
    wg_show_whole(summary->n, all);
    wg_show_percent(share, percent);
    wg_show_percent(interval.low, low);
    wg_show_percent(interval.high, high);
    (void)fprintf(page->to, "%sAlive at the end in %s of %s %s (%s %%, between %s and %s %%)%s\n",
                  wg_ink(page->to, WG_INK_STRONG), alive, all, page->noun, percent, low, high,
                  wg_ink(page->to, WG_INK_PLAIN));
}

/* ---- the table ---- */

enum kind { KIND_DATE, KIND_MASS, KIND_NUMBER, KIND_ENERGY };

/* When a row is of use. */
enum when { WHEN_ALWAYS, WHEN_IT_HAPPENS, WHEN_HARVEST, WHEN_HEAT, WHEN_UNLIMITED };

struct row {
    const char *label, *outcome;
    enum kind kind;
    enum when when;
    bool silent; /* "had not happened" is said by another row */
};

static const struct row rows[] = {
    {"First crawl-off", "first_crawl_off_day", KIND_DATE, WHEN_ALWAYS, false},
    {"First adults", "first_adult_day", KIND_DATE, WHEN_ALWAYS, false},
    {"Spring flies: 10 %", "spring_emergence_10", KIND_DATE, WHEN_IT_HAPPENS, true},
    {"              half", "spring_emergence_50", KIND_DATE, WHEN_IT_HAPPENS, true},
    {"              90 %", "spring_emergence_90", KIND_DATE, WHEN_IT_HAPPENS, false},
    {"Most larvae", "peak_larvae", KIND_NUMBER, WHEN_ALWAYS, false},
    {"         on", "peak_larvae_day", KIND_DATE, WHEN_IT_HAPPENS, true},
    {"Best week crawl-off", "best_week_crawl_off", KIND_MASS, WHEN_ALWAYS, false},
    {"All crawl-off", "total_crawl_off_mass", KIND_MASS, WHEN_ALWAYS, false},
    {"All taken out", "total_harvest_mass", KIND_MASS, WHEN_HARVEST, false},
    {"Dry feed eaten", "total_feed_eaten", KIND_MASS, WHEN_UNLIMITED, false},
    {"Generations at once", "overlap", KIND_NUMBER, WHEN_IT_HAPPENS, true},
    {"Energy for heat", "total_heater_energy", KIND_ENERGY, WHEN_HEAT, false},
    {"Cost of that energy", "total_heater_cost", KIND_MONEY, WHEN_PRICE, false},
};

static bool has_price(const struct wg_plan *plan) {
    for (int i = 0; i < plan->n_places; i++)
        if (plan->places[i].heater.price_per_kwh > 0)
            return true;
    for (int i = 0; i < plan->n_bins; i++)
        if (plan->bins[i].spec.mat.price_per_kwh > 0)
            return true;
    return false;
}

static bool is_wanted(const struct page *page, const struct row *row, const struct wg_spread *spread) {
    switch (row->when) {
    case WHEN_ALWAYS:
        break;
    case WHEN_IT_HAPPENS:
        return spread->happened > 0;
    case WHEN_HARVEST:
        return wg_forecast_has_harvest(page->plan);
    case WHEN_HEAT:
        return wg_forecast_has_heat(page->plan);
    case WHEN_PRICE:
        return wg_forecast_has_heat(page->plan) && has_price(page->plan);
    case WHEN_UNLIMITED:
        return page->plan->feed_unlimited;
    }
    return true;
}

static void show_middle(const struct page *page, enum kind kind, double value, char out[WG_SHOWN]) {
    switch (kind) {
    case KIND_DATE:
        wg_show_date(page->plan->first_day, value, "not by the end", out);
        return;
    case KIND_MASS:
        wg_show_mass(value, out);
        return;
    case KIND_NUMBER:
    case KIND_MONEY:
        wg_show_number(value, out);
        return;
    case KIND_ENERGY:
        wg_show_range(value, value, " kWh", out);
        return;
    }
}

static void show_dates(const struct page *page, double low, double high, char out[WG_SHOWN]) {
    char from[WG_SHOWN], to[WG_SHOWN];
    wg_show_date(page->plan->first_day, low, "", from);
    wg_show_date(page->plan->first_day, high, "not by the end", to);
    if (from[0] == '\0')
        (void)snprintf(out, WG_SHOWN, "hardly ever");
    else if (strcmp(from, to) == 0)
        (void)snprintf(out, WG_SHOWN, "that day");
    else
        (void)snprintf(out, WG_SHOWN, "%.40s to %.40s", from, to);
}

static void show_between(const struct page *page, enum kind kind, double low, double high, char out[WG_SHOWN]) {
    switch (kind) {
    case KIND_DATE:
        show_dates(page, low, high, out);
        return;
    case KIND_MASS:
        wg_show_mass_range(low, high, out);
        return;
    case KIND_NUMBER:
    case KIND_MONEY:
        wg_show_range(low, high, "", out);
        return;
    case KIND_ENERGY:
        wg_show_range(low, high, " kWh", out);
        return;
    }
}

static void put_cells(const struct page *page, const char *label, const char *middle, const char *between) {
    (void)fprintf(page->to, "%-*s %-*s %s\n", LABEL - 1, label, MIDDLE - 1, middle, between);
}

static int put_row(const struct page *page, const struct row *row) {
    struct wg_spread spread;
    char middle[WG_SHOWN], between[WG_SHOWN], never[WG_SHOWN], all[WG_SHOWN];
    const int code = wg_summary_spread(page->forecast->summary, row->outcome, &spread);
    if (code < 0 || !is_wanted(page, row, &spread))
        return code;
    show_middle(page, row->kind, spread.q50, middle);
    show_between(page, row->kind, spread.q05, spread.q95, between);
    wg_show_whole(spread.n - spread.happened, never);
    wg_show_whole(spread.n, all);
    if (spread.happened == 0) {
        (void)snprintf(between, sizeof between, "in none of the %.20s %s", all, page->noun);
        put_cells(page, row->label, middle, between);
        return 0;
    }
    put_cells(page, row->label, middle, between);
    if (spread.happened < spread.n && !row->silent)
        (void)fprintf(page->to, "%*sin %s of %s %s it had not happened by the end\n", LABEL, "", never, all, page->noun);
    return 0;
}

static void put_feed(const struct page *page) {
    char given[WG_SHOWN], where[WG_SHOWN];
    if (page->plan->feed_unlimited)
        return;
    wg_show_mass(wg_forecast_feed_kg(page->plan), given);
    (void)snprintf(where, sizeof where, "as it comes, the same in all %s", page->noun);
    put_cells(page, "All feed given", given, where);
}

static int put_table(const struct page *page) {
    put_cells(page, "", "middle", page->noun[0] == 'y' ? "nine years in ten" : "nine futures in ten");
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const int code = put_row(page, &rows[i]);
        if (code < 0)
            return code;
    }
    put_feed(page);
    (void)fprintf(page->to, "Middle: half of the %s come before it or below. One in twenty lies before the\n"
                            "range, one in twenty after.\n", page->noun);
    return 0;
}

/* ---- the bottom ---- */

static void put_notes(const struct page *page) {
    char text[WG_SENTENCE], line[WG_SENTENCE + 16];
    for (int i = 0; wg_forecast_warning(page->forecast, i, text, NULL); i++) {
        (void)snprintf(line, sizeof line, "Warning: %s", text);
        (void)fputs(wg_ink(page->to, WG_INK_WARN), page->to);
        wg_show_paragraph(page->to, 2, line);
        (void)fputs(wg_ink(page->to, WG_INK_PLAIN), page->to);
    }
    const char *caution;
    for (int i = 0; (caution = wg_forecast_caution(page->plan, i)) != NULL; i++)
        wg_show_paragraph(page->to, 2, caution);
}

int wg_forecast_print(const struct wg_forecast *forecast, FILE *to, struct wg_error *err) {
    const struct wg_plan *const plan = &forecast->scenario->plan;
    const struct page page = {.forecast = forecast, .plan = plan, .noun = wg_forecast_noun(plan), .to = to};
    put_heading(&page);
    put_survival(&page);
    const int code = put_table(&page);
    if (code < 0)
        return wg_fail(err, WG_ERR_MEMORY, NULL, "There is not enough memory for the forecast.");
    put_notes(&page);
    return 0;
}
