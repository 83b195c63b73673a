/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Says how to cite the program.
 */
#ifndef WG_CLI_CITE_H
#define WG_CLI_CITE_H

#include <stdio.h>

/** Prints a reference as text and as BibTeX, with the version of this build. Returns WG_STATUS_DONE. */
int wg_cite_print(FILE *to);

#endif
