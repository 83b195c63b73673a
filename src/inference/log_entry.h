/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * An entry of a keeper's log, and its likelihood given a replicate.
 */
#ifndef WG_INFERENCE_LOG_ENTRY_H
#define WG_INFERENCE_LOG_ENTRY_H

#include <stdint.h>

struct wg_diary;
struct wg_species;

#define WG_MAX_NOTES 2000 /* in a log: their covariance then takes 32 MB */

/** Share of the entries about flies that are wrong (judgement). */
#define WG_LOG_ERROR_RATE 0.02

/** The kinds of entry. */
enum wg_log_kind {
    WG_LOG_CRAWL_OFF,       /* kg over the days since .. day */
    WG_LOG_TAKEN,           /* kg taken out over the same days */
    WG_LOG_EGGS_TRAPPED,    /* eggs laid in traps over the same days */
    WG_LOG_BIN_TEMPERATURE, /* substrate, mean of the day, degC */
    WG_LOG_ADULTS,          /* 1: flies were seen on the day, 0: none */
    WG_LOG_JAR,             /* share alive of prepupae kept in a jar at one temperature over the days since .. day */
    WG_N_LOG_KINDS
};
/** Returns the word of the log file: "crawl-off", "taken", "eggs trapped", "bin temperature", "adults",
 * "jar in the cold". */
const char *wg_log_kind_name(enum wg_log_kind kind);

struct wg_log_entry {
    enum wg_log_kind kind;
    int32_t day, since; /* the sum is over since .. day, both included */
    int bin;            /* of a temperature */
    int started;        /* prepupae put into the jar */
    double temp_c;      /* of the jar */
    double value;
    int line; /* in the log, 0 if none */
};
/**
 * Returns the prediction for an entry of a replicate that this animal lived: kg, eggs, degC, the probability to record
 * flies, or the share alive in a jar, which is not of the colony: its prepupae stand still and die by cold, frost and
 * background.
 */
double wg_log_entry_simulated(const struct wg_log_entry *entry, const struct wg_species *animal,
                              const struct wg_diary *diary);
/**
 * Returns a value on the scale where the keeper's errors are normal: ln(kg + 0.02), ln(eggs + 200) (keepers do not weigh
 * or count less), degC; flies as they are, 0 to 1; ln of the share alive, with half an animal added.
 */
double wg_log_entry_scaled(const struct wg_log_entry *entry, double value);
/**
 * Returns the variance of the keeper's error on that scale, given the true value `simulated`. All judgement: weights and
 * egg counts are off by a quarter (0.25 sd of the logarithm), a thermometer in an uneven bin by 2 K (sd); each fly is
 * noticed with probability 0.2, and 2 % of the entries about flies are wrong: yes or no is a coin of that probability; shares alive are binomial, and jars differ
 * by a tenth of their deaths (sd).
 */
double wg_log_entry_variance(const struct wg_log_entry *entry, double simulated);
/** Returns the probability of the entry's value or less given the true value `simulated`, with the same errors. */
double wg_log_entry_below(const struct wg_log_entry *entry, double simulated);

#endif
