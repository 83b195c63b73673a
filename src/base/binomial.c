/*
 * Of n, each with the chance p, how many?
 *
 *   p > 1/2        n less a draw with 1 - p
 *   n p < 15       inversion: walk up the probabilities f(0) = (1 - p)^n,
 *                  f(k + 1) = f(k) (n - k)/(k + 1) p/(1 - p) until they exceed a uniform
 *   n p >= 15      transformed rejection with squeeze: a candidate k comes from a hat of the shape
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

#include "base/elementary.h"
#include "base/error.h"
#include "base/random.h"
#include "base/xoshiro.h"

#include <math.h>

/* Apart from its callers, whose quick ways out then need not save registers for it (measured: 1 % of a run outdoors). */
#if defined(__GNUC__)
#define APART __attribute__((noinline))
#else
#define APART
#endif

/* Where the two ways take equally long (measured). The hat would do from WG_HAT_FROM_MEAN on. */
#define WALK_BELOW_MEAN 15.0

/*
 * The chance of 110 or more at a mean below 15 is under 1e-55 (derived): getting there means that
 * the uniform was so near to 1 that rounding ate the rest.
 */
enum { INVERSION_END = 110 };

/*
 * Six steps up at a time, and whether to go on is asked once: which step is the last cannot be foreseen, and a processor
 * that took the wrong way loses as much time as by five steps (measured: a walk with a mean of 2 took 38 ns, now 26).
 */
enum { STRIDE = 6 };

static double walk_up(struct xoshiro *dice, double n, double odds, double none, double u) {
    const double odds_n = odds * n; /* beyond n every f is then 0 */
    for (;;) {
        double f = none;
        for (int k = 0; k < INVERSION_END; k += STRIDE) {
            int passed = 0;
            for (int i = 0; i < STRIDE; i++) {
                u -= f;
                passed += u >= 0;
                f *= (odds_n - odds * (k + i)) / (k + i + 1);
            }
            if (u < 0)
                return k + passed;
        }
        u = xoshiro_uniform(dice);
    }
}

/*
 * (1 - p)^n for n p < 15, n >= 2. Of few by squaring, of many as exp(n log(1 - p)), where p is so small that nine terms of
 * the logarithm do. Without the library's two functions, which took longer than the walk (measured: draws with a mean of
 * one half 30 ns, now 20).
 */
enum { FEW = 1023 };

static double chance_of_none(double n, double p) {
    if (n > FEW) {
        const double p2 = p * p, p4 = p2 * p2;
        const double a = (1 + p / 2) + p2 * (1.0 / 3 + p / 4);
        const double b = (1.0 / 5 + p / 6) + p2 * (1.0 / 7 + p / 8);
        return wg_exp(-n * p * (a + p4 * (b + p4 / 9)));
    }
    const int digits = n < 4 ? 2 : n < 16 ? 4 : 10; /* of n in base 2, at most */
    double product = 1, square = 1 - p;
    for (int i = 0, left = (int)n; i < digits; i++, left /= 2, square *= square) {
        const double factor[2] = {1, square}; /* picked without a branch: nobody can foresee the digits of n */
        product *= factor[left % 2];
    }
    return product;
}

static APART double walk_up_from(struct xoshiro *dice, double n, double p, double u) {
    return walk_up(dice, n, p / (1 - p), chance_of_none(n, p), u);
}

static double draw_by_inversion(struct xoshiro *dice, double n, double p) {
    const double u = xoshiro_uniform(dice);
    if (n == 1)
        return u < p;
    if (u < 1 - n * p) /* (1 - p)^n is at least that (Bernoulli) */
        return 0;
    return walk_up_from(dice, n, p, u);
}

/* log k! - ((k + 1/2) log(k + 1) - (k + 1) + log(2 pi)/2), derived: exact for small k, else Stirling's series */
static double stirling_remainder(double k) {
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
    const double odds = hat->p / (1 - hat->p), mode = wg_hat_mode(hat);
    const double rest = hat->n - k, mode_rest = hat->n - mode, step = k - mode;
    return step * wg_log(odds * (mode_rest + 1) / (mode + 1)) - (k + 0.5) * wg_log1p(step / (mode + 1)) -
           (rest + 0.5) * wg_log1p(-step / (mode_rest + 1)) + stirling_remainder(mode) + stirling_remainder(mode_rest) -
           stirling_remainder(k) - stirling_remainder(rest);
}

/*
 * Whether a height, in units of the law's highest probability, is at most that of k. Near the mode by multiplying
 * probabilities up, each of the two products below 2^62 to the 15th, which is no infinity; farther off the logarithm of the
 * law lies between two parabolas (same source, algorithm BTRD, and Kachitvichyanukul & Schmeiser 1988, Commun. ACM 31:216),
 * which leave few for the full one. (Measured: with the full one for all, draws with a mean of 15 took 75 ns, now 55.)
 */
static int is_under_law(const struct wg_hat *hat, double k, double height) {
    const double mode = wg_hat_mode(hat), off = fabs(k - mode);
    if (off <= WG_NEAR_MODE) {
        const double odds = hat->p / (1 - hat->p);
        double up = 1, down = 1;
        for (double i = fmin(k, mode) + 1, last = fmax(k, mode); i <= last; i++) {
            up *= odds * (hat->n - i + 1);
            down *= i;
        }
        return k > mode ? height * down <= up : height * up <= down;
    }
    const double log_height = wg_log(height), variance = hat->deviation * hat->deviation;
    if (off <= variance / 2 - 1) {
        const double parabola = -off * off / (2 * variance), margin = wg_hat_margin(variance, off);
        if (log_height < parabola - margin)
            return 1;
        if (log_height > parabola + margin)
            return 0;
    }
    return log_height <= wg_hat_law_log_height(hat, k);
}

static APART double draw_by_rejection(struct xoshiro *dice, double n, double p) {
    const struct wg_hat hat = wg_hat_over(n, p);
    for (;;) {
        const double u = xoshiro_uniform(dice) - 0.5;
        const double v = xoshiro_uniform(dice);
        const double edge = 0.5 - fabs(u);
        const double x = wg_hat_candidate(&hat, u, edge);
        if (edge >= WG_SQUEEZE_FROM_EDGE && v <= hat.squeeze)
            return wg_floor(x);
        if (x < 0 || x >= n + 1)
            continue;
        const double k = wg_floor(x);
        if (is_under_law(&hat, k, v * wg_hat_height(&hat, edge)))
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
        size * rare < WALK_BELOW_MEAN ? draw_by_inversion(dice, size, rare) : draw_by_rejection(dice, size, rare);
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

static APART int64_t count_by_gaps(struct xoshiro *dice, double n, double stretch) {
    double left = n;
    int64_t gone = 0;
    if (dice->ahead < 0)
        dice->ahead = -wg_log(xoshiro_uniform(dice));
    while (dice->ahead < left * stretch) {
        const double passed = floor(dice->ahead / stretch);
        gone++;
        left = left > passed + 1 ? left - passed - 1 : 0;
        dice->ahead = -wg_log(xoshiro_uniform(dice));
    }
    dice->ahead -= left * stretch;
    return gone;
}

/* Below the switch-over mean the walk is right, and p stays far below 1/2 unless n is small. */
static APART int64_t draw_losses(gsl_rng *rng, int64_t n, double log_keep) {
    const double size = (double)n, length = -size * log_keep;
    if (length >= WALK_BELOW_MEAN || log_keep < -0.5)
        return wg_binomial(rng, n, -wg_expm1(log_keep));
    struct xoshiro *const dice = xoshiro_of(rng);
    const double u = xoshiro_uniform(dice), none = wg_exp(-length);
    return u < none ? 0 : (int64_t)walk_up(dice, size, wg_expm1(-log_keep), none, u);
}

int64_t wg_losses(gsl_rng *rng, int64_t n, double log_keep) {
    wg_assert(n >= 0 && log_keep <= 0);
    const double size = (double)n, length = -size * log_keep; /* n p <= length always */
    struct xoshiro *const dice = xoshiro_of(rng);
    if (length >= WAIT_BELOW_MEAN)
        return draw_losses(rng, n, log_keep);
    if (dice->ahead < length)
        return count_by_gaps(dice, size, -log_keep);
    dice->ahead -= length;
    return 0;
}
