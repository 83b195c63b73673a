/*
 * Was there too little heat, or too much? The worst hour of each year says.
 */
#include "cli/watch.h"

#include <math.h>
#include <stdbool.h>

#define SPARE 1.1       /* Bartok's rule, see the header */
#define LEAST_SHORT_W 1 /* less is rounding (judgement) */

/* No heater holds without mains, nor warms a cold house in an hour: the day of a cut and the next say nothing. */
static bool is_after_cut(const struct wg_diary *diary, int day) {
    return diary->power_out_hours[day] > 0 || (day > 0 && diary->power_out_hours[day - 1] > 0);
}

static double worst_short_w(const struct wg_diary *diary, int place) {
    double worst = 0;
    for (int day = 0; day < diary->n_days; day++)
        if (!is_after_cut(diary, day))
            worst = fmax(worst, diary->heater_short[day * diary->n_places + place]);
    return worst;
}

static double hottest_c(const struct wg_diary *diary, int bin) {
    double hottest = -HUGE_VAL;
    for (int day = 0; day < diary->n_days; day++)
        hottest = fmax(hottest, diary->bin_high[day * diary->n_bins + bin]);
    return hottest;
}

static void note(struct wg_watched *watched, double worst, double limit) {
    if (!(worst > limit))
        return;
    watched->worst = watched->replicates == 0 ? worst : fmax(watched->worst, worst);
    watched->replicates++;
}

static int see(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    struct wg_watch *const watch = self;
    (void)replicate;
    (void)err;
    for (int i = 0; i < diary->n_places; i++)
        note(&watch->heater[i], worst_short_w(diary, i), LEAST_SHORT_W);
    for (int i = 0; i < diary->n_bins; i++)
        note(&watch->bin[i], hottest_c(diary, i), WG_WATCH_HOT_C);
    return 0;
}

struct wg_observer wg_watch_observer(struct wg_watch *watch) {
    return (struct wg_observer){.see = see, .self = watch};
}

double wg_watch_power_that_holds(double power_w, double worst_short_w) {
    return SPARE * (power_w + worst_short_w);
}
