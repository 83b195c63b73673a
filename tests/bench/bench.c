/*
 * How fast is the engine? Milliseconds for one replicate and one year of it, and nanoseconds for one draw of the
 * numbers the engine really draws.
 *
 * One thread lives the same replicates of a scenario over and over; the shortest time counts, because everything that
 * disturbs a measurement makes it longer. The draws are those of replicate 0: the linker hands every call of
 * wg_binomial() and wg_losses() to the functions below (--wrap), which note its n and p once; afterwards the notes are
 * drawn again without the colony around them.
 *
 *   wintergrub-bench [seconds for each measurement, 2 unless given]
 */
#include "forecast/replicate.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>
#include <wintergrub/ensemble.h>
#include <wintergrub/scenario.h>

#define DAYS_A_YEAR 365.25
#define REPLICATES 8       /* lived in turn: one replicate is not like another */
#define MOST_DRAWS 4000000 /* noted of one replicate; 64 MB */

/* ---- the notes ---- */

struct draw {
    int64_t n; /* below 0: -n of wg_losses */
    double p;
};

/* A wrapped function gets no argument of ours, so this is a variable of the file. */
static struct notes {
    struct draw *draw; /* NULL: nothing is noted */
    size_t n;
} notes;

int64_t __real_wg_binomial(gsl_rng *rng, int64_t n, double p);
int64_t __real_wg_losses(gsl_rng *rng, int64_t n, double log_keep);
int64_t __wrap_wg_binomial(gsl_rng *rng, int64_t n, double p);
int64_t __wrap_wg_losses(gsl_rng *rng, int64_t n, double log_keep);

static void note(int64_t n, double p) {
    if (notes.draw != NULL && n != 0 && notes.n < MOST_DRAWS)
        notes.draw[notes.n++] = (struct draw){n, p};
}

int64_t __wrap_wg_binomial(gsl_rng *rng, int64_t n, double p) {
    note(n, p);
    return __real_wg_binomial(rng, n, p);
}

int64_t __wrap_wg_losses(gsl_rng *rng, int64_t n, double log_keep) {
    note(-n, log_keep);
    return __real_wg_losses(rng, n, log_keep);
}

/* ---- the clock ---- */

static double now_s(void) {
    struct timespec now = {0};
    (void)clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

/* ---- one scenario ---- */

struct bench {
    struct wg_scenario scenario;
    struct wg_world world;
    struct wg_liver liver;
    struct wg_diary diary;
    double shortest_ms[REPLICATES];
    double draw_ns;
    size_t draws;
    struct wg_error err;
};

static int bench_open(struct bench *bench, const char *path) {
    struct wg_problems problems = {0};
    int code = wg_scenario_read(&bench->scenario, path, &problems, &bench->err);
    wg_problems_free(&problems);
    const struct wg_plan *const plan = &bench->scenario.plan;
    if (code == 0)
        code = wg_world_init(&bench->world, plan, &bench->err);
    if (code == 0)
        code = wg_liver_init(&bench->liver, &bench->world, &bench->err);
    return code == 0 ? wg_diary_init(&bench->diary, plan, &bench->err) : code;
}

static void bench_close(struct bench *bench) {
    wg_diary_free(&bench->diary);
    wg_liver_free(&bench->liver);
    wg_world_free(&bench->world);
    wg_scenario_free(&bench->scenario);
}

static int time_years(struct bench *bench, double seconds) {
    const double end = now_s() + seconds;
    for (int i = 0; i < REPLICATES; i++)
        bench->shortest_ms[i] = HUGE_VAL;
    for (int round = 0; round < 2 || now_s() < end; round++)
        for (int i = 0; i < REPLICATES; i++) {
            const double start = now_s();
            const int code = wg_liver_live(&bench->liver, i, &bench->diary, &bench->err);
            if (code < 0)
                return code;
            bench->shortest_ms[i] = fmin(bench->shortest_ms[i], 1e3 * (now_s() - start));
        }
    return 0;
}

/* Draws the notes once; the sum keeps the compiler from leaving it out. */
static int64_t draw_notes(gsl_rng *rng) {
    int64_t sum = 0;
    for (size_t i = 0; i < notes.n; i++) {
        const struct draw draw = notes.draw[i];
        sum += draw.n > 0 ? __real_wg_binomial(rng, draw.n, draw.p) : __real_wg_losses(rng, -draw.n, draw.p);
    }
    return sum;
}

static int time_draws(struct bench *bench, double seconds) {
    struct draw *const room = calloc(MOST_DRAWS, sizeof *room);
    if (room == NULL)
        return wg_fail(&bench->err, WG_ERR_MEMORY, NULL, "there is no memory for %d draws", MOST_DRAWS);
    notes = (struct notes){.draw = room};
    const int code = wg_liver_live(&bench->liver, 0, &bench->diary, &bench->err);
    const double end = now_s() + seconds;
    volatile int64_t sink = 0;
    double shortest_s = HUGE_VAL;
    for (int round = 0; code == 0 && (round < 3 || now_s() < end); round++) {
        wg_rng_start(bench->liver.chance, 1, (uint64_t)round, WG_PURPOSE_DEMOGRAPHY);
        const double start = now_s();
        sink = draw_notes(bench->liver.chance);
        shortest_s = fmin(shortest_s, now_s() - start);
    }
    (void)sink;
    bench->draws = notes.n;
    bench->draw_ns = notes.n > 0 ? 1e9 * shortest_s / (double)notes.n : (double)NAN;
    notes = (struct notes){0};
    free(room);
    return code;
}

static void put_row(const struct bench *bench, const char *name) {
    const struct wg_plan *const plan = &bench->scenario.plan;
    const double years = (plan->last_day - plan->first_day + 1) / DAYS_A_YEAR;
    double sum_ms = 0;
    for (int i = 0; i < REPLICATES; i++)
        sum_ms += bench->shortest_ms[i] / REPLICATES;
    (void)printf("%-26s %6.2f %10.2f %10.2f %11.0f %9.1f\n", name, years, sum_ms, sum_ms / years,
                 (double)bench->draws / years, bench->draw_ns);
}

static int run(const char *name, double seconds) {
    char path[1024];
    struct bench bench = {0};
    (void)snprintf(path, sizeof path, "%s/scenarios/%s.yaml", WG_SOURCE_DIR, name);
    int code = bench_open(&bench, path);
    if (code == 0)
        code = time_years(&bench, seconds);
    if (code == 0)
        code = time_draws(&bench, seconds / 2);
    if (code == 0)
        put_row(&bench, name);
    else
        (void)fprintf(stderr, "%s: %s\n", path, bench.err.text);
    bench_close(&bench);
    return code;
}

int main(int argc, char **argv) {
    static const char *const names[] = {"bench-overlap", "harrow-hill-outdoors"};
    const double seconds = argc > 1 ? strtod(argv[1], NULL) : 2.0;
    int code = 0;
    (void)puts("One thread, processor time; the mean of 8 replicates, each at its shortest.\n");
    (void)puts("                            years     ms per     ms per       draws    ns per\n"
               "scenario                          replicate  repl.-year  repl.-year      draw");
    for (size_t i = 0; i < sizeof names / sizeof *names && code == 0; i++)
        code = run(names[i], seconds > 0 ? seconds : 2.0);
    return code == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
