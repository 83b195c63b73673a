#!/bin/sh
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Checks that a colony is the same to the last bit on every processor: no object of the model or the forecast imports a
# C library function that rounds (the library selects code by processor); of GSL, which calls those, only its
# generators and its sort. Functions that IEEE 754 or C define to the last bit (sqrt, floor, fmax, ...) are allowed.
set -eu
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

# imports OBJECT...: the forbidden imports. gsl_rng_ uses integers only, gsl_sort compares.
imports() {
  nm -A --undefined-only --format=posix "$@" | awk '
    BEGIN {
      n = split("acos asin atan atan2 cos sin tan sincos acosh asinh atanh cosh sinh tanh exp exp2 exp10 pow10 expm1 log log10 " \
        "log1p log2 cbrt hypot pow powr pown erf erfc lgamma gamma tgamma j0 j1 jn y0 y1 yn", name, " ")
      for (i = 1; i <= n; i++) rounds[name[i]]
    }
    {
      symbol = $2
      sub(/^_*/, "", symbol)
      sub(/@.*$/, "", symbol)
      sub(/(_r)?(_finite)?$/, "", symbol)
      plain = symbol
      sub(/[fl]$/, "", plain)
      complex = plain
      sub(/^c/, "", complex)
    }
    symbol in rounds || plain in rounds || complex in rounds { print $1 " imports " $2; next }
    symbol ~ /^gsl_/ && symbol !~ /^gsl_(rng_|sort$)/ { print $1 " imports " $2 }'
}

# The check must fail on a forbidden import, and only then.
compiled() { cc -std=c17 -O2 -fno-builtin -w -c "$work/x.c" -o "$work/x.o"; }
forbidden='exp expm1 exp2 log log1p log2 log10 pow sin cos tan sincos asin acos atan atan2 sinh cosh tanh erf erfc lgamma
  tgamma cbrt hypot expf logl lgamma_r cexp __exp_finite gsl_sf_lngamma gsl_ran_poisson gsl_cdf_tdist_Pinv'
for name in $forbidden; do
  echo "double $name(double, double); double own_$name(double x) { return $name(x, x); }"
done >"$work/x.c"
compiled
imports "$work/x.o" >"$work/found"
for name in $forbidden; do
  grep -q " imports $name\$" "$work/found" || { echo "not noticed: $name"; exit 1; }
done
cat >"$work/x.c" <<'ALLOWED'
double fmax(double, double), sqrt(double), floor(double), nearbyint(double), wg_exp(double), gsl_rng_uniform(void *);
double own(double x) { return fmax(x, sqrt(x)) + floor(x) + nearbyint(x) + wg_exp(x) + gsl_rng_uniform(0); }
ALLOWED
compiled
found=$(imports "$work/x.o")
[ -z "$found" ] || { echo "allowed, and yet: $found"; exit 1; }

: >"$work/found"
n=0
for layer in base species climate housing plan colony workshop forecast; do
  set -- "$BUILD/CMakeFiles/wintergrub_$layer.dir/src/$layer"/*.o
  [ -f "$1" ] || { echo "there are no objects of $layer"; exit 1; }
  imports "$@" >>"$work/found"
  n=$((n + $#))
done
cat "$work/found"
[ "$n" -ge 50 ] || { echo "only $n objects were found"; exit 1; }
[ ! -s "$work/found" ]
