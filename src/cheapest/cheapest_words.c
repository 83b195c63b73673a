/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Sentences of the answer of `cheapest`, which its text and its page share.
 */
#include "cheapest/cheapest_text.h"
#include "cheapest/ends.h"
#include "colony/money.h"
#include "plan/accounts.h"
#include "report/forecast_facts.h"
#include "report/goals_report.h"
#include "text/goal_text.h"
#include "text/money.h"
#include "text/warning_sentences.h"
#include "variants/usual_openings.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const struct wg_plan *own_plan(const struct wg_cheapest *c) {
    return &c->base->plan;
}

/* ---- the headline ---- */

static void count_plans(const struct wg_cheapest *c, char out[2 * WG_SHOWN_SIZE]) {
    char n[WG_SHOWN_SIZE], all[WG_SHOWN_SIZE];
    wg_show_whole(c->answer->n_plans, n);
    wg_show_number(c->answer->combinations, all);
    if (c->answer->is_race)
        (void)snprintf(out, (size_t)2 * WG_SHOWN_SIZE, "%.60s plans tried of %.60s", n, all);
    else
        (void)snprintf(out, (size_t)2 * WG_SHOWN_SIZE, "%.60s plans", n);
}

/* Whether a plan that the search gave up does what was asked in its fresh years: then the years are too few. */
static bool has_too_few_years(const struct wg_cheapest *c) {
    bool is = false;
    for (int i = 0; i < c->answer->n_nearest; i++)
        is = is || c->answer->judged[c->answer->nearest[i]].meets;
    return is;
}

/* Whether the winner's fresh years fall short of what was asked, after those of its choice did not. */
static bool is_about_enough(const struct wg_cheapest *c) {
    const struct wg_search_judged *const winner = &c->answer->judged[c->answer->winner];
    return winner->n > 0 && !winner->meets;
}

void wg_cheapest_headline(const struct wg_cheapest *c, char out[WG_CHEAPEST_TEXT]) {
    char plans[2 * WG_SHOWN_SIZE];
    count_plans(c, plans);
    if (c->answer->winner < 0 && c->answer->is_stopped)
        (void)snprintf(out, WG_CHEAPEST_TEXT, "Stopped before a plan was found.");
    else if (c->answer->winner < 0 && has_too_few_years(c))
        (void)snprintf(
            out, WG_CHEAPEST_TEXT,
            "Too few years to tell: none of %s did what you ask in the years of the search, but the nearest did "
            "in others. Use more --replicates.",
            plans);
    else if (c->answer->winner < 0)
        (void)snprintf(out, WG_CHEAPEST_TEXT, "None of %s does what you ask.", plans);
    else if (c->answer->outcome == WG_SEARCH_KEEP_OWN)
        (void)snprintf(out, WG_CHEAPEST_TEXT,
                       "Keep your own plan: none of %s that does what you ask is cheaper by more than "
                       "a hundredth, or by more than luck.",
                       plans);
    else
        (void)snprintf(out, WG_CHEAPEST_TEXT, "%s of %s that does %swhat you ask:",
                       c->answer->is_stopped ? "Stopped early. The cheapest so far" : "The cheapest", plans,
                       is_about_enough(c) ? "about " : "");
}

static bool asks_strength(const struct wg_cheapest *c, int goal) {
    return (c->as_strong >> goal & 1) != 0;
}

void wg_cheapest_goals(const struct wg_cheapest *c, char out[WG_CHEAPEST_TEXT]) {
    const struct wg_plan *const plan = own_plan(c);
    size_t n = (size_t)snprintf(out, WG_CHEAPEST_TEXT, "%s",
                                c->has_own_goal ? "Asked for: "
                                                : "The plan has no goal, so this "
                                                  "was asked for: ");
    for (int g = 0; g < plan->n_goals && n < WG_CHEAPEST_TEXT; g++) {
        char goal[WG_GOAL_SENTENCE_SIZE], chance[16];
        wg_goal_text(&plan->goal[g], plan->currency, goal);
        wg_goals_text_chance(plan->goal[g].chance, chance);
        n += (size_t)snprintf(out + n, WG_CHEAPEST_TEXT - n, "%s%.160s%s (%s of %s)", g > 0 ? "; " : "", goal,
                              asks_strength(c, g) ? ", as many as began" : "", chance, wg_forecast_noun(plan));
    }
    if (n < WG_CHEAPEST_TEXT)
        (void)snprintf(out + n, WG_CHEAPEST_TEXT - n, ".");
}

/* ---- one plan ---- */

void wg_cheapest_odds(const struct wg_goal_chance *chance, char out[WG_CHEAPEST_TEXT]) {
    char share[16], low[16], high[16];
    wg_goals_text_chance(chance->share, share);
    wg_goals_text_chance(chance->interval.low, low);
    wg_goals_text_chance(chance->interval.high, high);
    char *const sign = strchr(low, ' ');
    if (sign != NULL)
        *sign = '\0';
    (void)snprintf(out, WG_CHEAPEST_TEXT, "%s (between %s and %s)", share, low, high);
}

bool wg_cheapest_is_of_a_year(const struct wg_cheapest *c) {
    return wg_is_about_a_year((int)(own_plan(c)->last_day - own_plan(c)->first_day) + 1);
}

void wg_cheapest_money(const struct wg_cheapest *c, const struct wg_search_judged *judged, bool is_long,
                       char out[WG_CHEAPEST_TEXT]) {
    char amount[WG_SHOWN_SIZE];
    const double money = fabs(judged->money.mean);
    if (isnan(money))
        (void)snprintf(amount, sizeof amount, "-");
    else
        wg_show_money(money, money, 3, own_plan(c)->currency, amount);
    (void)snprintf(out, WG_CHEAPEST_TEXT, "%s%s%s", judged->money.mean < 0 ? "earns " : "", amount,
                   !is_long                      ? ""
                   : wg_cheapest_is_of_a_year(c) ? " a year"
                                                 : " in all");
}

double wg_cheapest_above_zero(const struct wg_cheapest *c, const struct wg_search_judged *judged) {
    int64_t above = 0;
    bool earns = false;
    for (int account = 0; account < WG_N_ACCOUNTS; account++)
        earns = earns || (wg_account_is_income((enum wg_account)account) &&
                          wg_plan_has_account(own_plan(c), (enum wg_account)account));
    for (int64_t k = 0; k < judged->n; k++)
        above += judged->year[k].money < 0; /* costs less income */
    return earns && judged->n > 0 ? (double)above / (double)judged->n : (double)NAN;
}

void wg_cheapest_deeds(const struct wg_cheapest *c, const struct wg_search_judged *judged, char out[WG_CHEAPEST_TEXT]) {
    char odds[WG_CHEAPEST_TEXT], alive[16], kg[WG_SHOWN_SIZE], left[WG_SHOWN_SIZE], low[WG_SHOWN_SIZE],
        began[WG_SHOWN_SIZE], n[WG_SHOWN_SIZE];
    const struct wg_plan *const plan = own_plan(c);
    const double above = wg_cheapest_above_zero(c, judged);
    if (judged->n == 0) {
        (void)snprintf(out, WG_CHEAPEST_TEXT, "not judged on fresh years");
        return;
    }
    wg_cheapest_odds(&judged->all, odds);
    wg_goals_text_chance(judged->alive.share, alive);
    wg_show_whole(judged->n, n);
    wg_show_rounded_mass(judged->harvest.mean, judged->harvest.mean, 2, kg);
    wg_show_rounded(round(judged->left.q50), 2, left);
    wg_show_rounded(round(judged->left.q10), 2, low);
    wg_show_whole((int64_t)c->put_in[judged - c->answer->judged], began);
    size_t at = (size_t)snprintf(out, WG_CHEAPEST_TEXT, "does it in %.80s of %s fresh %s; alive in %s; ", odds, n,
                                 wg_forecast_noun(plan), alive);
    if (wg_plan_takes_out(plan))
        at += (size_t)snprintf(out + at, WG_CHEAPEST_TEXT - at, "takes out %s on average; ", kg);
    if (!isnan(above)) {
        wg_goals_text_chance(above, alive);
        at += (size_t)snprintf(out + at, WG_CHEAPEST_TEXT - at, "ends above zero in %s; ", alive);
    }
    (void)snprintf(out + at, WG_CHEAPEST_TEXT - at,
                   "left at the end: %s in the middle %s, at least %s in 9 of 10 (%s began)", left,
                   wg_forecast_noun_of(plan, 1), low, began);
}

/* ---- doubts ---- */

/* "temperature from which flies mate at the highest, 27 °C (80.6 °F)" */
static void variant_text(const struct wg_cheapest *c, int variant, char out[WG_SENTENCE_SIZE]) {
    const struct wg_doubt *const doubt = &c->doubts->doubt[variant / 2];
    const struct wg_parameter *const number = doubt->number[0];
    const double value = variant % 2 == 1 ? number->high : number->low;
    char shown[WG_SHOWN_SIZE] = "";
    const int dimension = wg_dimension_of_unit(number->unit);
    if (dimension == (int)WG_TEMPERATURE)
        wg_show_temperature(value, shown);
    else if (dimension >= 0 && dimension != (int)WG_PURE)
        wg_quantity_show((enum wg_dimension)dimension, value, shown);
    else
        (void)snprintf(shown, sizeof shown, "%g", value);
    (void)snprintf(out, WG_SENTENCE_SIZE, "%.120s at the %s, %.80s", doubt->what,
                   variant % 2 == 1 ? "highest" : "lowest", shown);
}

/* More would fill the screen; a plan that fails anyway fails with most of them. */
#define MOST_NAMED 3

void wg_cheapest_doubt(const struct wg_cheapest *c, const struct wg_search_judged *judged, char out[WG_CHEAPEST_TEXT]) {
    int good = 0, n = 0;
    out[0] = '\0';
    for (int v = 0; v < judged->n_variants; v++) {
        n += judged->variant[v].n > 0;
        good += judged->variant[v].n > 0 && judged->variant[v].verdict != WG_NO;
    }
    if (n == 0)
        return;
    size_t at = (size_t)snprintf(out, WG_CHEAPEST_TEXT, "holds in %d of %d", good, n);
    int named = 0;
    for (int v = 0; v < judged->n_variants && judged->meets && named < MOST_NAMED; v++) {
        char what[WG_SENTENCE_SIZE], share[16];
        if (judged->variant[v].n == 0 || judged->variant[v].verdict != WG_NO)
            continue;
        variant_text(c, v, what);
        wg_goals_text_chance(judged->variant[v].share, share);
        at += (size_t)snprintf(out + at, WG_CHEAPEST_TEXT - at, "%s%.220s (%s)", named++ > 0 ? "; " : "; not with ",
                               what, share);
    }
    if (judged->meets && n - good > named)
        (void)snprintf(out + at, WG_CHEAPEST_TEXT - at, "; and %d more", n - good - named);
}

/* ---- remarks ---- */

/* Whether the winner with one number changed costs more and surely does less of what was asked. */
static bool is_dearer_and_worse(const struct wg_search_single *single) {
    return single->more_money.interval.low > 0 && single->more_odds.interval.high < 0;
}

/* "70 °F to 75 °F costs more than 45 °F and fails more often": the first run of such levels of one opening. */
static bool valley_remark(const struct wg_cheapest *c, int number, char out[WG_CHEAPEST_TEXT]) {
    const struct wg_search_judged *const winner = &c->answer->judged[c->answer->winner];
    const struct wg_opening *const opening = &c->base->openings.opening[number];
    int first = -1, last = -1;
    char low[WG_PLAN_WORDS], high[WG_PLAN_WORDS], best[WG_PLAN_WORDS];
    for (int i = 0; i < c->answer->n_singles; i++) {
        const struct wg_search_single *const single = &c->answer->single[i];
        if (single->number != number || (!is_dearer_and_worse(single) && first < 0))
            continue;
        if (!is_dearer_and_worse(single) || (first >= 0 && !opening->levels.is_ordered))
            break;
        first = first < 0 ? single->level : first;
        last = single->level;
    }
    if (first < 0)
        return false;
    wg_level_text(opening, first, low);
    wg_level_text(opening, last, high);
    wg_level_text(opening, winner->level[number], best);
    (void)snprintf(
        out, WG_CHEAPEST_TEXT,
        "Dearer and worse: with the rest as in the cheapest plan, %.100s %.40s%s%.40s costs more than %.40s and "
        "fails more often.",
        opening->subject, low, last > first ? " to " : "", last > first ? high : "", best);
    return true;
}

/* Whether another value of the opening makes another plan: how warm a warm-up is that never comes does not. */
static bool makes_a_difference(const struct wg_cheapest *c, int number) {
    for (int i = 0; i < c->answer->n_singles; i++)
        if (c->answer->single[i].number == number)
            return true;
    return c->answer->n_singles == 0;
}

/* A cheaper plan of the line may do what was asked: its years are too few to tell. */
static bool near_remark(const struct wg_cheapest *c, char out[WG_CHEAPEST_TEXT]) {
    const struct wg_search_answer *const answer = c->answer;
    const struct wg_search_judged *near = NULL;
    char money[WG_CHEAPEST_TEXT], hits[WG_SHOWN_SIZE], all[WG_SHOWN_SIZE], between[24];
    for (int i = 0; i < answer->n_line && answer->line[i] != answer->winner; i++)
        if (answer->judged[answer->line[i]].verdict == WG_UNDECIDED && answer->judged[answer->line[i]].n > 0)
            near = &answer->judged[answer->line[i]];
    if (near == NULL)
        return false;
    wg_cheapest_money(c, near, true, money);
    wg_show_whole(near->all.hits, hits);
    wg_show_whole(near->n, all);
    wg_goals_text_interval(near->all.interval, between);
    (void)snprintf(
        out, WG_CHEAPEST_TEXT,
        "Too near to tell: %.399s, for %.60s, does what was asked in %.20s of %.20s fresh %.10s (%s). So few "
        "%.10s cannot say whether that is often enough; more --replicates may.",
        c->words[near - answer->judged], money, hits, all, wg_forecast_noun(own_plan(c)), between,
        wg_forecast_noun(own_plan(c)));
    return true;
}

/* What a goal costs: the cheapest plan that meets all others. */
static bool goal_remark(const struct wg_cheapest *c, int goal, char out[WG_CHEAPEST_TEXT]) {
    const struct wg_search_answer *const answer = c->answer;
    const int without = answer->without[goal];
    char text[WG_GOAL_SENTENCE_SIZE], money[WG_CHEAPEST_TEXT];
    if (c->question->n_goals < 2 || without < 0 || without == answer->winner)
        return false;
    wg_goal_text(&own_plan(c)->goal[goal], own_plan(c)->currency, text);
    wg_cheapest_money(c, &answer->judged[without], true, money);
    (void)snprintf(out, WG_CHEAPEST_TEXT, "Without the goal \"%.200s\" the cheapest plan costs %.60s: %.399s.", text,
                   money, c->words[without]);
    return true;
}

static bool end_remark(const struct wg_cheapest *c, int number, char out[WG_CHEAPEST_TEXT]) {
    const struct wg_search_judged *const winner = &c->answer->judged[c->answer->winner];
    const struct wg_opening *const opening = &c->base->openings.opening[number];
    char text[WG_PLAN_WORDS];
    struct wg_tried_end end;
    if (!wg_cheapest_end(c, winner, number, &end) || !makes_a_difference(c, number))
        return false;
    wg_level_text(opening, winner->level[number], text);
    (void)snprintf(out, WG_CHEAPEST_TEXT, "%.120s: %.60s is the %s %s tried. Try %s ones, too.", opening->subject, text,
                   end.which, end.noun, end.beyond);
    return true;
}

static bool opened_remark(const struct wg_cheapest *c, char out[WG_CHEAPEST_TEXT]) {
    static const struct {
        enum wg_usual_part part;
        const char *text;
    } parts[] = {{WG_USUAL_SET_POINT, "the set point in winter (off, and 40 to 80 °F or 4 to 28 °C)"},
                 {WG_USUAL_WARM_UP, "a warm-up in spring (never, or from one of several days until summer)"},
                 {WG_USUAL_LAMPS, "the season of the lamps (none, parts of the year, all year)"}};
    size_t n = 0;
    if (c->opened == 0)
        return false;
    n = (size_t)snprintf(out, WG_CHEAPEST_TEXT, "The plan leaves nothing open, so these were:");
    int named = 0;
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++)
        if (c->opened & (int)parts[i].part)
            n += (size_t)snprintf(out + n, WG_CHEAPEST_TEXT - n, "%s %s", named++ > 0 ? ";" : "", parts[i].text);
    if ((c->opened & WG_USUAL_FEWER) != 0)
        n += (size_t)snprintf(out + n, WG_CHEAPEST_TEXT - n,
                              "; every second of the usual values, because years of a weather record take long");
    (void)snprintf(out + n, WG_CHEAPEST_TEXT - n,
                   ". Write your own in place, for example set_point: {now: 70 degF, try: 40 to "
                   "80 degF by 5, or: off}.");
    return true;
}

/* Whether a plan that misses the goals would do if a single animal counted. */
static bool any_survivor_would_do(const struct wg_cheapest *c) {
    for (int i = 0; i < c->answer->n_nearest; i++) {
        const struct wg_search_judged *const plan = &c->answer->judged[c->answer->nearest[i]];
        if ((c->as_strong >> plan->hardest & 1) != 0 && plan->alive.share >= c->question->chance[plan->hardest])
            return true;
    }
    return false;
}

static bool strength_remark(const struct wg_cheapest *c, char out[WG_CHEAPEST_TEXT]) {
    if (c->as_strong == 0)
        return false;
    if (any_survivor_would_do(c)) {
        (void)snprintf(
            out, WG_CHEAPEST_TEXT,
            "To survive means here that at least as many animals of any stage are there on the last day as you "
            "put in. Fewer are alive often enough; if that is enough for you, add --any-survivor.");
        return true;
    }
    (void)snprintf(
        out, WG_CHEAPEST_TEXT,
        "To survive means here that at least as many animals of any stage are there on the "
        "last day as you put in: else the cheapest winter is one whose colony dies in the next. --any-survivor "
        "counts a single one.");
    return true;
}

/* "Feed, starters and insulation have no price, so they count as free." */
static bool free_remark(const struct wg_cheapest *c, char out[WG_CHEAPEST_TEXT]) {
    static const struct {
        enum wg_account account;
        const char *name;
    } rows[] = {{WG_ACCOUNT_ENERGY, "some of the heat or light"},
                {WG_ACCOUNT_FEED, "feed"},
                {WG_ACCOUNT_STARTERS, "starters"},
                {WG_ACCOUNT_INSULATION, "insulation"}};
    const char *names[sizeof rows / sizeof *rows];
    int n = 0;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const bool is_energy = rows[i].account == WG_ACCOUNT_ENERGY;
        if (is_energy ? c->has_unpriced_energy : wg_plan_has_unpriced(own_plan(c), rows[i].account))
            names[n++] = rows[i].name;
    }
    size_t at = 0;
    for (int i = 0; i < n; i++)
        at += (size_t)snprintf(out + at, WG_CHEAPEST_TEXT - at, "%s%s",
                               i == 0       ? "Counted as free, because the plan gives no price: "
                               : i == n - 1 ? " and "
                                            : ", ",
                               names[i]);
    if (n > 0)
        (void)snprintf(out + at, WG_CHEAPEST_TEXT - at, ".");
    return n > 0;
}

static bool general_remark(const struct wg_cheapest *c, int i, char out[WG_CHEAPEST_TEXT]) {
    const struct wg_search_answer *const answer = c->answer;
    char n[WG_SHOWN_SIZE];
    switch (i) {
    case 0:
        return near_remark(c, out);
    case 1:
        (void)snprintf(out, WG_CHEAPEST_TEXT, "All plans cost the same, so the surest was chosen.");
        return answer->same_money;
    case 2:
        return free_remark(c, out);
    case 3:
        wg_show_whole(answer->n_illegal, n);
        (void)snprintf(out, WG_CHEAPEST_TEXT, "%s combination%s left out, because %s no plan%s.", n,
                       answer->n_illegal == 1 ? " was" : "s were", answer->n_illegal == 1 ? "it is" : "they are",
                       answer->n_illegal == 1 ? "" : "s");
        return answer->n_illegal > 0;
    case 4:
        return strength_remark(c, out);
    case 5:
        return opened_remark(c, out);
    default:
        return false;
    }
}

#define GENERAL_REMARKS 6

bool wg_cheapest_remark(const struct wg_cheapest *c, int i, char out[WG_CHEAPEST_TEXT]) {
    const int numbers =
        c->answer->winner >= 0 && c->answer->judged[c->answer->winner].n > 0 ? c->question->n_numbers : 0;
    const int goals = c->question->n_goals;
    for (int k = 0; k < goals + 2 * numbers + GENERAL_REMARKS; k++) {
        const int other = k - goals;
        const bool has = other < 0             ? goal_remark(c, k, out)
                         : other < numbers     ? valley_remark(c, other, out)
                         : other < 2 * numbers ? end_remark(c, other - numbers, out)
                                               : general_remark(c, other - 2 * numbers, out);
        if (has && i-- == 0)
            return true;
    }
    return false;
}
