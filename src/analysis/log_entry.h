/**
 * One note of a keeper's log, and how likely it is to be written when a replicate
 * is the truth.
 */
#ifndef WG_ANALYSIS_LOG_ENTRY_H
#define WG_ANALYSIS_LOG_ENTRY_H

#include <stdint.h>

struct wg_diary;

/** What a keeper can note down. */
enum wg_log_kind {
    WG_LOG_CRAWL_OFF,       /* kg over the days since .. day */
    WG_LOG_TAKEN,           /* kg taken out, in the same way */
    WG_LOG_EGGS_TRAPPED,    /* eggs laid in traps, in the same way */
    WG_LOG_BIN_TEMPERATURE, /* degC of the substrate, mean of the day */
    WG_LOG_ADULTS,          /* 1: flies were seen on the day, 0: none */
    WG_N_LOG_KINDS
};
/** As the log writes it: "crawl-off", "taken", "eggs trapped", "bin temperature", "adults". */
const char *wg_log_kind_name(enum wg_log_kind kind);

struct wg_log_entry {
    enum wg_log_kind kind;
    int32_t day, since; /* the sum is over since .. day, both included */
    int bin;            /* of a temperature */
    double value;
    int line; /* in the log, 0 if none */
};
/** What a finished diary says in place of a note: kg, eggs, degC, or the chance to see flies. */
double wg_log_entry_simulated(const struct wg_log_entry *note, const struct wg_diary *diary);
/**
 * Logarithm of the chance (density, up to a constant) to write the note when `simulated` is the truth. Errors of
 * a keeper's log, all judgement: weights and egg counts lognormal with sigma 0.25 around what is there, after adding
 * 20 g or 200 eggs to both (below that nobody weighs); a thermometer in an uneven bin is off by 2 K (sd);
 * of n flies each is noticed with a chance of one in five, and one note in fifty is wrong anyhow.
 */
double wg_log_entry_log_chance(const struct wg_log_entry *note, double simulated);
/** Chance to write the note's value or less when `simulated` is the truth, by the same errors. */
double wg_log_entry_below(const struct wg_log_entry *note, double simulated);

#endif
