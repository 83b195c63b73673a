#!/bin/sh
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Runs many scenarios on a cluster: a job array in which each job runs every N-th scenario of a folder. Needs no MPI.
#
#   sbatch --array=1-20 scripts/batch_sweep.sh FOLDER_OF_SCENARIOS FOLDER_OF_RESULTS [more options of 'wintergrub run']
#
# An example for Slurm; other schedulers use other directives in place of #SBATCH. If jobs time out or are cancelled, submit
# the same line again: it computes only the missing results. When all jobs have finished,
#
#   wintergrub run FOLDER_OF_SCENARIOS -o FOLDER_OF_RESULTS
#
# prints the table of all without computing anything. Use the same options (--replicates, --seed): it replaces
# no result with a different seed or more replicates.
#
# WINTERGRUB: path of the program, unless it is in $PATH.
#SBATCH --job-name=wintergrub
#SBATCH --ntasks=1
#SBATCH --cpus-per-task=8
#SBATCH --time=02:00:00
#SBATCH --output=%x-%A-%a.txt
#SBATCH --signal=B:TERM@60
set -eu

if [ $# -lt 2 ] || [ -z "${SLURM_ARRAY_TASK_ID-}" ]; then
  sed -n '4s/^# *//p' "$0"
  exit 2
fi
scenarios=$1
results=$2
shift 2

# Counts from the first number of --array, so that --array=0-19 works too.
# shellcheck disable=SC2153 # the scheduler sets it
part=$((SLURM_ARRAY_TASK_ID - SLURM_ARRAY_TASK_MIN + 1))
exec "${WINTERGRUB:-wintergrub}" run "$scenarios" -o "$results" --part "$part/$SLURM_ARRAY_TASK_COUNT" \
  --threads "${SLURM_CPUS_PER_TASK:-1}" "$@"
