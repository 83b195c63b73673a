/* layer: cli, private */
/**
 * What a keeper must be warned of: heaters too weak, bins too hot, work that meets nobody.
 */
#ifndef WG_CLI_WATCH_H
#define WG_CLI_WATCH_H

#include <wintergrub/ensemble.h>

/** A bin whose substrate passes this is in danger: most larvae crawl out or die above it (common practice). */
#define WG_WATCH_HOT_C 40.0

/** One heater or bin over all replicates. */
struct wg_watched {
    int64_t replicates; /* in how many it happened */
    double worst;       /* W short, or degC */
};
#define WG_WATCH_ACTIONS 4096 /* so many of a plan are watched */
struct wg_watch {
    const struct wg_plan *plan;              /* borrowed */
    struct wg_watched heater[WG_MAX_PLACES]; /* of the place; days of power cuts and those after them left aside */
    struct wg_watched bin[WG_MAX_BINS];
    struct wg_watched mat[WG_MAX_BINS]; /* too weak; `worst` is the coldest air on such a day, degC */
    bool met[WG_WATCH_ACTIONS]; /* this move, scoop or pull found somebody, on any of its days in any replicate */
};
/** The observer that fills it; zero-initialise all but `plan` first. */
struct wg_observer wg_watch_observer(struct wg_watch *watch);

/** The i-th move, scoop or pull of the plan that was due and never met anybody: its index, or -1 with i lowered by their number. */
int wg_watch_find_vain(const struct wg_watch *watch, int *i);

/**
 * The heater that would have held, W: installed power and the worst shortage, and a tenth to spare (the lower end of
 * Bartok's sizing rule, 1.1 to 1.25 times the loss; see wg_heater_size_w()).
 */
double wg_watch_power_that_holds(double power_w, double worst_short_w);
/** The mat that holds a bin's set point in air of a temperature without help from larvae, W, with the same spare. */
double wg_watch_mat_that_holds(const struct wg_bin_spec *bin, double air_c);

#endif
