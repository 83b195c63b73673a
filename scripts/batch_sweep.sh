#!/bin/sh
# Many scenarios on a cluster: a job array, each of its jobs every N-th scenario of a folder. No MPI is needed.
#
#   sbatch --array=1-20 scripts/batch_sweep.sh FOLDER_OF_SCENARIOS FOLDER_OF_RESULTS [more options of 'wintergrub run']
#
# An example for Slurm; other schedulers have other words for the lines that begin with #SBATCH. What ran out of time or
# was ended is no loss: the same line again computes only what is not there yet. When all are through,
#
#   wintergrub run FOLDER_OF_SCENARIOS -o FOLDER_OF_RESULTS
#
# computes nothing more and prints the table of all. Give it the same options (--replicates, --seed): it replaces
# no result of another seed or of more replicates.
#
# WINTERGRUB names the program, if it is not the one in $PATH.
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

# Counted from --array's own first number, so that --array=0-19 serves as well.
# shellcheck disable=SC2153 # the scheduler sets it
part=$((SLURM_ARRAY_TASK_ID - SLURM_ARRAY_TASK_MIN + 1))
exec "${WINTERGRUB:-wintergrub}" run "$scenarios" -o "$results" --part "$part/$SLURM_ARRAY_TASK_COUNT" \
  --threads "${SLURM_CPUS_PER_TASK:-1}" "$@"
