/**
 * Reads a result back from its file, for figures, reports and tests.
 *
 * There are two ways. By variable, wg_result_data_read() gives one series of all replicates, [replicate][day], for
 * quantile bands; memory holds one series at a time. By replicate, wg_result_data_replay() passes diaries to the same
 * observers as the run, so that a report has the same numbers as the forecast.
 */
#ifndef WG_RESULTS_RESULT_DATA_H
#define WG_RESULTS_RESULT_DATA_H

#include "analysis/goal_tally.h"
#include "forecast/summary.h"
#include "results/stored_animals.h"
#include "storage/stored_file.h"

/**
 * The most values of one series in memory; of a larger result only the first replicates are read (judgement: 256 MB).
 */
#define WG_RESULT_MAX_VALUES 33554432
/** The least number of replicates that are read. */
#define WG_RESULT_MIN_READ 100

/** A number of the animal as stored in the file, as texts. */
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
    int bin_place[WG_MAX_BINS];                    /* the place of each bin, -1: none */
    int n_parameters;
    struct wg_result_parameter *parameter;
    struct wg_stored_animals animals;
    char *digest; /* of the program's sources, wg_program_digest(); "" if the file has none */
};

/**
 * Opens a result. Returns 0, WG_ERR_FILE (cannot be read), WG_ERR_FORMAT (not a result, other version, damaged,
 * truncated) or WG_ERR_MEMORY. Use one thread for all functions here.
 */
int wg_result_data_open(struct wg_result_data *data, const char *path, struct wg_error *err);
/** Does the same with an open file; takes ownership of it and zeroes it. */
int wg_result_data_take(struct wg_result_data *data, struct wg_stored_file *file, struct wg_error *err);
/** Frees the data; may be zeroed, half-opened or already freed. */
void wg_result_data_free(struct wg_result_data *data);

/** Some replicates of one series. */
struct wg_result_series {
    int64_t replicates; /* number read: the first min(all, as many as WG_RESULT_MAX_VALUES allows) */
    int n_days;
    double *value; /* [replicate][day], owned */
};
/**
 * Reads a series of WG_DIARY_TABLE: `column` is the stage, place, bin or cause, or -1 for a series with one value a
 * day. The caller must pass a known name and column (wg_assert). Returns WG_ERR_FORMAT if the file does not have it in
 * the right shape. *series is emptied first; the caller frees it in every case.
 */
int wg_result_data_read(struct wg_result_data *data, const char *name, int column, struct wg_result_series *series,
                        struct wg_error *err);
void wg_result_series_free(struct wg_result_series *series);

/** Reads an outcome, data->in.replicates values in order, NaN if it did not happen, into *values (malloc'ed). */
int wg_result_data_outcome(struct wg_result_data *data, enum wg_outcome_number outcome, double **values,
                           struct wg_error *err);
/**
 * Computes the summary and the goals' odds of the run from the outcomes alone, much faster than
 * wg_result_data_replay(). Initialises both for `plan`, the result's plan; free both in every case.
 */
int wg_result_data_summary(struct wg_result_data *data, const struct wg_plan *plan, struct wg_summary *summary,
                           struct wg_goal_tally *odds, struct wg_error *err);
/** Reads the animal and the winter of each replicate, in order, into *cells (malloc'ed; NULL on failure). */
int wg_result_data_cells(struct wg_result_data *data, struct wg_cell **cells, struct wg_error *err);
/** Reads the mean number alive, [day][stage][generation], into *values (malloc'ed). */
int wg_result_data_generations(struct wg_result_data *data, double **values, struct wg_error *err);

/**
 * Passes all replicates in order to the observers. The diaries hold the series and outcomes, but no numbers by
 * generation, of which the file has only means. `plan` comes from the result's scenario; WG_ERR_FORMAT if its places,
 * bins or days differ from the file's. Stops at the first nonzero code of an observer and returns it.
 */
int wg_result_data_replay(struct wg_result_data *data, const struct wg_plan *plan, const struct wg_observer *observers,
                          int n_observers, struct wg_error *err);

#endif
