# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""The declarations of wintergrub.h for cffi. Written by make_declarations.py."""

DECLARATIONS = """\
#define WINTERGRUB_VERSION_MAJOR 0
#define WINTERGRUB_VERSION_MINOR 2
#define WINTERGRUB_VERSION_PATCH 0
const char *wintergrub_version(void);
int wintergrub_version_number(void);
enum wintergrub_code {
    WINTERGRUB_STOPPED = 1,
    WINTERGRUB_ERR_USAGE = -1,
    WINTERGRUB_ERR_INPUT = -2,
    WINTERGRUB_ERR_OVERGROWN = -3,
    WINTERGRUB_ERR_FILE = -4,
    WINTERGRUB_ERR_EXISTS = -5,
    WINTERGRUB_ERR_FORMAT = -6,
    WINTERGRUB_ERR_MEMORY = -7,
    WINTERGRUB_ERR_THREAD = -8,
    WINTERGRUB_ERR_INTERNAL = -9
};
struct wintergrub_error {
    int code;
    char where[160];
    char text[640];
};
const char *wintergrub_error_sentence(int code);
int wintergrub_exit_status(int code);
typedef struct wintergrub_mistakes wintergrub_mistakes;
struct wintergrub_mistake {
    int line, column;
    const char *text;
    const char *base;
};
size_t wintergrub_mistakes_count(const wintergrub_mistakes *mistakes);
struct wintergrub_mistake wintergrub_mistakes_get(const wintergrub_mistakes *mistakes, size_t i);
char *wintergrub_mistakes_show(const wintergrub_mistakes *mistakes, size_t i);
void wintergrub_mistakes_free(wintergrub_mistakes *mistakes);
typedef struct wintergrub_plan wintergrub_plan;
int wintergrub_plan_read(wintergrub_plan **plan, const char *path, wintergrub_mistakes **mistakes,
                                        struct wintergrub_error *error);
int wintergrub_plan_from_text(wintergrub_plan **plan, const char *text, const char *record,
                                             wintergrub_mistakes **mistakes, struct wintergrub_error *error);
int wintergrub_plan_laboratory(wintergrub_plan **plan, const char *from, const char *to,
                                              double temperature_c, int64_t eggs, double feed_kg_week,
                                              struct wintergrub_error *error);
int wintergrub_plan_outdoors(wintergrub_plan **plan, const char *from, const char *to,
                                            double latitude_deg, const double daily_high_c[12],
                                            const double daily_low_c[12], int64_t eggs, double feed_kg_week,
                                            struct wintergrub_error *error);
void wintergrub_plan_free(wintergrub_plan *plan);
const char *wintergrub_plan_text(const wintergrub_plan *plan);
const char *wintergrub_plan_name(const wintergrub_plan *plan);
char *wintergrub_plan_describe(const wintergrub_plan *plan);
int wintergrub_plan_days(const wintergrub_plan *plan);
int32_t wintergrub_plan_first_day(const wintergrub_plan *plan);
int64_t wintergrub_plan_replicates(const wintergrub_plan *plan);
uint64_t wintergrub_plan_seed(const wintergrub_plan *plan);
double wintergrub_plan_latitude(const wintergrub_plan *plan);
int wintergrub_plan_set_replicates(wintergrub_plan *plan, int64_t replicates,
                                                  struct wintergrub_error *error);
void wintergrub_plan_set_seed(wintergrub_plan *plan, uint64_t seed);
int wintergrub_plan_copy(wintergrub_plan **copy, const wintergrub_plan *plan,
                                        struct wintergrub_error *error);
int wintergrub_plan_vary(wintergrub_plan **varied, const wintergrub_plan *plan, const char *key,
                                        const char *value, struct wintergrub_error *error);
struct wintergrub_number {
    const char *name, *unit, *meaning;
    const char *source;
    double least, most;
    double low, high;
};
int wintergrub_number(int i, struct wintergrub_number *number);
int wintergrub_plan_number(const wintergrub_plan *plan, const char *name, double *value);
int wintergrub_plan_set_number(wintergrub_plan *plan, const char *name, double value,
                                              struct wintergrub_error *error);
int wintergrub_plan_check(const wintergrub_plan *plan, struct wintergrub_error *error);
int wintergrub_plan_goals(const wintergrub_plan *plan);
double wintergrub_plan_goal(const wintergrub_plan *plan, int i, char *text, size_t size);
const char *wintergrub_plan_caution(const wintergrub_plan *plan, int i);
enum wintergrub_per {
    WINTERGRUB_PER_DAY,
    WINTERGRUB_PER_STAGE,
    WINTERGRUB_PER_PLACE,
    WINTERGRUB_PER_BIN,
    WINTERGRUB_PER_CAUSE
};
struct wintergrub_variable {
    const char *name, *unit, *meaning;
    enum wintergrub_per per;
    int missing_is_later;
    int is_count;
};
const struct wintergrub_variable *wintergrub_outcome(int i);
const struct wintergrub_variable *wintergrub_series(int i);
int wintergrub_outcome_is_date(int i);
const char *wintergrub_series_cell_methods(int i);
const char *wintergrub_series_standard_name(int i);
int wintergrub_plan_columns(const wintergrub_plan *plan, enum wintergrub_per per);
const char *wintergrub_plan_column(const wintergrub_plan *plan, enum wintergrub_per per, int column);
int wintergrub_plan_bin_place(const wintergrub_plan *plan, int bin);
int wintergrub_plan_stores(const wintergrub_plan *plan, const char *name);
typedef struct wintergrub_replicate wintergrub_replicate;
int wintergrub_replicate_outcome(const wintergrub_replicate *replicate, const char *name, double *value);
int wintergrub_replicate_series(const wintergrub_replicate *replicate, const char *name, int column,
                                               double *values, size_t n);
int wintergrub_replicate_animal(const wintergrub_replicate *replicate);
int64_t wintergrub_replicate_winter(const wintergrub_replicate *replicate);
typedef struct wintergrub_world wintergrub_world;
int wintergrub_world_new(wintergrub_world **world, const wintergrub_plan *plan,
                                        struct wintergrub_error *error);
void wintergrub_world_free(wintergrub_world *world);
int wintergrub_replicate_new(wintergrub_replicate **replicate, const wintergrub_world *world,
                                            struct wintergrub_error *error);
int wintergrub_replicate_run(wintergrub_replicate *replicate, int64_t number,
                                            struct wintergrub_error *error);
void wintergrub_replicate_free(wintergrub_replicate *replicate);
typedef struct wintergrub_ensemble wintergrub_ensemble;
typedef struct wintergrub_summary wintergrub_summary;
int wintergrub_ensemble_new(wintergrub_ensemble **ensemble, const wintergrub_plan *plan,
                                           struct wintergrub_error *error);
void wintergrub_ensemble_free(wintergrub_ensemble *ensemble);
void wintergrub_ensemble_set_threads(wintergrub_ensemble *ensemble, int threads);
void wintergrub_ensemble_on_replicate(wintergrub_ensemble *ensemble,
                                                     int (*call)(void *self, int64_t number,
                                                                 const wintergrub_replicate *replicate),
                                                     void *self);
int wintergrub_ensemble_write(wintergrub_ensemble *ensemble, const char *path, int replace,
                                             const char *note, struct wintergrub_error *error);
int wintergrub_ensemble_run(wintergrub_ensemble *ensemble, struct wintergrub_error *error);
void wintergrub_ensemble_stop(wintergrub_ensemble *ensemble);
const wintergrub_summary *wintergrub_ensemble_summary(const wintergrub_ensemble *ensemble);
struct wintergrub_spread {
    int64_t n, happened;
    double mean;
    double q05, q25, q50, q75, q95;
};
struct wintergrub_share {
    int64_t hits, n;
    double share, low, high;
};
int64_t wintergrub_summary_replicates(const wintergrub_summary *summary);
const double *wintergrub_summary_values(const wintergrub_summary *summary, const char *outcome);
int wintergrub_summary_spread(const wintergrub_summary *summary, const char *outcome,
                                             struct wintergrub_spread *spread, struct wintergrub_error *error);
int wintergrub_summary_share(const wintergrub_summary *summary, const char *outcome, double least,
                                            double most, struct wintergrub_share *share,
                                            struct wintergrub_error *error);
int wintergrub_summary_goal(const wintergrub_summary *summary, int i, struct wintergrub_share *share,
                                           struct wintergrub_error *error);
int wintergrub_summary_warnings(const wintergrub_summary *summary);
int64_t wintergrub_summary_warning(const wintergrub_summary *summary, int i, char *text, size_t size);
struct wintergrub_difference {
    int64_t n;
    double mean, sd, low, high;
    int64_t better, worse, ties;
    double chance, chance_low, chance_high;
    int64_t animals_better, animals_same, animals_worse;
    double
        variance_factor;
    int less_is_better;
};
const char *wintergrub_compared(int i);
int wintergrub_summary_difference(const wintergrub_summary *base, const wintergrub_summary *summary,
                                                 const char *outcome, struct wintergrub_difference *difference,
                                                 struct wintergrub_error *error);
typedef struct wintergrub_result wintergrub_result;
int wintergrub_result_open(wintergrub_result **result, const char *path, struct wintergrub_error *error);
void wintergrub_result_free(wintergrub_result *result);
int64_t wintergrub_result_replicates(const wintergrub_result *result);
int wintergrub_result_outcome(wintergrub_result *result, const char *name, double *values, size_t n,
                                             struct wintergrub_error *error);
int wintergrub_result_plan(const wintergrub_result *result, wintergrub_plan **plan,
                                          struct wintergrub_error *error);
enum wintergrub_comparison {
    WINTERGRUB_SAME = 0,
    WINTERGRUB_DIFFERENT = 1,
    WINTERGRUB_SAME_NUMBERS = 2
};
int wintergrub_result_compare(const char *path_a, const char *path_b, char *what, size_t size,
                                             struct wintergrub_error *error);
"""
