/*
 * How fast is the engine, and compared with what?
 *
 *   wintergrub-bench [--json FILE] [--quick] [--rounds N] [PART ...]
 *
 * Parts, all unless named: speed, individuals, scaling, memory. What is compared is measured in turn within each round,
 * so that a machine that slows down slows down both; the median of the rounds counts. Times are processor time of one
 * thread, unless threads are the question.
 *
 *   plain     the same model in the plainest way (tests/reference/plain_engine.c): GSL's binomial, the gamma
 *             distribution function for every cohort and step, the hours of weather and housing given to it
 *   numpy     the same with numpy, vectorised over replicates (tests/bench/cohorts_numpy.py), the hours given
 *   draws     the floor: the engine's own random draws alone, made again one after another
 *   one by    one individual at a time (tests/reference/individual_engine.c), a million of them
 *   one
 *
 * tests/reference/test_*.c show that all of them draw from the law of the engine.
 */
#include "bench/report.h"
#include "bench/subject.h"
#include "reference/individual_engine.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define MOST_ROUNDS 25
#define MAIN_SCENARIO "harrow-hill-outdoors"
#define WINTER_SCENARIO "crow-lane-shed"

struct bench {
    struct report report;
    int rounds, quick;
    char program[1024]; /* wintergrub, beside this one */
};

/* ---- speed, side by side ---- */

enum rival { ENGINE, DRAWS, PLAIN, NUMPY, RIVALS };
static const char *const rival_name[RIVALS] = {"engine", "draws alone", "plain engine", "numpy"};

struct speed {
    char name[64];
    double ms[RIVALS]; /* per replicate and year, medians; NaN: not measured */
    double thread_gain, ns_per_cohort_step, draws, ns_per_draw, peak_mb;
};

struct row {
    const char *scenario;
    struct change change;
    int plain, numpy; /* replicates of each; 0: left out */
};

static void put_speed(struct bench *bench, const struct speed *s) {
    (void)printf("%-26s", s->name);
    for (int r = 0; r < RIVALS; r++)
        if (isnan(s->ms[r]))
            (void)printf(" %9s", "-");
        else
            (void)printf(" %9.2f", s->ms[r]);
    (void)printf(" %8.1f %9.0f %8.1f %9.2f %7.1f\n", s->ns_per_cohort_step, s->draws, s->ns_per_draw, s->thread_gain,
                 s->peak_mb);
    (void)fflush(stdout);
    for (int r = 0; r < RIVALS; r++)
        report_value(&bench->report, s->name, rival_name[r], s->ms[r], "ms per replicate-year");
    report_value(&bench->report, s->name, "cohort-step", s->ns_per_cohort_step, "ns");
    report_value(&bench->report, s->name, "draws", s->draws, "per replicate-year");
    report_value(&bench->report, s->name, "draw", s->ns_per_draw, "ns");
    report_value(&bench->report, s->name, "2 threads against 1", s->thread_gain, "times faster");
    report_value(&bench->report, s->name, "peak memory, 2 threads", s->peak_mb, "MB");
}

/* Enough replicates for about half a second. */
static int64_t for_threads(const struct speed *s, double years) {
    return (int64_t)fmax(8, fmin(200, 2 * floor(250 / (s->ms[ENGINE] * years))));
}

static struct speed measure(const struct bench *bench, const struct row *row) {
    struct subject subject;
    struct speed s = {0};
    double ms[RIVALS][MOST_ROUNDS], gain[MOST_ROUNDS];
    subject_open(&subject, row->scenario, row->change);
    (void)snprintf(s.name, sizeof s.name, "%s, %d/day", row->scenario, subject.scenario.plan.steps_per_day);
    if (row->plain > 0)
        subject_record(&subject, row->numpy > row->plain ? row->numpy : row->plain);
    (void)time_draws(&subject); /* notes them; warms up */
    for (int i = 0; i < bench->rounds; i++) {
        ms[ENGINE][i] = time_engine(&subject);
        ms[DRAWS][i] = time_draws(&subject);
        ms[PLAIN][i] = row->plain > 0 ? time_plain(&subject, row->plain) : (double)NAN;
        ms[NUMPY][i] = row->numpy > 0 && i < 3 ? time_numpy(&subject) : (double)NAN;
        s.ms[ENGINE] = ms[ENGINE][i];
        const int64_t n = for_threads(&s, subject_years(&subject));
        const double one = time_threads(&subject, 1, n);
        gain[i] = one / time_threads(&subject, 2, n);
    }
    for (int r = 0; r < RIVALS; r++)
        s.ms[r] = median(ms[r], r == NUMPY && bench->rounds > 3 ? 3 : bench->rounds);
    s.thread_gain = median(gain, bench->rounds);
    const double lived = REPLICATES * subject_years(&subject);
    s.ns_per_cohort_step = 1e6 * s.ms[ENGINE] * lived / (double)subject.draws.cohort_steps;
    s.draws = (double)subject.draws.n / lived;
    s.ns_per_draw = 1e6 * s.ms[DRAWS] / s.draws;
    subject_close(&subject);
    return s;
}

static void verdicts(struct bench *bench, const struct speed *s) {
    (void)puts("");
    report_verdict(&bench->report, "main scenario: engine against the plain engine", s->ms[PLAIN] / s->ms[ENGINE],
                   AT_LEAST, 8, "x");
    report_verdict(&bench->report, "main scenario: engine against numpy", s->ms[NUMPY] / s->ms[ENGINE], AT_LEAST, 20,
                   "x");
    report_verdict(&bench->report, "main scenario: engine over its draws alone", s->ms[ENGINE] / s->ms[DRAWS], AT_MOST,
                   1.5, "x");
    report_verdict(&bench->report, "main scenario: 2 threads against 1", s->thread_gain, AT_LEAST, 1.85, "x");
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
        {WINTER_SCENARIO, {.steps_per_day = 1}, 0, 0},
        {WINTER_SCENARIO, {.steps_per_day = 4}, 0, 0},
        {WINTER_SCENARIO, {.days = 120, .steps_per_day = 24}, 0, 0},
    };
    enum { ROWS = sizeof rows / sizeof *rows };
    const int n = bench->quick ? 1 : ROWS;
    double mb[ROWS];
    for (int i = 0; i < n; i++)
        mb[i] = peak_mb(rows[i].scenario, rows[i].change, 2);
    (void)puts("Milliseconds for one replicate and year. The plain engine and numpy get the hours of weather and\n"
               "housing as a gift; the engine and its draws are the mean of 8 replicates. Peak memory: the engine\n"
               "on 2 threads, nothing written. 24 steps a day: the first 120 days.\n");
    (void)puts("                              engine     draws     plain     numpy   ns per     draws   ns per "
               "2 threads    peak\n"
               "scenario, steps                         alone    engine            cohort-    per re-     draw  "
               "x faster      MB\n"
               "                                                                      step pl.-year");
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

/* ns to ask one individual once, a million of them in the main scenario's first days. */
static double individual_ns(const struct subject *subject, const struct recorded_hours *hours) {
    struct individual_outcome outcome;
    gsl_rng *const rng = gsl_rng_alloc(gsl_rng_mt19937);
    const double start = cpu_s();
    individuals_live(&subject->scenario.plan, hours, INDIVIDUAL_DAYS, 2 * MILLION, rng, &outcome);
    const double ns = 1e9 * (cpu_s() - start) / (double)outcome.individual_steps;
    gsl_rng_free(rng);
    return ns;
}

static void individuals(struct bench *bench) {
    struct subject subject, crowd;
    double alive, larvae, each[MOST_ROUNDS], engine[MOST_ROUNDS];
    subject_open(&subject, MAIN_SCENARIO, (struct change){.steps_per_day = 1});
    count_alive(&subject, &alive, &larvae);
    subject_record(&subject, 1);
    subject.scenario.plan.actions[0].as.start.count = MILLION; /* the plan is sorted: the starter comes first */
    wg_assert(subject.scenario.plan.actions[0].kind == WG_DO_START);
    subject_open(&crowd, MAIN_SCENARIO, (struct change){.steps_per_day = 1, .scale = MILLION / alive});
    count_alive(&crowd, &alive, &larvae);
    for (int i = 0; i < bench->rounds; i++) {
        engine[i] = time_engine(&crowd);
        each[i] = individual_ns(&subject, &subject.hours[0]);
    }
    const double engine_ms = median(engine, bench->rounds), ns = median(each, bench->rounds);
    const double individuals_ms = 1e-6 * ns * alive * DAYS_A_YEAR;
    (void)printf("One individual at a time: %.1f ns for one and a step (a million over %d days), so %.0f ms for a year "
                 "of\n%.0f alive on average; the engine takes %.2f ms for that year.\n",
                 ns, INDIVIDUAL_DAYS, individuals_ms, alive, engine_ms);
    report_value(&bench->report, "main scenario, a million", "engine", engine_ms, "ms per replicate-year");
    report_value(&bench->report, "main scenario, a million", "one by one", individuals_ms, "ms per replicate-year");
    report_verdict(&bench->report, "a million: engine against one individual at a time", individuals_ms / engine_ms,
                   AT_LEAST, 2000, "x");
    (void)puts("");
    subject_close(&subject);
    subject_close(&crowd);
}

/* ---- what the cost grows with ---- */

/* The laboratory with so many times its feed and starter; returns ms per replicate-year and the mean larvae. */
static double laboratory_ms(const struct bench *bench, double scale, double *larvae) {
    struct subject subject;
    double alive, ms[MOST_ROUNDS];
    subject_open(&subject, "bench-overlap", (struct change){.days = 365, .scale = scale});
    count_alive(&subject, &alive, larvae);
    for (int i = 0; i < bench->rounds; i++)
        ms[i] = time_engine(&subject);
    subject_close(&subject);
    return median(ms, bench->rounds);
}

static void with_larvae(struct bench *bench) {
    double larvae, usual;
    (void)laboratory_ms(bench, 1, &usual);
    (void)puts("Larvae in the laboratory (starter and feed grow alike), ms per replicate-year:");
    double least = HUGE_VAL, most = 0;
    for (double wanted = 1e3; wanted <= 1e9; wanted *= 100) {
        const double ms = laboratory_ms(bench, wanted / usual, &larvae);
        (void)printf("  %12.4g larvae on average %8.2f\n", larvae, ms);
        char name[64];
        (void)snprintf(name, sizeof name, "laboratory, %.3g larvae", larvae);
        report_value(&bench->report, name, "engine", ms, "ms per replicate-year");
        least = wanted < 2e3 ? ms : least;
        most = fmax(most, ms);
    }
    report_verdict(&bench->report, "from a thousand to a thousand million larvae", most / least, AT_MOST, 4, "x");
}

static void with_replicates_and_years(struct bench *bench) {
    struct subject subject;
    double few[MOST_ROUNDS], many[MOST_ROUNDS];
    subject_open(&subject, MAIN_SCENARIO, (struct change){0});
    for (int i = 0; i < bench->rounds; i++) {
        few[i] = time_threads(&subject, 1, 30);
        many[i] = time_threads(&subject, 1, 300);
    }
    subject_close(&subject);
    report_verdict(&bench->report, "main scenario: a replicate of 300 against one of 30",
                   median(many, bench->rounds) / median(few, bench->rounds), AT_MOST, 1.1, "x");
    struct subject two, eight;
    subject_open(&two, "bench-overlap", (struct change){.days = 2 * 365});
    subject_open(&eight, "bench-overlap", (struct change){.days = 8 * 365});
    for (int i = 0; i < bench->rounds; i++) {
        few[i] = time_engine(&two);
        many[i] = time_engine(&eight);
    }
    report_verdict(&bench->report, "laboratory: a year of eight against one of two",
                   median(many, bench->rounds) / median(few, bench->rounds), AT_MOST, 1.5, "x");
    subject_close(&two);
    subject_close(&eight);
    (void)puts("");
}

static void scaling(struct bench *bench) {
    with_larvae(bench);
    with_replicates_and_years(bench);
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
    double first[MOST_ROUNDS];
    (void)puts("The program itself (wintergrub run, result written):");
    for (int i = 0; i < bench->rounds; i++)
        first[i] = run_program(bench, MAIN_SCENARIO, 1, 1).first_s;
    report_verdict(&bench->report, "main scenario, 1 replicate: start to first output",
                   1e3 * median(first, bench->rounds), AT_MOST, 50, "ms");
    const struct whole winter = run_program(bench, WINTER_SCENARIO, 500, 2);
    report_verdict(&bench->report, "full winter scenario, 500 replicates, 2 threads", winter.all_s, AT_MOST, 3, "s");
    const struct whole few = run_program(bench, MAIN_SCENARIO, 100, 2);
    const struct whole some = run_program(bench, MAIN_SCENARIO, 1000, 2);
    (void)printf("  main scenario, peak memory: 100 replicates %.1f MB, 1,000 replicates %.1f MB\n", few.mb, some.mb);
    if (bench->quick)
        return;
    const struct whole many = run_program(bench, MAIN_SCENARIO, 10000, 2);
    report_verdict(&bench->report, "main scenario, 10,000 replicates: peak memory", many.mb, AT_MOST, 64, "MB");
    report_verdict(&bench->report, "memory for each replicate more", 1024 * (many.mb - some.mb) / 9000, AT_MOST, 1,
                   "kB");
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
    static const struct {
        const char *name;
        void (*run)(struct bench *bench);
    } parts[] = {{"speed", speed}, {"individuals", individuals}, {"scaling", scaling}, {"memory", memory}};
    enum { N = sizeof parts / sizeof *parts };
    struct bench bench = {.rounds = 5};
    const char *json = NULL;
    int wanted[N] = {0}, some = 0;
    for (int i = 1; i < argc; i++) {
        int known = 1;
        if (strcmp(argv[i], "--json") == 0 && i + 1 < argc)
            json = argv[++i];
        else if (strcmp(argv[i], "--rounds") == 0 && i + 1 < argc)
            bench.rounds = atoi(argv[++i]);
        else if (strcmp(argv[i], "--quick") == 0)
            bench.quick = 1;
        else
            known = 0;
        for (int p = 0; p < N && !known; p++)
            if (strcmp(argv[i], parts[p].name) == 0)
                known = wanted[p] = some = 1;
        if (!known || bench.rounds < 1 || bench.rounds > MOST_ROUNDS)
            return usage();
    }
    find_program(&bench);
    if (report_open(&bench.report, json) != 0) {
        perror(json);
        return EXIT_FAILURE;
    }
    for (int p = 0; p < N; p++)
        if (!some || wanted[p])
            parts[p].run(&bench);
    const int missed = report_close(&bench.report);
    if (missed > 0)
        (void)printf("%d of the wishes %s not met on this machine now.\n", missed, missed == 1 ? "was" : "were");
    return missed < 0 ? EXIT_FAILURE : EXIT_SUCCESS;
}
