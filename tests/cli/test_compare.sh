#!/bin/sh
# shellcheck disable=SC1091,SC2034,SC2154 # the words come from words.sh
# Checks wintergrub compare: its output, rejected setups, its file. test_compare_numbers.py checks its numbers.
. "$(dirname "$0")/words.sh"

cp -r "$SRC/scenarios" "$shelf/scenarios"
lane=$shelf/scenarios/crow-lane
few='--replicates 12'

# ---- side by side ----

# shellcheck disable=SC2086 # words
wintergrub compare "$lane-outdoors.yaml" "$lane-hoop-house.yaml" "$lane-shed.yaml" "$lane-mat.yaml" $few
ends 0
is_clean
fits "$out"
tells_nothing
holds
for words in 'the same 12 possible years' 'Alive at the end' 'Weeks no crawl-off' 'First crawl-off' 'All crawl-off, kg' \
  'All taken out, kg' 'Energy, kWh' 'Energy cost' 'Cost per extra kg' 'Cost per extra lb' '- (the first)' 'B against A: over the same 12' \
  'C against A:' 'D against A:' 'better in '; do
  prints "$words"
done
! grep -q 'times as many' "$out" || fault "a factor of variances, which is for --json"
for letter in A B C D; do
  grep -qE "^$letter  Crow Lane, " "$out" || fault "no title of $letter"
done
! grep -qiE '(^|[^a-z])(nan|inf|infinity|-0)([^a-z.0-9]|$)' "$out" || fault "something that is no number"
[ "$(grep -c 'licensed electrician' "$out")" -eq 1 ] || fault "the caution of heat, not once"
[ "$(grep -c 'insects are regulated' "$out")" -eq 1 ] || fault "the caution of harvest, not once"
grep -qE '^Warning, C: .*shed' "$out" || grep -qE '^Warning, C: ' "$out" || fault "no warning of the shed's feeding"

# Without heat it prints no caution about heat, and no price.
# shellcheck disable=SC2086
wintergrub compare "$lane-outdoors.yaml" "$lane-hoop-house.yaml" $few
ends 0
fits "$out"
! grep -q 'electrician' "$out" || fault "a caution of heat without heat"
! grep -q 'Cost per extra' "$out" || fault "a price without heat"

# More than four setups are in blocks, each with the first setup.
# shellcheck disable=SC2086
wintergrub compare "$lane-shed.yaml" "$lane-mat.yaml" "$lane-shed.yaml" "$lane-outdoors.yaml" "$lane-mat.yaml" \
  "$lane-hoop-house.yaml" --replicates 2
ends 0
fits "$out"
grep -qE '^ +A +B +C +D$' "$out" || fault "no first block"
grep -qE '^ +A +E +F$' "$out" || fault "no second block"
prints 'F against A:'

# ---- a scenario against itself ----

wintergrub compare "$lane-mat.yaml" "$lane-mat.yaml" --replicates 8
ends 0
prints 'taken out: the same in all 8 years;'
prints 'no difference in 8'
prints 'Weeks without crawl-off: the same'
! grep -q 'Energy, kWh: ' "$out" || fault "a difference to itself"

# ---- the same for any number of threads, different years with a different seed ----

pair() {
  wintergrub compare "$lane-outdoors.yaml" "$lane-mat.yaml" --replicates 6 "$@"
  ends 0
}
pair --threads 1
mv "$out" "$shelf/one"
pair --threads=3 --seed 2026
cmp -s "$out" "$shelf/one" || fault "another comparison with three threads, or with the seed of the first file said aloud"
pair --seed 7
! cmp -s "$out" "$shelf/one" || fault "another seed, the same comparison"

# Uses seed and number of years of the first file.
sed 's/replicates: [0-9]*, seed: [0-9]*/replicates: 5, seed: 77/' "$lane-mat.yaml" >"$shelf/scenarios/mine.yaml"
wintergrub compare "$shelf/scenarios/mine.yaml" "$lane-outdoors.yaml" --json
ends 0
prints '"replicates": 5,'
prints '"seed": "77"'

# ---- allowed differences, which it prints ----

sed 's/per_year: 2/per_year: 0/; s/steps_per_day: 1/steps_per_day: 2/' "$lane-mat.yaml" >"$shelf/scenarios/other.yaml"
wintergrub compare "$lane-mat.yaml" "$shelf/scenarios/other.yaml" --replicates 4
ends 0
tr '\n' ' ' <"$out" | tr -s ' ' >"$shelf/flat"
grep -qF 'Also different: power cuts a year: 0, 2 in A.' "$shelf/flat" || fault "other mishaps are not told"
grep -qF 'steps a day: 2, 1 in A.' "$shelf/flat" || fault "other steps are not told"

# ---- rejected differences, with both values ----

refuses() {
  wintergrub compare "$lane-mat.yaml" "$1" --replicates 1000000 -o x.h5
  ends 3
  prints_nothing
  tells_lines 1
  is_clean
  tells "$1"
  tells "$lane-mat.yaml"
  shift
  for words in "$@"; do tells "$words"; done
  holds
}
other=$shelf/scenarios/other.yaml
sed 's/to: 2027-09-14/to: 2027-09-13/' "$lane-shed.yaml" >"$other"
refuses "$other" period '13 September 2027' '14 September 2027'
sed 's/latitude: 41/latitude: 42/' "$lane-shed.yaml" >"$other"
refuses "$other" latitude '42 degrees' '41 degrees'
sed 's/elevation: 240 m/elevation: 250 m/' "$lane-shed.yaml" >"$other"
refuses "$other" elevation '250 m' '240 m'
sed 's/spread: continental/spread: marine/' "$lane-shed.yaml" >"$other"
refuses "$other" spread January
sed 's/daily_high: \[32,/daily_high: [50,/' "$lane-shed.yaml" >"$other"
refuses "$other" 'daily high of January' '10 degC' '0 degC'

# Recorded years and weather generated from them differ, although the record is the same.
sed 's/use: years/use: fitted/' "$shelf/scenarios/seattle-record.yaml" >"$other"
wintergrub compare "$shelf/scenarios/seattle-record.yaml" "$other"
ends 3
tells 'generated from a record'
tells 'recorded years'

# ---- arguments ----

usage() {
  wintergrub compare "$@"
  ends 2
  prints_nothing
  tells_lines 1
  tells 'help compare'
}
usage
usage "$lane-mat.yaml"
# shellcheck disable=SC2046
usage $(for _ in 1 2 3 4 5 6 7 8 9; do echo "$lane-mat.yaml"; done)
usage "$lane-mat.yaml" "$lane-shed.yaml" --replicates 0
usage "$lane-mat.yaml" "$lane-shed.yaml" --calendar
wintergrub compare "$lane-mat.yaml" nowhere.yaml
ends 4
tells_lines 1
tells nowhere.yaml
sed 's/count: 10000/count: -1/' "$lane-mat.yaml" >"$other"
wintergrub compare "$other" "$lane-mat.yaml"
ends 3
tells_like "^$other:[0-9]+:[0-9]+: error: "
wintergrub compare "$lane-mat.yaml" "$other"
ends 3
tells_like "^$other:[0-9]+:[0-9]+: error: "

# Unlimited growth in one of the setups: an error at its feeding line.
sed 's/2026-12-31/2029-12-31/' "$SRC/scenarios/smallest.yaml" >"$other"
wintergrub compare "$other" "$other" --replicates 2
ends 3
prints_nothing
tells_like "^$other:[0-9]+:1: error: .*grows past"

# ---- the file ----

wintergrub compare "$lane-mat.yaml" "$lane-shed.yaml" --replicates 3 -o both.h5
ends 0
holds both.h5
tells_lines 1
tells 'the comparison is in both.h5'
cp both.h5 "$shelf/before.h5"
for place in both.h5 nowhere/x.h5 /dev/null/x.h5; do
  wintergrub compare "$lane-mat.yaml" "$lane-shed.yaml" --replicates 1000000 -o $place
  ends 4
  prints_nothing
  tells_lines 1
  holds both.h5
done
cmp -s both.h5 "$shelf/before.h5" || fault "the file that was there has changed"
wintergrub compare "$lane-mat.yaml" "$lane-shed.yaml" --replicates 4 -o both.h5 --force --quiet
ends 0
tells_nothing
! cmp -s both.h5 "$shelf/before.h5" || fault "--force has not replaced the file"

# Other commands reject it, because it is not a result of one scenario.
wintergrub rerun both.h5
ends 3
tells_lines 1
tells 'comparison'

# A full disk: a reason, the old file intact, no temporary file; it still prints the comparison.
printf old >both.h5
said='wintergrub compare with little room'
status=0
(ulimit -f 40 && exec "$WINTERGRUB" compare "$lane-mat.yaml" "$lane-shed.yaml" --replicates 50 --force -o both.h5) \
  >"$out" 2>"$err" </dev/null || status=$?
ends 4
prints 'Alive at the end'
tells_lines 1
[ "$(cat both.h5)" = old ] || fault "the old file is gone"
holds both.h5
rm both.h5

said='wintergrub compare >/dev/full'
status=0
: >"$out"
"$WINTERGRUB" compare "$lane-mat.yaml" "$lane-shed.yaml" --replicates 2 >/dev/full 2>"$err" </dev/null || status=$?
ends 4
tells_lines 1
tells 'No space left'

finish
