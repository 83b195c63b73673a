/*
 * Coverage of the intervals of `fit`.
 *
 * Simulation-based calibration in its simplest form (Cook, Gelman & Rubin 2006, J. Comput. Graph. Stat. 15:675): the
 * true parameters are drawn from the prior, a log is simulated from them and fitted; over 50 logs a 90 % interval must
 * contain the truth about 45 times. Binomial(50, 0.9) is below 38 with a probability of 0.3 %; for five parameters,
 * 1.4 % together. Dormancy is included for comparison: a log at 27 degC has no information on it, and its interval is
 * the prior's.
 *
 *   fit_coverage [logs, 50 by default]
 */
#include "base/random.h"
#include "support/known_log.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define LOGS 50
#define FALSE_ALARM 0.003 /* for one of the five parameters: of 50 logs, fewer than 38 */

static void draw(uint64_t k, double factor[WG_N_FIT_PARAMETERS]) {
    gsl_rng *const rng = gsl_rng_alloc(wg_rng_type());
    wg_rng_start(rng, 99, k, WG_PURPOSE_PARAMETERS);
    for (int i = 0; i < WG_N_FIT_PARAMETERS; i++)
        factor[i] = exp(wg_fit_parameter_prior_sigma((enum wg_fit_parameter)i) * wg_normal(rng));
    gsl_rng_free(rng);
}

/* Fits log k; counts which intervals contain the truth. */
static int try_log(uint64_t k, int held[WG_N_FIT_PARAMETERS], double *effective) {
    double factor[WG_N_FIT_PARAMETERS];
    struct known_log log;
    struct wg_fit fit;
    const struct wg_fit_options options = {.draws = 400, .per_draw = 4, .most_rounds = 6};
    draw(k, factor);
    known_log_make(&log);
    known_log_write(&log, factor, k);
    const int code = wg_fit_run(&fit, &log.plan, log.note, log.n, &options, NULL);
    for (int i = 0; i < WG_N_FIT_PARAMETERS && code == 0; i++) {
        const enum wg_fit_parameter f = (enum wg_fit_parameter)i;
        held[i] += wg_fit_quantile(&fit, f, 0.05) <= factor[i] && factor[i] <= wg_fit_quantile(&fit, f, 0.95);
    }
    *effective += fit.effective;
    wg_fit_free(&fit);
    wg_plan_free(&log.plan);
    return code;
}

int main(int argc, char **argv) {
    const int logs = argc > 1 ? atoi(argv[1]) : LOGS;
    int held[WG_N_FIT_PARAMETERS] = {0}, failed = 0;
    double effective = 0;
    for (int k = 0; k < logs; k++)
        if (try_log((uint64_t)k, held, &effective) != 0)
            return 1;
    for (int i = 0; i < WG_N_FIT_PARAMETERS; i++) {
        const int bad = gsl_cdf_binomial_P((unsigned)held[i], 0.9, (unsigned)logs) < FALSE_ALARM;
        failed += bad;
        printf("%-26s in its 90 %% interval in %d of %d logs%s\n", wg_fit_parameter_name((enum wg_fit_parameter)i),
               held[i], logs, bad ? ": too seldom" : "");
    }
    printf("effective draws on average %.0f of 400\n", effective / logs);
    return failed > 0;
}
