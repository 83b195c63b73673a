#!/bin/sh
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Checks that the source follows the layer table, and that the check can fail.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
root=${SRC:-$here/../..}
tree=$(mktemp -d)
trap 'rm -rf "$tree"' EXIT
failed=0

# A small tree that follows the table.
plant() {
  rm -rf "$tree"
  mkdir -p "$tree/src"
  (cd "$tree/src" && mkdir base species climate housing plan colony workshop forecast analysis sizing inference search text \
    records schema variants scenario outline data storage results drawing figures json report answers size cheapest pages asking library cli commands)
  mkdir -p "$tree/include/wintergrub" "$tree/src/browser"
  printf '# left out\nstorage/\nresults/\nlibrary/\ncli/\ncommands/\ndrawing/pen_cairo.c\nforecast/threads.h\n' >"$tree/src/browser/native_only.txt"
  touch "$tree/src/base/error.h" "$tree/src/species/species.h" "$tree/src/climate/weather.h" "$tree/src/colony/colony.h" \
    "$tree/src/results/result.h" "$tree/src/workshop/lesson.h" "$tree/src/colony/state.h" "$tree/src/figures/ink.h" \
    "$tree/src/storage/hdf5_handle.h" "$tree/src/forecast/threads.h" "$tree/src/library/public.h" "$tree/src/sizing/size.h" "$tree/src/commands/list.h"
  printf '#include <stddef.h>\n' >"$tree/include/wintergrub/wintergrub.h"
  printf '#include <wintergrub/wintergrub.h>\n#include "results/result.h"\n' >"$tree/src/library/public_plan.c"
  printf '#include <math.h>\n#include <gsl/gsl_rng.h>\n#include "base/error.h"\n' >"$tree/src/species/rate.c"
  printf '/* never printf() */\nint f(void); /* nor\n exit(1) */\nint g = sizeof "exit(1)";\n' >"$tree/src/species/say.c"
  printf '#include "species/species.h"\n#include "colony/state.h"\n' >"$tree/src/colony/step.c"
  printf '#include <hdf5.h>\n#include <hdf5_hl.h>\n#include "storage/hdf5_handle.h"\n' >"$tree/src/storage/hdf5_write.c"
  printf '#include "storage/hdf5_handle.h"\n#include <hdf5.h>\n' >"$tree/src/storage/hdf5_read.c"
  printf '#include <cairo.h>\n#include <cairo-svg.h>\n' >"$tree/src/drawing/pen_cairo.c"
  printf '#include <stdio.h>\n#include <wintergrub/version.h>\nint main(void) { return printf("x"); }\n' >"$tree/src/commands/main.c"
}

# refuses FILE LINE WORDS: with LINE added to FILE the check must fail and print WORDS.
refuses() {
  rm -f "$tree/kept"
  if [ -f "$tree/$1" ]; then cp "$tree/$1" "$tree/kept"; fi
  printf '%s\n' "$2" >>"$tree/$1"
  if said=$("$here/check_layers.sh" "$tree" 2>&1); then
    echo "not noticed: $2 in $1"
    failed=1
  elif ! printf '%s\n' "$said" | grep -qF -- "$3"; then
    echo "noticed for the wrong reason: $2 in $1: $said"
    failed=1
  fi
  if [ -f "$tree/kept" ]; then cp "$tree/kept" "$tree/$1"; else rm "$tree/$1"; fi
}

plant
"$here/check_layers.sh" "$tree" || failed=1
refuses src/base/up.c '#include "species/species.h"' 'layer base may not include'
refuses src/species/rate.c '#include <climate/weather.h>' 'layer species may not include'
refuses src/climate/day.c '#include "species/species.h"' 'layer climate may not include'
refuses src/species/rate.c '#include "colony/state.h"' 'of layer colony'
refuses src/species/rate.c '#include "../colony/state.h"' 'write the path from src/'
refuses src/colony/step.c '#include "state.h"' 'there is no header'
refuses src/base/error.h '#include "colony/colony.h"' 'layer base may not include'
refuses src/results/chart.c '#include "figures/ink.h"' 'layer results may not include'
refuses src/storage/file.c '#include "results/result.h"' 'layer storage may not include'
refuses src/pages/page.c '#include "results/result.h"' 'layer pages may not include'
refuses src/data/run.c '#include "storage/hdf5_handle.h"' 'layer data may not include'
refuses src/pages/page.c '#include "forecast/threads.h"' 'a web page has no forecast/threads.h'
refuses src/report/page.c '#include <pthread.h>' 'a web page has no pthread.h'
refuses src/workshop/lesson.c '#include "results/result.h"' 'layer workshop may not include'
refuses src/workshop/lesson.c '#include <stdio.h>' 'layer workshop may not include stdio.h'
refuses src/colony/step.c '#include "workshop/lesson.h"' 'of layer workshop'
refuses src/report/page.c '#include "workshop/lesson.h"' 'of layer workshop'
refuses src/colony/step.c '#include <stdio.h>' 'layer colony may not include stdio.h'
refuses src/colony/step.c '#include <time.h>' 'time.h'
refuses src/housing/air.c '  #  include <pthread.h>' 'pthread.h'
refuses src/colony/colony.h '#include <stdatomic.h>' 'stdatomic.h'
refuses src/climate/day.c '#include <hdf5.h>' 'layer climate may not include hdf5.h'
refuses src/results/result.c '#include <hdf5.h>' 'HDF5 belongs in src/storage/hdf5_file.c'
refuses src/cli/again.c '#include <H5DSpublic.h>' 'HDF5 belongs in src/storage/hdf5_file.c'
refuses src/results/result.c '#include "storage/hdf5_handle.h"' 'HDF5 belongs in src/storage/hdf5_file.c'
refuses src/figures/again.c '#include <cairo-svg.h>' 'cairo belongs in src/drawing/pen_cairo.c'
refuses src/species/rate.c 'int f(void) { return rand(); }' 'may not call'
refuses src/colony/step.c 'void f(void) { /* why */ exit(1); }' 'may not call'
refuses src/colony/step.c '#include "colony/nowhere.h"' 'there is no header'
refuses include/wintergrub/wintergrub.h '#include "base/error.h"' 'of layer base'
refuses src/library/public_plan.c '#include "figures/ink.h"' 'of layer figures'
refuses src/inference/fit.c '#include "sizing/size.h"' 'of layer sizing'
refuses src/search/ladder.c '#include "sizing/size.h"' 'of layer sizing'
refuses src/cli/args.c '#include "commands/list.h"' 'of layer commands'
refuses src/report/page.c '#include "library/public.h"' 'of layer library'
refuses src/results/result.c '#include <wintergrub/wintergrub.h>' 'of layer public'
refuses src/gizmo.c 'int x;' 'in the folder of a layer'
refuses src/colony/step.c '#include "species/rate.c"' 'a .c file is included'

"$here/check_layers.sh" "$root" || failed=1
exit $failed
