/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Chooses among setups: ranks them, finds what cannot be told apart, and climbs from the cheapest to the largest harvest
 * by the lowest price of each extra kg, as one does with incremental cost-effectiveness ratios (Weinstein & Zeckhauser
 * 1973, J. Public Econ. 2:147; MEMORY).
 */
#include "analysis/choice.h"

#include "analysis/cells.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- one setup ---- */

static int describe_outcome(struct wg_choice_number *number, const double *values, int64_t n, struct wg_error *err) {
    double *const sorted = malloc((size_t)n * sizeof *sorted);
    struct wg_sum sum = {0};
    if (sorted == NULL)
        return wg_no_memory(err, NULL);
    number->happened = 0;
    for (int64_t k = 0; k < n; k++) {
        if (isnan(values[k]))
            continue;
        sorted[number->happened++] = values[k];
        wg_sum_add(&sum, values[k]);
    }
    wg_sort(sorted, (size_t)number->happened);
    number->mean = wg_sum_total(&sum) / (double)number->happened;
    number->q05 = wg_quantile_sorted(sorted, (size_t)number->happened, 0.05);
    number->q95 = wg_quantile_sorted(sorted, (size_t)number->happened, 0.95);
    free(sorted);
    return 0;
}

static int split_alive(struct wg_choice_setup *setup, int64_t n, struct wg_error *err) {
    struct wg_split_value *const values = calloc((size_t)n, sizeof *values);
    if (values == NULL)
        return wg_no_memory(err, NULL);
    for (int64_t k = 0; k < n; k++) {
        values[k] =
            setup->cells != NULL ? setup->cells[k] : (struct wg_split_value){.weight = 1, .animal = -1, .winter = k};
        values[k].value = setup->outcome[WG_COMPARED_survived][k];
    }
    const int code = wg_variance_split(&setup->survival, values, n, WG_SPLIT_SHARE, WG_COMPARE_CONFIDENCE, err);
    free(values);
    return code;
}

/* ---- two setups ---- */

/* Pairs one setup with another, or with nothing (-1). */
struct choice_pair {
    const struct wg_choice *choice;
    int first, second;
    const double *nothing; /* zeros */
    double confidence;
};

static const double *outcomes_of(const struct choice_pair *pair, int setup, enum wg_compared compared) {
    return setup < 0 ? pair->nothing : pair->choice->setup[setup].outcome[compared];
}

/* Copies the cells of a pair into *cells; NULL if its replicates are independent. */
static int cells_of_pair(const struct choice_pair *pair, struct wg_split_value **cells, struct wg_error *err) {
    const struct wg_choice_setup *const second = &pair->choice->setup[pair->second];
    const int64_t n = pair->choice->replicates;
    *cells = NULL;
    if (second->cells == NULL)
        return 0;
    *cells = malloc((size_t)n * sizeof **cells);
    if (*cells == NULL)
        return wg_no_memory(err, NULL);
    memcpy(*cells, second->cells, (size_t)n * sizeof **cells);
    if (pair->first >= 0)
        wg_cells_pair(*cells, pair->choice->setup[pair->first].cells, n);
    return 0;
}

static int compare_two(const struct choice_pair *pair, enum wg_compared compared, const struct wg_split_value *cells,
                       struct wg_difference *difference, struct wg_error *err) {
    return wg_compared_difference(difference, outcomes_of(pair, pair->first, compared),
                                  outcomes_of(pair, pair->second, compared), cells, pair->choice->replicates, compared,
                                  pair->confidence, err);
}

static int price_two(const struct choice_pair *pair, struct wg_extra_price *price, struct wg_animals_won *animals,
                     struct wg_error *err) {
    const enum wg_compared paid = pair->choice->cost, harvest = pair->choice->harvest;
    struct wg_split_value *cells;
    struct wg_difference cost, kg;
    int code = cells_of_pair(pair, &cells, err);
    if (code == 0)
        code = compare_two(pair, paid, cells, &cost, err);
    if (code == 0)
        code = compare_two(pair, harvest, cells, &kg, err);
    const struct wg_priced of = {{outcomes_of(pair, pair->first, paid), outcomes_of(pair, pair->second, paid)},
                                 {outcomes_of(pair, pair->first, harvest), outcomes_of(pair, pair->second, harvest)},
                                 cells,
                                 pair->choice->replicates,
                                 pair->confidence};
    if (code == 0)
        code = wg_price_of(price, &of, &cost, &kg, err);
    if (code == 0 && animals != NULL)
        *animals = kg.animals;
    free(cells);
    return code;
}

/* ---- all pairs ---- */

/* What the replicates tell of each pair: 1 if the second is clearly larger, -1 if it is clearly smaller, else 0. */
struct choice_signs {
    signed char alive[WG_COMPARE_MAX][WG_COMPARE_MAX], harvest[WG_COMPARE_MAX][WG_COMPARE_MAX];
    signed char balance[WG_COMPARE_MAX][WG_COMPARE_MAX];
    double confidence;
    double *nothing;
};

/* Without any variance the difference is the same in every replicate, and has no interval; one replicate tells nothing. */
static signed char sign_of(const struct wg_difference *d) {
    if (isnan(d->interval.low))
        return d->n > 1 ? (signed char)((d->mean > 0) - (d->mean < 0)) : 0;
    return (signed char)((d->interval.low > 0) - (d->interval.high < 0));
}

static int find_sign(const struct choice_pair *pair, struct choice_signs *signs, struct wg_error *err) {
    struct wg_split_value *cells;
    struct wg_difference alive, harvest, balance = {0};
    int code = cells_of_pair(pair, &cells, err);
    if (code == 0)
        code = compare_two(pair, WG_COMPARED_survived, cells, &alive, err);
    if (code == 0)
        code = compare_two(pair, pair->choice->harvest, cells, &harvest, err);
    if (code == 0 && pair->choice->has_accounts)
        code = compare_two(pair, WG_COMPARED_balance, cells, &balance, err);
    free(cells);
    if (code < 0)
        return code;
    const int i = pair->first, j = pair->second;
    signs->alive[i][j] = sign_of(&alive);
    signs->harvest[i][j] = sign_of(&harvest);
    signs->balance[i][j] = sign_of(&balance);
    signs->balance[j][i] = (signed char)-signs->balance[i][j];
    signs->alive[j][i] = (signed char)-signs->alive[i][j];
    signs->harvest[j][i] = (signed char)-signs->harvest[i][j];
    return 0;
}

static int find_signs(const struct wg_choice *choice, struct choice_signs *signs, struct wg_error *err) {
    int code = 0;
    for (int i = 0; i < choice->n; i++)
        for (int j = i + 1; j < choice->n && code == 0; j++)
            code = find_sign(&(struct choice_pair){choice, i, j, NULL, signs->confidence}, signs, err);
    return code;
}

/* ---- ranks ---- */

static double mean_of_setup(const struct wg_choice *choice, int setup, enum wg_compared compared) {
    return choice->setup[setup].number[compared].mean;
}

/* Sorts setups by falling mean; equals keep their order. */
static void rank_setups(const struct wg_choice *choice, enum wg_compared compared, int order[WG_COMPARE_MAX]) {
    for (int i = 0; i < choice->n; i++) {
        int at = i;
        for (; at > 0 && mean_of_setup(choice, order[at - 1], compared) < mean_of_setup(choice, i, compared); at--)
            order[at] = order[at - 1];
        order[at] = i;
    }
}

/* Moves those that cannot be told from the first to the front, in their order. Returns their number. */
static int count_like_first(int n, int order[WG_COMPARE_MAX], signed char sign[WG_COMPARE_MAX][WG_COMPARE_MAX]) {
    int alike = 1;
    for (int at = 1; at < n; at++) {
        const int setup = order[at];
        if (sign[setup][order[0]] > 0)
            continue;
        memmove(&order[alike + 1], &order[alike], (size_t)(at - alike) * sizeof *order);
        order[alike++] = setup;
    }
    return alike;
}

/* Costs that differ by less than a hundredth are the same to a keeper (judgement). */
static bool is_dearer(const struct wg_choice *choice, int setup, int than) {
    return mean_of_setup(choice, setup, choice->cost) > 1.01 * mean_of_setup(choice, than, choice->cost);
}

/* Of those that live longest, the one with the best balance. */
static int find_best_paid(const struct wg_choice *choice) {
    int best = choice->by_survival[0];
    for (int i = 1; i < choice->n_longest; i++)
        if (mean_of_setup(choice, choice->by_survival[i], WG_COMPARED_balance) >
            mean_of_setup(choice, best, WG_COMPARED_balance))
            best = choice->by_survival[i];
    return best;
}

/* The cheapest of those that live longest; of those that cost the same, the one with most harvest. */
static int find_safe(const struct wg_choice *choice) {
    int cheapest = choice->by_survival[0];
    for (int i = 1; i < choice->n_longest; i++)
        if (mean_of_setup(choice, choice->by_survival[i], choice->cost) < mean_of_setup(choice, cheapest, choice->cost))
            cheapest = choice->by_survival[i];
    int safe = cheapest;
    for (int i = 0; i < choice->n_longest; i++) {
        const int setup = choice->by_survival[i];
        if (!is_dearer(choice, setup, cheapest) &&
            mean_of_setup(choice, setup, choice->harvest) > mean_of_setup(choice, safe, choice->harvest))
            safe = setup;
    }
    return safe;
}

/* ---- the steps ---- */

/* The cheapest, or what yields clearly more for the same money. */
static int find_start(const struct wg_choice *choice, const struct choice_signs *signs) {
    int cheapest = 0;
    for (int i = 1; i < choice->n; i++)
        if (mean_of_setup(choice, i, choice->cost) < mean_of_setup(choice, cheapest, choice->cost))
            cheapest = i;
    int start = cheapest;
    for (int i = 0; i < choice->n; i++)
        if (!is_dearer(choice, i, cheapest) && signs->harvest[start][i] > 0)
            start = i;
    return start;
}

/* Finds the setup whose extra kg are the cheapest, seen from `from`; none: *step keeps setup -1. */
static int find_next_step(const struct wg_choice *choice, const struct choice_signs *signs, int from,
                          struct wg_choice_step *step, struct wg_error *err) {
    int code = 0;
    *step = (struct wg_choice_step){.setup = -1, .from = from};
    for (int i = 0; i < choice->n && code == 0; i++) {
        struct wg_choice_step next = {.setup = i, .from = from};
        if (signs->harvest[from][i] <= 0 || !is_dearer(choice, i, from))
            continue;
        code = price_two(&(struct choice_pair){choice, from, i, signs->nothing, WG_COMPARE_CONFIDENCE}, &next.price,
                         &next.animals, err);
        if (code == 0 && next.price.why == WG_EXTRA_PRICED &&
            (step->setup < 0 || next.price.per_kg < step->price.per_kg))
            *step = next;
    }
    return code;
}

static int find_steps(struct wg_choice *choice, const struct choice_signs *signs, struct wg_error *err) {
    int code = 0;
    choice->start = find_start(choice, signs);
    choice->n_steps = 0;
    for (int from = choice->start; code == 0 && choice->has_energy && choice->n_steps < choice->n - 1;) {
        struct wg_choice_step *const step = &choice->step[choice->n_steps];
        code = find_next_step(choice, signs, from, step, err);
        if (code < 0 || step->setup < 0)
            break;
        from = step->setup;
        choice->n_steps++;
    }
    return code;
}

/* ---- valleys ---- */

/* Whether one buys less energy than the other, or as little and lives more often. */
static bool is_better_bought(const struct wg_choice *choice, int setup, int than) {
    const double mine = mean_of_setup(choice, setup, WG_COMPARED_total_heater_energy);
    const double other = mean_of_setup(choice, than, WG_COMPARED_total_heater_energy);
    return mine < other || (mine == other && mean_of_setup(choice, setup, WG_COMPARED_survived) >
                                                 mean_of_setup(choice, than, WG_COMPARED_survived));
}

#define LESS_ENERGY 0.99 /* a smaller difference, as larvae's own heat makes, is none to a keeper (judgement) */

/* Of those that buy less energy and live clearly more often, names the one that buys least. */
static void find_valleys(struct wg_choice *choice, const struct choice_signs *signs) {
    choice->n_valleys = 0;
    for (int i = 0; i < choice->n; i++) {
        const double energy = mean_of_setup(choice, i, WG_COMPARED_total_heater_energy);
        int better = -1;
        for (int j = 0; j < choice->n; j++)
            if (mean_of_setup(choice, j, WG_COMPARED_total_heater_energy) < LESS_ENERGY * energy &&
                signs->alive[i][j] > 0 && (better < 0 || is_better_bought(choice, j, better)))
                better = j;
        if (better >= 0)
            choice->valley[choice->n_valleys++] = (struct wg_choice_valley){i, better};
    }
}

/* ---- all ---- */

static double share_above_zero(const double *values, int64_t n) {
    int64_t above = 0;
    for (int64_t k = 0; k < n; k++)
        above += values[k] > 0;
    return (double)above / (double)n;
}

static int describe_setups(struct wg_choice *choice, struct wg_error *err) {
    int code = 0;
    choice->has_energy = false;
    choice->is_priced = true;
    for (int i = 0; i < choice->n && code == 0; i++) {
        struct wg_choice_setup *const setup = &choice->setup[i];
        for (int c = 0; c < WG_N_COMPARED && code == 0; c++)
            if (setup->outcome[c] != NULL)
                code = describe_outcome(&setup->number[c], setup->outcome[c], choice->replicates, err);
        if (choice->has_accounts)
            setup->above_zero = share_above_zero(setup->outcome[WG_COMPARED_balance], choice->replicates);
        if (code == 0)
            code = split_alive(setup, choice->replicates, err);
        choice->has_energy = choice->has_energy || setup->number[WG_COMPARED_total_heater_energy].mean > 0;
        choice->is_priced =
            choice->is_priced && setup->number[WG_COMPARED_total_heater_cost].happened == choice->replicates;
    }
    choice->cost = choice->is_priced ? WG_COMPARED_total_heater_cost : WG_COMPARED_total_heater_energy;
    return code;
}

static int price_setups(struct wg_choice *choice, const struct choice_signs *signs, struct wg_error *err) {
    int code = 0;
    for (int i = 0; i < choice->n && code == 0; i++) {
        struct wg_choice_setup *const setup = &choice->setup[i];
        const double none = (double)NAN;
        setup->extra = (struct wg_extra_price){WG_EXTRA_NONE, none, {none, none}};
        code = price_two(&(struct choice_pair){choice, -1, i, signs->nothing, WG_COMPARE_CONFIDENCE}, &setup->per_kg,
                         NULL, err);
        if (code == 0 && i > 0)
            code = price_two(&(struct choice_pair){choice, 0, i, signs->nothing, WG_COMPARE_CONFIDENCE}, &setup->extra,
                             NULL, err);
    }
    return code;
}

static int choose(struct wg_choice *choice, struct choice_signs *signs, struct wg_error *err) {
    int code = describe_setups(choice, err);
    if (code == 0)
        code = find_signs(choice, signs, err);
    if (code < 0)
        return code;
    rank_setups(choice, WG_COMPARED_survived, choice->by_survival);
    rank_setups(choice, choice->harvest, choice->by_harvest);
    choice->n_longest = count_like_first(choice->n, choice->by_survival, signs->alive);
    if (choice->has_accounts) {
        rank_setups(choice, WG_COMPARED_balance, choice->by_balance);
        choice->n_best = count_like_first(choice->n, choice->by_balance, signs->balance);
    }
    choice->n_largest = count_like_first(choice->n, choice->by_harvest, signs->harvest);
    choice->safe = choice->has_accounts ? find_best_paid(choice) : find_safe(choice);
    find_valleys(choice, signs);
    code = price_setups(choice, signs, err);
    return code == 0 ? find_steps(choice, signs, err) : code;
}

int wg_choice_find(struct wg_choice *choice, struct wg_error *err) {
    const int pairs = choice->n * (choice->n - 1) / 2;
    struct choice_signs *const signs = calloc(1, sizeof *signs);
    int code = signs == NULL ? wg_no_memory(err, NULL) : 0;
    if (code == 0) {
        signs->confidence = 1 - (1 - WG_COMPARE_CONFIDENCE) / pairs;
        signs->nothing = calloc((size_t)choice->replicates, sizeof *signs->nothing);
        code = signs->nothing == NULL ? wg_no_memory(err, NULL) : choose(choice, signs, err);
        free(signs->nothing);
    }
    free(signs);
    return code;
}

bool wg_choice_needs(enum wg_compared compared, enum wg_compared harvest) {
    return compared == WG_COMPARED_survived || compared == harvest || compared == WG_COMPARED_weeks_without_harvest ||
           compared == WG_COMPARED_total_heater_energy || compared == WG_COMPARED_total_heater_cost ||
           compared == WG_COMPARED_balance;
}

int wg_choice_of(struct wg_choice *choice, const struct wg_compare *compare, struct wg_error *err) {
    int code = 0;
    choice->n = compare->n;
    choice->replicates = compare->replicates;
    choice->harvest = wg_compare_main(compare);
    choice->has_accounts = wg_compare_compared_kept(compare) == WG_N_COMPARED;
    for (int i = 0; i < choice->n && code == 0; i++) {
        for (int c = 0; c < wg_compare_compared_kept(compare); c++)
            choice->setup[i].outcome[c] =
                wg_summary_outcome(&compare->setup[i].summary, wg_compared_outcome((enum wg_compared)c));
        code = wg_compare_cells(compare, i, &choice->setup[i].cells, err);
    }
    return code == 0 ? wg_choice_find(choice, err) : code;
}

void wg_choice_free(struct wg_choice *choice) {
    for (int i = 0; i < WG_COMPARE_MAX; i++)
        free(choice->setup[i].cells);
    for (int c = 0; c < WG_N_COMPARED; c++)
        free(choice->values[c]);
    memset(choice, 0, sizeof *choice);
}
