#!/bin/sh
# What the program says of itself, and to those who mistype: one line that says what is wrong and how to get help.
. "$(dirname "$0")/words.sh"
cp "$SRC/scenarios/smallest.yaml" .

# usage WORDS... -- TEXT...: ends with 2, prints nothing, tells one line with all the texts; nothing is written.
usage() {
  count=0
  for word; do
    [ "$word" != -- ] || break
    count=$((count + 1))
  done
  i=0
  texts=0
  # the words in front of -- become "$@" again, the texts are looked for afterwards
  for word; do
    shift
    if [ "$i" -lt "$count" ]; then
      set -- "$@" "$word"
    elif [ "$i" -gt "$count" ]; then
      texts=$((texts + 1))
      eval "text_$texts=\$word"
    fi
    i=$((i + 1))
  done
  wintergrub "$@"
  ends 2
  prints_nothing
  tells_lines 1
  is_clean
  tells "See 'wintergrub help"
  while [ "$texts" -gt 0 ]; do
    eval "tells \"\$text_$texts\""
    texts=$((texts - 1))
  done
}

# ---- help ----

for words in help --help -h; do
  wintergrub $words
  ends 0
  tells_nothing
  fits "$out" 24
  for command in run check rerun timetable; do prints "wintergrub $command "; done
  prints "130"
done
mv "$out" "$shelf/help"

wintergrub
ends 2
prints_nothing
cmp -s "$err" "$shelf/help" || fault "without words it tells its help"

for command in run check rerun timetable; do
  wintergrub help $command
  ends 0
  tells_nothing
  fits "$out" 24
  prints "wintergrub $command "
  mv "$out" "$shelf/help"
  for option in --help -h; do
    wintergrub $command $option
    ends 0
    cmp -s "$out" "$shelf/help" || fault "not the same as help $command"
  done
done
for option in --output --replicates --seed --threads --force --quiet --json; do
  wintergrub help run
  prints "$option"
done

for words in --version -V; do
  wintergrub $words
  ends 0
  tells_nothing
  head -n 1 "$out" | grep -qE '^wintergrub [0-9]+\.[0-9]+\.[0-9]+( \(.+\))?$' || fault "no version"
  prints "GNU General Public License"
done

# ---- mistyped ----

usage rum smallest.yaml -- 'no command "rum"' 'run'
usage frobnicate -- 'no command "frobnicate"'
usage help timtable -- 'timetable'
usage run -- 'SCENARIO.yaml'
usage run smallest.yaml smallest.yaml -- 'too many'
usage check -- 'SCENARIO.yaml'
usage rerun -- 'RESULT.h5'
usage timetable -- 'TEMPERATURE'
usage run --replicats 3 smallest.yaml -- '--replicates'
usage run smallest.yaml --thread=2 -- '--threads'
usage run smallest.yaml --xyzzyx -- '--xyzzyx'
usage run smallest.yaml -x -- '-x'
usage check smallest.yaml --json -- '--json'
usage run smallest.yaml --force=yes -- '--force'
usage run smallest.yaml --seed 1 --seed 2 -- '--seed' 'twice'
usage run smallest.yaml --seed -- '--seed' 'value'
usage run smallest.yaml -o -- '--output' 'value'
usage run smallest.yaml --output= -- '--output'
for number in 0 -1 +3 1e3 3.5 many ' 3' 3x '' 99999999999999999999; do
  usage run smallest.yaml "--replicates=$number" -- '--replicates'
  usage run smallest.yaml "--threads=$number" -- '--threads'
done
for number in -1 1.0 18446744073709551616 0x10; do usage run smallest.yaml "--seed=$number" -- '--seed'; done
usage timetable 30C -- 'degC'
usage timetable 80F -- 'degF'
usage timetable 30 -- 'degC'
usage timetable warm -- 'warm'
usage timetable 400degC -- '400'
usage timetable 30degC --numbers guess -- 'keepers' 'laboratory'

# A mistyped option is said before a scenario is looked for.
usage run nowhere.yaml --replicates none -- '--replicates'

# What is not ours to print is not printed as it came.
esc=$(printf '\033[31m')
usage "$esc" -- 'no command'
usage run "--$esc" smallest.yaml -- 'no option'
usage run smallest.yaml --seed "$esc" -- '--seed'
usage timetable "$esc" -- 'wintergrub timetable:'
usage "$(printf 'r\302\205n')" -- 'no command'

# After -- and for a dash alone nothing is an option.
wintergrub check -- --force
ends 4
tells '--force'

# ---- files that are not there, streams that are full ----

for command in run check rerun; do
  for path in nowhere.yaml nowhere/at/all .; do
    wintergrub $command $path
    ends 4
    prints_nothing
    tells_lines 1
  done
done

for words in help --version 'help run' 'check smallest.yaml' 'timetable 27degC' 'timetable 27degC --json'; do
  said="wintergrub $words, on a full disk"
  status=0
  # shellcheck disable=SC2086
  "$WINTERGRUB" $words >/dev/full 2>"$err" </dev/null || status=$?
  : >"$out"
  ends 4
  tells_lines 1
  tells 'No space left'
done

# A reader who has seen enough is no failure.
said='wintergrub help into a closed pipe'
status=$({ "$WINTERGRUB" help 2>"$err" && echo 0 || echo $?; } 3>&1 >&3 | true; echo 0)
ends 0

holds smallest.yaml
finish
