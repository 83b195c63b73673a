/**
 * A result file read back: what a figure, a report or a test asks of it.
 *
 * Two ways in. By variable: wg_result_data_read() gives one series of all
 * replicates, [replicate][day], of which bands are made; only one is held at a
 * time. By replicate: wg_result_data_replay() hands diaries to the same observers
 * that saw the run, so that a report's numbers are those of the forecast.
 */
#ifndef WG_RESULTS_RESULT_DATA_H
#define WG_RESULTS_RESULT_DATA_H

#include "analysis/goal_tally.h"
#include "forecast/summary.h"
#include "results/stored_file.h"

/** Values one series may hold in memory: the first replicates of a larger result stand for all (judgement: 256 MB). */
#define WG_RESULT_MAX_VALUES 33554432
/** But never fewer replicates than these. */
#define WG_RESULT_MIN_READ 100

/** A number of the animal as it stands in the file. Texts as written there. */
struct wg_result_parameter {
    char *name, *value, *unit, *source, *meaning;
};

/** An open result. Zero-initialise; owns all it points to. Free with wg_result_data_free() in every case. */
struct wg_result_data {
    struct wg_stored_file in;
    struct wg_stored_inputs inputs;
    int32_t first_day;
    int n_days, n_places, n_bins, n_generations;
    char *place[WG_MAX_PLACES], *bin[WG_MAX_BINS]; /* names */
    int bin_place[WG_MAX_BINS];                    /* where a bin stands, -1: nowhere */
    int n_parameters;
    struct wg_result_parameter *parameter;
    char *digest; /* of the program's sources, wg_program_digest(); "" where the file says nothing */
};

/**
 * Opens a result. WG_ERR_FILE: cannot be read; WG_ERR_FORMAT: no result, another version's, damaged or cut short;
 * WG_ERR_MEMORY. One thread for all of this.
 */
int wg_result_data_open(struct wg_result_data *data, const char *path, struct wg_error *err);
/** The same of a file that is open, which it takes over and leaves zeroed. */
int wg_result_data_take(struct wg_result_data *data, struct wg_stored_file *file, struct wg_error *err);
/** Safe on a zeroed or half-opened one, and twice. */
void wg_result_data_free(struct wg_result_data *data);

/** Some replicates of one series. */
struct wg_result_series {
    int64_t replicates; /* read: the first min(all, as many as WG_RESULT_MAX_VALUES allow) */
    int n_days;
    double *value; /* [replicate][day], owned */
};
/**
 * A series of WG_DIARY_TABLE: `column` is the stage, place, bin or cause, or -1 for a series with one value a day.
 * An unknown name or column is a mistake of the caller (wg_assert); WG_ERR_FORMAT: not in the file as it should be.
 * *series is emptied first and must be freed in every case.
 */
int wg_result_data_read(struct wg_result_data *data, const char *name, int column, struct wg_result_series *series,
                        struct wg_error *err);
void wg_result_series_free(struct wg_result_series *series);

/** An outcome, data->in.replicates values in order, NaN: did not happen. malloc'ed into *values. */
int wg_result_data_outcome(struct wg_result_data *data, enum wg_outcome_number outcome, double **values,
                           struct wg_error *err);
/**
 * The summary and the goals' odds that the run had, from the outcomes alone: much faster than wg_result_data_replay().
 * Both are initialised here for `plan`, that of the result; free the summary in every case.
 */
int wg_result_data_summary(struct wg_result_data *data, const struct wg_plan *plan, struct wg_summary *summary,
                           struct wg_goal_tally *odds, struct wg_error *err);
/** Mean number alive, [day][stage][generation], malloc'ed into *values. */
int wg_result_data_generations(struct wg_result_data *data, double **values, struct wg_error *err);

/**
 * Shows all replicates in order to the observers. The diaries hold the series and the outcomes; what lives by
 * generation, which is stored as a mean only, is left out. `plan` is that of the result's scenario: WG_ERR_FORMAT if its places, bins or
 * days are not those of the file. A code that an observer returns ends it and is returned.
 */
int wg_result_data_replay(struct wg_result_data *data, const struct wg_plan *plan, const struct wg_observer *observers,
                          int n_observers, struct wg_error *err);

#endif
