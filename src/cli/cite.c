/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Prints how to cite the program.
 */
#include "cli/cite.h"

#include "cli/command.h"

#include <wintergrub/version.h>

#define YEAR "2026" /* of this version's release */

int wg_cite_print(FILE *to) {
    (void)fputs("To cite wintergrub in a text:\n\n"
                "  The wintergrub authors (" YEAR "). wintergrub " WG_VERSION ": odds, dates and\n"
                "  pounds for a black soldier fly colony. Computer program, GPL-3.0-or-later.\n\n"
                "As BibTeX:\n\n"
                "  @software{wintergrub,\n"
                "    author  = {{The wintergrub authors}},\n"
                "    title   = {wintergrub: odds, dates and pounds\n"
                "               for a black soldier fly colony},\n"
                "    year    = {" YEAR "},\n"
                "    version = {" WG_VERSION "},\n"
                "    license = {GPL-3.0-or-later}\n"
                "  }\n\n"
                "Beside it, cite the studies on which your answer rests: wintergrub help numbers\n"
                "names the source of each number of the model, and every result has them too\n"
                "(parameter_source of its group provenance). To let others repeat a forecast,\n"
                "publish its result file; wintergrub rerun proves it bit for bit.\n",
                to);
    return WG_STATUS_DONE;
}
