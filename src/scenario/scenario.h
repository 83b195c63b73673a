/**
 * A scenario file (YAML) read into a plan, with every mistake located.
 */
#ifndef WG_SCENARIO_SCENARIO_H
#define WG_SCENARIO_SCENARIO_H

#include "colony/plan.h"
#include "text/mistakes.h"

struct wg_scenario {
    struct wg_plan plan;
    struct wg_weather_record record; /* owned; plan.climate.record points here */
    char *path;
    char *text; /* the file as read */
    size_t text_size;
    char *record_path; /* as written in the scenario, NULL if none */
    char *record_file; /* the file that was opened for it, NULL if none was */
    char *record_text; /* the weather file as read, for provenance */
    size_t record_size;
    char *record_note;                /* one line: what was understood of the weather file, NULL if none */
    int feeding_line, feeding_column; /* of the key "feeding", from 1; 0: none */
};

/**
 * What may stand in the file: src/schema/schema_table.c, or `wintergrub help scenario`.
 *
 * Reads and checks a file. 0; WG_ERR_INPUT with all mistakes in *problems (err
 * then holds the count); WG_ERR_FILE if it cannot be read. *scenario and
 * *problems must be freed in every case.
 */
int wg_scenario_read(struct wg_scenario *scenario, const char *path, struct wg_mistakes *problems,
                     struct wg_error *err);
/**
 * The same from text (a result's own record; fuzzing). `path` names it in messages and is the base of relative record
 * paths; record_text, if not NULL, is used in place of the record file.
 */
int wg_scenario_read_text(struct wg_scenario *scenario, const char *path, const char *text, size_t size,
                          const char *record_text, size_t record_size, struct wg_mistakes *problems,
                          struct wg_error *err);
/** What it is called everywhere: its title, or the name of its file where it has none. */
const char *wg_scenario_name(const struct wg_scenario *scenario);
void wg_scenario_free(struct wg_scenario *scenario);

/**
 * The resolved plan as readable text, a screenful, with its main numbers in
 * both unit systems. malloc'ed; NULL if there is not enough memory.
 */
char *wg_scenario_describe(const struct wg_scenario *scenario);
/** Every key by group as it was understood, with "(default)" where the file is silent. The same. */
char *wg_scenario_describe_keys(const struct wg_scenario *scenario);

#endif
