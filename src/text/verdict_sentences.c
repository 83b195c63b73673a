/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Words the verdict of a comparison.
 */
#include "text/verdict_sentences.h"

#include "text/money.h"
#include "text/warning_sentences.h"

#include <math.h>
#include <string.h>

#define RARELY 0.1      /* alive in so few years: the keeper starts again (judgement) */
#define OFTEN 0.5       /* likewise */
#define NEARLY_ALL 0.95 /* plausible animals (judgement) */
#define TOO_FEW 10      /* replicates to choose by (judgement) */
#define MAX_LISTED 6    /* more setups are a range */
#define BRIEF_NAME 40   /* longer names are left to the table */

/* ---- parts of sentences ---- */

/* The text being written, and which setups it has named. */
struct verdict_writer {
    const struct wg_choice *choice;
    const struct wg_verdict_facts *facts;
    struct wg_bytes *out;
    bool named[WG_COMPARE_MAX];
};

void wg_show_price_of_kg(double price, const char *currency, char out[WG_SHOWN_SIZE]) {
    wg_show_money(price, price, 2, currency, out);
}

void wg_show_extra_price_parts(const struct wg_extra_price *price, double per, const char *currency,
                               char about[WG_SHOWN_SIZE], char low[WG_SHOWN_SIZE], char high[WG_SHOWN_SIZE]) {
    static const char *const none[] = {[WG_EXTRA_PRICED] = "",
                                       [WG_EXTRA_NONE] = "no extra kg",
                                       [WG_EXTRA_NO_PRICE] = "not known",
                                       [WG_EXTRA_FREE] = "no extra cost"};
    low[0] = high[0] = '\0';
    (void)snprintf(about, WG_SHOWN_SIZE, "%s", none[price->why]);
    if (price->why != WG_EXTRA_PRICED)
        return;
    wg_show_price_of_kg(price->per_kg * per, currency, about);
    wg_show_price_of_kg(price->interval.low * per, currency, low);
    wg_show_price_of_kg(price->interval.high * per, currency, high);
    if (strcmp(low, high) == 0)
        low[0] = high[0] = '\0';
}

void wg_show_extra_price(const struct wg_extra_price *price, double per, const char *currency,
                         char out[WG_SHOWN_SIZE]) {
    char about[WG_SHOWN_SIZE], low[WG_SHOWN_SIZE], high[WG_SHOWN_SIZE];
    wg_show_extra_price_parts(price, per, currency, about, low, high);
    if (low[0] == '\0')
        (void)snprintf(out, WG_SHOWN_SIZE, "%s", about);
    else
        (void)snprintf(out, WG_SHOWN_SIZE, "%.28s (%.28s to %.28s)", about, low, high);
}

static double average_of(const struct verdict_writer *v, int setup, enum wg_compared compared) {
    return v->choice->setup[setup].number[compared].mean;
}

static const char *years_of(const struct verdict_writer *v) {
    return wg_replicates_noun(v->facts->n_days, 2);
}

/* If not all energy has a price, each kg more takes kWh: they have no currency. */
static const char *currency_of_steps(const struct verdict_writer *v) {
    return v->choice->is_priced ? v->facts->currency : "";
}

/* "590", or "3,930 kWh" if not all energy has a price */
static void show_paid(const struct verdict_writer *v, int setup, char out[WG_SHOWN_SIZE]) {
    char shown[WG_SHOWN_SIZE];
    const double paid = average_of(v, setup, v->choice->cost);
    if (v->choice->is_priced)
        wg_show_money(paid, paid, 3, v->facts->currency, shown);
    else
        wg_show_number(paid, shown);
    (void)snprintf(out, WG_SHOWN_SIZE, "%.60s%s", shown, v->choice->is_priced ? "" : " kWh");
}

static void show_yield(const struct verdict_writer *v, int setup, char out[WG_SHOWN_SIZE]) {
    wg_show_mass(average_of(v, setup, v->choice->harvest), out);
}

static void put_letter(struct verdict_writer *v, int setup) {
    wg_bytes_printf(v->out, "%c", 'A' + setup);
}

static void put_alive(struct verdict_writer *v, int setup) {
    char share[WG_SHOWN_SIZE];
    wg_show_share(v->choice->setup[setup].survival.mean, share);
    wg_bytes_put(v->out, share);
}

static void put_paid(struct verdict_writer *v, int setup) {
    char paid[WG_SHOWN_SIZE];
    show_paid(v, setup, paid);
    wg_bytes_put(v->out, paid);
}

static void put_yield(struct verdict_writer *v, int setup) {
    char yield[WG_SHOWN_SIZE];
    show_yield(v, setup, yield);
    wg_bytes_put(v->out, yield);
}

/* "A", "A and B", "A, B and C" */
static void put_setups(struct verdict_writer *v, int n, const int *setup, void (*put)(struct verdict_writer *, int)) {
    for (int i = 0; i < n; i++) {
        wg_bytes_put(v->out, i == 0 ? "" : i + 1 < n ? ", " : " and ");
        put(v, setup[i]);
    }
}

size_t wg_names_shared(int n, const char *const *name) {
    size_t shared = 0;
    for (size_t at = 0;; at++)
        for (int i = 0; i < n; i++) {
            if (name[i][at] == '\0' || name[i][at] != name[0][at] || name[i][at + 1] == '\0')
                return shared;
            if (i + 1 == n && at > 0 && name[0][at] == ' ' && (name[0][at - 1] == ',' || name[0][at - 1] == ':'))
                shared = at + 1;
        }
}

/* "C (insulated shed)" when it is named first, then "C" */
static void put_name(struct verdict_writer *v, int setup) {
    const char *const name = v->facts->name[setup] + wg_names_shared(v->choice->n, v->facts->name);
    put_letter(v, setup);
    if (strlen(name) <= BRIEF_NAME && !v->named[setup])
        wg_bytes_printf(v->out, " (%s)", name);
    v->named[setup] = true;
}

/* Energy whose power or price is not known is not in the sum. */
static bool is_cost_known(const struct verdict_writer *v, int setup) {
    return v->choice->setup[setup].number[WG_COMPARED_total_heater_cost].happened == v->choice->replicates;
}

static void put_without_energy(struct verdict_writer *v, int setup) {
    wg_bytes_put(v->out, is_cost_known(v, setup) ? " without energy" : " without known energy");
}

/* "least energy", but not of lamps whose power is not known */
static const char *least_energy(const struct verdict_writer *v, int setup) {
    const bool is_unknown = !is_cost_known(v, setup) && !(average_of(v, setup, WG_COMPARED_total_heater_energy) > 0);
    return is_unknown ? " for the least known energy" : " for the least energy";
}

/* " for 590", " without energy" */
static void put_for(struct verdict_writer *v, int setup) {
    if (average_of(v, setup, WG_COMPARED_total_heater_energy) > 0) {
        wg_bytes_put(v->out, " for ");
        put_paid(v, setup);
    } else {
        put_without_energy(v, setup);
    }
}

/* ---- survival ---- */

static double alive_in(const struct verdict_writer *v, int setup) {
    return v->choice->setup[setup].survival.mean;
}

/* Returns how many of n setups, from the first, have the same share as it is shown. */
static int count_same_share(const struct verdict_writer *v, int n, const int *setup) {
    char first[WG_SHOWN_SIZE], next[WG_SHOWN_SIZE];
    int same = 1;
    wg_show_share(alive_in(v, setup[0]), first);
    for (; same < n; same++) {
        wg_show_share(alive_in(v, setup[same]), next);
        if (strcmp(first, next) != 0)
            break;
    }
    return same;
}

/* "D and C in 30, B in 11 and A in 0" */
static void put_shares(struct verdict_writer *v, int n, const int *setup) {
    for (int at = 0; at < n;) {
        const int same = count_same_share(v, n - at, &setup[at]);
        wg_bytes_put(v->out, at == 0 ? "" : at + same < n ? ", " : " and ");
        put_setups(v, same, &setup[at], put_letter);
        wg_bytes_put(v->out, " in ");
        put_alive(v, setup[at]);
        at += same;
    }
}

/* "97 to 100" from the last to the first of n setups, "100" if they are alike */
static void put_share_range(struct verdict_writer *v, int n, const int *setup) {
    if (count_same_share(v, n, setup) < n) {
        put_alive(v, setup[n - 1]);
        wg_bytes_put(v->out, " to ");
    }
    put_alive(v, setup[0]);
}

/* "; D in 30, B in 11 and A in 0", or "; the others in 0 to 30" */
static void put_shorter_lived(struct verdict_writer *v) {
    const struct wg_choice *const c = v->choice;
    const int n = c->n - c->n_longest, *const rest = &c->by_survival[c->n_longest];
    if (n > 0 && n <= MAX_LISTED) {
        wg_bytes_put(v->out, "; ");
        put_shares(v, n, rest);
    } else if (n > 0) {
        wg_bytes_put(v->out, "; the others in ");
        put_share_range(v, n, rest);
    }
}

static void put_all_alike(struct verdict_writer *v) {
    const struct wg_choice *const c = v->choice;
    char n[WG_SHOWN_SIZE];
    wg_show_whole(c->replicates, n);
    wg_bytes_printf(v->out,
                    "%s %s %s cannot tell which setup lives more often: ", c->replicates == 1 ? "This" : "These", n,
                    wg_replicates_noun(v->facts->n_days, c->replicates));
    if (c->n <= MAX_LISTED) {
        put_shares(v, c->n, c->by_survival);
    } else {
        wg_bytes_put(v->out, "all do in ");
        put_share_range(v, c->n, c->by_survival);
    }
    wg_bytes_printf(v->out, " of 100 %s", years_of(v));
}

/* One setup lives most often: with its interval. */
static void put_longest(struct verdict_writer *v) {
    const struct wg_choice *const c = v->choice;
    const struct wg_interval *const interval = &c->setup[c->by_survival[0]].survival.interval;
    char low[WG_SHOWN_SIZE], high[WG_SHOWN_SIZE];
    wg_show_share(interval->low, low);
    wg_show_share(interval->high, high);
    put_name(v, c->by_survival[0]);
    wg_bytes_put(v->out, " lives most often, to the end in ");
    put_alive(v, c->by_survival[0]);
    wg_bytes_printf(v->out, " of 100 %s (%s to %s)", years_of(v), low, high);
    put_shorter_lived(v);
}

/* Several do, and cannot be told apart. */
static void put_longest_alike(struct verdict_writer *v) {
    const struct wg_choice *const c = v->choice;
    const bool is_same = count_same_share(v, c->n_longest, c->by_survival) == c->n_longest;
    if (c->n_longest <= MAX_LISTED)
        put_setups(v, c->n_longest, c->by_survival, c->n_longest > 2 ? put_letter : put_name);
    else
        wg_bytes_printf(v->out, "%d setups", c->n_longest);
    wg_bytes_printf(v->out, " live most often, %sto the end in ", is_same ? "each " : "");
    if (c->n_longest <= MAX_LISTED && !is_same)
        put_setups(v, c->n_longest, c->by_survival, put_alive);
    else
        put_share_range(v, c->n_longest, c->by_survival);
    wg_bytes_printf(v->out, " of 100 %s%s", years_of(v), is_same ? "" : ", too close to tell apart");
    put_shorter_lived(v);
}

/* One sentence without its full stop. */
static void put_survival(struct verdict_writer *v) {
    const struct wg_choice *const c = v->choice;
    const int best = c->by_survival[0], worst = c->by_survival[c->n - 1];
    char bound[WG_SHOWN_SIZE];
    if (alive_in(v, best) == 0) {
        wg_show_share(c->setup[best].survival.interval.high, bound);
        wg_bytes_printf(v->out, "No setup lives to the end in any %s tried (at most %s of 100)",
                        wg_replicates_noun(v->facts->n_days, 1), bound);
    } else if (alive_in(v, worst) == 1) {
        wg_show_share(c->setup[worst].survival.interval.low, bound);
        wg_bytes_printf(v->out, "%s %s to the end in every %s tried (at least %s of 100)",
                        c->n == 2 ? "Both setups" : "All setups", "live", wg_replicates_noun(v->facts->n_days, 1),
                        bound);
    } else if (c->n_longest == c->n) {
        put_all_alike(v);
    } else {
        wg_bytes_put(v->out, alive_in(v, best) < OFTEN ? "None is safe: " : "");
        if (c->n_longest == 1)
            put_longest(v);
        else
            put_longest_alike(v);
    }
    if (alive_in(v, best) > 0 && alive_in(v, best) <= RARELY)
        wg_bytes_put(v->out, "; hardly any colony lives");
}

/* ---- harvest and money ---- */

static const char *harvest_words(const struct verdict_writer *v) {
    return v->choice->harvest == WG_COMPARED_total_harvest_mass ? "harvest" : "crawl-off";
}

static bool any_harvest(const struct verdict_writer *v) {
    return average_of(v, v->choice->by_harvest[0], v->choice->harvest) > 0;
}

/* ", larger in 70 of 100 plausible animals": nothing where nearly all agree */
static void put_share_of_animals(struct verdict_writer *v, const struct wg_animals_won *won) {
    const int64_t all = won->better + won->same + won->worse;
    if (all > 0 && (double)won->better < NEARLY_ALL * (double)all)
        wg_bytes_printf(v->out, ", larger in %.0f of 100 plausible animals", 100 * (double)won->better / (double)all);
}

static void put_choice_step(struct verdict_writer *v, const struct wg_choice_step *step, bool is_first) {
    const char *const unit = v->choice->is_priced ? "" : " kWh";
    char kg[WG_SHOWN_SIZE], lb[WG_SHOWN_SIZE];
    wg_show_extra_price(&step->price, 1, currency_of_steps(v), kg);
    wg_show_extra_price(&step->price, WG_KG_PER_LB, currency_of_steps(v), lb);
    wg_bytes_put(v->out, "; ");
    put_name(v, step->setup);
    wg_bytes_put(v->out, is_first ? " yields " : " ");
    put_yield(v, step->setup);
    put_for(v, step->setup);
    put_share_of_animals(v, &step->animals);
    wg_bytes_printf(v->out, ": each kg more %s %s%s, each lb %s%s", *unit == '\0' ? "costs" : "takes", kg, unit, lb,
                    unit);
}

/* From the cheapest setup up, by the price of each kg more. */
static void put_money(struct verdict_writer *v) {
    const struct wg_choice *const c = v->choice;
    if (c->n_steps == 0) {
        wg_bytes_put(v->out, " No setup yields clearly more than ");
        put_name(v, c->start);
        wg_bytes_put(v->out, ", which takes the least energy: ");
        put_yield(v, c->start);
        wg_bytes_put(v->out, " on average");
        put_for(v, c->start);
    } else {
        wg_bytes_put(v->out, " ");
        put_name(v, c->start);
        wg_bytes_put(v->out, " yields ");
        put_yield(v, c->start);
        wg_bytes_put(v->out, " on average");
        put_for(v, c->start);
    }
    for (int i = 0; i < c->n_steps; i++)
        put_choice_step(v, &c->step[i], i == 0);
    wg_bytes_put(v->out, ".");
}

static void put_yields(struct verdict_writer *v) {
    const struct wg_choice *const c = v->choice;
    const int most = c->by_harvest[0];
    if (c->n_largest == c->n) {
        wg_bytes_printf(v->out, " The average %s does not differ clearly: ", harvest_words(v));
        put_setups(v, c->n <= MAX_LISTED ? c->n : 2, c->by_harvest, put_yield);
        wg_bytes_put(v->out, c->n <= MAX_LISTED ? "." : " at most.");
    } else if (c->n_largest == 1) {
        wg_bytes_put(v->out, " ");
        put_name(v, most);
        wg_bytes_put(v->out, " yields most, ");
        put_yield(v, most);
        wg_bytes_put(v->out, " on average.");
    } else {
        wg_bytes_put(v->out, " ");
        put_setups(v, c->n_largest, c->by_harvest, put_letter);
        wg_bytes_put(v->out, " yield most, too close to tell apart: ");
        put_yield(v, most);
        wg_bytes_put(v->out, " on average.");
    }
}

static void put_balance_of(struct verdict_writer *v, int setup) {
    char money[WG_SHOWN_SIZE];
    const double mean = average_of(v, setup, WG_COMPARED_balance);
    wg_show_money(mean, mean, 3, v->facts->currency, money);
    wg_bytes_put(v->out, money);
}

static void put_chance_above_zero(struct verdict_writer *v, int setup) {
    char share[WG_SHOWN_SIZE];
    wg_show_share(v->choice->setup[setup].above_zero, share);
    wg_bytes_put(v->out, share);
}

/* Which setup ends best if all prices count. */
static void put_balances(struct verdict_writer *v) {
    const struct wg_choice *const c = v->choice;
    const int best = c->by_balance[0], n = c->n_best <= MAX_LISTED ? c->n_best : 1;
    const bool loses = average_of(v, best, WG_COMPARED_balance) <= 0;
    wg_bytes_printf(v->out, " Counting all prices, %s", loses ? "no setup pays on average: " : "");
    put_setups(v, n, c->by_balance, n > 2 ? put_letter : put_name);
    wg_bytes_printf(v->out, " %s%s %s%s: ", loses ? "lose" : "end", n == 1 ? "s" : "", loses ? "least" : "best",
                    c->n_best > 1 ? ", too close to tell apart" : "");
    put_setups(v, n, c->by_balance, put_balance_of);
    wg_bytes_put(v->out, " on average, above zero in ");
    put_setups(v, n, c->by_balance, put_chance_above_zero);
    wg_bytes_printf(v->out, " of 100 %s.", years_of(v));
}

/* ---- valleys ---- */

/* Collects the setups in a valley beside the same better one. */
static int valleys_beside(const struct wg_choice *c, int better, int setup[WG_COMPARE_MAX]) {
    int n = 0;
    for (int i = 0; i < c->n_valleys; i++)
        if (c->valley[i].better == better)
            setup[n++] = c->valley[i].setup;
    return n;
}

static void put_costly_valley(struct verdict_writer *v, int better) {
    int setup[WG_COMPARE_MAX];
    const int n = valleys_beside(v->choice, better, setup);
    if (n == 0)
        return;
    wg_bytes_put(v->out, " ");
    put_setups(v, n, setup, put_letter);
    wg_bytes_printf(v->out, " %s%s ", v->choice->is_priced ? "cost" : "take", n == 1 ? "s" : "");
    put_setups(v, n <= MAX_LISTED ? n : 1, setup, put_paid);
    wg_bytes_put(v->out, n > MAX_LISTED ? " and more" : "");
    wg_bytes_printf(v->out, " and still %s less often than ", n == 1 ? "lives" : "live");
    put_letter(v, better);
    if (average_of(v, better, WG_COMPARED_total_heater_energy) > 0) {
        wg_bytes_put(v->out, v->choice->is_priced ? ", which costs " : ", which takes ");
        put_paid(v, better);
    } else {
        put_without_energy(v, better);
    }
    wg_bytes_put(v->out, ".");
}

/* ---- whom each suits ---- */

/* ", C if a kg more is worth 25 to you" */
static void put_choices_by_price(struct verdict_writer *v) {
    const struct wg_choice *const c = v->choice;
    const char *const unit = c->is_priced ? "" : " kWh";
    char kg[WG_SHOWN_SIZE], lb[WG_SHOWN_SIZE];
    for (int i = 0; i < c->n_steps; i++) {
        wg_show_price_of_kg(c->step[i].price.per_kg, currency_of_steps(v), kg);
        wg_show_price_of_kg(c->step[i].price.per_kg * WG_KG_PER_LB, currency_of_steps(v), lb);
        wg_bytes_put(v->out, ", ");
        put_name(v, c->step[i].setup);
        wg_bytes_printf(v->out, " if a kg more is worth %s%s to you (a lb %s%s)", kg, unit, lb, unit);
        if (c->step[i].setup == c->safe)
            wg_bytes_put(v->out, " or the colony must live");
    }
}

static bool is_step(const struct wg_choice *c, int setup) {
    for (int i = 0; i < c->n_steps; i++)
        if (c->step[i].setup == setup)
            return true;
    return false;
}

/* One sentence without its full stop. */
static void put_whom(struct verdict_writer *v) {
    const struct wg_choice *const c = v->choice;
    const int cheapest = c->has_accounts ? c->by_balance[0] : c->has_energy ? c->start : c->by_harvest[0];
    const bool lives = alive_in(v, c->by_survival[0]) > RARELY;
    if (!lives && !any_harvest(v)) {
        wg_bytes_printf(v->out, "%s colony lives%s none has any %s: no setup is worth its work",
                        alive_in(v, c->by_survival[0]) > 0 ? "Hardly any" : "No",
                        alive_in(v, c->by_survival[0]) > 0 ? ", and" : " and", harvest_words(v));
        return;
    }
    if (c->replicates < TOO_FEW) {
        wg_bytes_printf(v->out, "%d %s %s too few to choose by", (int)c->replicates,
                        wg_replicates_noun(v->facts->n_days, c->replicates), c->replicates == 1 ? "is" : "are");
        return;
    }
    if (!lives) {
        wg_bytes_put(v->out, "Each setup suits only a keeper who starts again every year");
        return;
    }
    if (!c->has_energy && !c->has_accounts && c->n_largest == c->n && c->n_longest == c->n) {
        wg_bytes_put(v->out, "Choose by the work they make");
        return;
    }
    wg_bytes_put(v->out, "Choose ");
    put_name(v, cheapest);
    wg_bytes_put(v->out, c->has_accounts  ? " for the best balance"
                         : !c->has_energy ? " for the harvest"
                         : c->is_priced   ? " for the lowest cost of energy"
                                          : least_energy(v, cheapest));
    if (alive_in(v, cheapest) < OFTEN)
        wg_bytes_put(v->out, " if you will start anew in most years");
    if (c->safe == cheapest)
        wg_bytes_put(v->out, " (none lives clearly more often)");
    if (!c->has_accounts)
        put_choices_by_price(v);
    if (c->safe != cheapest && (c->has_accounts || !is_step(c, c->safe))) {
        wg_bytes_put(v->out, ", ");
        put_name(v, c->safe);
        wg_bytes_put(v->out, " if the colony must live");
    }
}

/* ---- all ---- */

void wg_verdict_words(const struct wg_verdict_facts *facts, struct wg_bytes *out) {
    struct verdict_writer v = {.choice = facts->choice, .facts = facts, .out = out};
    put_survival(&v);
    wg_bytes_put(out, ".");
    if (v.choice->has_energy && any_harvest(&v))
        put_money(&v);
    else if (any_harvest(&v))
        put_yields(&v);
    if (v.choice->has_accounts)
        put_balances(&v);
    for (int better = 0; better < v.choice->n; better++)
        put_costly_valley(&v, better);
    wg_bytes_put(out, " ");
    put_whom(&v);
    wg_bytes_put(out, ".");
}

void wg_verdict_title(const struct wg_verdict_facts *facts, struct wg_bytes *out) {
    put_whom(&(struct verdict_writer){.choice = facts->choice, .facts = facts, .out = out});
}
