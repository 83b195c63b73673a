/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Splits the variance of an outcome by pairs of values.
 *
 *   D       mean of (x - y)^2/2 over pairs that share the animal only, the winter only, both, or nothing
 *   animal  D(nothing) - D(animal only),  winter  D(nothing) - D(winter only),  rest  D(nothing) - animal - winter
 *   error^2 animal sum A^2 + winter sum W^2 + interaction sum C^2 + luck sum 1,  A, W, C, 1: the shares of the weight of an
 *           animal, a winter, a pair of both, a value; with equal numbers animal/n_A + winter/n_W + rest/n
 *   third   sum of the cubed totals of animals, of winters, less those of pairs of both, over the weight cubed
 *   band    mean + sqrt(v/(v + noise)) (mean of an animal - mean),  v its component, noise the variance of its mean
 *
 * Pairs: Henderson 1953, Biometrics 9:226 (method 1 for two crossed classes, MEMORY). Degrees of freedom: Satterthwaite 1946,
 * Biometrics Bull. 2:110 (MEMORY). Clusters both ways: Cameron, Gelbach & Miller 2011, J. Bus. Econ. Stat. 29:238 (MEMORY; its
 * third moment by the same inclusion and exclusion). Effective trials of a share: Kish 1965, Survey Sampling (MEMORY).
 */
#include "analysis/variance_split.h"

#include "analysis/intervals.h"

#include <math.h>
#include <stdlib.h>

/*
 * A few deaths do not show whether they share animals or winters. So the shares of variance that animals and winters have
 * are averaged with PRIOR_SHARE (what an outdoor trough showed: 0.17 and 0.14), which counts as PRIOR_EVENTS of the rarer
 * outcome.
 */
#define PRIOR_SHARE 0.15
#define PRIOR_EVENTS 2.0 /* judgement: the least that keeps the coverage in the header */

/* ---- groups of values ---- */

typedef bool same_group(const struct wg_split_value *a, const struct wg_split_value *b);

static bool same_animal(const struct wg_split_value *a, const struct wg_split_value *b) {
    return a->animal == b->animal;
}

static bool same_winter(const struct wg_split_value *a, const struct wg_split_value *b) {
    return a->winter == b->winter;
}

static bool same_both(const struct wg_split_value *a, const struct wg_split_value *b) {
    return a->animal == b->animal && a->winter == b->winter;
}

/* The value makes the order, and so the sums, the same in every C library. */
static int compare_keys(int64_t a, int64_t b, int64_t c, int64_t d, double x, double y) {
    if (a != b)
        return a < b ? -1 : 1;
    if (c != d)
        return c < d ? -1 : 1;
    return (x > y) - (x < y);
}

static int by_animal(const void *left, const void *right) {
    const struct wg_split_value *const a = left, *const b = right;
    return compare_keys(a->animal, b->animal, a->winter, b->winter, a->value, b->value);
}

static int by_winter(const void *left, const void *right) {
    const struct wg_split_value *const a = left, *const b = right;
    return compare_keys(a->winter, b->winter, a->animal, b->animal, a->value, b->value);
}

/* Weighted sums over a run of values: values are deviations from the mean. */
struct value_group {
    double weight, squared_weights, total, squares;
};

static void add_value(struct value_group *group, const struct wg_split_value *v) {
    group->weight += v->weight;
    group->squared_weights += v->weight * v->weight;
    group->total += v->weight * v->value;
    group->squares += v->weight * v->value * v->value;
}

/* Sums the group that begins at `from`. Returns where the next begins. */
static int64_t sum_group(const struct wg_split_value *values, int64_t from, int64_t n, same_group *same,
                         struct value_group *group) {
    *group = (struct value_group){0};
    int64_t i = from;
    while (i < n && same(&values[from], &values[i]))
        add_value(group, &values[i++]);
    return i;
}

/* Ordered pairs of values, each of a weight that is the product of the two. */
struct pairs {
    double half_squares, weight; /* sum of (x - y)^2/2; of the weights */
};

struct grouping {
    struct pairs pairs; /* within the groups, each value also with itself */
    double cubes;       /* of the totals */
    int64_t n;
};

static void add_value_group(struct grouping *to, const struct value_group *group) {
    to->pairs.half_squares += fmax(group->weight * group->squares - group->total * group->total, 0);
    to->pairs.weight += group->weight * group->weight;
    to->cubes += group->total * group->total * group->total;
    to->n++;
}

static struct grouping sum_groups(const struct wg_split_value *values, int64_t n, same_group *same) {
    struct grouping all = {0};
    struct value_group group;
    for (int64_t i = 0; i < n;) {
        i = sum_group(values, i, n, same, &group);
        add_value_group(&all, &group);
    }
    return all;
}

/* ---- components ---- */

struct split_sums {
    struct value_group all; /* of deviations from the mean */
    struct grouping animals, winters, both;
    double cubes; /* of the deviations, times their weight */
};

/* Means of (x - y)^2/2 by what the pair shares; NaN without such pairs. */
struct pair_means {
    double nothing, animal, winter, both;
};

/* The weights of all pairs are subtracted from each other, so what is left may be rounding. */
static double mean_of_pairs(double half_squares, double weight, double all) {
    return weight > 1e-9 * all ? fmax(half_squares, 0) / weight : (double)NAN;
}

static struct pair_means average_pairs(const struct split_sums *s) {
    const double all = s->all.weight * s->all.weight;
    const struct pairs *const a = &s->animals.pairs, *const w = &s->winters.pairs, *const c = &s->both.pairs;
    const double squares = s->all.weight * s->all.squares - s->all.total * s->all.total;
    return (struct pair_means){
        mean_of_pairs(squares - a->half_squares - w->half_squares + c->half_squares,
                      all - a->weight - w->weight + c->weight, all),
        mean_of_pairs(a->half_squares - c->half_squares, a->weight - c->weight, all),
        mean_of_pairs(w->half_squares - c->half_squares, w->weight - c->weight, all),
        mean_of_pairs(c->half_squares, c->weight - s->all.squared_weights, all),
    };
}

/* Components of variance; `shows` whether the design has the pairs to tell. */
struct components {
    double animal, winter, interaction, luck;
    bool shows_animal, shows_winter;
};

/* The difference of two means of pairs, in 0..most; by the second way if the design has no pairs for the first. */
static bool find_component(double far, double near, double far2, double near2, double most, double *out) {
    const double first = far - near, found = isnan(first) ? far2 - near2 : first;
    *out = isnan(found) ? 0 : fmin(fmax(found, 0), most);
    return !isnan(found);
}

static struct components components_of(const struct pair_means *d) {
    struct components v = {0};
    double total = d->nothing;
    if (isnan(total)) /* one animal, or one winter: fmax() ignores NaN */
        total = fmax(fmax(d->animal, d->winter), fmax(d->both, 0));
    v.shows_animal = find_component(d->nothing, d->animal, d->winter, d->both, total, &v.animal);
    v.shows_winter = find_component(d->nothing, d->winter, d->animal, d->both, total - v.animal, &v.winter);
    const double rest = total - v.animal - v.winter;
    v.luck = isnan(d->both) ? rest : fmin(d->both, rest);
    v.interaction = rest - v.luck;
    return v;
}

/* ---- the error of the mean ---- */

/* Sums of squared shares of the weight: 1 over the number of animals, winters, pairs of both and values if all are equal. */
struct evenness {
    double animals, winters, both, values;
};

static struct evenness evenness_of(const struct split_sums *s) {
    const double all = s->all.weight * s->all.weight;
    return (struct evenness){s->animals.pairs.weight / all, s->winters.pairs.weight / all, s->both.pairs.weight / all,
                             s->all.squared_weights / all};
}

struct mean_error {
    double variance, freedom, of_animals, of_winters;
};

static struct mean_error mean_error_of(const struct components *v, const struct evenness *s) {
    const double rest = v->interaction * s->both + v->luck * s->values;
    const double animal = v->animal * s->animals + rest, winter = v->winter * s->winters + rest;
    const double variance = animal + winter - rest;
    double spread = 0;
    if (v->shows_animal && s->animals < 1)
        spread += animal * animal / (1 / s->animals - 1);
    if (v->shows_winter && s->winters < 1)
        spread += winter * winter / (1 / s->winters - 1);
    if (v->shows_animal == v->shows_winter)
        spread += rest * rest / (1 / s->values - 1);
    return (struct mean_error){variance, spread > 0 ? fmax(variance * variance / spread, 1) : 1 / s->values - 1,
                               variance > 0 ? v->animal * s->animals / variance : 0,
                               variance > 0 ? v->winter * s->winters / variance : 0};
}

/* Averages the shares of variance with what is usual, and returns them as components of a variance of 1. */
static struct components usual_components(const struct components *v, double variance, double known) {
    const double usual = PRIOR_SHARE * (1 - known);
    const double scale = variance > 0 ? known / variance : 0;
    struct components out = *v;
    out.animal = v->shows_animal ? scale * v->animal + usual : 0;
    out.winter = v->shows_winter ? scale * v->winter + usual : 0;
    out.interaction = scale * v->interaction;
    out.luck = fmax(1 - out.animal - out.winter - out.interaction, 0);
    return out;
}

struct discordant {
    double only_first, only_second; /* shares of the weight: values -1 and 1 */
};

/* Returns the error of a share, or of a difference of shares, in a variance of 1, which follows from the share itself. */
static struct mean_error usual_error(const struct components *v, const struct evenness *s, double variance,
                                     double rarer) {
    const double events = rarer / s->values, known = events / (events + PRIOR_EVENTS);
    const struct components usual = usual_components(v, variance, known);
    struct mean_error error = mean_error_of(&usual, s);
    error.freedom /= known; /* what is usual is no estimate; INFINITY if nothing is known */
    return error;
}

/* ---- bands ---- */

struct weighted {
    double value, weight;
};

static int compare_weighted(const void *left, const void *right) {
    const struct weighted *const a = left, *const b = right;
    return a->value != b->value ? (a->value > b->value) - (a->value < b->value)
                                : (a->weight > b->weight) - (a->weight < b->weight);
}

/* Linear between values, each as far from the next as the mean of their weights: type 7 for equal weights. */
static double band_quantile(const struct weighted *ascending, int64_t n, double q) {
    double length = 0;
    for (int64_t i = 1; i < n; i++)
        length += (ascending[i - 1].weight + ascending[i].weight) / 2;
    double left = q * length;
    for (int64_t i = 1; i < n; i++) {
        const double step = (ascending[i - 1].weight + ascending[i].weight) / 2;
        if (left <= step && step > 0)
            return ascending[i - 1].value + left / step * (ascending[i].value - ascending[i - 1].value);
        left -= step;
    }
    return ascending[n - 1].value;
}

/* A component of variance and the others, as the means of its groups have them. */
struct band_question {
    same_group *same;
    double between, across, luck; /* its component; the other's and the interaction; luck */
    double mean;
};

/* Returns the mean of the group that begins at *from, with its noise taken out, and moves on to the next. */
static struct weighted shrunk_mean(const struct band_question *q, const struct wg_split_value *values, int64_t *from,
                                   int64_t n) {
    struct value_group group, part;
    double squared_parts = 0;
    const int64_t end = sum_group(values, *from, n, q->same, &group);
    for (int64_t i = *from; i < end;) {
        i = sum_group(values, i, end, same_both, &part);
        squared_parts += part.weight * part.weight;
    }
    *from = end;
    const double noise = (q->across * squared_parts + q->luck * group.squared_weights) / (group.weight * group.weight);
    const double kept = q->between > 0 ? sqrt(q->between / (q->between + noise)) : 0;
    return (struct weighted){q->mean + kept * group.total / group.weight, group.weight};
}

/* `values` are sorted by group, then by the other; `means` has room for all. */
static struct wg_split_band band_of(const struct band_question *q, const struct wg_split_value *values, int64_t n,
                                    struct weighted *means) {
    int64_t groups = 0;
    for (int64_t i = 0; i < n;)
        means[groups++] = shrunk_mean(q, values, &i, n);
    qsort(means, (size_t)groups, sizeof *means, compare_weighted);
    return (struct wg_split_band){groups > 1, band_quantile(means, groups, 0.05), band_quantile(means, groups, 0.5),
                                  band_quantile(means, groups, 0.95)};
}

/* ---- the split ---- */

/* The values that count, as deviations from their mean. */
struct deviations {
    struct wg_split_value *at;
    struct weighted *means; /* room for the means of groups */
    int64_t n;
    double mean, least;
    struct discordant discordant;
};

static int take_deviations(struct deviations *d, const struct wg_split_value *values, int64_t n, struct wg_error *err) {
    const size_t room = (size_t)(n > 0 ? n : 1);
    double weight = 0, total = 0;
    *d = (struct deviations){.at = malloc(room * sizeof *d->at), .means = malloc(room * sizeof *d->means)};
    if (d->at == NULL || d->means == NULL)
        return wg_no_memory(err, NULL);
    for (int64_t i = 0; i < n; i++)
        if (!isnan(values[i].value) && values[i].weight > 0)
            d->at[d->n++] = values[i];
    qsort(d->at, (size_t)d->n, sizeof *d->at, by_winter);
    for (int64_t i = 0; i < d->n; i++) {
        const struct wg_split_value *const v = &d->at[i];
        weight += v->weight;
        total += v->weight * v->value;
        d->least = i == 0 ? v->value : fmin(d->least, v->value);
        *(v->value < 0 ? &d->discordant.only_first : &d->discordant.only_second) += v->weight * fabs(v->value);
    }
    d->mean = total / weight;
    d->discordant = (struct discordant){d->discordant.only_first / weight, d->discordant.only_second / weight};
    for (int64_t i = 0; i < d->n; i++)
        d->at[i].value -= d->mean;
    return 0;
}

/* Leaves the deviations sorted by animal. */
static struct split_sums sum_deviations(struct deviations *d) {
    struct split_sums s = {.winters = sum_groups(d->at, d->n, same_winter)};
    qsort(d->at, (size_t)d->n, sizeof *d->at, by_animal);
    s.animals = sum_groups(d->at, d->n, same_animal);
    s.both = sum_groups(d->at, d->n, same_both);
    for (int64_t i = 0; i < d->n; i++) {
        add_value(&s.all, &d->at[i]);
        s.cubes += d->at[i].weight * d->at[i].value * d->at[i].value * d->at[i].value;
    }
    return s;
}

/* A mean of amounts of which none is negative is not negative. */
static struct wg_interval cut_at_zero(const struct deviations *d, struct wg_interval interval) {
    if (d->least >= 0 && interval.low < 0)
        interval.low = 0;
    return interval;
}

/* The same interval as if no two values shared anything. */
static struct wg_interval interval_of_luck(const struct deviations *d, const struct split_sums *s,
                                           enum wg_split_kind kind, double confidence) {
    const double trials = s->all.weight * s->all.weight / s->all.squared_weights;
    if (kind == WG_SPLIT_SHARE)
        return wg_share_interval(d->mean, trials, (double)INFINITY, confidence);
    if (kind == WG_SPLIT_SHARE_DIFFERENCE)
        return wg_paired_shares_interval(d->discordant.only_first, d->discordant.only_second, trials, (double)INFINITY,
                                         confidence);
    const double second = s->all.squares / s->all.weight, third = s->cubes / s->all.weight;
    return cut_at_zero(d, wg_error_interval(d->mean, sqrt(second / (trials - 1)),
                                            third / (second * sqrt(second * trials)), trials - 1, confidence));
}

static struct wg_interval interval_of_amount(const struct deviations *d, const struct split_sums *s,
                                             const struct mean_error *error, double confidence) {
    const double all = s->all.weight, third = s->animals.cubes + s->winters.cubes - s->both.cubes;
    const double skewness = third / (all * all * all) / (error->variance * sqrt(error->variance));
    return cut_at_zero(d, wg_error_interval(d->mean, sqrt(error->variance), skewness, error->freedom, confidence));
}

/* Returns the interval of the mean and sets what animals and winters contribute to its width. */
static struct wg_interval find_interval(struct wg_variance_split *split, const struct deviations *d,
                                        const struct split_sums *s, const struct components *v, enum wg_split_kind kind,
                                        double confidence) {
    const struct evenness even = evenness_of(s);
    const double first = d->discordant.only_first, second = d->discordant.only_second, p = d->mean;
    const struct mean_error plain = mean_error_of(v, &even);
    const struct mean_error used = kind == WG_SPLIT_AMOUNT ? plain
                                   : kind == WG_SPLIT_SHARE
                                       ? usual_error(v, &even, p * (1 - p), fmin(p, 1 - p))
                                       : usual_error(v, &even, first + second - p * p, first + second);
    split->error = sqrt(plain.variance);
    split->freedom = used.freedom;
    split->of_animals = used.of_animals;
    split->of_winters = used.of_winters;
    if (!v->shows_animal && !v->shows_winter)
        return split->luck;
    if (kind == WG_SPLIT_AMOUNT)
        return interval_of_amount(d, s, &plain, confidence);
    return kind == WG_SPLIT_SHARE
               ? wg_share_interval(p, 1 / used.variance, used.freedom, confidence)
               : wg_paired_shares_interval(first, second, 1 / used.variance, used.freedom, confidence);
}

static void find_bands(struct wg_variance_split *split, struct deviations *d, const struct components *v) {
    const struct band_question animals = {same_animal, v->animal, v->winter + v->interaction, v->luck, d->mean};
    const struct band_question winters = {same_winter, v->winter, v->animal + v->interaction, v->luck, d->mean};
    split->animals = band_of(&animals, d->at, d->n, d->means);
    qsort(d->at, (size_t)d->n, sizeof *d->at, by_winter);
    split->winters = band_of(&winters, d->at, d->n, d->means);
    split->animals.is_known &= v->shows_animal;
    split->winters.is_known &= v->shows_winter;
}

static void split_deviations(struct wg_variance_split *split, struct deviations *d, enum wg_split_kind kind,
                             double confidence) {
    const struct split_sums s = sum_deviations(d);
    const struct pair_means pairs = average_pairs(&s);
    const struct components v = components_of(&pairs);
    *split = (struct wg_variance_split){.n = d->n,
                                        .n_animals = s.animals.n,
                                        .n_winters = s.winters.n,
                                        .mean = d->mean,
                                        .animal = v.animal,
                                        .winter = v.winter,
                                        .rest = v.interaction + v.luck};
    split->luck = interval_of_luck(d, &s, kind, confidence);
    split->interval = find_interval(split, d, &s, &v, kind, confidence);
    find_bands(split, d, &v);
}

int wg_variance_split(struct wg_variance_split *split, const struct wg_split_value *values, int64_t n,
                      enum wg_split_kind kind, double confidence, struct wg_error *err) {
    struct deviations d;
    const int code = take_deviations(&d, values, n, err);
    const double least = kind == WG_SPLIT_SHARE ? 0 : kind == WG_SPLIT_AMOUNT ? (double)NAN : -1;
    *split = (struct wg_variance_split){
        .mean = (double)NAN, .error = (double)NAN, .interval = {least, kind == WG_SPLIT_AMOUNT ? (double)NAN : 1}};
    split->luck = split->interval;
    if (code == 0 && d.n > 0)
        split_deviations(split, &d, kind, confidence);
    free(d.at);
    free(d.means);
    return code;
}
