/*
 * What does the average larva of a cohort weigh, and what does it gain?
 *
 *     mean(x) = E[G(x/D) | D > x],   gain(x) = E[G'(x/D)/D | D > x],   D ~ the larva's stage clock
 *
 * Each larva grows by its own development x/D, so that quick and slow ones all
 * leave full-grown. (Derived; with one curve G(x) for all, quick larvae would leave
 * half-grown and slow ones stop eating before they are done, which no keeper sees.)
 * Gauss-Legendre over D; between nodes the tables are read linearly.
 */
#include <wintergrub/growth.h>

#include <gsl/gsl_integration.h>
#include <gsl/gsl_sf_gamma.h>
#include <math.h>
#include <stdlib.h>

static const double top_x = 3.0; /* beyond, hardly a larva is left and the curves are flat */
static const int per_unit = 128; /* nodes per unit of x: linear reading is then within 3e-4 of the final mass */
static const size_t quadrature = 64;

/* Log-density of the clock's gamma at d. */
static double log_density(const struct wg_clock *clock, double d) {
    return (clock->a - 1.0) * log(d) - d / clock->b - clock->a * log(clock->b) - gsl_sf_lngamma(clock->a);
}

/* The chance to need more than this, given more than x, is below e^-30. */
static double far_end(const struct wg_clock *clock, double x) {
    const double hazard_at_least = fmax(0.0, 1.0 / clock->b - (clock->a - 1.0) / fmax(x, 1e-9));
    const double sd = sqrt(clock->a) * clock->b;
    const double usual = 1.0 + 9.0 * sd;
    return hazard_at_least > 0.0 ? fmax(usual, x + 30.0 / hazard_at_least) : usual;
}

static void node(struct wg_cohort_growth *growth, int i, const struct wg_species *species, const struct wg_clock *clock,
                 const gsl_integration_glfixed_table *table) {
    const double x = (double)i / growth->per_step, log_s = wg_clock_log_survival(clock, x);
    const double from = fmax(x, 1e-6), to = far_end(clock, x);
    double mean = 0.0, gain = 0.0, weight = 0.0;
    for (size_t j = 0; j < quadrature; j++) {
        double d, w;
        gsl_integration_glfixed_point(from, to, j, &d, &w, table);
        const double p = w * exp(log_density(clock, d) - log_s);
        weight += p;
        mean += p * wg_growth_share(species, x / d);
        gain += p * wg_growth_slope(species, x / d) / d;
    }
    growth->mean[i] = mean / weight;
    growth->gain[i] = gain / weight;
}

int wg_cohort_growth_init(struct wg_cohort_growth *growth, const struct wg_species *species,
                          const struct wg_clock *larva, struct wg_error *err) {
    *growth = (struct wg_cohort_growth){.n = (int)(top_x * per_unit) + 2, .per_step = per_unit};
    growth->mean = malloc((size_t)growth->n * sizeof *growth->mean);
    growth->gain = malloc((size_t)growth->n * sizeof *growth->gain);
    gsl_integration_glfixed_table *const table = gsl_integration_glfixed_table_alloc(quadrature);
    if (growth->mean == NULL || growth->gain == NULL || table == NULL) {
        wg_cohort_growth_free(growth);
        if (table != NULL) {
            gsl_integration_glfixed_table_free(table);
        }
        return wg_fail(err, WG_ERR_MEMORY, NULL, "There is not enough memory for the growth curve.");
    }
    for (int i = 0; i < growth->n; i++) {
        node(growth, i, species, larva, table);
    }
    gsl_integration_glfixed_table_free(table);
    return 0;
}

void wg_cohort_growth_free(struct wg_cohort_growth *growth) {
    free(growth->mean);
    free(growth->gain);
    growth->mean = growth->gain = NULL;
    growth->n = 0;
}

static double read_table(const double *table, int n, double place) {
    if (!(place > 0.0)) {
        return table[0];
    }
    if (place >= n - 1) {
        return table[n - 1];
    }
    const int i = (int)place;
    return table[i] + (table[i + 1] - table[i]) * (place - i);
}

double wg_cohort_mean_share(const struct wg_cohort_growth *growth, double x) {
    return read_table(growth->mean, growth->n, x * growth->per_step);
}

double wg_cohort_gain_share(const struct wg_cohort_growth *growth, double x) {
    return read_table(growth->gain, growth->n, x * growth->per_step);
}
