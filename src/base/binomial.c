/* layer: base */
/*
 * Of n, each with the chance p, how many?
 *
 *   p > 1/2        n less a draw with 1 - p
 *   n p < 10       inversion: walk up the probabilities f(0) = (1 - p)^n,
 *                  f(k + 1) = f(k) (n - k)/(k + 1) p/(1 - p) until they exceed a uniform
 *   n p >= 10      transformed rejection with squeeze: a candidate k comes from a hat of the shape
 *                  of a table mountain, and is kept with the chance f(k) / hat
 *
 * Why not gsl_ran_binomial (seen in GSL 2.7.1): it takes n modulo 2^32; it squares the distance
 * from the mode in an int, which overflows beyond 46340, so that at n = 2^31, p = 1/2 the variance
 * comes out 18 % too large; it rounds towards 0 where it should round down, so that at a mean of 14
 * the chance of 0 is doubled; and for tiny p its (1 - p)^n has lost p to rounding. Here every
 * step is in double, and logarithms are of ratios near 1 so that nothing large cancels.
 *
 * Source: Hoermann 1993, J. Stat. Comput. Simul. 46:101 (algorithm BTRS).
 */
#include "base/binomial.h"

#include "base/quick.h"
#include "base/xoshiro.h"

#include "wintergrub/error.h"
#include "wintergrub/random.h"

#include <math.h>

/*
 * The chance of 110 or more at a mean below 10 is under 1e-70 (derived): getting there means that
 * the uniform was so near to 1 that rounding ate the rest.
 */
enum { INVERSION_END = 110 };

/* A division costs as much as the rest of a step up, and most walks are short. */
enum { INVERSES = 32, FEW = 12 };
static const double inverse[INVERSES] = {
    1.0 / 1,  1.0 / 2,  1.0 / 3,  1.0 / 4,  1.0 / 5,  1.0 / 6,  1.0 / 7,  1.0 / 8,  1.0 / 9,  1.0 / 10, 1.0 / 11,
    1.0 / 12, 1.0 / 13, 1.0 / 14, 1.0 / 15, 1.0 / 16, 1.0 / 17, 1.0 / 18, 1.0 / 19, 1.0 / 20, 1.0 / 21, 1.0 / 22,
    1.0 / 23, 1.0 / 24, 1.0 / 25, 1.0 / 26, 1.0 / 27, 1.0 / 28, 1.0 / 29, 1.0 / 30, 1.0 / 31, 1.0 / 32,
};

static double walk_up(struct xoshiro *dice, double n, double odds, double none, double u) {
    for (;;) {
        double f = none;
        for (int k = 0; k <= n && k < INVERSION_END; k++) {
            if (u < f)
                return k;
            u -= f;
            f *= odds * (n - k) * (k < INVERSES ? inverse[k] : 1.0 / (k + 1));
        }
        u = xoshiro_uniform(dice);
    }
}

/* (1 - p)^n: of few, by multiplying, which is quicker than a logarithm and an exponential. */
static double nobody(double n, double p) {
    if (n > FEW)
        return exp(n * log1p(-p));
    double product = 1;
    for (int i = (int)n; i > 0; i--)
        product *= 1 - p;
    return product;
}

static double draw_by_inversion(struct xoshiro *dice, double n, double p) {
    const double u = xoshiro_uniform(dice);
    if (n == 1)
        return u < p;
    if (u < 1 - n * p) /* (1 - p)^n is at least that (Bernoulli) */
        return 0;
    return walk_up(dice, n, p / (1 - p), nobody(n, p), u);
}

/* log k! - ((k + 1/2) log(k + 1) - (k + 1) + log(2 pi)/2), derived: exact for small k, else Stirling's series */
static double stirling_rest(double k) {
    static const double exact[10] = {
        0.08106146679532726, 0.04134069595540929, 0.02767792568499834, 0.02079067210376509,  0.01664469118982119,
        0.01387612882307075, 0.01189670994589177, 0.01041126526197209, 0.009255462182712733, 0.008330563433362871,
    };
    if (k < 10)
        return exact[(int)k];
    const double x = 1 / (k + 1);
    return x * (1.0 / 12 - x * x * (1.0 / 360 - x * x / 1260));
}

double wg_hat_height(const struct wg_hat *hat, double edge) {
    const double scale = (2.83 + 5.1 / hat->b) * hat->deviation;
    return scale / (hat->a / (edge * edge) + hat->b);
}

double wg_hat_law_log_height(const struct wg_hat *hat, double k) {
    const double odds = hat->p / (1 - hat->p), mode = floor((hat->n + 1) * hat->p);
    const double rest = hat->n - k, mode_rest = hat->n - mode, step = k - mode;
    return step * log(odds * (mode_rest + 1) / (mode + 1)) - (k + 0.5) * log1p(step / (mode + 1)) -
           (rest + 0.5) * log1p(-step / (mode_rest + 1)) + stirling_rest(mode) + stirling_rest(mode_rest) -
           stirling_rest(k) - stirling_rest(rest);
}

static double draw_by_rejection(struct xoshiro *dice, double n, double p) {
    const struct wg_hat hat = wg_hat_over(n, p);
    for (;;) {
        const double u = xoshiro_uniform(dice) - 0.5;
        const double v = xoshiro_uniform(dice);
        const double edge = 0.5 - fabs(u);
        const double k = wg_hat_candidate(&hat, u, edge);
        if (edge >= WG_SQUEEZE_FROM_EDGE && v <= hat.squeeze)
            return k;
        if (k < 0 || k > n)
            continue;
        if (log(v * wg_hat_height(&hat, edge)) <= wg_hat_law_log_height(&hat, k))
            return k;
    }
}

int64_t wg_binomial(gsl_rng *rng, int64_t n, double p) {
    wg_assert(n >= 0 && n <= INT64_C(1) << 62 && !isnan(p));
    if (n == 0 || p <= 0)
        return 0;
    if (p >= 1)
        return n;
    struct xoshiro *const dice = xoshiro_of(rng);
    const double rare = p > 0.5 ? 1 - p : p;
    const double size = (double)n;
    const double drawn =
        size * rare < WG_HAT_FROM_MEAN ? draw_by_inversion(dice, size, rare) : draw_by_rejection(dice, size, rare);
    const int64_t count = (int64_t)drawn;
    return p > 0.5 ? n - count : count;
}

/* ---- waiting for those who go ---- */

/*
 * Each individual is kept with the chance exp(-l): as if it were a stretch of length l on a line with events at random, one
 * per unit of length, and went when an event falls on its stretch. The distance to the next event is exponential and
 * forgets what was passed (so after one who goes it counts from the end of his stretch), and the line may run on from
 * cohort to cohort: only those who go cost a random number. Short steps pass hundreds of cohorts in which nobody goes; a
 * number for each made a run outdoors longer by 14 % at 24 steps a day, 8 % at 4 and 1.5 % at one (measured).
 */
#define WAIT_BELOW_MEAN 1.0

static int64_t pass_by(struct xoshiro *dice, double n, double stretch) {
    double left = n;
    int64_t gone = 0;
    while (dice->ahead < left * stretch) {
        const double passed = floor(dice->ahead / stretch);
        gone++;
        left = left > passed + 1 ? left - passed - 1 : 0;
        dice->ahead = -log(xoshiro_uniform(dice));
    }
    dice->ahead -= left * stretch;
    return gone;
}

int64_t wg_losses(gsl_rng *rng, int64_t n, double log_keep) {
    wg_assert(n >= 0 && log_keep <= 0);
    const double size = (double)n, length = -size * log_keep; /* n p <= length always */
    struct xoshiro *const dice = xoshiro_of(rng);
    if (length < WAIT_BELOW_MEAN) {
        if (dice->ahead < 0)
            dice->ahead = -log(xoshiro_uniform(dice));
        if (dice->ahead < length)
            return pass_by(dice, size, -log_keep);
        dice->ahead -= length;
        return 0;
    }
    /* below the switch-over mean the walk is right, and p stays far below 1/2 unless n is small */
    if (length >= WG_HAT_FROM_MEAN || log_keep < -0.5)
        return wg_binomial(rng, n, -wg_expm1(log_keep));
    const double u = xoshiro_uniform(dice), none = wg_exp(-length);
    return u < none ? 0 : (int64_t)walk_up(dice, size, wg_expm1(-log_keep), none, u);
}
