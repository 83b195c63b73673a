#!/bin/sh
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Checks that the library has no global state, so that two forecasts in one program are independent: no symbol of its own
# is in writable memory, except those that the compiler adds for a sanitizer or for coverage.
set -eu
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

writable() {
  nm -A --format=sysv "$1" | awk -F'|' '
    { name = $1; sub(/ *$/, "", name); sub(/^.*:/, "", name) }
    name ~ /^(__unnamed_|__asan|__odr_asan|__gcov|__tsan|__ubsan|__profc?|__llvm|\.L|_ub_sig|DW\.ref)/ { next }
    $NF ~ /^\.(data|bss|tdata|tbss)(\.|$)/ && $NF !~ /^\.data\.rel\.ro/ || $3 ~ /C/ { print $1 "in " $NF; found = 1 }
    END { exit found }'
}

# The check must fail for each kind of variable.
for variable in 'int own = 3;' 'int own;' 'static int own[9];' 'static const char *own = "x";' \
  'static _Thread_local int own;'; do
  printf '%s\nvoid *f(void);\nvoid *f(void) { return (void *)&own; }\n' "$variable" >"$work/x.c"
  cc -std=c17 -O2 -c "$work/x.c" -o "$work/x.o"
  if writable "$work/x.o" >/dev/null; then echo "not noticed: $variable"; exit 1; fi
done
# It must accept constants.
printf 'const char *const word[] = {"x", "y"};\nconst int number[] = {1, 2};\n' >"$work/x.c"
cc -std=c17 -O2 -c "$work/x.c" -o "$work/x.o"
writable "$work/x.o"

writable "$BUILD/libwintergrub.a"
