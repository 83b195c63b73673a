/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * A run as charts and pages read it: from its file (results/result_file.h) or from memory (result_memory.h), in the same
 * numbers.
 *
 * wg_result_data_read() gives one series of all replicates, [replicate][day], for quantile bands; memory holds one
 * series at a time.
 */
#ifndef WG_DATA_RESULT_DATA_H
#define WG_DATA_RESULT_DATA_H

#include "data/run_facts.h"
#include "forecast/lattice.h"
#include "forecast/summary.h"

/**
 * The most values of one series in memory; of a larger result only the first replicates are read (judgement: 256 MB).
 */
#define WG_RESULT_MAX_VALUES 33554432
/** The least number of replicates that are read. */
#define WG_RESULT_MIN_READ 100

/** A number of the animal, as texts. */
struct wg_result_parameter {
    char *name, *value, *unit, *source, *meaning;
};

/** The plausible animals of a run. Zero-initialise; owns its arrays. */
struct wg_stored_animals {
    enum wg_animals animals;
    int n;           /* animals stored in the file, 0 unless they are plausible and from a file */
    int64_t *number; /* of each, as in wg_cell */
    double *value;   /* [animal][number of the species, in the order of the file's list] */
};

/** The answer of a run in words beside its numbers: owned, NULL where it is not known. */
struct wg_result_words {
    char *why;     /* why it dies or earns nothing, found by experiment; "": nothing to say */
    char *checked; /* the defaults on which it hangs, and its own line without newcomers; "": nothing to say */
};
void wg_result_words_free(struct wg_result_words *words);

/** Where the numbers of a run come from. Each function returns 0 or a negative error; *values is malloc'ed. */
struct wg_result_source {
    /** Reads the first `replicates` of a series, [replicate][day]; `column` is -1 for one value a day. */
    int (*series)(void *self, const struct wg_series *series, int column, int64_t replicates, double *out,
                  struct wg_error *err);
    int (*outcome)(void *self, enum wg_outcome_number outcome, double **values, struct wg_error *err);
    int (*cells)(void *self, struct wg_cell **cells, struct wg_error *err);
    int (*generations)(void *self, double **values, struct wg_error *err);
    void (*free)(void *self); /* NULL: the source outlives the data */
};

/** A run. Zero-initialise; free with wg_result_data_free() in every case. */
struct wg_result_data {
    const struct wg_result_source *source;
    void *self;             /* of the source */
    struct wg_run_facts in; /* borrowed from the source */
    struct wg_run_inputs inputs;
    int32_t first_day;
    int n_days, n_places, n_bins, n_generations;
    bool outdoors;                                 /* wg_series_outdoors() of its plan */
    int64_t readable;                              /* replicates whose series can be read, the first ones */
    char *place[WG_MAX_PLACES], *bin[WG_MAX_BINS]; /* names */
    int bin_place[WG_MAX_BINS];                    /* the place of each bin, -1: none */
    int n_parameters;
    struct wg_result_parameter *parameter;
    struct wg_stored_animals animals;
    struct wg_result_words words; /* of a file, if `run` stored them */
    char *digest;                 /* of the program's sources, wg_program_digest(); "" if the file has none */
};

/** Frees the data; may be zeroed, half-opened or already freed. */
void wg_result_data_free(struct wg_result_data *data);
/** Returns how many replicates of a series of `n_days` are read of `replicates`. */
int64_t wg_result_readable(int64_t replicates, int n_days);

/** Some replicates of one series. */
struct wg_result_series {
    int64_t replicates; /* number read: the first data->readable */
    int n_days;
    double *value; /* [replicate][day], owned */
};
/**
 * Reads a series of WG_DIARY_TABLE: `column` is the stage, place, bin or cause, or -1 for a series with one value a
 * day. The caller must pass a known name and column (wg_assert). Returns WG_ERR_FORMAT if a file does not have it in
 * the right shape. *series is emptied first; the caller frees it in every case.
 */
int wg_result_data_read(struct wg_result_data *data, const char *name, int column, struct wg_result_series *series,
                        struct wg_error *err);
void wg_result_series_free(struct wg_result_series *series);

/** Reads an outcome, data->in.replicates values in order, NaN if it did not happen, into *values (malloc'ed). */
int wg_result_data_outcome(struct wg_result_data *data, enum wg_outcome_number outcome, double **values,
                           struct wg_error *err);
/** Reads the animal and the winter of each replicate, in order, into *cells (malloc'ed; NULL on failure). */
int wg_result_data_cells(struct wg_result_data *data, struct wg_cell **cells, struct wg_error *err);
/** Reads the mean number alive, [day][stage][generation], into *values (malloc'ed). */
int wg_result_data_generations(struct wg_result_data *data, double **values, struct wg_error *err);

#endif
