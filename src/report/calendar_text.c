/*
 * Prints the work calendar: two tables with a line for each week, feed, then traps and crawl-off; and the same as JSON
 * arrays.
 */
#include "report/calendar_text.h"

#include "report/forecast_facts.h"

#include <math.h>
#include <string.h>

/* With more places the screen is too narrow, and one column shows the shortest interval of all. */
#define MAX_PLACES_SHOWN 2

/* In weather so cold that an interval reaches beyond the next week, its length means nothing. */
#define LONGEST_WAIT_SHOWN 14.0

/* ---- text ---- */

/* Converts to the unit and rounds to a hundredth, below which a mass does not matter to a keeper. */
static double round_mass(double kg, double unit) {
    return round(100 * kg / unit) / 100;
}

/* "1.2 to 3.4" */
static void show_range(const struct wg_work_spread *kg, double unit, char out[WG_SHOWN_SIZE]) {
    wg_show_range(round_mass(kg->q05, unit), round_mass(kg->q95, unit), "", out);
}

/* "2.1 (1.2 to 3.4)"; one number if there is no spread */
static void show_middle(const struct wg_work_spread *kg, double unit, char out[WG_SHOWN_SIZE]) {
    char middle[WG_SHOWN_SIZE], range[WG_SHOWN_SIZE];
    wg_show_number(round_mass(kg->q50, unit), middle);
    show_range(kg, unit, range);
    if (strcmp(middle, range) == 0)
        (void)snprintf(out, WG_SHOWN_SIZE, "%s", middle);
    else
        (void)snprintf(out, WG_SHOWN_SIZE, "%.24s (%.60s)", middle, range);
}

static void show_first_day(const struct wg_work *work, int week, char out[WG_SHOWN_SIZE]) {
    wg_show_date(work->plan->first_day, 7.0 * week, "", out);
}

/* Notes a short last week, whose sums would otherwise look like a drop. */
static void put_last_week(const struct wg_work *work, FILE *to) {
    const int days = (work->plan->last_day - work->plan->first_day + 1) % 7;
    if (days > 0)
        (void)fprintf(to, "The last row covers only %d day%s.\n", days, days == 1 ? "" : "s");
}

static void put_feed_week(const struct wg_work *work, int week, FILE *to) {
    struct wg_work_week w;
    char date[WG_SHOWN_SIZE], kg[WG_SHOWN_SIZE], lb[WG_SHOWN_SIZE], given_kg[WG_SHOWN_SIZE], given_lb[WG_SHOWN_SIZE];
    wg_work_week(work, week, &w);
    show_first_day(work, week, date);
    const struct wg_work_spread *const wanted = work->plan->feed_unlimited ? &w.wanted_dry_kg : &w.wanted_wet_kg;
    show_range(wanted, 1, kg);
    show_range(wanted, WG_KG_PER_LB, lb);
    wg_show_number(w.given_wet_kg, given_kg);
    wg_show_number(w.given_wet_kg / WG_KG_PER_LB, given_lb);
    (void)fprintf(to, "%-12s %-20s %-20s %9s %9s\n", date, kg, lb, given_kg, given_lb);
}

static void print_weekly_feed(const struct wg_work *work, FILE *to) {
    const char *const weighed = work->plan->feed_unlimited ? "dry weight" : "fresh weight of the plan's feed";
    (void)fprintf(to, "\nFeed, week by week (%s)\n\n", weighed);
    (void)fprintf(to, "%-12s %-41s %19s\n", "", "the larvae could eat", "the plan gives");
    (void)fprintf(to, "%-12s %-20s %-20s %9s %9s\n", "week from", "kg", "lb", "kg", "lb");
    for (int week = 0; week < work->n_weeks; week++)
        put_feed_week(work, week, to);
    put_last_week(work, to);
}

void wg_work_show_pull(double days, char out[WG_SHOWN_SIZE]) {
    if (isinf(days))
        (void)snprintf(out, WG_SHOWN_SIZE, "no need");
    else if (days > LONGEST_WAIT_SHOWN)
        (void)snprintf(out, WG_SHOWN_SIZE, "%.0f+ days", LONGEST_WAIT_SHOWN);
    else
        (void)snprintf(out, WG_SHOWN_SIZE, days < 1.5 ? "%.0f day" : "%.0f days", days);
}

/* Finds the places whose traps get a column each. Returns their number, 0 if there are too many. */
static int shown_places(const struct wg_plan *plan, int place[MAX_PLACES_SHOWN]) {
    int n = 0;
    for (int p = 0; p < plan->n_places; p++) {
        if (!wg_work_has_traps(plan, p))
            continue;
        if (n == MAX_PLACES_SHOWN)
            return 0;
        place[n++] = p;
    }
    return n;
}

double wg_work_shortest_pull(const struct wg_work *work, int week) {
    double days = HUGE_VAL;
    for (int p = 0; p < work->plan->n_places; p++)
        if (wg_work_has_traps(work->plan, p))
            days = fmin(days, wg_work_pull_days(work, week, p));
    return days;
}

static void put_harvest_week(const struct wg_work *work, int week, const int *place, int n, FILE *to) {
    struct wg_work_week w;
    char text[WG_SHOWN_SIZE];
    wg_work_week(work, week, &w);
    show_first_day(work, week, text);
    (void)fprintf(to, "%-12s", text);
    for (int i = 0; i < (n > 0 ? n : 1); i++) {
        wg_work_show_pull(n > 0 ? wg_work_pull_days(work, week, place[i]) : wg_work_shortest_pull(work, week), text);
        (void)fprintf(to, " %-11s", text);
    }
    show_middle(&w.crawl_off_kg, 1, text);
    (void)fprintf(to, " %-20s", text);
    show_middle(&w.crawl_off_kg, WG_KG_PER_LB, text);
    (void)fprintf(to, " %s\n", text);
}

static void put_harvest(const struct wg_work *work, FILE *to) {
    int place[MAX_PLACES_SHOWN];
    const int n = shown_places(work->plan, place);
    (void)fprintf(to, "\nTraps and crawl-off, week by week\n\n%-12s", "");
    for (int i = 0; i < (n > 0 ? n : 1); i++)
        (void)fprintf(to, " %-11s", i == 0 ? "pull every" : "");
    (void)fprintf(to, " crawl-off\n%-12s", "week from");
    for (int i = 0; i < n; i++)
        (void)fprintf(to, " %-11.11s", work->plan->places[place[i]].name);
    if (n == 0)
        (void)fprintf(to, " %-11s", "(shortest)");
    (void)fprintf(to, " %-20s lb\n", "kg");
    for (int week = 0; week < work->n_weeks; week++)
        put_harvest_week(work, week, place, n, to);
}

/* Explains "underfed" and "overfed" if they occur. */
static void explain_faults(const struct wg_work *work, FILE *to) {
    const char *const noun = wg_forecast_noun(work->plan);
    bool has[WG_N_FAULTS] = {false};
    struct wg_work_spell spell;
    for (int bin = 0; bin < work->plan->n_bins; bin++)
        for (int f = 0; f < WG_N_FAULTS; f++)
            has[f] = has[f] || wg_work_spell(work, (enum wg_work_fault)f, bin, 0, &spell);
    if (has[WG_UNDERFED])
        (void)fprintf(to,
                      "Underfed: in most %s larvae got less than half of what they could eat.\n"
                      "Feed more in those weeks, or scoop some larvae out.\n",
                      noun);
    if (has[WG_OVERFED])
        (void)fprintf(to,
                      "Overfed: in most %s more than a week's feed lay uneaten, which turns sour and\n"
                      "hot and gives off ammonia. Feed less in those weeks, and stir and air the bin.\n",
                      noun);
}

void wg_work_print(const struct wg_work *work, FILE *to) {
    print_weekly_feed(work, to);
    put_harvest(work, to);
    (void)fprintf(to,
                  "\nRanges hold 9 %s in 10. In a trap pulled that often at most %.0f %% of the\n"
                  "eggs hatch in a usual year. \"no need\": it is too cold for eggs to hatch.\n",
                  wg_forecast_noun(work->plan), 100 * WG_WORK_HATCHED);
    explain_faults(work, to);
}

/* ---- JSON ---- */

enum part { WANTED_DRY, WANTED_WET, CRAWL_OFF };

static double week_quantile(const struct wg_work_week *week, enum part part, int q) {
    const struct wg_work_spread *const s = part == WANTED_DRY   ? &week->wanted_dry_kg
                                           : part == WANTED_WET ? &week->wanted_wet_kg
                                                                : &week->crawl_off_kg;
    return q == 0 ? s->q05 : q == 1 ? s->q50 : s->q95;
}

static void put_spread(struct wg_json *json, const char *key, const struct wg_work *work, enum part part) {
    static const char *const name[] = {"q05", "q50", "q95"};
    struct wg_work_week week;
    wg_json_object(json, key);
    for (int q = 0; q < 3; q++) {
        wg_json_list(json, name[q]);
        for (int w = 0; w < work->n_weeks; w++) {
            wg_work_week(work, w, &week);
            wg_json_real(json, NULL, week_quantile(&week, part, q));
        }
        wg_json_close(json);
    }
    wg_json_close(json);
}

static void put_weeks(struct wg_json *json, const struct wg_work *work) {
    struct wg_work_week week;
    char date[WG_SHOWN_SIZE];
    wg_json_list(json, "from");
    for (int w = 0; w < work->n_weeks; w++)
        wg_json_text(json, NULL, wg_show_iso_date(work->plan->first_day, 7.0 * w, date) == 0 ? date : NULL);
    wg_json_close(json);
    wg_json_list(json, "given_wet_kg");
    for (int w = 0; w < work->n_weeks; w++) {
        wg_work_week(work, w, &week);
        wg_json_real(json, NULL, week.given_wet_kg);
    }
    wg_json_close(json);
}

static void put_traps(struct wg_json *json, const struct wg_work *work) {
    wg_json_list(json, "traps");
    for (int p = 0; p < work->plan->n_places; p++) {
        if (!wg_work_has_traps(work->plan, p))
            continue;
        wg_json_object(json, NULL);
        wg_json_text(json, "place", work->plan->places[p].name);
        wg_json_list(json, "air_degc");
        for (int w = 0; w < work->n_weeks; w++)
            wg_json_real(json, NULL, wg_work_air_c(work, w, p));
        wg_json_close(json);
        wg_json_list(json, "pull_every_days");
        for (int w = 0; w < work->n_weeks; w++)
            wg_json_real(json, NULL, wg_work_pull_days(work, w, p));
        wg_json_close(json);
        wg_json_close(json);
    }
    wg_json_close(json);
}

void wg_work_put_json(const struct wg_work *work, struct wg_json *json) {
    wg_json_object(json, "weeks");
    put_weeks(json, work);
    put_spread(json, "could_eat_dry_kg", work, WANTED_DRY);
    put_spread(json, "could_eat_wet_kg", work, WANTED_WET);
    put_spread(json, "crawl_off_kg", work, CRAWL_OFF);
    put_traps(json, work);
    wg_json_close(json);
}
