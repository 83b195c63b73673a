#!/bin/sh
# shellcheck disable=SC1091,SC2154 # the words come from words.sh
# Checks wintergrub figures and report: output files, errors and exit statuses.
. "$(dirname "$0")/words.sh"

wintergrub run "$SRC/scenarios/smallest.yaml" --replicates 5 --quiet
ends 0
mkdir sites
mv smallest.h5 sites/small.h5

# ---- figures ----

wintergrub figures sites/small.h5
ends 0
tells_nothing
prints 'figures in small-figures'
is_clean
for name in stages stack generations temperatures-1 crawl-off; do
  for ending in svg pdf png; do
    [ -s small-figures/$name.$ending ] || fault "there is no $name.$ending"
  done
done
[ -z "$(find small-figures -name '.*' -type f)" ] || fault "something unfinished is left"

# Overwrites no file without --force; then all or none.
rm small-figures/stages.svg
printf 'mine' >small-figures/stack.pdf
wintergrub figures sites/small.h5
ends 4
tells_lines 1
tells '--force'
prints_nothing
[ ! -e small-figures/stages.svg ] || fault "something was written"
[ "$(cat small-figures/stack.pdf)" = mine ] || fault "a file was replaced"
wintergrub figures sites/small.h5 --force
ends 0
[ -s small-figures/stages.svg ] || fault "nothing was written"
[ "$(cat small-figures/stack.pdf)" != mine ] || fault "nothing was replaced"

printf 'mine' >file
wintergrub figures sites/small.h5 -o file
ends 4
tells_lines 1
wintergrub figures sites/small.h5 -o no/such
ends 4
tells_lines 1

# ---- report ----

wintergrub report sites/small.h5
ends 0
prints_nothing
tells 'small.html'
grep -q '</html>' small.html || fault "the page does not end"
wintergrub report sites/small.h5
ends 4
tells_lines 1
wintergrub report sites/small.h5 --force
ends 0
wintergrub report sites/small.h5 -o no/such/page.html
ends 4

# ---- a comparison ----

cp "$SRC/scenarios/smallest.yaml" a.yaml
sed 's/count: [0-9]*/count: 500/' a.yaml >b.yaml
wintergrub compare a.yaml b.yaml -o two.h5 --replicates 5
ends 0
wintergrub figures two.h5
ends 0
[ -s two-figures/comparison.svg ] || fault "there is no figure of the comparison"
wintergrub report two.h5
ends 0
grep -q 'against A' two.html || fault "the page compares nothing"
grep -q 'the same 5 possible years, 1 January to 31 December 2026' two.html || fault "the page does not say which years"
grep -q 'median of 5 possible years' two-figures/comparison.svg || fault "the figure does not speak of years"

# ---- one replicate, and no larvae ----

wintergrub run a.yaml -o one.h5 --replicates 1 --quiet
wintergrub report one.h5
ends 0
grep -q 'through 1 possible year\.' one.html || fault "one year is not one"
grep -q 'in 1 of 1 possible year:' one.html || fault "one year is not one"
sed 's/to: 2026-12-31/to: 2026-01-01/' a.yaml >day.yaml
wintergrub run day.yaml -o day.h5 --replicates 1 --quiet
wintergrub report day.h5
ends 0
grep -q 'this plan on 1 January 2026?' day.html || fault "one day is not one"
grep -q 'There are no larvae\.' day.html || fault "it speaks of no larvae"

# ---- other files ----

printf 'no result' >text.h5
head -c 20000 sites/small.h5 >torn.h5
head -c 9000 two.h5 >torn-two.h5
: >empty.h5
"${PYTHON:-python3}" -B -c "import h5py; h5py.File('foreign.h5', 'w')['count'] = 3"
# altered NEW OLD PYTHON: copies OLD with a change to its file f and a new checksum, as from another version.
altered() {
  cp "$2" "$1"
  "${PYTHON:-python3}" -B -c "
import h5py
f = h5py.File('$1', 'r+')
$3"
  sealed=$(sha256sum <"$1")
  echo "wintergrub sha256 ${sealed%% *}" >>"$1"
}
altered newer.h5 sites/small.h5 "f['provenance'].attrs.modify('wintergrub_format', 99)"
altered older.h5 sites/small.h5 "f['provenance'].attrs.modify('wintergrub_format', 0)"
altered older-two.h5 two.h5 "f['provenance'].attrs.modify('wintergrub_comparison_format', 0)"
altered timeless-two.h5 two.h5 "del f.attrs['time_coverage_end']"
altered lacking.h5 sites/small.h5 "del f['crawl_off_mass']"
altered lacking-two.h5 two.h5 "del f['total_crawl_off_mass']"
for command in figures report; do
  for file in text torn torn-two empty foreign newer older older-two timeless-two lacking lacking-two; do
    wintergrub $command $file.h5 -o out-$file
    ends 3
    prints_nothing
    tells_lines 1
    tells $file.h5
    [ ! -e out-$file ] || fault "something was written"
  done
  wintergrub $command missing.h5
  ends 4
  tells_lines 1
  wintergrub $command
  ends 2
  wintergrub $command sites/small.h5 --nonsense
  ends 2
done

finish
