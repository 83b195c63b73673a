/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads findings.tsv and turns a quantity into a log likelihood.
 *
 *     two-sided   -z^2/2,  z = (value - finding)/error on the finding's scale
 *     one-sided   the same on the forbidden side, 0 on the allowed
 *     two modes   log of half the sum of two such kernels, divided by what it is at the better mode
 */
#include "calibration/findings.h"

#include "base/elementary.h"
#include "calibration/table.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static int choice(const struct table *table, const char *word, const char *const *words) {
    for (int i = 0; words[i] != NULL; i++)
        if (strcmp(word, words[i]) == 0)
            return i;
    table_fault(table, "unknown word", word);
}

static void read_modes(const struct table *table, struct finding *finding, const char *text) {
    char copy[80];
    (void)snprintf(copy, sizeof copy, "%s", text);
    for (const char *word = strtok(copy, "|"); word != NULL; word = strtok(NULL, "|")) {
        if (finding->n_modes == MAX_MODES)
            table_fault(table, "too many alternatives", text);
        finding->mode[finding->n_modes++] = finding_scaled(finding, table_number(table, word));
    }
}

static void read_finding(struct finding *finding, const struct table *table) {
    static const char *const scales[] = {"plain", "ln", "logit", "ln hazard", NULL};
    static const char *const sides[] = {"both", "at most", "at least", NULL};
    static const char *const uses[] = {"closed", "seasonal", NULL};
    *finding = (struct finding){0};
    table_copy(table, "key", finding->key, sizeof finding->key);
    table_copy(table, "what", finding->what, sizeof finding->what);
    table_copy(table, "source", finding->source, sizeof finding->source);
    table_copy(table, "value", finding->said, sizeof finding->said);
    table_copy(table, "scale", finding->scale_name, sizeof finding->scale_name);
    table_copy(table, "side", finding->side_name, sizeof finding->side_name);
    finding->scale = (enum finding_scale)choice(table, finding->scale_name, scales);
    finding->side = (enum finding_side)choice(table, finding->side_name, sides);
    finding->seasonal = choice(table, table_cell(table, "use"), uses);
    finding->error = table_number(table, table_cell(table, "error"));
    read_modes(table, finding, finding->said);
}

void findings_read(struct findings *findings, const char *path) {
    struct table table;
    findings->n = 0;
    table_open(&table, path);
    while (table_next(&table)) {
        const char *const use = table_cell(&table, "use");
        if (strcmp(use, "closed") != 0 && strcmp(use, "seasonal") != 0)
            continue;
        if (findings->n == MAX_FINDINGS)
            table_fault(&table, "too many findings", use);
        read_finding(&findings->row[findings->n++], &table);
    }
    table_close(&table);
}

double finding_scaled(const struct finding *finding, double quantity) {
    const double tiny = 1e-300;
    switch (finding->scale) {
    case FINDING_PLAIN:
        break;
    case FINDING_LN:
        return wg_log(fmax(quantity, tiny));
    case FINDING_LOGIT:
        return wg_log(fmax(quantity, tiny) / fmax(1.0 - quantity, tiny));
    case FINDING_LN_HAZARD:
        return -wg_log(fmax(-wg_log(fmax(quantity, tiny)), tiny));
    }
    return quantity;
}

static double signed_pull(const struct finding *finding, double scaled, int mode) {
    const double pull = (scaled - finding->mode[mode]) / finding->error;
    if ((finding->side == FINDING_AT_MOST && pull < 0.0) || (finding->side == FINDING_AT_LEAST && pull > 0.0))
        return 0.0;
    return pull;
}

double finding_pull(const struct finding *finding, double scaled) {
    double nearest = HUGE_VAL;
    for (int mode = 0; mode < finding->n_modes; mode++) {
        const double pull = signed_pull(finding, scaled, mode);
        nearest = fabs(pull) < fabs(nearest) ? pull : nearest;
    }
    return nearest;
}

double finding_log_likelihood(const struct finding *finding, double scaled) {
    const double pull = signed_pull(finding, scaled, 0);
    if (finding->n_modes == 1)
        return -0.5 * pull * pull;
    const double other = signed_pull(finding, scaled, 1);
    const double apart = (finding->mode[1] - finding->mode[0]) / finding->error;
    return wg_log((wg_exp(-0.5 * pull * pull) + wg_exp(-0.5 * other * other) + 1e-300) /
                  (1.0 + wg_exp(-0.5 * apart * apart)));
}
