#!/bin/sh
# shellcheck disable=SC1091,SC2034,SC2154 # the words come from words.sh
# Checks wintergrub check: it prints valid scenarios as understood, and each mistake of broken ones with its position.
. "$(dirname "$0")/words.sh"

for scenario in "$SRC"/scenarios/*.yaml; do
  wintergrub check "$scenario"
  ends 0
  tells_nothing
  is_clean
  fits "$out"
  prints ' degC'
  prints ' degF'
  ! grep -qE '[0-9]e-[0-9]|[0-9]{5,} (larvae|eggs)' "$out" || fault "nothing as a tiny number, or many digits in a row"
done
holds

# The name of each file in tests/data/broken says what is wrong with it.
broken=0
for scenario in "$SRC"/tests/data/broken/*.yaml; do
  broken=$((broken + 1))
  wintergrub check "$scenario"
  ends 3
  prints_nothing
  { echo "file $scenario" && cat "$err"; } >>"$shelf/all"
  [ $((broken % 8)) -eq 0 ] || continue # run reads with the same reader
  mv "$err" "$shelf/of-check"
  wintergrub run "$scenario" --replicates 1000000 -o never.h5
  ends 3
  prints_nothing
  cmp -s "$err" "$shelf/of-check" || fault "run tells something else than check"
done

# What they say, all of them together: as many mistakes at their places as are counted at the end.
mv "$shelf/all" "$err"
is_clean
wrong=$(awk -v folder="$SRC/tests/data/broken/" '
  function ends() { if (file != "" && (located == 0 || counted != located)) print file ": " located " shown, " counted " counted" }
  /^file / { ends(); file = $2; located = counted = 0; next }
  index($0, folder) == 1 && /yaml(:[0-9]+:[0-9]+)?: error: [^ ].*[^ ]$/ { located++ }
  /^wintergrub: .*: [0-9]+ mistakes?; / { counted = $0; sub(/ mistakes?; .*/, "", counted); sub(/.*: /, "", counted) }
  END { ends() }' "$err")
[ -z "$wrong" ] || fault "not as many mistakes shown as counted: $wrong"
! grep -qiE 'libfyaml|fy_|udunits|errno|assert' "$err" || fault "speaks of its insides"
said='the broken scenarios'
[ "$broken" -ge 50 ] || fault "only $broken of them were found"
holds

finish
