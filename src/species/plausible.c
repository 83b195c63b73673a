/*
 * Looks plausible animals up in the table that the build makes from plausible_animals.tsv.
 */
#include "species/plausible.h"

#include "base/error.h"
#include "species/plausible_table.h"

#include <string.h>

_Static_assert(N_PLAUSIBLE_ANIMALS >= 64 && (N_PLAUSIBLE_ANIMALS & (N_PLAUSIBLE_ANIMALS - 1)) == 0,
               "the lattice of animals and winters takes groups of 64");

int wg_plausible_count(void) {
    return N_PLAUSIBLE_ANIMALS;
}

/* Finds a column by its name, beginning where it is expected; the build has checked that there is one. */
static int plausible_column_of(const char *name, int expected) {
    for (int k = 0; k < N_PLAUSIBLE_COLUMNS; k++) {
        const int column = (expected + k) % N_PLAUSIBLE_COLUMNS;
        if (strcmp(plausible_column[column], name) == 0)
            return column;
    }
    return -1;
}

void wg_plausible_animal(int i, struct wg_species *out) {
    wg_assert(i >= 0 && i < N_PLAUSIBLE_ANIMALS);
    const struct wg_parameter *const table = wg_species_parameters();
    for (int k = 0; table[k].name != NULL; k++) {
        const int column = plausible_column_of(table[k].name, k);
        wg_assert(column >= 0);
        wg_species_put(out, &table[k], plausible_row[i][column]);
    }
}

double wg_plausible_weight_without_june(int i) {
    wg_assert(i >= 0 && i < N_PLAUSIBLE_ANIMALS);
    const int column = plausible_column_of("weight_without_june", N_PLAUSIBLE_COLUMNS - 1);
    wg_assert(column >= 0);
    return plausible_row[i][column];
}
