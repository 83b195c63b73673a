#!/bin/sh
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Runs one large ensemble on several machines of a cluster: the replicates of a scenario over MPI processes.
#
#   sbatch scripts/batch_ranks.sh SCENARIO.yaml RESULT.h5 [more options of 'wintergrub run']
#
# An example for Slurm; other schedulers use other directives in place of #SBATCH. Process 0 writes the result and prints;
# the others simulate replicates on --threads threads each: below, one process on each of four machines and one more for
# the output. Build with -DWINTERGRUB_MPI=ON against the MPI of the cluster's launcher, on one kind of machine: another
# mathematics library may round the last digit differently.
#
# WINTERGRUB: path of the program, unless it is in $PATH.
#SBATCH --job-name=wintergrub
#SBATCH --ntasks=5
#SBATCH --cpus-per-task=16
#SBATCH --time=02:00:00
#SBATCH --output=%x-%j.txt
#SBATCH --signal=TERM@60
set -eu

if [ $# -lt 2 ]; then
  sed -n '4s/^# *//p' "$0"
  exit 2
fi
scenario=$1
result=$2
shift 2

# --kill-on-bad-exit: a failing process ends all others at once, with its status. mpirun does so by default.
exec srun --kill-on-bad-exit=1 --ntasks="$SLURM_NTASKS" --cpus-per-task="${SLURM_CPUS_PER_TASK:-1}" \
  "${WINTERGRUB:-wintergrub}" run "$scenario" --threads "${SLURM_CPUS_PER_TASK:-1}" -o "$result" "$@"
