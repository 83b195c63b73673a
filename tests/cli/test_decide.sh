#!/bin/sh
# shellcheck disable=SC1091,SC2034,SC2154 # the words come from words.sh
# Checks output and exit status of goals, size, precision, what-matters and fit.
. "$(dirname "$0")/words.sh"

write() { # write NAME GOAL
  cat >"$1" <<EOF
title: A few eggs on a bench
period: {from: 2026-01-01, to: 2026-04-20}
climate: {constant: 28 degC}
places: [{name: bench, housing: {kind: laboratory}, bins: [{name: tray}]}]
starter: [{on: 2026-01-01, in: tray, stage: egg, count: 20}]
feeding: [{in: tray, what: kitchen scraps, amount: 100 g}]
species: {males_needed: 0}
goal: $2
forecast: {replicates: 100, seed: 7}
EOF
}
json() { # json EXPRESSION: over the document d
  "$PYTHON" -c 'import json, sys; d = json.load(open(sys.argv[1])); sys.exit(not eval(sys.argv[2]))' "$out" "$1" ||
    fault "not so: $1"
}

# --- goals in a run
write eggs.yaml '[{survive: yes, chance: 50 %}, {total_harvest: 900 kg, of: crawl-off}]'
wintergrub run eggs.yaml -o eggs.h5 -q
ends 0
tells_nothing
fits "$out"
prints 'Goal: alive on 20 April 2026: in '
prints 'wanted: yes.'
prints '90 % wanted: no.'
prints 'All goals at once: in 0 of 100 futures (0 %, between 0 and '
h5dump -d goal_met eggs.h5 >"$shelf/dump" 2>&1 || fault 'the result has no goal_met'
grep -q '( 100, 2 )' "$shelf/dump" || fault 'goal_met is not replicates x goals'
wintergrub run eggs.yaml -o eggs.h5 -q --force --json
ends 0
json 'len(d["goals"]) == 2 and d["goals"][0]["odds"]["enough"] == "yes" and d["goals"][1]["odds"]["met"] == 0'
json 'd["goals"][0]["odds"]["met"] == d["survival"]["alive"] and abs(d["goals"][0]["odds"]["low"] - d["survival"]["low"]) < 1e-9'
wintergrub rerun eggs.h5
ends 0
wintergrub check eggs.yaml
ends 0
prints 'alive on 20 April 2026, with a chance of 50 %'

# --- precision
wintergrub run eggs.yaml -o eggs.h5 -q --force --json --until-sure 3%
ends 0
json 'd["replicates"] > 100 and d["survival"]["high"] - d["survival"]["low"] <= 0.06 + 1e-9'
wintergrub run eggs.yaml -o eggs.h5 -q --force --until-sure '0.1 %' --at-most 2000
ends 0
tells '--at-most stopped at 2000 replicates'
wintergrub run eggs.yaml -o eggs.h5 --until-sure 2
ends 2
tells 'for example --until-sure 2%'
rm -f eggs.h5

# --- size
write eggs.yaml '{survive: yes, chance: 90 %}'
wintergrub size eggs.yaml --at-most 1000 -t 2
ends 6 # so few cannot tell
tells_nothing
fits "$out"
prints 'The smallest starter.1.count that meets the goal (the file says 20)'
cp "$out" "$shelf/first"
wintergrub size eggs.yaml --at-most 1000 -t 1
cmp -s "$out" "$shelf/first" || fault 'another number of threads says something else'
# Galton-Watson, as in the tests of the search: about 18 eggs for 90 %
wintergrub size eggs.yaml --at-most 3000 --json
ends 0
json 'd["too_little"] < 18 <= d["enough"] and d["replicates"] <= 3000'
json 'sorted(p["value"] for p in d["curve"]) == [p["value"] for p in d["curve"]]'
wintergrub size eggs.yaml --between 1 4 --at-most 1000
ends 1
prints 'No value from 1 to 4 is enough'
wintergrub size --between 100 400 eggs.yaml --at-most 1000
ends 0
prints '100 is enough, and nothing smaller was tried'
wintergrub size eggs.yaml --vary climate.constant --between '20 degC' '28 degC' --at-most 1000 --json
ends 6 # not monotone: neither yes nor no
json 'd["vary"]["unit"] == "degC"'
wintergrub size eggs.yaml --vary starter.1.cuont
ends 3
tells 'Did you mean "count"?'
wintergrub size eggs.yaml --vary climate.constant --between 20 500
ends 3
tells 'eggs.yaml:3:21: error:'
tells 'this was with climate.constant at 500 degC'
wintergrub size eggs.yaml --between 5
ends 2
tells '--between needs two values'
wintergrub size eggs.yaml --between 5 4
ends 2
grep -v '^goal' eggs.yaml >plain.yaml
wintergrub size plain.yaml
ends 3
tells 'There is no goal in it'
rm -f plain.yaml
for width in 5x inf -1 '5 %'; do
  wintergrub size eggs.yaml --within "$width"
  ends 2
  tells '--within is a width'
done
wintergrub size eggs.yaml --vary climate.constant --between '20 degC' '28 degC' --within '20 degC' --at-most 1000
ends 6
for key in forecast.replicates forecast.seed goal.chance; do # neither affects the colony
  wintergrub size eggs.yaml --vary $key
  ends 3
  tells "$key: This changes nothing about the colony"
done

# The curve fits the screen with any number of goals, and shows all of them.
write many.yaml '[{survive: yes, chance: 50 %}, {total_harvest: 1 g, chance: 50 %}]'
wintergrub size many.yaml --at-most 1000 --between 10 40
fits "$out"
tells_nothing
prints 'goal 2   '
write many.yaml '[{survive: yes, chance: 50 %}, {total_harvest: 1 g, chance: 50 %}, {adults: 9000, by: 2026-04-20, chance: 90 %}]'
wintergrub size many.yaml --at-most 1000 --between 10 40
ends 1
fits "$out"
prints 'the hardest goal there'
prints 'goal 3, 0 %'
rm -f many.yaml

# --- what matters
wintergrub run eggs.yaml --what-matters --at-most 2000 -q
ends 0
fits "$out"
prints 'What matters for the chance to be alive at the end?'
prints ' 1. '
prints ' is chance left at'
wintergrub run eggs.yaml --what-matters --at-most 2000 -q --json
ends 0
json 'd["answer"] == "survived" and d["unknowns"][0]["total"]["share"] > 0 and d["replicates"] < 2600'
holds eggs.yaml

# --- fit
sed -i 's/to: 2026-04-20/to: 2026-02-15/' eggs.yaml
cat >log.csv <<EOF
date,what,value,where
2026-01-28,adults,no
2026-02-10,adults,yes
2026-02-01,bin temperature,82 degF,tray
EOF
wintergrub fit eggs.yaml log.csv --draws 100 -o draws.csv
ends 0
fits "$out"
prints '3 of the 3 notes lie'
prints ' kg '
prints ' lb '
tells 'the draws are in draws.csv'
prints 'speed of larvae'
[ "$(wc -l <draws.csv)" -eq 201 ] || fault 'draws.csv does not hold 200 draws'
wintergrub fit eggs.yaml log.csv --draws 100 -o draws.csv
ends 4
wintergrub fit eggs.yaml log.csv --draws 100 --json
ends 0
json 'len(d["factors"]) == 5 and len(d["notes"]) == 3 and d["effective_draws"] > 1 and 0 <= d["survival"]["after"] <= 1'
echo '2026-02-11,adults,perhaps' >>log.csv
wintergrub fit eggs.yaml log.csv
ends 3
tells 'log.csv:5:19: error:'
head -n 2 log.csv >one.csv
wintergrub fit eggs.yaml one.csv --draws 100
ends 0
prints '1 note, compared'
prints 'of the 1 note lies'
rm -f one.csv
printf 'Date,What,Value,Days\n2026-01-28,adults,no,\n2026-02-10,crawl-off,0.1 kg,\n' >open.csv
wintergrub fit eggs.yaml open.csv --draws 100
ends 0
prints '1 note, compared'
prints 'only starts the count of crawl-off'
printf 'date,what,value,days\n2026-02-10,taken,0.1 kg,7\n' >open.csv
wintergrub fit eggs.yaml open.csv --draws 100
ends 3
tells 'open.csv:2:1: error: The scenario takes nothing out on these days'
rm -f open.csv
holds draws.csv eggs.yaml log.csv

finish
