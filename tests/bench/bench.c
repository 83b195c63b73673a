/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Benchmark of the engine against reference implementations.
 *
 *   wintergrub-bench [--json FILE] [--quick] [--rounds N] [PART ...]
 *
 * Parts, all by default: speed, individuals, scaling, memory. Subjects of a comparison are measured in turn within
 * each round, so that a slow phase of the machine affects all, and ratios are within a round. Each number is the
 * median of the rounds with the minimum and the maximum; a target is met only if all rounds meet it. Times are CPU
 * time of one thread, except where threads are compared. --quick (under 20 s): one scenario, numpy once, fewer long
 * runs, of memory only the first output, one round unless --rounds is given.
 *
 *   engine    as in use: weather and housing are computed
 *   hours     the engine with the hours of weather and housing given, as the next two have them (given.h); exits with
 *   given     an error unless it gives the same counts
 *   plain     the same model in plain C (tests/reference/plain_engine.c): GSL's binomial, the gamma distribution
 *             function for every cohort and step, cached; the hours of weather and housing given
 *   numpy     the same in numpy, vectorised over replicates (tests/bench/cohorts_numpy.py), the hours given
 *   draws     the lower bound: only the engine's random draws, repeated
 *   one by    one individual at a time (tests/reference/individual_engine.c), a million of them
 *   one
 *
 * tests/reference/test_*.c show that all of them have the distributions of the engine.
 */
#include "bench/given.h"
#include "bench/report.h"
#include "bench/subject.h"
#include "reference/individual_engine.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define MAIN_SCENARIO "harrow-hill-outdoors"
#define WINTER_SCENARIO "crow-lane-shed"

struct bench {
    struct report report;
    int rounds, quick;
    char program[1024]; /* wintergrub, in the same folder */
};

/* ---- speed, side by side ---- */

enum rival { ENGINE, GIVEN, DRAWS, PLAIN, NUMPY, RIVALS };
static const char *const rival_name[RIVALS] = {"engine", "engine, hours given", "draws alone", "plain engine", "numpy"};

struct speed {
    char name[64];
    int rounds;
    double ms[RIVALS][MAX_ROUNDS]; /* per replicate-year, by round; NaN: not measured */
    double gain[MAX_ROUNDS];       /* two threads against one */
    double ns_per_cohort_step, draws, ns_per_draw, peak_mb;
};

static struct range time_of(const struct speed *s, enum rival rival) {
    double values[MAX_ROUNDS];
    memcpy(values, s->ms[rival], sizeof values);
    return range_of(values, s->rounds);
}

static struct range gain_of(const struct speed *s) {
    double values[MAX_ROUNDS];
    memcpy(values, s->gain, sizeof values);
    return range_of(values, s->rounds);
}

struct row {
    const char *scenario;
    struct change change;
    int plain, numpy; /* replicates of each; 0: not run */
};

static void put_time(double ms) {
    if (isnan(ms))
        (void)printf(" %9s", "-");
    else
        (void)printf(" %9.2f", ms);
}

static void put_speed(struct bench *bench, const struct speed *s) {
    const struct range gain = gain_of(s);
    (void)printf("%-26s", s->name);
    for (enum rival r = 0; r < RIVALS; r++)
        put_time(time_of(s, r).middle);
    (void)printf(" %8.1f %9.0f %8.1f %9.2f %7.1f\n", s->ns_per_cohort_step, s->draws, s->ns_per_draw, gain.middle,
                 s->peak_mb);
    if (s->rounds > 1) {
        (void)printf("%-26s", "  lowest");
        for (enum rival r = 0; r < RIVALS; r++)
            put_time(time_of(s, r).low);
        (void)printf("%27s %9.2f\n%-26s", "", gain.low, "  highest");
        for (enum rival r = 0; r < RIVALS; r++)
            put_time(time_of(s, r).high);
        (void)printf("%27s %9.2f\n", "", gain.high);
    }
    (void)fflush(stdout);
    for (enum rival r = 0; r < RIVALS; r++)
        report_range(&bench->report, s->name, rival_name[r], time_of(s, r), "ms per replicate-year");
    report_value(&bench->report, s->name, "cohort-step", s->ns_per_cohort_step, "ns");
    report_value(&bench->report, s->name, "draws", s->draws, "per replicate-year");
    report_value(&bench->report, s->name, "draw", s->ns_per_draw, "ns");
    report_range(&bench->report, s->name, "2 threads against 1", gain, "times faster");
    report_value(&bench->report, s->name, "peak memory, 2 threads", s->peak_mb, "MB");
}

/* Enough replicates for about half a second. */
static int64_t for_threads(double engine_ms, double years) {
    return (int64_t)fmax(8, fmin(200, 2 * floor(250 / (engine_ms * years))));
}

static struct speed measure(const struct bench *bench, const struct row *row) {
    struct subject subject;
    struct speed s = {.rounds = bench->rounds};
    subject_open(&subject, row->scenario, row->change);
    (void)snprintf(s.name, sizeof s.name, "%s, %d/day", row->scenario, subject.scenario.plan.steps_per_day);
    if (row->plain > 0)
        subject_record(&subject, row->numpy > REPLICATES ? row->numpy : REPLICATES);
    given_check(&subject);
    (void)time_draws(&subject); /* records them; warms up */
    const int numpy_rounds = row->numpy == 0 ? 0 : bench->quick ? 1 : bench->rounds < 3 ? bench->rounds : 3;
    for (int i = 0; i < bench->rounds; i++) {
        s.ms[ENGINE][i] = time_engine(&subject);
        s.ms[GIVEN][i] = time_given(&subject);
        s.ms[DRAWS][i] = time_draws(&subject);
        s.ms[PLAIN][i] = row->plain > 0 ? time_plain(&subject, row->plain) : (double)NAN;
        s.ms[NUMPY][i] = i < numpy_rounds ? time_numpy(&subject) : (double)NAN;
        const int64_t n = for_threads(s.ms[ENGINE][i], subject_years(&subject));
        const double one = time_threads(&subject, 1, n);
        s.gain[i] = one / time_threads(&subject, 2, n);
    }
    const double lived = REPLICATES * subject_years(&subject);
    s.ns_per_cohort_step = 1e6 * time_of(&s, ENGINE).middle * lived / (double)subject.draws.cohort_steps;
    s.draws = (double)subject.draws.n / lived;
    s.ns_per_draw = 1e6 * time_of(&s, DRAWS).middle / s.draws;
    subject_close(&subject);
    return s;
}

static void verdicts(struct bench *bench, const struct speed *s) {
    const struct {
        const char *check;
        enum rival above, below;
        enum report_target target;
        double wanted;
    } verdict[] = {
        {"main scenario: whole engine against the plain engine", PLAIN, ENGINE, AT_LEAST, 8},
        {"main scenario: hours given against the plain engine", PLAIN, GIVEN, AT_LEAST, 8},
        {"main scenario: whole engine against numpy", NUMPY, ENGINE, AT_LEAST, 20},
        {"main scenario: hours given against numpy", NUMPY, GIVEN, AT_LEAST, 20},
        {"main scenario: whole engine over its draws alone", ENGINE, DRAWS, AT_MOST, 1.5},
        {"main scenario: hours given over its draws alone", GIVEN, DRAWS, AT_MOST, 1.5},
    };
    (void)puts("");
    for (size_t i = 0; i < sizeof verdict / sizeof *verdict; i++)
        report_verdict(&bench->report, verdict[i].check,
                       range_of_ratios(s->ms[verdict[i].above], s->ms[verdict[i].below], s->rounds), verdict[i].target,
                       verdict[i].wanted, "x");
    report_verdict(&bench->report, "main scenario: 2 threads against 1", gain_of(s), AT_LEAST, 1.85, "x");
    if (gain_of(s).high > 2)
        (void)puts("  Two processors cannot do more than twice the work of one: the excess over 2 is noise.");
    (void)puts("");
}

static void speed(struct bench *bench) {
    static const struct row rows[] = {
        {MAIN_SCENARIO, {.steps_per_day = 1}, REPLICATES, 200},
        {MAIN_SCENARIO, {.steps_per_day = 4}, 2, 40},
        {MAIN_SCENARIO, {.days = 120, .steps_per_day = 24}, 1, 10},
        {"bench-overlap", {.days = 365, .steps_per_day = 1}, 4, 100},
        {"bench-overlap", {.days = 365, .steps_per_day = 4}, 1, 20},
        {"bench-overlap", {.days = 120, .steps_per_day = 24}, 1, 10},
        {WINTER_SCENARIO, {.steps_per_day = 1}, REPLICATES, 100},
        {WINTER_SCENARIO, {.steps_per_day = 4}, 1, 20},
        {WINTER_SCENARIO, {.days = 120, .steps_per_day = 24}, 1, 10},
    };
    enum { ROWS = sizeof rows / sizeof *rows };
    const int n = bench->quick ? 1 : ROWS;
    double mb[ROWS];
    for (int i = 0; i < n; i++)
        mb[i] = peak_mb(rows[i].scenario, rows[i].change, 2);
    (void)puts("Milliseconds per replicate-year. The engine computes the hours of weather and housing itself;\n"
               "hours given: it gets them, as the plain engine and numpy do. The engine and its draws are the\n"
               "mean of 8 replicates. ns per cohort-step: of the whole engine. Peak memory: the engine on 2 threads,\n"
               "nothing written. 24 steps a day: the first 120 days.\n");
    (void)puts(
        "                              engine     hours     draws     plain     numpy   ns per     draws   ns per "
        "2 threads    peak\n"
        "scenario, steps                         given     alone    engine            cohort-    per re-     draw "
        " x faster      MB\n"
        "                                                                                step pl.-year");
    for (int i = 0; i < n; i++) {
        struct speed s = measure(bench, &rows[i]);
        s.peak_mb = mb[i];
        put_speed(bench, &s);
        if (i == 0)
            verdicts(bench, &s);
    }
    (void)puts("");
}

/* ---- one individual at a time ---- */

#define MILLION 1000000
#define INDIVIDUAL_DAYS 20

/* ns per individual and step, a million individuals in the main scenario's first days. */
static double individual_ns(const struct subject *subject, const struct recorded_hours *hours) {
    struct individual_outcome outcome;
    gsl_rng *const rng = gsl_rng_alloc(gsl_rng_mt19937);
    const double start = cpu_s();
    individuals_run(&subject->scenario.plan, hours, INDIVIDUAL_DAYS, 2 * MILLION, rng, &outcome);
    const double ns = 1e9 * (cpu_s() - start) / (double)outcome.individual_steps;
    gsl_rng_free(rng);
    return ns;
}

static void individuals(struct bench *bench) {
    struct subject subject, crowd;
    double each[MAX_ROUNDS], each_ms[MAX_ROUNDS], engine[MAX_ROUNDS];
    subject_open(&subject, MAIN_SCENARIO, (struct change){.steps_per_day = 1});
    double alive = take_census(&subject).alive;
    subject_record(&subject, 1);
    subject.scenario.plan.actions[0].as.start.count = MILLION; /* the plan is sorted: the starter comes first */
    wg_assert(subject.scenario.plan.actions[0].kind == WG_ACTION_START);
    subject_open(&crowd, MAIN_SCENARIO, (struct change){.steps_per_day = 1, .scale = MILLION / alive});
    alive = take_census(&crowd).alive;
    for (int i = 0; i < bench->rounds; i++) {
        engine[i] = time_engine(&crowd);
        each[i] = individual_ns(&subject, &subject.hours[0]);
    }
    for (int i = 0; i < bench->rounds; i++)
        each_ms[i] = 1e-6 * each[i] * alive * DAYS_A_YEAR;
    const struct range ratio = range_of_ratios(each_ms, engine, bench->rounds);
    const struct range engine_ms = range_of(engine, bench->rounds), individuals_ms = range_of(each_ms, bench->rounds);
    const double ns = range_of(each, bench->rounds).middle;
    (void)printf("One individual at a time: %.1f ns for one and a step (a million over %d days), so %.0f ms for a year "
                 "of\n%.0f alive on average; the engine takes %.2f ms for that year.\n",
                 ns, INDIVIDUAL_DAYS, individuals_ms.middle, alive, engine_ms.middle);
    report_range(&bench->report, "main scenario, a million", "engine", engine_ms, "ms per replicate-year");
    report_range(&bench->report, "main scenario, a million", "one by one", individuals_ms, "ms per replicate-year");
    report_verdict(&bench->report, "a million: engine against one individual at a time", ratio, AT_LEAST, 2000, "x");
    (void)puts("");
    subject_close(&subject);
    subject_close(&crowd);
}

/* ---- scaling ---- */

/* One of several cases whose costs are compared: a changed scenario; per replicate-year. */
struct growing {
    char name[64];
    struct subject subject;
    struct census census;
    double by_round[MAX_ROUNDS]; /* ms */
    struct range ms;
    double ns; /* per cohort-step */
};

static void open_case(struct growing *g, const char *scenario, struct change change, int replicates) {
    subject_open(&g->subject, scenario, change);
    g->subject.replicates = replicates;
    g->census = take_census(&g->subject); /* warms up */
}

/* Times the cases in turn, prints a row for each and closes their subjects. */
static void compare(struct bench *bench, struct growing *cases, int n) {
    for (int i = 0; i < bench->rounds; i++)
        for (int c = 0; c < n; c++)
            cases[c].by_round[i] = time_engine(&cases[c].subject);
    (void)puts(
        "                                                ms   lowest  highest   cohort-steps   ns per cohort-step");
    for (int c = 0; c < n; c++) {
        struct growing *const g = &cases[c];
        double values[MAX_ROUNDS];
        memcpy(values, g->by_round, sizeof values);
        g->ms = range_of(values, bench->rounds);
        g->ns = 1e6 * g->ms.middle / g->census.cohort_steps;
        (void)printf("  %-38s %9.2f %8.2f %8.2f %14.0f %20.1f\n", g->name, g->ms.middle, g->ms.low, g->ms.high,
                     g->census.cohort_steps, g->ns);
        report_range(&bench->report, g->name, "engine", g->ms, "ms per replicate-year");
        report_value(&bench->report, g->name, "cohort-steps", g->census.cohort_steps, "per replicate-year");
        report_value(&bench->report, g->name, "cohort-step", g->ns, "ns");
        subject_close(&g->subject);
    }
}

/* What grew: the number of cohorts, or the cost of each. */
static void why(struct bench *bench, const char *what, const struct growing *few, const struct growing *many) {
    report_measured(&bench->report, what, "cohort-steps", many->census.cohort_steps / few->census.cohort_steps, "x");
    report_measured(&bench->report, what, "ns per cohort-step", many->ns / few->ns, "x");
}

/*
 * Opens the laboratory with feed and starter scaled so that about `larvae` are alive; `usual` at scale 1. A small
 * colony has fewer than its share, because many die out: iterated until it is near.
 */
static void open_laboratory(struct growing *g, double larvae, double usual) {
    enum { TRIES = 12 };
    double scale = larvae / usual;
    for (int i = 0; i < TRIES; i++) {
        open_case(g, "bench-overlap", (struct change){.days = 365, .scale = scale}, REPLICATES);
        const double off = larvae / g->census.larvae;
        if ((off > 0.8 && off < 1.25) || !isfinite(off) || i + 1 == TRIES)
            break;
        subject_close(&g->subject);
        scale *= sqrt(off); /* half a step: extinction of a replicate is random */
    }
    (void)snprintf(g->name, sizeof g->name, "laboratory, %.0f larvae", g->census.larvae);
}

static void with_larvae(struct bench *bench) {
    enum { CASES = 4 };
    struct growing usual, cases[CASES];
    open_case(&usual, "bench-overlap", (struct change){.days = 365}, REPLICATES);
    subject_close(&usual.subject);
    double wanted = 1e3;
    for (int c = 0; c < CASES; c++, wanted *= 100)
        open_laboratory(&cases[c], wanted, usual.census.larvae);
    (void)puts("Larvae in the laboratory, on average (starter and feed scaled together), per replicate-year:");
    compare(bench, cases, CASES);
    double most[MAX_ROUNDS] = {0};
    for (int i = 0; i < bench->rounds; i++)
        for (int c = 0; c < CASES; c++)
            most[i] = fmax(most[i], cases[c].by_round[i]);
    report_verdict(&bench->report, "from a thousand to a thousand million larvae",
                   range_of_ratios(most, cases[0].by_round, bench->rounds), AT_MOST, 4, "x");
    why(bench, "a thousand to a thousand million larvae", &cases[0], &cases[CASES - 1]);
    (void)puts("");
}

static void with_replicates(struct bench *bench) {
    struct subject subject;
    double few[MAX_ROUNDS], many[MAX_ROUNDS];
    const int rounds = bench->quick ? 1 : bench->rounds;
    subject_open(&subject, MAIN_SCENARIO, (struct change){0});
    for (int i = 0; i < rounds; i++) {
        few[i] = time_threads(&subject, 1, 30);
        many[i] = time_threads(&subject, 1, 300);
    }
    subject_close(&subject);
    report_verdict(&bench->report, "main scenario: a replicate of 300 against one of 30",
                   range_of_ratios(many, few, rounds), AT_MOST, 1.1, "x");
    (void)puts("");
}

static void with_years(struct bench *bench) {
    static const struct {
        const char *name, *scenario;
    } colony[] = {{"laboratory", "bench-overlap"}, {"main scenario", MAIN_SCENARIO}};
    static const int years[] = {2, 8};
    struct growing cases[4];
    for (int c = 0; c < 4; c++) {
        open_case(&cases[c], colony[c / 2].scenario, (struct change){.days = years[c % 2] * 365},
                  bench->quick ? 2 : REPLICATES);
        (void)snprintf(cases[c].name, sizeof cases[c].name, "%s, %d years", colony[c / 2].name, years[c % 2]);
    }
    (void)puts("Consecutive years, per replicate-year:");
    compare(bench, cases, 4);
    for (int i = 0; i < 2; i++) {
        const struct growing *const two = &cases[2 * i], *const eight = two + 1;
        char check[80];
        (void)snprintf(check, sizeof check, "%s: a year of eight against one of two", colony[i].name);
        report_verdict(&bench->report, check, range_of_ratios(eight->by_round, two->by_round, bench->rounds), AT_MOST,
                       1.5, "x");
        (void)snprintf(check, sizeof check, "%s, a year of eight to one of two", colony[i].name);
        why(bench, check, two, eight);
    }
    (void)puts("");
}

static void scaling(struct bench *bench) {
    with_larvae(bench);
    with_replicates(bench);
    with_years(bench);
}

/* ---- the program as a whole ---- */

struct whole {
    double mb, first_s, all_s;
};

static struct whole run_program(const struct bench *bench, const char *scenario, int replicates, int threads) {
    char path[1024], count[16], many[16], result[64];
    struct whole whole;
    (void)snprintf(path, sizeof path, "%s/scenarios/%s.yaml", WG_SOURCE_DIR, scenario);
    (void)snprintf(count, sizeof count, "%d", replicates);
    (void)snprintf(many, sizeof many, "%d", threads);
    (void)snprintf(result, sizeof result, "/tmp/wintergrub-bench-%ld.h5", (long)getpid());
    char program[1024], run[] = "run", replicates_word[] = "--replicates", threads_word[] = "--threads",
                        output[] = "--output", force[] = "--force", quiet[] = "--quiet";
    (void)snprintf(program, sizeof program, "%s", bench->program);
    char *const words[] = {program, run,    path,   replicates_word, count, threads_word,
                           many,    output, result, force,           quiet, NULL};
    whole.mb = child_mb(words, &whole.first_s, &whole.all_s);
    (void)unlink(result);
    return whole;
}

static void memory(struct bench *bench) {
    double first_ms[MAX_ROUNDS];
    (void)puts("The program itself (wintergrub run, result written):");
    for (int i = 0; i < bench->rounds; i++)
        first_ms[i] = 1e3 * run_program(bench, MAIN_SCENARIO, 1, 1).first_s;
    report_verdict(&bench->report, "main scenario, 1 replicate: start to first output",
                   range_of(first_ms, bench->rounds), AT_MOST, 50, "ms");
    if (bench->quick)
        return;
    double winter_s[MAX_ROUNDS];
    for (int i = 0; i < bench->rounds; i++)
        winter_s[i] = run_program(bench, WINTER_SCENARIO, 500, 2).all_s;
    report_verdict(&bench->report, "full winter scenario, 500 replicates, 2 threads", range_of(winter_s, bench->rounds),
                   AT_MOST, 3, "s");
    const struct whole few = run_program(bench, MAIN_SCENARIO, 100, 2);
    const struct whole some = run_program(bench, MAIN_SCENARIO, 1000, 2);
    (void)printf("  main scenario, peak memory: 100 replicates %.1f MB, 1,000 replicates %.1f MB\n", few.mb, some.mb);
    const struct whole many = run_program(bench, MAIN_SCENARIO, 10000, 2);
    report_verdict(&bench->report, "main scenario, 10,000 replicates: peak memory", range_of((double[]){many.mb}, 1),
                   AT_MOST, 64, "MB");
    /* from where the weekly values of the first replicates fill their 8 MB */
    const struct whole half = run_program(bench, MAIN_SCENARIO, 5000, 2);
    report_verdict(&bench->report, "memory for each replicate beyond 5,000",
                   range_of((double[]){1024 * (many.mb - half.mb) / 5000}, 1), AT_MOST, 1, "kB");
    (void)puts("");
}

/* ---- main ---- */

static void find_program(struct bench *bench) {
    const ssize_t n = readlink("/proc/self/exe", bench->program, sizeof bench->program - 16);
    char *const slash = n > 0 ? strrchr(bench->program, '/') : NULL;
    (void)strcpy(slash != NULL ? slash + 1 : bench->program, "wintergrub");
}

static int usage(void) {
    (void)fputs("usage: bench [--json FILE] [--quick] [--rounds N] [speed] [individuals] [scaling] [memory]\n", stderr);
    return 2;
}

int main(int argc, char **argv) {
    /* memory first: a child's peak includes what this process held when it forked */
    static const struct {
        const char *name;
        void (*run)(struct bench *bench);
    } parts[] = {{"memory", memory}, {"speed", speed}, {"individuals", individuals}, {"scaling", scaling}};
    enum { N = sizeof parts / sizeof *parts };
    struct bench bench = {0};
    const char *json = NULL;
    int wanted[N] = {0}, some = 0;
    for (int i = 1; i < argc; i++) {
        int known = 1;
        if (strcmp(argv[i], "--json") == 0 && i + 1 < argc)
            json = argv[++i];
        else if (strcmp(argv[i], "--rounds") == 0 && i + 1 < argc) {
            bench.rounds = atoi(argv[++i]);
            if (bench.rounds < 1 || bench.rounds > MAX_ROUNDS)
                return usage();
        } else if (strcmp(argv[i], "--quick") == 0)
            bench.quick = 1;
        else
            known = 0;
        for (int p = 0; p < N && !known; p++)
            if (strcmp(argv[i], parts[p].name) == 0)
                known = wanted[p] = some = 1;
        if (!known)
            return usage();
    }
    if (bench.rounds == 0)
        bench.rounds = bench.quick ? 1 : 5;
    find_program(&bench);
    if (report_open(&bench.report, json) != 0) {
        perror(json);
        return EXIT_FAILURE;
    }
    for (int p = 0; p < N; p++)
        if (!some || wanted[p])
            parts[p].run(&bench);
    const int code = report_close(&bench.report);
    if (bench.report.missed + bench.report.noisy > 0)
        (void)printf("Targets: %d missed, %d within noise, on this machine now.\n", bench.report.missed,
                     bench.report.noisy);
    return code < 0 ? EXIT_FAILURE : EXIT_SUCCESS;
}
