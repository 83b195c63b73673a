#!/bin/sh
# shellcheck disable=SC1091,SC2034,SC2154 # the words come from words.sh
# Checks help and usage errors: one line with the mistake and how to get help.
. "$(dirname "$0")/words.sh"
cp "$SRC/scenarios/smallest.yaml" .

# usage PATTERN WORDS...: status 2, nothing on standard output, one line with the pattern and a pointer to help.
usage() {
  pattern=$1
  shift
  wintergrub "$@"
  ends 2
  prints_nothing
  tells_lines 1
  is_clean
  tells "See 'wintergrub help"
  tells_like "$pattern"
}

# ---- help ----

for words in help --help -h; do
  wintergrub $words
  ends 0
  tells_nothing
  fits "$out" 24
  for command in run check compare size fit report figures rerun timetable workshop; do
    prints "wintergrub $command "
  done
  ragged=$(grep '^  wintergrub ' "$out" | grep -vE '^.{40} [a-z]' || true)
  [ -z "$ragged" ] || fault "not in its column: $ragged"
  prints "130"
done
mv "$out" "$shelf/help"

wintergrub
ends 2
prints_nothing
cmp -s "$err" "$shelf/help" || fault "without words it tells its help"

for command in run check compare size fit report figures rerun timetable workshop; do
  wintergrub help $command
  ends 0
  tells_nothing
  fits "$out" 30
  prints "wintergrub $command "
  mv "$out" "$shelf/help"
  for option in --help -h; do
    wintergrub $command $option
    ends 0
    cmp -s "$out" "$shelf/help" || fault "not the same as help $command"
  done
done
for command in size fit figures report workshop; do
  wintergrub help $command
  ends 0
  fits "$out" 60
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

# ---- usage errors ----

usage 'no command "rum".*did you mean run' rum smallest.yaml
usage 'no command "frobnicate"' frobnicate
usage 'no command "timtable".*did you mean timetable' help timtable
usage 'NAME\.yaml' run
usage 'too many' check smallest.yaml smallest.yaml
usage 'need a folder' run smallest.yaml smallest.yaml
usage 'need a folder' run .
usage 'NAME\.yaml' check
usage '\.h5' rerun
usage 'TEMPERATURE' timetable
usage 'no option --replicats.*--replicates' run --replicats 3 smallest.yaml
usage 'no option --thread;.*--threads' run smallest.yaml --thread=2
usage 'no option --xyzzyx\.' run smallest.yaml --xyzzyx
usage 'no option -x\.' run smallest.yaml -x
usage 'no option --json\.' check smallest.yaml --json
usage '--force takes no value' run smallest.yaml --force=yes
usage '--seed.*twice' run smallest.yaml --seed 1 --seed 2
usage '--seed.*value' run smallest.yaml --seed
usage '--output.*value' run smallest.yaml -o
usage '--output' run smallest.yaml --output=
usage 'no command "version".*did you mean --version' version
usage 'no option -x\.' run smallest.yaml -qx
usage '--quiet.*twice' run smallest.yaml -qfq
usage 'argument.*empty' check ''
usage '/dev/stdin' check -
usage '\./-' run smallest.yaml -o -
usage '--at-most belongs' run smallest.yaml --at-most 5000
usage '--until-sure belongs' run smallest.yaml --what-matters --until-sure 2%
usage '--calendar belongs' run smallest.yaml --what-matters --calendar
usage '--replicates belongs' run smallest.yaml --what-matters --replicates 5
usage '-o workshop\.html\. See' workshop
usage 'NAME\.yaml is missing' size --between 1 10
usage '95%' size smallest.yaml --confidence 2
for number in 0 -1 +3 1e3 3.5 many ' 3' 3x '' 99999999999999999999; do
  usage '--replicates' run smallest.yaml "--replicates=$number"
  usage '--threads' run smallest.yaml "--threads=$number"
done
for number in -1 1.0 18446744073709551616 0x10; do usage '--seed' run smallest.yaml "--seed=$number"; done
usage 'degC' timetable 30C
usage 'degF' timetable 80F
usage 'degC' timetable 30
usage 'warm' timetable warm
usage '400' timetable 400degC
usage 'keepers.*laboratory' timetable 30degC --numbers guess

# It never overwrites an input file, by any name, with or without --force.
cp smallest.yaml other.yaml
cp smallest.yaml plan.h5
ln -s smallest.yaml link.yaml
echo 'date,what,value' >log.csv
usage 'smallest\.yaml is read here' run smallest.yaml --force -o smallest.yaml
usage 'is read here' run link.yaml --force -o ./smallest.yaml
usage 'plan\.h5 is read here' run plan.h5 --force
usage 'is read here' compare smallest.yaml other.yaml --force -o other.yaml
usage 'is read here' size smallest.yaml --force -o smallest.yaml
usage 'log\.csv is read here' fit smallest.yaml log.csv --force -o log.csv
usage 'is read here' report plan.h5 --force -o plan.h5
wintergrub run plan.h5 other.yaml --force -o .
ends 2
tells 'plan.h5 is read here'
for file in other.yaml plan.h5 link.yaml; do
  cmp -s smallest.yaml $file || fault "$file was touched"
  rm -f $file
done
rm -f log.csv

# It reports a misspelt option before it opens the scenario.
usage '--replicates' run nowhere.yaml --replicates none

# It masks control characters of arguments.
esc=$(printf '\033[31m')
usage 'no command' "$esc"
usage 'no option' run "--$esc" smallest.yaml
usage '--seed' run smallest.yaml --seed "$esc"
usage 'wintergrub timetable:' timetable "$esc"
usage 'no command' "$(printf 'r\302\205n')"

# After --, and a dash alone, arguments are not options.
wintergrub check -- --force
ends 4
tells '--force'

# ---- missing files, full streams ----

for command in run check rerun; do
  for path in nowhere.yaml nowhere/at/all .; do
    [ "$command $path" != 'run .' ] || continue # many scenarios
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

# A closed pipe is not an error.
said='wintergrub help into a closed pipe'
{
  sleep 0.3
  status=0
  "$WINTERGRUB" help 2>"$err" || status=$?
  echo "$status" >"$shelf/status"
} | true
status=$(cat "$shelf/status")
ends 0
tells_nothing

holds smallest.yaml
finish
