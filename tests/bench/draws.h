/**
 * The draws of a replicate, written down and made again without the colony around them.
 *
 * The linker hands every call of wg_binomial() and wg_losses() from outside their own file to the recorder (--wrap).
 */
#ifndef WG_BENCH_DRAWS_H
#define WG_BENCH_DRAWS_H

#include <gsl/gsl_rng.h>
#include <stddef.h>
#include <stdint.h>

struct draw {
    int64_t n; /* below 0: -n of wg_losses */
    double p;
};

struct draws {
    struct draw *draw;
    size_t n, capacity;
    size_t cohort_steps; /* calls of wg_losses: once for each cohort and step */
    int only_steps;      /* the draws themselves are not noted */
};

/** Notes what is drawn from now on, until draws_stop(). Ends the program without memory. */
void draws_note(struct draws *draws);
/** Counts the cohort-steps alone. */
void draws_count(struct draws *draws);
void draws_stop(void);
void draws_free(struct draws *draws);
/** Makes them all again; returns their sum, so that nothing can be left out. */
int64_t draws_repeat(const struct draws *draws, gsl_rng *rng);

#endif
