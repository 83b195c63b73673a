/**
 * What `fit` found, as text and as JSON.
 */
#ifndef WG_REPORT_FIT_TEXT_H
#define WG_REPORT_FIT_TEXT_H

#include "analysis/fit.h"
#include "records/log_file.h"
#include "report/json.h"

struct wg_fit_output {
    const struct wg_scenario *scenario;
    const struct wg_keeper_log *log;
    const struct wg_fit *fit;
    const char *log_path, *draws_path; /* draws_path NULL: no draws written */
};

/** Prints one screen of 80 columns. Returns 0 or WG_ERR_MEMORY. */
int wg_fit_output_print(const struct wg_fit_output *fitting, FILE *to, struct wg_error *err);
/** Prints the same as JSON. Returns 0 or WG_ERR_MEMORY. */
int wg_fit_output_print_json(const struct wg_fit_output *fitting, FILE *to, struct wg_error *err);

#endif
