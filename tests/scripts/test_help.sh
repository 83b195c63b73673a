#!/bin/sh
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Checks that each script has --help, and that a wrong argument ends it with status 2 before it installs or builds anything.
# Runs copies in a folder of their own, so that any work fails; its name has blanks and an umlaut.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
root=$(cd "${SRC:-$here/../..}" && pwd)
shelf=$(mktemp -d)
trap 'rm -rf "$shelf"' EXIT
mkdir "$shelf/Höfe am Bach"
cp -R "$root/scripts" "$shelf/Höfe am Bach/scripts"
cd "$shelf"
scripts="Höfe am Bach/scripts"

# ends STATUS NAME WORDS...: text on standard output for status 0, else on standard error, not on both.
ends() {
  wanted=$1
  name=$2
  shift 2
  status=0
  "$scripts/$name" "$@" >out 2>err </dev/null || status=$?
  said=out silent=err
  [ "$wanted" -eq 0 ] || said=err silent=out
  if [ "$status" -ne "$wanted" ] || [ ! -s $said ] || [ -s $silent ]; then
    echo "scripts/$name $* ended with $status, not $wanted; it said:"
    cat out err
    exit 1
  fi
}

n=0
for script in "$scripts"/*; do
  name=${script##*/}
  case $name in
  *.sh | *.awk | *.R | cmake | papers | web | read_coverage.py) continue ;; # for a scheduler, R or other scripts
  esac
  ends 0 "$name" --help
  ends 0 "$name" -h
  n=$((n + 1))
done
[ "$n" -ge 12 ] || { echo "only $n scripts were found"; exit 1; }

ends 2 build -DWINTERGRUB_MPI=ON
ends 2 build-workshop --frob
ends 2 build-page --frob
ends 2 calibrate frob
ends 2 check format frob
ends 2 coverage --frob
ends 2 demo frob
ends 2 fuzz frob
ends 2 setup frob
ends 2 verify frob
[ "$(ls "Höfe am Bach")" = scripts ] || { echo "something was made:"; ls "Höfe am Bach"; exit 1; }
