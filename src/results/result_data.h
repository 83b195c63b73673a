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

#include "forecast/ensemble.h"
#include "results/result.h"

/** Values one series may hold in memory: the first replicates of a larger result stand for all (judgement: 256 MB). */
#define WG_RESULT_MAX_VALUES 33554432
/** But never fewer replicates than these. */
#define WG_RESULT_MIN_READ 100

struct wg_h5;

/** A number of the animal as it stands in the file. Texts as written there. */
struct wg_result_parameter {
    char *name, *value, *unit, *source, *meaning;
};

/** An open result. Zero-initialise; owns all it points to. Free with wg_result_data_free() in every case. */
struct wg_result_data {
    struct wg_h5 *file;
    char *path;
    char *title;
    int32_t first_day;
    int n_days, n_places, n_bins, n_generations;
    int64_t replicates;
    char *place[WG_MAX_PLACES], *bin[WG_MAX_BINS]; /* names */
    int bin_place[WG_MAX_BINS];                    /* where a bin stands, -1: nowhere */
    int n_parameters;
    struct wg_result_parameter *parameter;
    /* "" where the file says nothing; source: "wintergrub 0.1.0 (v0.1-3-g12ab)", digest: its wg_program_digest() */
    char *command_line, *started, *source, *digest;
    char *scenario_sha256, *record_sha256; /* record: NULL if none */
    struct wg_result_inputs record;        /* scenario and weather as texts, checked against their digests */
};

/**
 * Opens a result. WG_ERR_FILE: cannot be read; WG_ERR_FORMAT: no result, another version's, damaged or cut short;
 * WG_ERR_MEMORY. One thread for all of this.
 */
int wg_result_data_open(struct wg_result_data *data, const char *path, struct wg_error *err);
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

/** An outcome of WG_OUTCOME_TABLE, data->replicates values in order, NaN: did not happen. malloc'ed into *values. */
int wg_result_data_outcome(struct wg_result_data *data, const char *name, double **values, struct wg_error *err);
/** Which replicates met the goals, [replicate][goal], 1 or 0, malloc'ed into *met; n_goals >= 1 are the plan's. */
int wg_result_data_goals(struct wg_result_data *data, int n_goals, int64_t **met, struct wg_error *err);
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
