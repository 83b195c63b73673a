#!/bin/sh
# shellcheck disable=SC1091,SC2034,SC2154 # the words come from words.sh
# Checks wintergrub run: its output, the result file, and that errors leave existing files unchanged.
. "$(dirname "$0")/words.sh"

# ---- the forecast, one screen for each example ----

cp -r "$SRC/scenarios" "$shelf/scenarios"
for scenario in "$shelf"/scenarios/*.yaml; do
  name=$(basename "$scenario" .yaml)
  wintergrub run "$scenario" --replicates 12
  ends 0
  is_clean
  fits "$out" 31 # more than a screen: the plan with most warnings
  tells "$name.h5"
  tells_lines 1
  holds "$name.h5"
  grep -qE '^Alive at the end in [0-9]+ of 12 .*%.*between [0-9.]+ and [0-9.]+ %' "$out" || fault "no odds"
  prints 'First adults'
  prints 'First crawl-off'
  prints 'Most larvae'
  prints 'All crawl-off'
  ! grep -qiE '(^|[^a-z])(nan|inf|infinity|-0)([^a-z.0-9]|$)' "$out" || fault "something that is no number"
  rm -f "$name.h5"
done

# Only heat and harvest have these cautions.
cautions() {
  wintergrub run "$shelf/scenarios/$1.yaml" --replicates 2 -o x.h5 --force --quiet
  ends 0
  found=$(grep -ciE 'electrical (and fire )?code|electrician' "$out")
  [ "$([ "$found" -gt 0 ] && echo heat)" = "$2" ] || fault "caution of heat: $found"
  found=$(grep -ciE 'regulat|authorit' "$out")
  [ "$([ "$found" -gt 0 ] && echo harvest)" = "$3" ] || fault "caution of harvest: $found"
}
cautions smallest '' ''
cautions harrow-hill-outdoors '' harvest
cautions seattle-record heat harvest
rm -f x.h5

# One replicate: singular.
wintergrub run "$shelf/scenarios/smallest.yaml" --replicates 1 -q
ends 0
prints ', 1 possible year'
prints 'of 1 year ('
! grep -q '1 years' "$out" || fault 'one year is no years'
rm -f smallest.h5

# ---- where the result goes ----

mkdir farm
cp "$SRC/scenarios/smallest.yaml" farm/bench.v2.yaml
wintergrub run farm/bench.v2.yaml --replicates 5
ends 0
holds bench.v2.h5 farm farm/bench.v2.yaml
cp bench.v2.h5 "$shelf/before.h5"

# Fails before the simulation: a million replicates would take an hour.
wintergrub run farm/bench.v2.yaml --replicates 1000000
ends 4
prints_nothing
tells_lines 1
tells bench.v2.h5
tells --force
cmp -s bench.v2.h5 "$shelf/before.h5" || fault "the file that was there has changed"
holds bench.v2.h5 farm farm/bench.v2.yaml

wintergrub run farm/bench.v2.yaml --replicates 6 --force
ends 0
! cmp -s bench.v2.h5 "$shelf/before.h5" || fault "--force has not replaced the file"
rm bench.v2.h5

for place in nowhere/x.h5 farm /dev/null/x.h5; do
  wintergrub run farm/bench.v2.yaml --replicates 1000000 -o $place
  ends 4
  prints_nothing
  tells_lines 1
  holds farm farm/bench.v2.yaml
done

wintergrub run farm/bench.v2.yaml --replicates 3 --quiet --output=farm/elsewhere.h5
ends 0
tells_nothing
holds farm farm/bench.v2.yaml farm/elsewhere.h5
rm farm/elsewhere.h5

# A full disk (here: files of at most 20 kB): a reason, no result, no temporary file. The old result stays.
printf old >old.h5
said='wintergrub run with little room'
status=0
(ulimit -f 40 && exec "$WINTERGRUB" run farm/bench.v2.yaml --replicates 50 --force -o old.h5) \
  >"$out" 2>"$err" </dev/null || status=$?
ends 4
prints_nothing
tells_lines 1
[ "$(cat old.h5)" = old ] || fault "the old result is gone"
holds farm farm/bench.v2.yaml old.h5
rm old.h5

# The forecast cannot be printed, but the result is complete.
said='wintergrub run >/dev/full'
status=0
: >"$out"
"$WINTERGRUB" run farm/bench.v2.yaml --replicates 3 --quiet >/dev/full 2>"$err" </dev/null || status=$?
ends 4
tells_lines 1
tells 'No space left'
holds bench.v2.h5 farm farm/bench.v2.yaml
wintergrub rerun bench.v2.h5 --quiet
ends 0
rm bench.v2.h5

# ---- seeds ----

forecast() {
  wintergrub run farm/bench.v2.yaml --quiet --force -o x.h5 "$@"
  ends 0
}
forecast --replicates 20 --seed 5
mv "$out" "$shelf/five"
forecast --seed=5 --threads 2 --replicates=20
cmp -s "$out" "$shelf/five" || fault "the same seed, another forecast"
forecast --replicates 20 --seed 6
! cmp -s "$out" "$shelf/five" || fault "another seed, the same forecast"
forecast --replicates 1 --seed 18446744073709551615
rm x.h5

# ---- rejected scenarios ----

sed 's/replicates: [0-9]*/replicates: none/; s/count: [0-9]*/count: -3/' farm/bench.v2.yaml >farm/bad.yaml
wintergrub run farm/bad.yaml
ends 3
prints_nothing
is_clean
[ "$(grep -cE '^farm/bad\.yaml:[0-9]+:[0-9]+: error: ' "$err")" -eq 2 ] || fault "not both mistakes at their places"
rm farm/bad.yaml

# Unlimited growth overflows: an error at the feeding line, with the day and the remedy.
sed 's/2026-12-31/2029-12-31/' farm/bench.v2.yaml >farm/long.yaml
line=$(grep -n '^feeding:' farm/long.yaml | cut -d: -f1)
wintergrub run farm/long.yaml --replicates 8 --threads 2
ends 3
prints_nothing
tells_like "^farm/long\.yaml:$line:1: error: .*[0-9]+ [A-Z][a-z]+ 202[6-9]"
tells 'feeding plan'
tells 'feeding: unlimited'
holds farm farm/bench.v2.yaml farm/long.yaml
mv "$err" "$shelf/long"
wintergrub run farm/long.yaml --replicates 8 --threads 1
cmp -s "$err" "$shelf/long" || fault "another error with one thread"
rm farm/long.yaml

# A garden bin on the first day only: it reports what never happens.
cat >farm/winter.yaml <<'EOF'
period: {from: 2027-01-01, to: 2027-01-20}
climate: {latitude: 45 degrees, normals: {unit: degC, daily_high: [-5, -4, 2, 10, 16, 21, 24, 23, 18, 11, 4, -2],
                                          daily_low: [-15, -14, -8, 0, 5, 10, 13, 12, 7, 1, -5, -11]}}
places: [{name: yard, housing: outdoors, bins: [{name: bin}]}]
starter: [{on: 2027-01-01, in: bin, stage: egg, count: 10}]
feeding: [{in: bin, what: kitchen scraps, amount: 1 lb, every: 1 day}]
forecast: {replicates: 20, seed: 1}
EOF
wintergrub run farm/winter.yaml --quiet
ends 0
fits "$out" 30
grep -qE '^Alive at the end in 0 of 20 .*: 0 %|0 of 20 .*\(0 %' "$out" || fault "eggs outlive a hard frost"
grep -qE '^First adults +.*(never|not|none)' "$out" || fault "adults in a hard frost"
! grep -qiE 'nan|inf' "$out" || fault "something that is no number"

finish
