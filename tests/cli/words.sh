# shellcheck shell=sh
# Functions for the tests of the command line; a test begins with: . "$(dirname "$0")/words.sh"
#
# The test then runs in an empty temporary folder, $SRC is the source tree, and `wintergrub` runs the program and sets
# $status; standard output is in the file $out, standard error in $err (both outside the folder).
set -u
: "${WINTERGRUB:?the program to test}" "${SRC:?the source tree}"
WINTERGRUB=$(CDPATH='' cd "$(dirname "$WINTERGRUB")" && pwd)/$(basename "$WINTERGRUB")
SRC=$(CDPATH='' cd "$SRC" && pwd)
shelf=$(mktemp -d)
mkdir "$shelf/desk"
trap 'rm -rf "$shelf"' EXIT
cd "$shelf/desk" || exit 1
out=$shelf/out
err=$shelf/err
status=0
failed=0

# The program gets its own folder for temporary files, and no setting for colours.
TMPDIR=$shelf/tmp
mkdir "$TMPDIR"
export TMPDIR
unset NO_COLOR

wintergrub() {
  status=0
  said="wintergrub $*"
  "$WINTERGRUB" "$@" >"$out" 2>"$err" </dev/null || status=$?
}

# fault WORDS: reports a failure, with the program's output.
fault() {
  echo "FAILED: $said: $*"
  echo "--- status $status, standard output:"
  cat "$out"
  echo "--- standard error:"
  cat "$err"
  echo "---"
  failed=1
}

# ends N: expects the status, and no report of a sanitizer.
ends() {
  [ "$status" -eq "$1" ] || fault "ended with $status, not $1"
  if grep -qE 'Sanitizer|runtime error:' "$err"; then fault "a sanitizer reports an error"; fi
}
prints() { grep -qF -e "$1" "$out" || fault "standard output does not say: $1"; }
tells() { grep -qF -e "$1" "$err" || fault "standard error does not say: $1"; }
prints_nothing() { [ ! -s "$out" ] || fault "there is something on standard output"; }
tells_like() { grep -qE -e "$1" "$err" || fault "standard error has nothing like: $1"; }
tells_nothing() { [ ! -s "$err" ] || fault "there is something on standard error"; }
tells_lines() { [ "$(wc -l <"$err")" -eq "$1" ] || fault "standard error has not $1 line(s)"; }
# Expects no control characters except newlines.
is_clean() {
  if LC_ALL=C tr -d '\n' <"$out" | LC_ALL=C grep -q '[[:cntrl:]]'; then fault "control characters on standard output"; fi
  if LC_ALL=C tr -d '\n' <"$err" | LC_ALL=C grep -q '[[:cntrl:]]'; then fault "control characters on standard error"; fi
}
# holds FILES: expects exactly these files in the folder.
holds() {
  found=$(find . -mindepth 1 | LC_ALL=C sort | sed 's|^\./||' | tr '\n' ' ')
  [ "$found" = "$*${*:+ }" ] || fault "the folder holds \"$found\", not \"$*\""
  [ -z "$(ls -A "$TMPDIR")" ] || fault "left in the folder for temporary files: $(ls -A "$TMPDIR")"
}
# fits FILE [LINES]: expects no line over 80 columns, and at most LINES lines.
fits() {
  wide=$(awk 'length($0) > 80' "$1")
  [ -z "$wide" ] || fault "wider than 80 columns: $wide"
  [ "$(wc -l <"$1")" -le "${2:-10000}" ] || fault "more than $2 lines: $(wc -l <"$1")"
}
finish() {
  [ "$failed" -ne 0 ] || echo "$(basename "$0"): passed"
  exit "$failed"
}
