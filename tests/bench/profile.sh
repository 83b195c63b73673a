#!/bin/sh
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Profile by part of the work: profile.sh PROGRAM SCENARIO [REPLICATES]
#
# Counts the instructions of a whole run under valgrind (the same on every machine, and independent of its load) and prints
# the share of each part. A part is some functions with all that they call; random draws and hourly sums within a part are
# in its share and again under "of these".
#
# valgrind hides the processor's SHA-256 instructions from libnettle, which then computes the checksum of the result in
# plain code. Where the processor has them, that code never runs outside valgrind, so it is left out.
set -eu
program=$1 scenario=$2 replicates=${3:-20}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
valgrind --tool=callgrind --callgrind-out-file="$work/calls" "$program" run "$scenario" --replicates "$replicates" \
  --threads 1 --quiet --output "$work/result.h5" >/dev/null 2>"$work/log" || { cat "$work/log" >&2; exit 1; }
# losses draw with wg_binomial() or themselves, so only their own lines count
own=$(callgrind_annotate --inclusive=no --threshold=100 "$work/calls" 2>/dev/null |
  awk '/:(wg_losses|draw_losses) / { gsub(/,/, "", $1); sum += $1 } END { print sum }')
sums=0
if grep -qw sha_ni /proc/cpuinfo; then
    sums=$(callgrind_annotate --inclusive=no --threshold=100 "$work/calls" 2>/dev/null |
      awk '/:_nettle_sha256_compress_x86_64/ { gsub(/,/, "", $1); sum += $1 } END { print sum + 0 }')
fi
callgrind_annotate --inclusive=yes --threshold=100 "$work/calls" 2>/dev/null |
  awk -v replicates="$replicates" -v losses="$own" -v sums="$sums" '
    { gsub(/,/, "", $1) }
    /PROGRAM TOTALS/ { total = $1 - sums }
    match($0, /:count_by_gaps /) { losses += $1 }
    match($0, /:wg_[a-z0-9_]+/) { name = substr($0, RSTART + 1, RLENGTH - 1); if (!(name in cost)) cost[name] = $1 }
    function part(text, names,   list, n, i, sum) {
        n = split(names, list, " ")
        for (i = 1; i <= n; i++) sum += cost[list[i]]
        printf "  %-58s %5.1f %%\n", text, 100 * sum / total
    }
    END {
        printf "%.1f million instructions for each of %d replicates, reading and preparing included:\n", total / replicates / 1e6, replicates
        part("reading the scenario, preparing the tables", "wg_scenario_read wg_world_init")
        part("weather", "wg_weather_draw wg_climate_sky")
        part("heat of houses and bins, hour by hour", "wg_step_shelter")
        part("bins: feed, growth, eggs and larvae", "wg_step_bins")
        part("ground: prepupae, dormancy, pupae", "wg_step_ground")
        part("flies", "wg_step_adults")
        part("new cohorts, ledger, diary", "wg_step_enter wg_step_ledger wg_step_record wg_diary_clear wg_diary_finish")
        cost["wg_h5_finish"] -= sums # the checksum is computed when the file is closed
        part("writing the result", "wg_h5_write_rows wg_h5_write wg_h5_finish")
        print "of these:"
        part("what the hours mean for each stage, when first asked", "wg_conditions_update")
        cost["draws"] = cost["wg_binomial"] + losses
        part("draws, wherever they are made", "draws")
        if (sums > 0) {
            print "left out of all shares, but as large as:"
            cost["sums"] = sums
            part("SHA-256 without the processor'"'"'s own instructions", "sums")
        }
    }'
