/**
 * `run` with several scenarios: one result each in a folder, one table at the end,
 * and nothing computed twice.
 */
#ifndef WG_CLI_SWEEP_H
#define WG_CLI_SWEEP_H

#include "cli/args.h"
#include "cli/simulate.h"
#include "report/sweep_text.h"

/** True if the arguments of `run` are a sweep: more than one, or a folder. */
bool wg_sweep_is_requested(const struct wg_args *args);
/** The sweep. Gives the exit status. */
int wg_sweep(const struct wg_args *args);

/** --replicates, --seed, --threads, --force, --quiet over what the scenario says; command_run.c. 0, or WG_STATUS_USAGE said. */
int wg_run_apply_options(const struct wg_args *args, struct wg_plan *plan, struct wg_simulation *simulation);

/* ---- which scenarios, sweep_list.c ---- */

/**
 * Files as they are named, folders as all *.yaml in them in order of name (hidden ones left out), each to a result in
 * `folder`. WG_ERR_INPUT: two to one result, or none at all; WG_ERR_FILE, WG_ERR_MEMORY. Free in every case.
 */
int wg_sweep_list_make(struct wg_sweep_list *list, const struct wg_args *args, const char *folder,
                       struct wg_error *err);
void wg_sweep_list_free(struct wg_sweep_list *list);

/* ---- what is there already, sweep_reuse.c ---- */

/** What lies under a result's name. */
struct wg_sweep_existing {
    bool is_same;                    /* this very scenario with this weather, seed, number of replicates and program */
    bool is_other;                   /* a whole result of ours that is not, and that may be replaced */
    struct wg_file_identity file;    /* of either */
    struct wg_sweep_numbers numbers; /* if it is the same and they were asked for; the summary must be freed */
    char why[WG_SENTENCE_SIZE];      /* if it is other: in half a sentence */
};
/**
 * Looks. Nothing there: 0 and neither. WG_ERR_EXISTS: something that a sweep must not replace, and what it is; anything
 * but a whole result of this format, and one of another seed or of more replicates. WG_ERR_FILE, WG_ERR_MEMORY: it cannot
 * be known.
 */
int wg_sweep_find_existing(const char *path, const struct wg_scenario *scenario, bool with_numbers,
                           struct wg_sweep_existing *found, struct wg_error *err);

#endif
